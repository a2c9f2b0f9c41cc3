"""Rounding: what bounds something goes to the safe side, and no grade is rounded away."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.report.rounding import (
    angle_text,
    at_most_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    room_text,
    seconds_text,
    shutter_text,
    stops_text,
    visibility_text,
)

FEW = settings(derandomize=True, deadline=None)


@pytest.mark.parametrize(("value", "decimals", "expected"), [
    (0.0, 2, "0"), (-0.001, 2, "0"), (1.005, 2, "1.01"), (2.5, 0, "3"), (100.0, 2, "100"),
    (120.0, 0, "120"), (Fraction(2, 3), 3, "0.667"), (-1.25, 1, "-1.3"), (1e-7, 3, "0"),
])
def test_numbers_lose_the_zeros_at_their_end(value, decimals, expected):
    assert number_text(value, decimals=decimals) == expected


@given(st.floats(-1e6, 1e6))
@FEW
def test_a_number_rounded_down_is_no_larger(value):
    assert float(at_most_text(value, decimals=2)) <= value


@pytest.mark.parametrize(("rate", "expected"), [
    ("24", "24"), ("24000/1001", "23.976"), ("30000/1001", "29.97"), ("25/2", "12.5"),
])
def test_rates_are_as_people_say_them(rate, expected):
    assert rate_words(Fraction(rate)) == expected


@pytest.mark.parametrize(("angle", "expected"), [
    (Fraction("172.8"), "172.8°"), (Fraction(180), "180°"), (Fraction("179.98765"), "179.98765°"),
    (Fraction(360, 7), "51.43°"), (181.1764705, "181.18°"),
])
def test_an_angle_that_is_dialled_keeps_its_decimals(angle, expected):
    assert angle_text(angle) == expected


@pytest.mark.parametrize(("exposure", "expected"), [
    (Fraction(1, 48), "1/48 s"), (Fraction(5, 240), "1/48 s"), (Fraction(2, 97), "1/48.5 s"),
    (Fraction(1, 2000), "1/2000 s"), (0.02, "1/50 s"),
])
def test_an_exposure_is_one_over_something(exposure, expected):
    assert exposure_text(exposure) == expected


def test_a_shutter_is_told_as_the_dial_shows_it():
    exposure = Fraction(1, 50)
    assert shutter_text(exposure_s=exposure, fps=Fraction(24), in_time=True) == "1/50 s"
    assert shutter_text(exposure_s=exposure, fps=Fraction(24), in_time=False) == "172.8°"


@given(low=st.floats(0, 359), width=st.floats(1e-5, 1))
@FEW
def test_a_range_is_never_printed_wider_than_it_is(low, width):
    ends = inward_range(low, low + width)
    assert ends is not None
    assert low - 1e-8 <= float(ends[0]) < float(ends[1]) <= low + width + 1e-8
    assert not any(end.startswith("-") for end in ends)


@pytest.mark.parametrize(("low", "high", "expected"), [
    (179.97607, 180.02392, ("179.98", "180.02")), (0.0, 12.783333, ("0.00", "12.78")),
    (179.9994, 180.0006, ("179.9994", "180.0006")), (180.0, 180.0, None),
    (179.99999999999997, 180.00000000000003, None),
])
def test_a_range_has_as_few_decimals_as_leave_room(low, high, expected):
    assert inward_range(low, high) == expected


@pytest.mark.parametrize(("value", "low", "high", "expected"), [
    (180.0, 179.97607, 180.02392, "−0.02 / +0.02°"), (181.2, 181.1522, 181.2006, "−0.047 / +0°"),
    (180.0, 180.0, 180.0, "−0 / +0°"), (180.0, 179.5, 180.25, "−0.5 / +0.25°"),
])
def test_room_is_rounded_down_to_each_side(value, low, high, expected):
    assert room_text(value=value, low=low, high=high) == expected


@pytest.mark.parametrize(("stops", "expected"), [
    (0.0, "same exposure"), (0.004, "under 0.01 stop"), (-0.26, "0.26 stop less light"),
    (1.0, "1 stop more light"),
])
def test_stops_say_which_way(stops, expected):
    assert stops_text(stops) == expected


@pytest.mark.parametrize(("time_s", "expected"), [
    (10.0, "10 s"), (41.708, "42 s"), (118.2, "119 s"), (119.2, "2 min"), (121.0, "3 min"),
    (7201.0, "3 h"), (600.0, "10 min"), (1e6, "278 h"),
])
def test_a_test_is_never_cut_short(time_s, expected):
    assert seconds_text(time_s) == expected


@pytest.mark.parametrize(("visibility", "expected"), [
    (0.0, "0.00"), (0.326, "0.33"), (0.997, "0.997"), (1.0, "1.0"), (7.96, "7.96"), (7.999, "7.99"),
    (8.0, "8.0"), (12.4, "12"), (float("nan"), "?"), (float("inf"), "?"),
])
def test_no_grade_is_rounded_away(visibility, expected):
    assert visibility_text(visibility, limits=(1.0, 8.0)) == expected


@given(visibility=st.floats(0, 100), limit=st.floats(0.01, 100))
@FEW
def test_a_figure_is_printed_on_its_side_of_a_limit(visibility, limit):
    shown = float(visibility_text(visibility, limits=(limit,)))
    if abs(visibility - limit) > 1e-5:
        assert (shown < limit) == (visibility < limit)
