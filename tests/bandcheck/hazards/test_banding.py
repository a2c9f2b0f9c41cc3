"""Visibility of bands: sums by hand, tolerances against a scan, weights and reasons.

Against overlaps filtered numerically: test_visibility_second_route.
"""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall
from wall_cases import modelled_train

from bandcheck.hazards.banding import (
    banding_finding,
    harmonic_sensitivity,
    visibility_over_phase,
)
from bandcheck.light.pulse_train import single_level
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.vision.contrast_sensitivity import barten_1999_sensitivity, largest_sensitivity
from bandcheck.vision.level import Level

EYE = {"luminance_nits": 30.0, "field_deg": 33.0}


def summed(relative, sensitivity, light_hz, exposure_s, phases=40_001):
    """Largest |value| of the sum of harmonics, written out phase by phase."""
    time = np.linspace(0, 1 / light_hz[0], phases)
    light = np.zeros(phases)
    for c, weight, hz in zip(relative, sensitivity, light_hz, strict=True):
        turn = np.exp(2j * np.pi * hz * (time + exposure_s / 2))
        light += 2 * (c * turn).real * weight * np.sinc(hz * exposure_s)
    return np.abs(light).max()


@settings(derandomize=True, deadline=None, max_examples=80)
@given(
    strengths=st.lists(st.floats(-1, 1), min_size=1, max_size=12), seed=st.integers(0, 99),
    exposure=st.floats(1e-3, 0.04), on_grid=st.booleans(),
)
def test_against_the_sum_written_out(strengths, seed, exposure, on_grid):
    rng = np.random.default_rng(seed)
    relative = np.array(strengths) * np.exp(2j * np.pi * rng.random(len(strengths))) / 4
    sensitivity = rng.uniform(0, 60, len(strengths))
    light_hz = 24.0 * np.arange(1, len(strengths) + 1)
    if on_grid:
        exposure = round(exposure * 24 * 3600) / 3600 / 24
    found = visibility_over_phase(
        relative=relative, sensitivity=sensitivity, light_hz=light_hz, exposure_s=exposure
    )
    expected = summed(relative, sensitivity, light_hz, exposure)
    assert_allclose(found, expected, rtol=2e-3, atol=0.02)


def test_an_exposure_a_hair_off_the_grid_is_as_visible():
    """On tenths of a degree a running integral serves, between them a transform: no step."""
    number = np.arange(1, 400)
    relative = 0.5 / number * np.exp(1j * number)
    found = visibility_over_phase(
        relative=relative, sensitivity=np.full(399, 40.0), light_hz=24.0 * number,
        exposure_s=np.array([1725, 1725 + 1e-4, 1800, 1800 + 1e-4, 36, 36 + 1e-4]) / 3600 / 24,
    )
    assert_allclose(found[1::2], found[::2], rtol=2e-3, atol=0.02)


def test_nothing_is_seen_of_even_light():
    number = np.arange(1, 9)
    for relative, sensitivity in ((0j, 50.0), (0.5 + 0j, 0.0)):
        found = visibility_over_phase(
            relative=np.full(8, relative), sensitivity=np.full(8, sensitivity),
            light_hz=24.0 * number, exposure_s=[0.01, 0.02, 0.03], tolerance=0.01,
        )
        assert_array_equal(found, np.zeros(3))


WALLS = {
    "spread": {"drive": "spread", "refreshes_per_frame": 160, "counts_per_refresh": 409},
    "repeated": {"drive": "repeated", "refreshes_per_frame": 40, "counts_per_refresh": 1023},
    "planes": {"drive": "binary_code", "refreshes_per_frame": 98, "counts_per_refresh": 1023},
    "even": {"refreshes_per_frame": 96, "counts_per_refresh": 682, "dealing": "even"},
}


@pytest.mark.parametrize("kind", WALLS)
def test_a_tolerance_against_a_scan_of_its_interval(kind):
    """Nearly always at least the worst rate inside; never less than six sevenths of it."""
    wall = ListedWall(wall_fps=Fraction(24), scan_lines=16, **WALLS[kind])
    angles = np.array([180, 172.8, 90, 11.25, 45, 3, 360, 87.3])
    shares, lights = [], []
    for share_of_white in (1.0, 0.19, 0.016, 0.001):
        value = max(1, round(share_of_white * wall.full_scale))
        train = next(single_level(modelled_train(wall, [value])))
        number = np.arange(int(2e5 * train.cycle_s) + 16)
        coefficients = fourier_coefficients(train, number)[0]
        light = {
            "relative": coefficients[1:] / coefficients[0].real,
            "sensitivity": np.full(number.size - 1, 30.0) * np.exp(-number[1:] / number.size * 4),
            "light_hz": number[1:] / train.cycle_s,
        }
        for tolerance in (1e-4, 1e-3, 0.01, 0.05):
            rates = np.linspace(1 - tolerance, 1 + tolerance, 41)
            scanned = visibility_over_phase(
                **light, exposure_s=np.multiply.outer(angles / 8640, rates).ravel()
            ).reshape(angles.size, rates.size).max(axis=1)
            found = visibility_over_phase(
                **light, exposure_s=angles / 8640, tolerance=tolerance
            )
            ends = visibility_over_phase(
                **light, exposure_s=np.multiply.outer(rates[[0, -1]], angles / 8640).ravel()
            ).reshape(2, -1)
            assert (found >= ends * (1 - 2e-3) - 0.02).all()
            seen = scanned > 0.2
            shares.append(found[seen] / scanned[seen])
            lights.append(scanned)
    assert np.concatenate(lights).max() > 8
    assert np.concatenate(shares).min() > 6 / 7
    assert np.quantile(np.concatenate(shares), 0.05) > 0.98


class TestSensitivity:
    def test_standing_bands_are_met_at_their_own_frequency(self):
        cycles = np.array([0.5, -4.0, 20.0])
        found = harmonic_sensitivity(
            cycles_per_degree=cycles, standing=np.ones(3, dtype=bool), **EYE
        )
        expected = barten_1999_sensitivity(cycles_per_degree=np.abs(cycles), **EYE)
        assert_allclose(found, expected, rtol=1e-12)

    @pytest.mark.parametrize("tolerance", [0.0, 0.1])
    def test_rolling_bands_with_the_largest_from_there_up(self, tolerance):
        cycles = np.array([0.0, 0.5, 3.0, 8.0, 20.0])
        found = harmonic_sensitivity(
            cycles_per_degree=cycles, standing=np.zeros(5, dtype=bool),
            cycles_tolerance=tolerance, **EYE,
        )
        for value, of in zip(found, cycles, strict=True):
            upwards = np.linspace(of * (1 - tolerance), 60, 60_001)
            scanned = barten_1999_sensitivity(cycles_per_degree=upwards, **EYE).max()
            assert_allclose(value, scanned, rtol=1e-6)

    def test_standing_bands_that_may_err_with_the_largest_in_reach(self):
        cycles = np.array([0.0, 0.5, 3.0, 8.0, 20.0])
        found = harmonic_sensitivity(
            cycles_per_degree=cycles, standing=np.ones(5, dtype=bool), cycles_tolerance=0.1, **EYE
        )
        for value, of in zip(found, cycles, strict=True):
            reach = np.linspace(of * 0.9, of * 1.1, 2001)
            scanned = barten_1999_sensitivity(cycles_per_degree=reach, **EYE).max()
            assert_allclose(value, scanned, rtol=1e-6)

    def test_a_pitch_that_is_not_known_with_the_largest_of_all(self):
        found = harmonic_sensitivity(
            cycles_per_degree=None, standing=np.array([[True, False]]), **EYE
        )
        assert found.shape == (1, 2)
        assert_allclose(found, largest_sensitivity(**EYE), rtol=1e-12)


class TestFinding:
    def of(self, **changed):
        return banding_finding(**{
            "visibility": 3.0, "nominal_visibility": 3.0, "standing": True,
            "rolling_shutter": True, "describable": True, "safe_below": 1.0, "visible_from": 8.0,
            **changed,
        })

    @pytest.mark.parametrize(("changed", "level", "reason", "limit"), [
        ({}, Level.MARGINAL, "bands_stand", 1.0),
        ({"standing": False}, Level.MARGINAL, "bands_roll", 1.0),
        ({"rolling_shutter": False}, Level.MARGINAL, "lines_on_the_wall", 1.0),
        ({"rolling_shutter": False, "standing": False}, Level.MARGINAL, "lines_on_the_wall", 1.0),
        ({"nominal_visibility": 0.99}, Level.MARGINAL, "null_drifts_away", 1.0),
        ({"standing": False, "missed_null": {"held": 80.08}}, Level.MARGINAL, "null_missed", 1.0),
        ({"nominal_visibility": 0.99, "missed_null": {}}, Level.MARGINAL, "null_drifts_away", 1.0),
        ({"visibility": 0.9, "missed_null": {}}, Level.SAFE, "even_light", 1.0),
        ({"nominal_visibility": 1.0}, Level.MARGINAL, "bands_stand", 1.0),
        ({"visibility": 8.0}, Level.VISIBLE, "bands_stand", 8.0),
        ({"visibility": 7.99}, Level.MARGINAL, "bands_stand", 1.0),
        ({"visibility": 0.99, "nominal_visibility": 0.5}, Level.SAFE, "even_light", 1.0),
        ({"visibility": np.nan}, Level.UNKNOWN, "not_known", 1.0),
        ({"describable": False}, Level.UNKNOWN, "exposure_scheme_not_described", 1.0),
    ])
    def test_reasons(self, changed, level, reason, limit):
        found = self.of(**changed)
        assert (found.hazard, found.level, found.reason) == ("banding", level, reason)
        assert found.limit == limit
        assert found.unit == ""
        known = level is not Level.UNKNOWN
        assert found.value == (changed.get("visibility", 3.0) if known else None)
        if known:
            nominal = changed.get("nominal_visibility", 3.0)
            missed = changed.get("missed_null", {})
            assert found.figures == {"nominal_visibility": nominal, **missed}

    def test_what_is_not_described_is_not_known_however_quiet(self):
        found = self.of(describable=False, visibility=0.0, nominal_visibility=0.0)
        assert (found.level, found.value) == (Level.UNKNOWN, None)

    def test_the_nominal_figure_stands_beside(self):
        assert self.of(nominal_visibility=0.25).figures["nominal_visibility"] == 0.25
