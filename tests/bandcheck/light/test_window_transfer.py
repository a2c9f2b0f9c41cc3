"""What a box window leaves of a sine, and the most it may leave while the rate errs."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.light.window_transfer import largest_window_transfer, window_transfer


def box_mean_of_a_cosine(cycles):
    """Mean over a window, centred on a crest, of a cosine with so many periods in it."""
    places = (np.arange(20_000) + 0.5) / 20_000 - 0.5
    return np.cos(2 * np.pi * np.multiply.outer(cycles, places)).mean(axis=-1)


def test_against_the_mean_over_a_window():
    cycles = np.array([0.0, 0.3, 0.5, 1.0, 1.43, 2.4, 2.5, 80.08])
    assert_allclose(window_transfer(cycles), box_mean_of_a_cosine(cycles), atol=1e-6)


def test_published_values():
    # sinc(1/2) = 2/pi; R6 and R8 of the check values
    assert_allclose(window_transfer(0.5), 2 / np.pi, rtol=1e-12)
    assert_allclose(np.abs(window_transfer([100 / 48, 2.4])), [0.039545, 0.126138], rtol=2e-5)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(cycles=st.floats(0, 300), tolerance=st.floats(0, 0.5))
def test_the_largest_against_a_dense_scan(cycles, tolerance):
    rates = np.linspace(1 - tolerance, 1 + tolerance, 20_001)
    scanned = np.abs(np.sinc(cycles * rates)).max()
    found = abs(float(largest_window_transfer(cycles, tolerance=tolerance)))
    assert found >= scanned - 2e-6  # the place of a crest is not quite exact
    step = 300 * tolerance / 10_000
    assert found <= scanned + min(1.0, 2 * step**2 + 1e-6)  # a crest is flat


@pytest.mark.parametrize("cycles", [1.2, 1.5, 1.9, 2.2, 7.7, 80.5])
def test_the_sign_is_the_nominal_one(cycles):
    found = largest_window_transfer(cycles, tolerance=0.01)
    assert np.sign(found) == np.sign(np.sinc(cycles))


def test_a_null_has_the_sign_of_what_lies_just_above_it():
    """However rounding puts the null, the harmonics that share it keep their signs."""
    number = np.arange(1, 200)
    for periods in (20, 21):
        just_above = np.sign(np.sinc(number * periods * (1 + 1e-6)))
        for off in (0.0, 3e-16, -3e-16, 1e-13, -1e-13):
            found = largest_window_transfer(number * (periods * (1 + off)), tolerance=1e-3)
            assert_array_equal(np.sign(found), just_above)


def test_a_rate_that_is_known_leaves_the_transfer_alone():
    cycles = np.array([[0.0, 0.2, 1.1], [2.7, 33.3, 80.08]])
    assert_allclose(largest_window_transfer(cycles, tolerance=0.0), np.sinc(cycles), rtol=1e-12)
    assert largest_window_transfer(cycles, tolerance=0.1).shape == (2, 3)
    assert window_transfer(0.4).shape == ()


def test_what_is_not_a_number_stays_one():
    assert np.isnan(window_transfer([0.1, np.nan])).tolist() == [False, True]
