"""Visibility from a spectrum against a numeric second route (`phase_filter`, in support)."""

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from overlap_sum import cycle_s, light_against_phase, lit_intervals, mean_light
from phase_filter import (
    EIGHTY,
    FLARE_NITS,
    MANY,
    PEAK_NITS,
    ROWS,
    STUDIO,
    rows_in_cycle,
    sampled_visibility,
    value_at,
    viewer_weight,
)
from wall_cases import modelled_train, telling_values, walls

from bandcheck.hazards import banding
from bandcheck.hazards.banding import harmonic_sensitivity, visibility_over_phase
from bandcheck.imaging.rolling_shutter import band_cycles_per_row
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.vision.contrast_sensitivity import picture_height_deg, picture_width_deg

AGREEMENT = 1e-3
"""Of the visibility, or of 1 where that is less."""

ORIENTATION = [
    (STUDIO, "180", 1.00, 0.00, 0.005), (STUDIO, "180", 0.50, 0.043, 5e-4),
    (STUDIO, "180", 0.18, 0.327, 5e-4), (STUDIO, "180", 0.10, 0.862, 5e-4),
    (STUDIO, "180", 0.05, 2.098, 5e-4), (STUDIO, "180", 0.02, 3.749, 5e-4),
    (STUDIO, "172.8", 1.00, 7.50, 0.005), (STUDIO, "180.1", 1.00, 3.82, 0.005),
    (EIGHTY, "172.8", 1.00, 9.06, 0.005), (MANY, "172.8", 1.00, 2.97, 0.005),
]
"""Wall, angle at 24 fps, signal level, visibility and half its last digit (physics, part 7)."""


def band_limited_visibility(wall, value, exposure_s, level, *, standing, row_rates):
    """Visibility from a transform over the cycle, without what is quicker than so many rows."""
    rows, luminance, samples = rows_in_cycle(wall), PEAK_NITS * level, 1 << 18
    phases = np.arange(samples) * (float(cycle_s(wall)) / samples)
    light = light_against_phase(wall, value, phases_s=phases, exposure_s=exposure_s)
    relative = light / float(mean_light(wall, value, exposure_s=exposure_s)) - 1
    cycles_per_row = np.arange(samples // 2 + 1) / rows
    weight = viewer_weight(np.abs(cycles_per_row - np.round(cycles_per_row)), luminance, standing)
    weight[0] = 0
    weight[cycles_per_row > row_rates] = 0
    filtered = np.fft.irfft(np.fft.rfft(relative) * weight, samples)
    return float(np.abs(filtered).max()) * luminance / (luminance + FLARE_NITS)


def modelled_visibility(wall, value, exposure_s, level, *, standing=True, row_rates=24.5):
    """Visibility from the program's spectrum, harmonics up to so many row rates."""
    rows, luminance = rows_in_cycle(wall), PEAK_NITS * level
    number = np.arange(int(row_rates * rows) + 1)
    coefficients = fourier_coefficients(modelled_train(wall, [value]), number)[0]
    light_hz = number[1:] / float(cycle_s(wall))
    bands = band_cycles_per_row(light_hz=light_hz, line_time_s=float(cycle_s(wall)) / rows)
    sensitivity = harmonic_sensitivity(
        cycles_per_degree=bands * ROWS / picture_height_deg(view_heights=3),
        standing=np.full(light_hz.size, standing), luminance_nits=luminance + FLARE_NITS,
        field_deg=float(picture_width_deg(view_heights=3, picture_aspect=16 / 9)),
    )
    return float(visibility_over_phase(
        relative=coefficients[1:] / coefficients[0].real,
        sensitivity=sensitivity * luminance / (luminance + FLARE_NITS),
        light_hz=light_hz, exposure_s=exposure_s,
    )[0])


def assert_agree(wall, value, exposure_s, level, *, standing=True):
    sampled = sampled_visibility(wall, value, exposure_s, level, standing=standing)
    modelled = modelled_visibility(wall, value, exposure_s, level, standing=standing)
    assert_allclose(modelled, sampled, rtol=0, atol=AGREEMENT * max(1.0, sampled))


@pytest.mark.parametrize(("wall", "angle", "signal", "visibility", "digit"), ORIENTATION)
def test_figures_of_orientation(wall, angle, signal, visibility, digit):
    value, exposure = value_at(wall, signal), float(angle) / 360 / 24
    sampled = sampled_visibility(wall, value, exposure, signal**2.4)
    assert_allclose(sampled, visibility, rtol=0, atol=digit)
    assert_agree(wall, value, exposure, signal**2.4)


CLOCKED = replace(
    STUDIO, wall_fps=Fraction(25), refreshes_per_frame=24, counts_per_refresh=1023,
    clock_hz=25 * 24 * 16 * 1023 / 0.96, line_switch_s=1e-6,
)


@pytest.mark.parametrize("drive", ["spread", "repeated", "binary_code"])
@pytest.mark.parametrize("lock", [
    {"frame_end": "dark"}, {"frame_end": "stretched"}, {"refresh_hz": 600.0, "clock_hz": None},
])
@pytest.mark.parametrize("standing", [True, False])
def test_other_walls(drive, lock, standing):
    wall = replace(CLOCKED, drive=drive, **lock)
    for value in (3, 333):
        assert_agree(wall, value, 1 / 50, 0.2, standing=standing)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(wall=walls(most_refreshes=12), data=st.data())
def test_no_counter_example(wall, data):
    """Up to a stated harmonic, with and without the weakest ones."""
    value = data.draw(st.one_of(
        st.sampled_from(telling_values(wall)[1:]), st.integers(1, wall.full_scale)
    ))
    exposure = data.draw(st.floats(5e-4, 1 / 24))
    shortest = min(stop - start for start, stop in lit_intervals(wall, value))
    assume(shortest > 2e-6)  # the transform's samples lie up to 0.2 us apart
    level = data.draw(st.sampled_from([1e-3, 0.1, 1.0]))
    row_rates = data.draw(st.sampled_from([0.5, 1.5]))
    how = {"standing": data.draw(st.booleans()), "row_rates": row_rates}
    sampled = band_limited_visibility(wall, value, exposure, level, **how)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(banding, "LEFT_OUT", 0.0)
        everything = modelled_visibility(wall, value, exposure, level, **how)
    assert_allclose(everything, sampled, rtol=0, atol=AGREEMENT * max(1.0, sampled))
    strongest = modelled_visibility(wall, value, exposure, level, **how)
    assert_allclose(strongest, everything, rtol=AGREEMENT, atol=0.02)


@pytest.mark.parametrize("drive", ["spread", "repeated", "binary_code"])
def test_the_spectrum_is_the_integral_over_every_lit_interval(drive):
    wall = replace(
        CLOCKED, drive=drive, refreshes_per_frame=5, frame_end="dark", counts_per_refresh=255
    )
    number, cycle = np.arange(1, 400), float(cycle_s(wall))
    turn = -2j * np.pi * number / cycle
    for value in (1, 7, 201, 255):
        edges = np.array(lit_intervals(wall, value), dtype=np.float64)
        integrals = np.exp(np.multiply.outer(edges, turn)) / (turn * cycle)
        modelled = fourier_coefficients(modelled_train(wall, [value]), number)[0]
        listed = (integrals[:, 1] - integrals[:, 0]).sum(axis=0)
        assert_allclose(modelled, listed, rtol=0, atol=1e-12)


@pytest.mark.parametrize("angle", ["91", "172.8", "180.1"])
def test_seconds_and_hertz_scale_together(angle):
    exposure = float(angle) / 360 / 24
    number = np.arange(1, 4001)
    relative = fourier_coefficients(modelled_train(STUDIO, [40]), number)[0]
    sensitivity = np.full(number.size, 50.0)
    once, slower = (
        visibility_over_phase(
            relative=relative, sensitivity=sensitivity, light_hz=24.0 / times * number,
            exposure_s=exposure * times,
        )
        for times in (1, 7)
    )
    assert once > 0
    assert_allclose(slower, once, rtol=1e-9)


def test_a_sine_is_seen_at_its_modulation_times_the_sensitivity():
    # m = 2 |c| = 0.3, S = 40 and the exposure leaves |sinc(0.4 * 1.5)|
    visibility = visibility_over_phase(
        relative=np.array([0.15j]), sensitivity=np.array([40.0]), light_hz=np.array([150.0]),
        exposure_s=4e-3,
    )
    assert_allclose(visibility, 0.3 * 40 * math.sin(0.6 * math.pi) / (0.6 * math.pi), rtol=1e-3)


@pytest.mark.parametrize(("periods", "tolerance"), [(3.0, 0.05), (3.2, 0.12), (0.9, 0.01)])
def test_a_sine_whose_rate_may_err_takes_its_best_window(periods, tolerance):
    visibility = visibility_over_phase(
        relative=np.array([0.5 + 0j]), sensitivity=np.array([1.0]), light_hz=np.array([100.0]),
        exposure_s=periods / 100, tolerance=tolerance,
    )
    listed = math.pi * periods * np.linspace(1 - tolerance, 1 + tolerance, 2001)
    assert_allclose(visibility, np.abs(np.sin(listed) / listed).max(), rtol=1e-3)
