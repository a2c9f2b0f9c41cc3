"""Figures level by level: which levels, what decides, what the strongest band is."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import free_wall, plain_camera, plain_shot, plain_wall

from bandcheck.verdict.banding_report import banding_report, shown_levels
from bandcheck.verdict.wall_cells import wall_cells

SLOW = Fraction("172.8")


def test_the_dark_ones_are_always_shown():
    assert shown_levels((1.0, 0.5)) == (1.0, 0.5, 0.1, 0.05, 0.02, 0.01)
    assert shown_levels((0.1, 1.0)) == (1.0, 0.1, 0.05, 0.02, 0.01)


def test_only_the_levels_that_are_asked_for_decide():
    report = banding_report(plain_shot())
    assert [each.signal for each in report.levels if each.decides] == [1.0, 0.5, 0.18]
    deciding = max(each.visibility for each in report.levels if each.decides)
    assert report.visibility == deciding < max(each.visibility for each in report.levels)
    dark = banding_report(plain_shot(levels=(1.0, 0.02)))
    assert dark.visibility == dark.levels[-2].visibility


def test_the_strongest_band():
    report = banding_report(plain_shot(angle=SLOW))
    white = report.levels[0]
    assert_allclose(white.strongest_hz, 3840, rtol=1e-12)
    assert_allclose(white.effective_refresh_hz, 3840)
    assert report.levels[-1].strongest_hz in 24 * np.arange(1, 40)
    assert_allclose(report.levels[-1].effective_refresh_hz, 24)
    even = banding_report(plain_shot(levels=(1.0,)))
    assert even.levels[0].strongest_hz is None
    assert (even.band_pitch_rows, even.roll_hz, even.standing) == (None, None, True)


def test_stops_and_modulation_by_hand():
    white = banding_report(plain_shot(angle=SLOW)).levels[0]
    assert_allclose(
        [white.ripple, white.modulation, white.stops], [1 / 76.8, 1 / 153, np.log2(77 / 76)],
        rtol=1e-9,
    )
    # one pulse a frame that a shutter of 180 deg catches or not
    dark = banding_report(plain_shot()).levels[-1]
    assert (dark.counts, dark.ripple, dark.modulation, dark.stops) == (
        1, pytest.approx(2.0), pytest.approx(1.0), None,
    )


def test_the_rows_of_this_frame_hold_no_more_than_the_worst_of_all():
    for phase in (None, 0.0123):
        report = banding_report(plain_shot(angle=SLOW, phase_s=phase))
        assert report.levels[0].frame_ripple > 0
        for level in report.levels:
            assert level.frame_ripple <= level.ripple * (1 + 1e-9)
    still = banding_report(plain_shot(
        angle=SLOW, camera=plain_camera(shutter="global", readout_s=0.0)
    ))
    assert still.levels[0].frame_ripple == 0 < still.levels[0].ripple


@pytest.mark.parametrize(("changed", "standing", "roll_hz"), [
    ({}, True, 0.0), ({"wall_fps": 60, "angle": 100}, True, 0.0),
    # 3840 Hz against 24000/1001: 160.16 periods a frame
    ({"fps": "24000/1001", "wall_fps": 24, "genlock": "free"}, False, 0.16 * 24000 / 1001),
])
def test_roll(changed, standing, roll_hz):
    shot = plain_shot(**{"angle": SLOW, "levels": (1.0,), **changed})
    report = banding_report(shot)
    assert report.standing is standing
    assert_allclose(report.roll_hz, roll_hz, rtol=1e-9, atol=1e-9)


def test_nominal_and_within_the_tolerance():
    report = banding_report(plain_shot(wall=free_wall()))
    assert report.nominal_visibility < 0.5 < 8 < report.visibility
    locked = banding_report(plain_shot())
    assert locked.nominal_visibility == locked.visibility


def test_the_effective_refresh_is_that_of_what_decided():
    # left open: bit-reversed or even; repeated drive lights every refresh
    repeated = banding_report(plain_shot(wall=plain_wall(drive="repeated"), angle=SLOW))
    lit = {each.effective_refresh_hz for each in repeated.levels if each.counts}
    assert lit == {3840.0}
    black = banding_report(plain_shot(levels=(0.0,)))
    assert black.levels[-1].effective_refresh_hz == 0
    assert black.levels[-1].visibility == 0


def test_levels_agree_with_the_cells():
    shot = plain_shot(angle=SLOW, wall=plain_wall(dealing=None))
    report = banding_report(shot)
    cells = wall_cells(
        shot, levels=[each.signal for each in report.levels], exposure_s=[1 / 50]
    )
    assert [each.visibility for each in report.levels] == cells.visibility[:, 0].tolist()
    assert [each.counts for each in report.levels] == cells.counts.tolist()
