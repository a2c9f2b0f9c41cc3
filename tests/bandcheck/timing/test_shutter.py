import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from reference_rows import reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.shutter import (
    angle_deg,
    blur_against_180,
    exposure_s,
    shutter_angle,
    shutter_speed,
    stops_between,
    whole_line_exposure_s,
)

RATES = st.fractions(min_value=1, max_value=240, max_denominator=1001)
ANGLES = st.fractions(min_value=Fraction(1, 100), max_value=360, max_denominator=100)


@pytest.mark.parametrize(("typed", "angle"), [
    ("172.8", Fraction(864, 5)), (172.8, Fraction(864, 5)), (" 360 ", 360), (180, 180),
    ("0.1", Fraction(1, 10)), (Fraction(864, 5), Fraction(864, 5)), (np.float64(11.25), 11.25),
])
def test_angles_as_people_type_them(typed, angle):
    assert shutter_angle(typed) == angle


@pytest.mark.parametrize("typed", [
    "", "0", "361", "360.0000001", "-180", "nan", "inf", "180°", "1/0", "about 180", None, -1.0,
    Fraction(361), Fraction(-1), "1" * 61,
])
def test_what_is_no_angle_is_refused(typed):
    with pytest.raises(OutOfRangeError, match=r"^angle: .*up to 360 deg"):
        shutter_angle(typed)


@pytest.mark.parametrize(("typed", "time"), [
    ("1/50", Fraction(1, 50)), ("0.02", Fraction(1, 50)), (0.02, Fraction(1, 50)), ("1", 1),
    ("1001/48000", Fraction(1001, 48000)),
])
def test_speeds_as_people_type_them(typed, time):
    assert shutter_speed(typed) == time


@pytest.mark.parametrize(
    "typed", ["", "0", "1/0", "0/50", "-1/50", "1/-50", "nan", "1/50 s", "/50"]
)
def test_what_is_no_speed_is_refused(typed):
    with pytest.raises(OutOfRangeError, match=r"^speed: .*such as 1/50"):
        shutter_speed(typed)


@pytest.mark.parametrize("row", reference_rows("shutter", "exposure of an angle"))
def test_exposures_of_the_handbook_table(row):
    fps = Fraction(row["given"]["fps"])
    angles = [shutter_angle(angle) for angle in row["given"]["angles_deg"]]
    times = [Fraction(time) for time in row["expected"]]
    assert [exposure_s(angle_deg=angle, fps=fps) for angle in angles] == times
    assert [angle_deg(exposure_s=time, fps=fps) for time in times] == angles


@pytest.mark.parametrize("row", reference_rows("shutter", "nearest whole speed of an angle"))
def test_speeds_of_the_camera_instructions(row):
    angle = shutter_angle(row["given"]["angle_deg"])
    times = [exposure_s(angle_deg=angle, fps=Fraction(fps)) for fps in row["given"]["fps"]]
    assert [round(1 / time) for time in times] == row["expected"]


@given(angle=ANGLES, fps=RATES)
@settings(derandomize=True, deadline=None)
def test_angle_and_time_turn_into_each_other_exactly(angle, fps):
    time = exposure_s(angle_deg=angle, fps=fps)
    assert angle_deg(exposure_s=time, fps=fps) == angle
    swept = exposure_s(angle_deg=np.array([[float(angle)]]), fps=fps)
    assert swept.shape == (1, 1)
    assert_allclose(swept, float(time), rtol=1e-15)
    assert_allclose(angle_deg(exposure_s=swept, fps=fps), float(angle), rtol=1e-15)


def test_a_full_frame_in_floats_is_360_deg_and_no_more():
    fps = Fraction(24000, 1001)
    assert float(angle_deg(exposure_s=float(1 / fps) * (1 + 1e-13), fps=fps)) == 360
    with pytest.raises(OutOfRangeError, match=r"no longer than a frame, 41\.7083 ms"):
        angle_deg(exposure_s=float(1 / fps) * (1 + 1e-11), fps=fps)


@pytest.mark.parametrize(
    "angle", [0.0, -1.0, 360.5, math.nan, math.inf, Fraction(0), Fraction(361)]
)
def test_an_angle_out_of_range_has_no_exposure(angle):
    with pytest.raises(OutOfRangeError, match=r"^angle"):
        exposure_s(angle_deg=angle, fps=Fraction(24))


@pytest.mark.parametrize("time", [0.0, -0.01, 1.0, math.nan, Fraction(0), Fraction(1, 23)])
def test_a_time_that_does_not_fit_the_frame_has_no_angle(time):
    with pytest.raises(OutOfRangeError, match=r"^exposure.*41\.6667 ms"):
        angle_deg(exposure_s=time, fps=Fraction(24))


def test_a_time_that_is_too_long_is_said_in_ms():
    with pytest.raises(OutOfRangeError, match=r"^exposure: '50 ms' is not accepted"):
        angle_deg(exposure_s=Fraction(1, 20), fps=Fraction(24))


@pytest.mark.parametrize(("asked", "made"), [
    (0.0, 1), (0.4, 1), (1.49, 1), (1.5, 2), (2.5, 3), (2.499, 2), (99.6, 100), (100.2, 100),
])
def test_whole_lines_round_half_up_inside_one_line_and_the_frame(asked, made):
    line = 2.0**-16
    asked_s = max(asked, 1e-9) * line
    assert whole_line_exposure_s(
        exposure_s=asked_s, line_time_s=line, frame_s=100.9 * line
    ) == made * line


@given(
    exposure=st.fractions(min_value=Fraction(1, 10**6), max_value=Fraction(1, 24)),
    rows=st.integers(1, 5000), share=st.fractions(min_value=Fraction(1, 10), max_value=1),
)
@settings(derandomize=True, deadline=None)
def test_whole_lines_agree_with_exact_counting(exposure, rows, share):
    frame = Fraction(1, 24)
    line = share * frame / rows
    below = math.floor(exposure / line)
    nearest = min({max(below, 1), below + 1}, key=lambda n: (abs(n * line - exposure), -n))
    expected = min(nearest, math.floor(frame / line)) * line
    made = whole_line_exposure_s(
        exposure_s=float(exposure), line_time_s=float(line), frame_s=float(frame)
    )
    assert_allclose(float(made), float(expected), rtol=1e-12)
    assert made <= float(frame)


def test_lines_that_fill_the_frame_all_fit():
    frame = 1001 / 24000
    lines = frame / np.arange(1, 5001)
    made = whole_line_exposure_s(exposure_s=frame, line_time_s=lines, frame_s=frame)
    assert_allclose(made, frame, rtol=1e-14)


def test_whole_lines_broadcast_and_leave_a_global_shutter_alone():
    made = whole_line_exposure_s(
        exposure_s=np.array([[0.0051], [0.0102]]), line_time_s=np.array([0.0, 0.001, 0.002]),
        frame_s=0.04,
    )
    assert_allclose(made, [[0.0051, 0.005, 0.006], [0.0102, 0.010, 0.010]], rtol=1e-12)


@pytest.mark.parametrize(("changed", "named"), [
    ({"exposure_s": 0.0}, "exposure_s"), ({"exposure_s": math.nan}, "exposure_s"),
    ({"line_time_s": -1e-6}, "line_time_s"), ({"line_time_s": 0.05}, "line_time_s"),
    ({"frame_s": 0.0}, "frame_s"), ({"frame_s": math.inf}, "frame_s"),
])
def test_impossible_line_times_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}"):
        whole_line_exposure_s(**{
            "exposure_s": 0.02, "line_time_s": 1e-5, "frame_s": 0.04, **changed,
        })


def test_stops_count_doublings():
    stops = stops_between(from_exposure_s=0.02, to_exposure_s=np.array([0.01, 0.02, 0.04, 0.08]))
    assert_array_equal(stops, [-1, 0, 1, 2])
    assert_allclose(stops_between(from_exposure_s=[1.0], to_exposure_s=[3.0]), math.log(3, 2))


@pytest.mark.parametrize("side", ["from_exposure_s", "to_exposure_s"])
def test_no_light_has_no_stops(side):
    with pytest.raises(OutOfRangeError, match=f"^{side}"):
        stops_between(**{"from_exposure_s": 0.02, "to_exposure_s": 0.02, side: [0.01, 0.0]})


def test_blur_is_twice_as_long_at_360_deg():
    blur = blur_against_180(exposure_s=[1 / 24, 1 / 48, 1 / 96], fps=Fraction(24))
    assert_allclose(blur, [2, 1, 0.5], rtol=1e-15)


@given(angle=ANGLES, fps=RATES, scale=st.fractions(min_value=Fraction(1, 9), max_value=9))
@settings(derandomize=True, deadline=None)
def test_a_longer_second_changes_no_angle_and_no_blur(angle, fps, scale):
    time = exposure_s(angle_deg=angle, fps=fps)
    assert exposure_s(angle_deg=angle, fps=fps / scale) == scale * time
    assert angle_deg(exposure_s=scale * time, fps=fps / scale) == angle
    assert_allclose(
        blur_against_180(exposure_s=float(scale * time), fps=fps / scale),
        blur_against_180(exposure_s=float(time), fps=fps), rtol=1e-12,
    )
