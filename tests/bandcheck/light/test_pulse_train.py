"""The running integral of a pulse train: by hand, its shapes and what it refuses.

Against sums of overlaps: test_against_overlap_sum.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.light.pulse_train import (
    PulseTrain,
    light_until,
    repeated_train,
    single_level,
    window_light,
)


def train(counts, **changed):
    """Refreshes of 10 s with the first light 1 s after their start, a second for a count."""
    counts = np.atleast_2d(np.array(counts, dtype=np.int64))
    return PulseTrain(**{
        "cycle_s": 10.0 * counts.shape[1], "refresh_pitch_s": 10.0, "first_pulse_s": 1.0,
        "count_s": 1.0, "counts": counts, **changed,
    })


def test_two_pulses_by_hand():
    two = train([3, 5])  # lit from 1 to 4 and from 11 to 16, again after 20
    times = [0, 1, 2.5, 4, 9, 11, 13, 16, 20, 21, 22, -1, -4, -9, -20]
    light = [0, 0, 1.5, 3, 3, 3, 5, 8, 8, 8, 9, 0, 0, -5, -8]
    assert_allclose(light_until(two, times)[0], light, atol=1e-12)
    assert two.refreshes == 2
    assert_array_equal(two.light_per_cycle_s, [8])


def test_bit_planes_by_hand():
    # 5 = 1 + 4 of 7: lit from 1 to 2 and from 4 to 8
    coded = train([5], binary_code=True)
    assert_allclose(
        light_until(coded, [1, 1.5, 2, 3, 4, 6, 8, 9, 10, 11.5])[0],
        [0, 0.5, 1, 1, 1, 3, 5, 5, 5, 5.5], atol=1e-12,
    )
    six = train([6], binary_code=True)  # 2 + 4: from 2 to 4 and from 4 to 8
    assert_allclose(light_until(six, [2, 3, 5, 8])[0], [0, 1, 3, 6], atol=1e-12)


def test_a_dark_end_of_the_cycle():
    dark = train([3, 3], cycle_s=25.0)
    assert not dark.evenly_pitched
    assert train([3, 3]).evenly_pitched
    assert_allclose(light_until(dark, [20, 25, 26, 27])[0], [6, 6, 6, 7], atol=1e-12)


def test_a_later_line_is_the_same_light_later():
    two = train([3, 5])
    opens = np.linspace(-7, 40, 97)
    later = window_light(two, open_s=opens, exposure_s=6.5, line_delay_s=4.0)
    assert_allclose(later, window_light(two, open_s=opens - 4.0, exposure_s=6.5), atol=1e-12)


TRAINS = st.builds(
    train, st.lists(st.integers(0, 8), min_size=1, max_size=6), binary_code=st.booleans(),
)
TIMES = st.floats(-200, 200)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(of=TRAINS, opening=TIMES, first=st.floats(0, 99), second=st.floats(0, 99))
def test_windows_side_by_side_add_up(of, opening, first, second):
    one, two, both = (
        window_light(of, open_s=start, exposure_s=length)[0]
        for start, length in (
            (opening, first), (opening + first, second), (opening, first + second)
        )
    )
    assert_allclose(one + two, both, atol=1e-9)
    assert -1e-12 <= one <= first + 1e-9


@settings(derandomize=True, deadline=None, max_examples=200)
@given(of=TRAINS, opening=TIMES, cycles=st.integers(0, 3))
def test_whole_cycles_hold_the_same_light_wherever_they_open(of, opening, cycles):
    found = window_light(of, open_s=opening, exposure_s=cycles * of.cycle_s)[0]
    assert_allclose(found, cycles * of.light_per_cycle_s[0], atol=1e-9)
    again = window_light(of, open_s=opening + of.cycle_s, exposure_s=7.3)
    assert_allclose(again, window_light(of, open_s=opening, exposure_s=7.3), atol=1e-9)


def test_the_shortest_cycle_of_each_level():
    levels = train([[4, 4, 4, 4, 4, 4], [1, 2, 1, 2, 1, 2], [1, 2, 3, 1, 2, 3], [0, 0, 0, 0, 0, 1]])
    singles = list(single_level(levels))
    assert [each.counts.tolist()[0] for each in singles] == [
        [4], [1, 2], [1, 2, 3], [0, 0, 0, 0, 0, 1],
    ]
    assert [each.cycle_s for each in singles] == [10, 20, 30, 60]
    times = np.linspace(-30, 130, 321)
    for level, single in enumerate(singles):
        assert_allclose(light_until(single, times)[0], light_until(levels, times)[level], atol=1e-9)
    uneven = train([2, 2], cycle_s=21.0)
    assert next(single_level(uneven)).counts.tolist() == [[2, 2]]


def test_a_train_repeated_is_the_same_light():
    two = train([3, 5])
    thrice = repeated_train(two, 3)
    assert thrice.cycle_s == 60
    times = np.linspace(-70, 130, 201)
    assert_allclose(light_until(thrice, times), light_until(two, times), atol=1e-9)


def test_shapes():
    of = train([[3, 5], [0, 0], [8, 8]])
    assert light_until(of, 3.0).shape == (3,)
    assert light_until(of, np.zeros((2, 4))).shape == (3, 2, 4)
    assert window_light(of, open_s=np.zeros((5, 1)), exposure_s=np.ones(3)).shape == (3, 5, 3)
    assert window_light(of, open_s=[], exposure_s=1.0).shape == (3, 0)
    assert_array_equal(window_light(of, open_s=[0.0, 5.0], exposure_s=99.0)[1], 0)
    assert_array_equal(window_light(of, open_s=2.0, exposure_s=0.0), 0)


def test_windows_by_the_ten_thousand_are_those_of_a_few():
    two = train([3, 5])  # the light of a second from each whole second on, by hand
    each = [0, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 0, 0, 0, 0]
    many = window_light(two, open_s=np.arange(40_000.0), exposure_s=1.0)[0]
    assert_allclose(many, each * 2000, atol=1e-9)
    later = window_light(
        two, open_s=0.0, exposure_s=np.ones(40_000), line_delay_s=-np.arange(40_000.0)
    )
    assert_allclose(later[0], many, atol=1e-9)


@pytest.mark.parametrize(("argument", "value"), [
    ("open_s", np.nan), ("open_s", np.inf), ("exposure_s", -1e-9), ("exposure_s", np.nan),
    ("line_delay_s", np.inf),
])
def test_refuses(argument, value):
    windows = {"open_s": 0.0, "exposure_s": 1.0, argument: value}
    with pytest.raises(OutOfRangeError, match=f"^{argument}: "):
        window_light(train([1]), **windows)
