"""Places on a dial by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from dashboard.figures.dial_place import place_on_dial

DIAL = [90.0, 180.0, 270.0]


@pytest.mark.parametrize(("angle", "place"), [
    (90, 0), (180, 1), (270, 2), (135, 0.5), (225, 1.5), (172.8, 0.92), (0, -0.5), (45, -0.25),
    (315, 2.25), (360, 2.5),
])
def test_between_steps_and_beyond_them(angle, place):
    assert_allclose(place_on_dial(angle, DIAL), place, atol=1e-12)


def test_a_dial_up_to_a_full_turn_ends_in_the_middle_of_its_last_column():
    assert_allclose(place_on_dial([270, 360], [180, 360]), [0.5, 1])


def test_times_give_the_same_place_at_every_rate():
    # 1/48, 1/50 and 1/96 s at 24 and at 25 frames/s: the same exposure stands in the same place
    times = np.array([1 / 96, 1 / 50, 1 / 48])
    exposure = np.array([1 / 96, 1 / 72, 1 / 49, 1 / 48])
    places = [place_on_dial(360 * fps * exposure, 360 * fps * times) for fps in (24, 25)]
    assert_allclose(places[0], places[1], atol=1e-12)
    assert_allclose(places[0], [0, (1 / 72 - 1 / 96) / (1 / 50 - 1 / 96),
                                1 + (1 / 49 - 1 / 50) / (1 / 48 - 1 / 50), 2])


def test_columns_that_a_rate_does_not_have_take_no_part():
    assert_allclose(place_on_dial([90, 135, 180, 360], [90, 180, np.nan, np.nan]), [0, 0.5, 1, 1.5])
    assert_allclose(place_on_dial([0, 90], [np.nan, 90, 180]), [0.5, 1])
    assert_array_equal(place_on_dial([10, 20], [np.nan, np.nan]), [np.nan, np.nan])


def test_shape_and_nan():
    assert place_on_dial(np.full((2, 3), 100.0), DIAL).shape == (2, 3)
    assert_array_equal(np.isnan(place_on_dial([np.nan, 90], DIAL)), [True, False])


@given(st.lists(st.floats(0.5, 360), min_size=1, max_size=12, unique=True), st.floats(0, 360))
def test_the_order_of_angles_is_kept(dial, angle):
    dial = sorted(dial)
    places = place_on_dial(sorted([angle, *dial]), dial)
    assert (np.diff(places) >= 0).all()
    assert_allclose(place_on_dial(dial, dial), np.arange(len(dial)), atol=1e-9)


@pytest.mark.parametrize(("angle", "dial", "named"), [
    (-1, DIAL, "angle_deg"), (361, DIAL, "angle_deg"), (10, [180, 90], "dial_angles_deg"),
    (10, [90, 90], "dial_angles_deg"), (10, [0, 90], "dial_angles_deg"),
    (10, [90, 400], "dial_angles_deg"),
])
def test_what_is_no_dial_is_refused(angle, dial, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}:"):
        place_on_dial(angle, dial)
