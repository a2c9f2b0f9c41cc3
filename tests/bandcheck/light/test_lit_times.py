"""Pulses to draw against a list of every lit interval, and blocks against the light they hold."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall, cycle_s, exact_light, lit_intervals, slot_s
from wall_cases import modelled_train, telling_values, walls

from bandcheck.errors import OutOfRangeError
from bandcheck.light.lit_times import lit_times, scan_slots
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.scan_timing import scan_timing

PLAIN = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)
MANY = 100_000


def listed(wall, value, *, from_s, to_s, line=0):
    """Lit intervals that touch a window, from the list of one cycle."""
    cycle = cycle_s(wall)
    first, last = Fraction(from_s) // cycle - 2, Fraction(to_s) // cycle + 1
    found = sorted(
        (start + n * cycle, stop + n * cycle)
        for n in range(int(first), int(last) + 1)
        for start, stop in lit_intervals(wall, value, line=line)
    )
    return np.array([
        (float(start), float(stop)) for start, stop in found if stop > from_s and start < to_s
    ]).reshape(-1, 2)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(walls(), st.data())
def test_every_pulse_is_drawn_where_it_is(wall, data):
    value = data.draw(st.sampled_from(telling_values(wall)))
    line = data.draw(st.integers(0, wall.scan_lines - 1))
    cycle = float(cycle_s(wall))
    from_s = cycle * data.draw(st.floats(-1.5, 2)) + 1e-7  # no rim on an edge of a pulse
    to_s = from_s + cycle * data.draw(st.floats(0.01, 1.5))
    found = lit_times(
        modelled_train(wall, [value]), from_s=from_s, to_s=to_s, most=MANY,
        line_delay_s=float(line * slot_s(wall)[0]),
    )
    expected = listed(wall, value, from_s=from_s, to_s=to_s, line=line)
    assert found.refreshes_each == 0
    assert_array_equal(found.share, 1)
    assert_allclose(
        np.column_stack([found.start_s, found.end_s]), expected, rtol=0, atol=1e-12 * cycle + 1e-15
    )


def test_a_pulse_that_only_touches_the_window_is_not_in_it():
    train = PulseTrain(  # lit from 1 to 4 and from 11 to 16 s
        cycle_s=20.0, refresh_pitch_s=10.0, first_pulse_s=1.0, count_s=1.0,
        counts=np.array([[3, 5]]),
    )
    for from_s, to_s, starts in ((0, 11, [1]), (4, 12, [11]), (4, 11, []), (3, 12, [1, 11])):
        found = lit_times(train, from_s=from_s, to_s=to_s, most=MANY)
        assert_array_equal(found.start_s, starts)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(walls(), st.data())
def test_blocks_hold_the_light_that_they_stand_for(wall, data):
    value = telling_values(wall)[-1]
    line, most = data.draw(st.integers(0, wall.scan_lines - 1)), data.draw(st.integers(1, 5))
    cycle = float(cycle_s(wall))
    from_s = cycle * data.draw(st.floats(-1, 1))
    found = lit_times(
        modelled_train(wall, [value]), from_s=from_s, to_s=from_s + 3.3 * cycle, most=most,
        line_delay_s=float(line * slot_s(wall)[0]),
    )
    assert found.start_s.size <= most
    if found.refreshes_each == 0:
        return
    assert found.start_s[0] <= from_s
    assert found.end_s[-1] >= from_s + 3.3 * cycle - float(cycle_s(wall))
    expected = [
        float(exact_light(wall, value, open_s=start, exposure_s=end - start, line=line))
        for start, end in zip(found.start_s, found.end_s, strict=True)
    ]
    assert_allclose(found.share * (found.end_s - found.start_s), expected, atol=1e-9 * cycle)


def test_too_many_pulses_become_blocks_of_one_refresh_and_then_of_more():
    train = modelled_train(PLAIN, [65440])
    window = {"from_s": 1e-6, "to_s": 0.999 / 24}
    single = lit_times(train, most=160, **window)
    assert (single.start_s.size, single.refreshes_each) == (160, 0)
    # 159 still hold all but one of the pulses, so that every block is two refreshes of 1/3840 s
    pairs = lit_times(train, most=159, **window)
    assert (pairs.start_s.size, pairs.refreshes_each) == (80, 2)
    assert_allclose(pairs.end_s - pairs.start_s, 2 / 3840)
    assert_allclose(pairs.share, 1 / 16)  # one line of 16, lit for its whole slot
    # one line that is dark half of the time: its refreshes fit one to one where its planes do not
    planes = ListedWall(
        wall_fps=Fraction(24), refreshes_per_frame=10, scan_lines=4, counts_per_refresh=15,
        drive="binary_code",
    )
    refreshes = lit_times(modelled_train(planes, [0b1011]), most=10, **window)
    assert (refreshes.start_s.size, refreshes.refreshes_each) == (10, 1)
    assert_allclose(refreshes.share, 11 / 15 / 4)


def test_only_pulses_in_the_window_are_counted():
    # a count in every refresh: two short pulses between the middle of one refresh and the third
    train = modelled_train(PLAIN, [160])
    found = lit_times(train, from_s=0.5 / 3840, to_s=2.5 / 3840, most=2)
    assert found.refreshes_each == 0
    assert_allclose(found.start_s, np.array([1, 2]) / 3840)
    assert lit_times(train, from_s=0.5 / 3840, to_s=2.5 / 3840, most=1).refreshes_each == 3


def test_black_has_no_pulses():
    dark = lit_times(modelled_train(PLAIN, [0]), from_s=0, to_s=1, most=10)
    assert dark.start_s.shape == dark.end_s.shape == dark.share.shape == (0,)
    assert dark.refreshes_each == 0


def test_twice_as_slow_is_twice_as_long():
    slow = ListedWall(
        wall_fps=Fraction(12), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
    )
    quick, slower = (
        lit_times(modelled_train(wall, [777]), from_s=0.01 * by, to_s=0.02 * by, most=MANY)
        for wall, by in ((PLAIN, 1), (slow, 2))
    )
    assert quick.start_s.size > 10
    assert_allclose(slower.start_s, 2 * quick.start_s)
    assert_allclose(slower.end_s, 2 * quick.end_s)


@pytest.mark.parametrize(("frame_end", "pitch_s"), [("dark", 0.0004), ("stretched", 0.0005)])
def test_slots_by_hand(frame_end, pitch_s):
    # 99 counts of 1 us and 1 us of switching: 100 us a slot, 4 of them a refresh, 2 in a frame
    timing = scan_timing(
        wall_fps=Fraction(1000), refreshes_per_frame=2, scan_lines=4, counts_per_refresh=99,
        clock_hz=1e6, line_switch_s=1e-6, frame_end=frame_end,
    )
    found = scan_slots(timing, lines=np.array([1, 2]), from_s=-5e-5, to_s=0.00105, most=4)
    assert_array_equal(found.line, [1, 2, 1, 2])
    starts = np.array([0.0001, 0.0002, pitch_s + 0.0001, pitch_s + 0.0002])
    assert_allclose(found.start_s, starts)
    assert_allclose(found.light_s, starts + 1e-6)
    assert_allclose(found.end_s, starts + 1e-4)
    assert scan_slots(timing, lines=np.array([1, 2]), from_s=-5e-5, to_s=0.00105, most=3) is None


@pytest.mark.parametrize(("changed", "named"), [
    ({"to_s": 0.0}, "to_s"), ({"to_s": np.nan}, "to_s"), ({"from_s": np.inf}, "from_s"),
    ({"most": 0}, "most"), ({"most": 100_001}, "most"),
])
def test_what_cannot_be_drawn_is_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}:"):
        lit_times(
            modelled_train(PLAIN, [1]), **{"from_s": 0.0, "to_s": 1.0, "most": 10, **changed}
        )
