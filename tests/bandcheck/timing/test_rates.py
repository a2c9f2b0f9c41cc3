import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from reference_rows import reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.rates import (
    beat_hz,
    beat_range_hz,
    exact_number,
    frame_rate,
    locked_ratio,
    nearest_small_ratio,
    positive_rate,
    rate_text,
    roll_time_s,
)

FILM = Fraction(24000, 1001)
RATES = st.fractions(min_value=1, max_value=500, max_denominator=40)


@pytest.mark.parametrize(("typed", "rate"), [
    ("23.976", FILM), ("23.98", FILM), (23.976, FILM), (" 23.9760 ", FILM), ("23.976024", FILM),
    (24000 / 1001, FILM), ("24000/1001", FILM), ("29.97", Fraction(30000, 1001)),
    ("47.952", Fraction(48000, 1001)), ("47.95", Fraction(48000, 1001)),
    ("59.94", Fraction(60000, 1001)), ("119.88", Fraction(120000, 1001)),
    ("24", Fraction(24)), (25, Fraction(25)), ("96.0", Fraction(96)), ("12.5", Fraction(25, 2)),
    (np.float64(23.976), FILM), (np.int64(24), Fraction(24)), ("1e2", Fraction(100)),
    ("23.97", Fraction(2397, 100)), ("24.0", Fraction(24)), ("23.977", Fraction(23977, 1000)),
    ("2997/125", Fraction(2997, 125)), ("48/2", Fraction(24)), (".5", Fraction(1, 2)),
    ("24." + 57 * "0", Fraction(24)), ("0.001", Fraction(1, 1000)), ("100000", Fraction(100000)),
])
def test_rates_as_people_type_them(typed, rate):
    assert frame_rate(typed) == rate


@given(st.decimals(min_value="0.001", max_value=100000, places=1))
@settings(derandomize=True, deadline=None)
def test_one_decimal_is_taken_at_its_word(rate):
    assert frame_rate(f"{rate:f}") == Fraction(rate)


@given(st.fractions(min_value=Fraction(1, 1000), max_value=100000, max_denominator=10**6))
@settings(derandomize=True, deadline=None)
def test_text_of_a_rate_reads_back_exactly(rate):
    assert frame_rate(rate_text(rate)) == rate
    assert frame_rate(rate) == rate


def test_text_of_rates():
    assert [rate_text(rate) for rate in (Fraction(24), FILM, Fraction(25, 2))] == [
        "24", "24000/1001", "25/2",
    ]


@pytest.mark.parametrize("typed", [
    "", " ", "24/0", "0/24", "0", "-24", "+24", "nan", "inf", "-inf", "24p", "24,5", "1_000", "٢٤",
    "24 /1", "1/2/3", "24.5/2", "100001", "0.00099", "1e99", "1e999999999", "0x18", True, None,
    math.nan, math.inf, -24.0, 0, Fraction(0), Fraction(-24), "24." + 58 * "0", "9" * 5000,
    "1/" + "9" * 5000,
])
def test_what_is_no_rate_is_refused_in_one_line(typed):
    with pytest.raises(OutOfRangeError, match=r"^wall-fps: ") as refusal:
        frame_rate(typed, argument="wall-fps")
    message = str(refusal.value)
    assert "24000/1001" in message
    assert "\n" not in message
    assert len(message) < 200


def test_a_float_stands_for_its_decimal_text():
    assert exact_number(0.02, argument="speed", accepted="") == Fraction(1, 50)
    assert exact_number("5e-3", argument="speed", accepted="") == Fraction(1, 200)


@pytest.mark.parametrize("row", reference_rows("genlock", "beat and roll time"))
def test_beats_of_the_table(row):
    rates = {name: frame_rate(row["given"][name]) for name in ("wall_fps", "camera_fps")}
    limit = row["given"]["largest_denominator"]
    beat, roll = map(Fraction, row["expected"])
    assert beat_hz(**rates, largest_denominator=limit) == beat
    assert roll_time_s(**rates, largest_denominator=limit) == float(roll)
    assert_allclose([float(beat), float(roll)], row["printed"], rtol=2e-3)


@pytest.mark.parametrize("row", reference_rows("genlock", "rates that lock"))
def test_rates_that_lock(row):
    pairs = zip(row["given"]["wall_fps"], row["given"]["camera_fps"], strict=True)
    ratios = [locked_ratio(wall_fps=frame_rate(w), camera_fps=frame_rate(c)) for w, c in pairs]
    assert ratios == [Fraction(ratio) for ratio in row["expected"]]


@pytest.mark.parametrize("row", reference_rows("genlock", "rates that never lock"))
def test_rates_that_never_lock(row):
    wall = frame_rate(row["given"]["wall_fps"])
    for camera, ratio in zip(row["given"]["camera_fps"], row["expected"], strict=True):
        with pytest.raises(OutOfRangeError, match=f"{ratio} never lock.*run free"):
            locked_ratio(wall_fps=wall, camera_fps=frame_rate(camera))


def test_eight_is_the_largest_denominator_that_locks():
    assert locked_ratio(wall_fps=Fraction(9), camera_fps=Fraction(8)) == Fraction(9, 8)
    with pytest.raises(OutOfRangeError, match="q up to 8"):
        locked_ratio(wall_fps=Fraction(10), camera_fps=Fraction(9))


def test_the_slowest_beat_decides_not_the_closest_ratio():
    rates = {"wall_fps": Fraction(50), "camera_fps": Fraction(24)}
    assert nearest_small_ratio(**rates) == 2
    assert beat_hz(**rates) == 2
    assert nearest_small_ratio(wall_fps=Fraction(60), camera_fps=FILM) == Fraction(5, 2)


@given(wall=RATES, camera=RATES)
@settings(derandomize=True, deadline=None)
def test_beat_is_the_slowest_drift_between_every_qth_frame(wall, camera):
    drifts = []
    for q in range(1, 9):
        instants = np.arange(40) * q / float(camera)
        steps = np.diff(np.mod(instants * float(wall), 1.0))
        drifts.append(np.abs(steps - np.rint(steps)).mean() * float(camera))
    assert_allclose(float(beat_hz(wall_fps=wall, camera_fps=camera)), min(drifts), atol=1e-8)


@given(wall=RATES, camera=RATES, scale=st.fractions(min_value=Fraction(1, 9), max_value=9))
@settings(derandomize=True, deadline=None)
def test_beat_scales_with_the_rates(wall, camera, scale):
    slow = beat_hz(wall_fps=wall, camera_fps=camera)
    assert beat_hz(wall_fps=scale * wall, camera_fps=scale * camera) == scale * slow


def test_rates_that_stand_in_a_small_ratio_do_not_roll():
    rates = {"wall_fps": Fraction(60), "camera_fps": Fraction(24)}
    assert beat_hz(**rates) == 0
    assert roll_time_s(**rates) == math.inf


def test_errors_of_both_clocks_widen_the_beat():
    rates = {"wall_fps": Fraction(60), "camera_fps": FILM}
    low, high = beat_range_hz(**rates, wall_tolerance=50e-6, camera_tolerance=20e-6)
    at_corners = [
        abs(2 * 60 * (1 + wall) - 5 * float(FILM) * (1 + camera))
        for wall in (-50e-6, 50e-6) for camera in (-20e-6, 20e-6)
    ]
    assert_allclose([low, high], [min(at_corners), max(at_corners)], rtol=1e-9)


def test_the_slowest_beat_inside_the_tolerance_may_be_none():
    same = {"wall_fps": Fraction(24), "camera_fps": Fraction(24)}
    assert beat_range_hz(**same) == (0.0, 0.0)
    low, high = beat_range_hz(**same, wall_tolerance=10e-6, camera_tolerance=5e-6)
    assert low == 0
    assert_allclose(high, 24 * 15e-6, rtol=1e-9)


@pytest.mark.parametrize("rate", [Fraction(0), Fraction(-1), math.nan, math.inf])
def test_a_rate_must_be_above_0(rate):
    with pytest.raises(OutOfRangeError, match="a rate above 0"):
        positive_rate("fps", rate)
    for function in (locked_ratio, nearest_small_ratio, beat_hz, roll_time_s, beat_range_hz):
        with pytest.raises(OutOfRangeError, match="wall_fps"):
            function(wall_fps=rate, camera_fps=Fraction(24))
        with pytest.raises(OutOfRangeError, match="fps"):
            function(wall_fps=Fraction(24), camera_fps=rate)


@pytest.mark.parametrize("tolerance", [-1e-6, 1.0, math.nan])
@pytest.mark.parametrize("clock", ["wall_tolerance", "camera_tolerance"])
def test_a_clock_tolerance_out_of_range_is_refused(clock, tolerance):
    with pytest.raises(OutOfRangeError, match=clock):
        beat_range_hz(wall_fps=Fraction(24), camera_fps=Fraction(24), **{clock: tolerance})


def test_a_denominator_below_1_is_refused():
    with pytest.raises(OutOfRangeError, match="largest_denominator"):
        nearest_small_ratio(wall_fps=Fraction(24), camera_fps=FILM, largest_denominator=0)
