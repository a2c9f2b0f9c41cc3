"""How long a test rolls: against hand counts, and against counting frames."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import free_wall, mains_lamp, plain_camera, plain_shot, plain_wall, pulsed_lamp

from bandcheck.verdict.roll_test import SHORTEST_TEST_S, roll_test

SLOWED = Fraction(24000, 1001)


def drifting(**changed):
    return plain_shot(**{"genlock": "free", "fps": SLOWED, "wall_fps": 24, **changed})


def test_wall_and_camera_at_24_and_23_976_pass_once_in_41_7083_s():
    # 1 / (24 - 24000/1001), derived.
    found = roll_test(drifting())
    assert_allclose(found.at_least_s, 41.7083, rtol=1e-5)
    assert found.shows_all
    assert [each.source for each in found.drifts] == ["wall_frame"]


def test_the_pass_is_what_counting_frames_finds():
    # Place of each camera frame's opening in the wall's frame, followed until it has gone round.
    phase = np.unwrap(2 * np.pi * np.mod(np.arange(2000) * float(24 / SLOWED), 1))
    frames = np.searchsorted(np.abs(phase) / (2 * np.pi), 1.0)
    assert_allclose(roll_test(drifting()).at_least_s, frames / float(SLOWED), atol=0.1)


def test_the_clocks_errors_make_the_pass_longer():
    # Beat 0.0239760 Hz less 24 x 20e-6 and 23.976 x 10e-6: hand count 0.02325625 Hz.
    found = roll_test(drifting(
        wall=plain_wall(rate_tolerance=20e-6), camera=plain_camera(rate_tolerance=10e-6)
    ))
    assert_allclose(found.at_least_s, 1 / 0.02325625, rtol=2e-5)
    assert_allclose(found.drifts[0].quickest_s, 1 / 0.02469577, rtol=2e-5)


def test_clocks_that_nobody_described_are_taken_to_err():
    stated = roll_test(drifting())
    unstated = roll_test(drifting(
        wall=plain_wall(rate_tolerance=None), camera=plain_camera(rate_tolerance=None)
    ))
    assert unstated.at_least_s > stated.at_least_s


def test_equal_rates_that_run_free_may_stand_still():
    # Nothing but the clocks' errors moves them: 24 x 30e-6 Hz at the most.
    found = roll_test(drifting(
        fps=24, wall=plain_wall(rate_tolerance=20e-6), camera=plain_camera(rate_tolerance=10e-6)
    ))
    assert not found.shows_all
    assert found.drifts[0].longest_s is None
    assert_allclose(found.at_least_s, 1 / (24 * 30e-6))


def test_where_one_clock_rules_nothing_drifts():
    found = roll_test(plain_shot())
    assert found == roll_test(plain_shot(wall_fps=48))
    assert (found.at_least_s, found.shows_all, found.drifts) == (SHORTEST_TEST_S, True, ())


def test_a_lamp_on_50_hz_mains_passes_4_times_a_second_at_24_and_may_stand_at_25():
    lamp = mains_lamp(mains_hz=50.0, mains_tolerance=0.001)
    at_24, at_25 = (roll_test(plain_shot(fps=fps, lamps=(lamp,))) for fps in (24, 25))
    # 100 Hz against 4 x 24 = 96; +/- 0.1 Hz.
    assert_allclose(at_24.drifts[0].longest_s, 1 / 3.9)
    assert at_24.at_least_s == SHORTEST_TEST_S
    assert not at_25.shows_all
    assert_allclose(at_25.drifts[0].quickest_s, 1 / 0.1)


@pytest.mark.parametrize("lamp", [mains_lamp(), pulsed_lamp()])
def test_a_lamp_is_named(lamp):
    drift, = roll_test(plain_shot(fps=23, lamps=(lamp,))).drifts
    assert (drift.source, drift.name) == ("lamp", lamp.name)


def test_a_steady_lamp_does_not_drift():
    lamp = mains_lamp(kind="steady", mains_hz=None)
    assert roll_test(plain_shot(lamps=(lamp,))).drifts == ()


def test_a_refresh_of_its_own_known_to_one_percent_may_stand_still():
    found = roll_test(plain_shot(wall=free_wall()))
    assert [each.source for each in found.drifts] == ["wall_refresh"]
    assert not found.shows_all


def test_a_refresh_of_its_own_passes_by_the_beat_of_its_whole_cycle():
    # 160 refreshes at 3856 Hz: 24.1 cycles a second, 0.1 Hz off the camera.
    found = roll_test(plain_shot(wall=free_wall(refresh_hz=3856.0, refresh_tolerance=0.0)))
    assert_allclose(found.at_least_s, 10.0, rtol=1e-9)
    assert found.shows_all


def test_the_longest_drift_decides():
    lamp = mains_lamp(mains_hz=50.0, mains_tolerance=0.0)
    assert_allclose(roll_test(drifting(lamps=(lamp,))).at_least_s, 41.7083, rtol=1e-5)


def test_time_scales():
    # Everything twice as fast passes in half the time.
    slow = roll_test(drifting(fps=Fraction(12000, 1001), wall_fps=12))
    assert_allclose(slow.at_least_s, 2 * roll_test(drifting()).at_least_s)
