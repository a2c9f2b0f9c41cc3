"""Rows that see different scan lines, against sums of overlaps with a weight for each harmonic."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from overlap_sum import cycle_s, light_against_phase, mean_light
from phase_filter import FLARE_NITS, PEAK_NITS, STUDIO, value_at, viewer_weight
from plain_shots import FILM, plain_camera, plain_optics, plain_shot, plain_wall

from bandcheck.light.row_ring import samples_of_lines
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.met_light import met_light
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.verdict.wall_cells import wall_cells

AGREEMENT = 0.025
"""Of the visibility, or of 1 where that is less: what phases between the samples have more.

Found: at most 0.022, as a rule below 0.003. Without the harmonics above 2.5 row rates 0.12.
"""

SHOT = plain_shot(
    wall=plain_wall(pitch_mm=2.6), camera=plain_camera(sensor_height_mm=13.8),
    optics=plain_optics(focus_mm=None),
)


def summed_visibility(angle_deg, signal, rho, direction=1):
    """From overlaps at 2^19 phases: every harmonic up to 23 row rates, each with its weight."""
    samples, cycle = 1 << 19, float(cycle_s(STUDIO))
    value, exposure = value_at(STUDIO, signal), angle_deg / 8640
    light = light_against_phase(
        STUDIO, value, phases_s=np.arange(samples) * (cycle / samples), exposure_s=exposure
    )
    relative = light / float(mean_light(STUDIO, value, exposure_s=exposure)) - 1
    number = np.arange(samples // 2 + 1)
    rows = cycle / (0.008 / 2160)
    bands = number / rows - direction * np.round(number / 160) * rho / 16
    luminance = PEAK_NITS * signal**2.4
    weight = viewer_weight(np.abs(bands - np.round(bands)), luminance, True)
    weight[0] = 0
    filtered = np.fft.irfft(np.fft.rfft(relative) * weight, samples)
    return np.abs(filtered).max() * luminance / (luminance + FLARE_NITS)


@pytest.mark.parametrize("signal", [0.5, 0.18, 0.1])
@pytest.mark.parametrize("angle", [180.0, 180.005, 180.02, 180.1, 172.8])
@pytest.mark.parametrize("direction", [1, -1])
def test_next_to_a_null_and_far_from_it(signal, angle, direction):
    """Close to a null half of it is aliases: without those above 2.5 row rates a sixth is lost."""
    shot = replace(SHOT, panel_rotation_deg=0 if direction == 1 else 180)
    rows = row_sampling(shot)
    assert rows.direction == direction
    assert rows.wall_rows_per_row < 1
    found = wall_cells(shot, levels=[signal], exposure_s=[angle / 8640], extremes=False)
    expected = summed_visibility(angle, signal, rows.wall_rows_per_row, direction)
    assert_allclose(
        found.visibility[0], expected, rtol=0, atol=AGREEMENT * max(1.0, expected)
    )


def test_harmonics_recur_after_the_samples_of_a_ring():
    """Next to pace with the scan, at the shot's own coupling, and where a row spans six lines."""
    for lines_per_row in (11250 / 160 / 11250 - 1e-4, 0.0245, 0.37, -0.0245):
        samples = samples_of_lines(
            least=90_000, rows=11250.0, waves=1 / 160, lines_per_row=lines_per_row
        )
        assert 90_000 <= samples < 150_000
        number = np.arange(160, 40_000, 160)
        once, again = (
            each / 11250 - np.round(each / 160) * lines_per_row
            for each in (number, number + samples)
        )
        off = once - again
        assert_allclose(off, np.round(off), atol=0.02)


def test_a_ring_grows_where_the_readout_all_but_keeps_pace_with_the_scan():
    """Bands of a harmonic next to still recur after 1515 of them, and not before."""
    ask = {"least": 108_000.0, "rows": 13_500.0, "waves": 1 / 320}
    longer = samples_of_lines(lines_per_row=320 / 13_500 + 0.00066, **ask)
    assert 485_000 - 31 * 320 < longer < 485_000 + 31 * 320
    for nothing_recurs in (np.pi * 1e-5, 320 / 13_500 + 7.1e-5):
        found = samples_of_lines(lines_per_row=nothing_recurs, **ask)
        assert 108_000 <= found < 600_000


def test_a_ring_of_samples_holds_whole_patterns_that_stand():
    for multiple_of in (2, 3, 7):
        assert samples_of_lines(
            least=1000.0, rows=125.0, waves=0.1, lines_per_row=0.03, multiple_of=multiple_of
        ) % multiple_of == 0


def test_a_light_is_made_once_for_all_exposures():
    ask = {"value": 1000, "min_pulse_counts": 1, "luminance_nits": 2.0}
    case = light_cases(SHOT.wall, FILM)[0]
    once, again, brighter = (
        met_light(case, row_sampling(SHOT), Viewing(), **{**ask, **changed})
        for changed in ({}, {}, {"luminance_nits": 4.0})
    )
    assert once is again
    assert brighter is not once
