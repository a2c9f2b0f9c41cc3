"""A change on the day, against arithmetic by hand."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from plain_shots import free_wall, plain_camera, plain_shot, plain_wall

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.assess import assess
from bandcheck.verdict.change import change_on_the_day
from bandcheck.verdict.settings import safe_settings
from bandcheck.verdict.trial import runs, shot_after
from bandcheck.vision.level import Level

DUE = Fraction("172.8")


def rated_wall(**changed):
    """3840 Hz rated at 24 frames/s: 160 refreshes a frame."""
    return plain_wall(**{
        "refreshes_per_frame": None, "refresh_hz": 3840.0, "rated_fps": Fraction(24),
        "counts_per_refresh": 409, **changed,
    })


def kept(change, what):
    return next(each for each in change.behaviours if each.kept == what)


def under(change, rule):
    return next(each.side for each in change.wall_rules if each.name == rule)


def test_a_48th_kept_from_24_to_60_becomes_a_60th():
    change = change_on_the_day(plain_shot(), to_fps=Fraction(60))
    time = kept(change, "time")
    assert (time.exposure_s, time.angle_deg, time.clamped) == (Fraction(1, 60), 360, True)
    np.testing.assert_allclose(time.stops, np.log2(48 / 60), rtol=1e-12)
    angle = kept(change, "angle")
    assert (angle.exposure_s, angle.angle_deg, angle.clamped) == (Fraction(1, 120), 180, False)


def test_172_8_deg_kept_from_24_to_48_becomes_a_100th():
    change = change_on_the_day(plain_shot(angle=DUE), to_fps=Fraction(48))
    assert kept(change, "angle").exposure_s == change.exposure_s == Fraction(1, 100)
    assert kept(change, "time").angle_deg == Fraction("345.6")
    assert (change.stops, kept(change, "time").stops) == (-1, 0)


@pytest.mark.parametrize(("does", "expected"), [
    (None, Fraction(1, 100)), ("keep_angle", Fraction(1, 100)), ("keep_time", Fraction(1, 50)),
])
def test_without_a_new_shutter_the_camera_decides(does, expected):
    shot = plain_shot(angle=DUE, camera=plain_camera(on_rate_change=does))
    assert change_on_the_day(shot, to_fps=Fraction(48)).exposure_s == expected


def test_refresh_under_either_rule():
    # 3840 / 48 = 80; 160 x 48 = 7680 Hz
    change = change_on_the_day(
        plain_shot(angle=DUE, wall=rated_wall(on_rate_change="keep_refresh")), to_fps=Fraction(48)
    )
    keeps, goes_along = under(change, "keep_refresh"), under(change, "keep_refreshes_per_frame")
    assert [each.timing.refreshes for each in keeps.wall] == [80]
    assert [each.timing.refreshes for each in goes_along.wall] == [160]
    np.testing.assert_allclose(keeps.wall[0].timing.refresh_hz, 3840, rtol=1e-12)
    np.testing.assert_allclose(goes_along.wall[0].timing.refresh_hz, 7680, rtol=1e-12)
    assert change.wall_rule == "keep_refresh"
    assert change.new.side == replace(keeps, shot=change.new.side.shot)


def test_a_rule_that_nobody_knows_is_graded_as_the_worse():
    change = change_on_the_day(plain_shot(angle=DUE, wall=rated_wall()), to_fps=Fraction(48))
    each = [trial.side for trial in change.wall_rules]
    assert change.wall_rule is None
    assert change.new.side.visibility == max(side.visibility for side in each)
    assert change.level == max(side.level for side in each)


def test_no_rule_is_asked_where_the_number_is_set_or_the_refresh_runs_free():
    for wall in (plain_wall(), free_wall()):
        assert change_on_the_day(plain_shot(wall=wall), to_fps=Fraction(48)).wall_rules == ()


def test_clean_phase_by_hand():
    # 1/48 - 1/100 - 8 ms = 2.8333 ms
    change = change_on_the_day(plain_shot(angle=DUE), to_fps=Fraction(48))
    np.testing.assert_allclose(change.new.side.tearing.phase_to_s, 1 / 48 - 0.018, rtol=1e-12)
    # 1/50 + 8 ms are longer than 1/48
    assert kept(change, "time").trial.side.level is Level.VISIBLE


@pytest.mark.parametrize("shot", [
    plain_shot(angle=DUE), plain_shot(angle=DUE, wall=rated_wall()),
    plain_shot(genlock="free"), plain_shot(camera=plain_camera(exposure_scheme="multi")),
])
def test_both_verdicts_are_those_of_a_check(shot):
    change = change_on_the_day(shot, to_fps=Fraction(48))
    assert change.old.level == assess(shot, fixes=False).overall
    assert change.level == assess(change.new.side.shot, fixes=False).overall


def test_nearest_safe_settings_are_those_of_the_whole_search_and_safe_to_check():
    change = change_on_the_day(plain_shot(angle=DUE), to_fps=Fraction(48))
    near = change.near.ranges
    shot = change.new.side.shot
    whole = safe_settings(shot).ranges[:len(near)]
    np.testing.assert_allclose(
        [(each.from_deg, each.to_deg, each.best_deg) for each in near],
        [(each.from_deg, each.to_deg, each.best_deg) for each in whole], atol=1e-3,
    )
    for each in near:
        exposure_s = Fraction(each.best_deg) / 360 / 48
        assert assess(replace(shot, exposure_s=exposure_s), fixes=False).overall is Level.SAFE


def test_the_same_look_is_the_old_angle_unless_another_is_asked_for():
    shot = plain_shot(angle=DUE, camera=plain_camera(on_rate_change="keep_time"))
    assert change_on_the_day(shot, to_fps=Fraction(48)).near.shot.angle_deg == DUE
    asked = change_on_the_day(shot, to_fps=Fraction(48), to_exposure_s=Fraction(1, 192))
    assert asked.near.shot.angle_deg == 90


def test_modes_are_looked_among_only_where_the_own_one_does_not_run_the_rate():
    def never():
        raise AssertionError("asked")

    body = {"body": "body", "readout_s": 0.004}
    shot = plain_shot(camera=plain_camera(max_fps=Fraction(60), body="body"))
    assert change_on_the_day(shot, to_fps=Fraction(60), modes=never).other_modes == ()
    offered = [
        shot.camera, plain_camera(name="slow", max_fps=Fraction(72), **body),
        plain_camera(name="long readout", body="body", readout_s=0.012),
        plain_camera(name="other", body="other body"), plain_camera(name="fast", **body),
    ]
    change = change_on_the_day(shot, to_fps=Fraction(96), modes=lambda: offered)
    assert [each.name for each in change.other_modes] == ["fast"]
    assert change.other_modes[0].side.shot.camera.name == "fast"
    assert not change.camera_can
    assert change.level is Level.UNKNOWN
    assert "at most 60 frames/s" in change.new.refused


def test_a_mode_of_no_body_has_no_siblings():
    shot = plain_shot(camera=plain_camera(max_fps=Fraction(60)))
    change = change_on_the_day(
        shot, to_fps=Fraction(96), modes=lambda: [plain_camera(name="x", readout_s=0.001)]
    )
    assert change.other_modes == ()


@pytest.mark.parametrize(("fps", "readout_s", "expected"), [
    (60, 0.0, True), (61, 0.0, False), (50, 0.02, True), (51, 0.02, False),
])
def test_runs(fps, readout_s, expected):
    camera = plain_camera(max_fps=Fraction(60), readout_s=readout_s)
    assert runs(camera, Fraction(fps)) is expected


def test_wall_follows_only_where_it_ran_locked_at_the_cameras_rate():
    half = Fraction(1, 200)
    locked = shot_after(plain_shot(), fps=Fraction(48), exposure_s=half)
    assert (locked.wall_fps, locked.content_fps) == (48, 48)
    slow = shot_after(plain_shot(content_fps=Fraction(12)), fps=Fraction(48), exposure_s=half)
    assert (slow.wall_fps, slow.content_fps) == (48, 12)
    for shot in (plain_shot(genlock="free"), plain_shot(wall_fps=48)):
        gone = shot_after(shot, fps=Fraction(25), exposure_s=half)
        assert (gone.wall_fps, gone.content_fps) == (shot.wall_fps, shot.content_fps)


def test_a_phase_outlives_a_new_shutter_but_no_new_rate():
    shot = plain_shot(phase_s=0.001)
    assert shot_after(shot, fps=Fraction(24), exposure_s=Fraction(1, 50)).phase_s == 0.001
    assert shot_after(shot, fps=Fraction(25), exposure_s=Fraction(1, 50)).phase_s is None


def test_a_phase_that_tears_is_graded():
    # clean up to 1/24 s - 1/48 s - 8 ms = 12.83 ms
    for phase_s, expected in ((0.006, Level.SAFE), (0.014, Level.VISIBLE)):
        shot = plain_shot(phase_s=phase_s)
        same = change_on_the_day(shot, to_exposure_s=shot.exposure_s)
        assert same.old.level is same.level is expected


def test_an_exposure_as_long_as_the_frame_is_taken():
    change = change_on_the_day(plain_shot(), to_fps=Fraction(48), to_exposure_s=Fraction(1, 48))
    assert change.new.side.shot.angle_deg == 360


def test_a_wall_that_stays():
    # 24 to 48 is one to two: every second frame opens 1/48 s later, and the picture rests 1/24 s,
    # so 1/24 - 1/48 - 1/100 - 8 ms = 2.83 ms are left; 24 to 25 cannot be locked
    stays = change_on_the_day(plain_shot(angle=DUE), to_fps=Fraction(48)).wall_stays
    np.testing.assert_allclose(stays.tearing.slack_s, 1 / 48 - 0.018, rtol=1e-9)
    refused = change_on_the_day(plain_shot(), to_fps=Fraction(25)).wall_stays
    assert refused.tearing is None
    assert refused.refused
    assert change_on_the_day(plain_shot(genlock="free"), to_fps=Fraction(48)).wall_stays is None


@pytest.mark.parametrize("content_fps", [48, 0])
def test_a_wall_at_its_own_rate_may_no_longer_lock(content_fps):
    shot = plain_shot(wall_fps=48, content_fps=Fraction(content_fps))
    change = change_on_the_day(shot, to_fps=Fraction(25))
    assert (change.new.side, change.level) == (None, Level.UNKNOWN)


def test_the_card_holds_only_where_nothing_has_changed():
    shot = plain_shot()
    assert change_on_the_day(shot, to_exposure_s=Fraction(1, 48)).card_holds
    assert not change_on_the_day(shot, to_exposure_s=Fraction(1, 50)).card_holds
    assert not change_on_the_day(shot, to_fps=Fraction(25)).card_holds


def test_a_shutter_that_the_dial_does_not_have():
    shot = plain_shot(camera=plain_camera(angles_deg=(Fraction(90), Fraction(180))))
    assert change_on_the_day(shot, to_exposure_s=Fraction(1, 96)).on_dial
    assert not change_on_the_day(shot, to_exposure_s=Fraction(1, 50)).on_dial


def test_what_the_clock_cannot_carry_is_spelled_out():
    # 160 x 16 x 409 counts / 40 MHz = 26.18 ms fit 1/24 s and not 1/48 s
    shot = plain_shot(wall=plain_wall(clock_hz=40e6, frame_end="dark"))
    change = change_on_the_day(shot, to_fps=Fraction(48))
    assert "160 refreshes x 16 lines x (409 counts / 40 MHz" in change.new.refused
    assert "26.18 ms do not fit a frame of 20.83 ms" in change.new.refused


@pytest.mark.parametrize("exposure_s", [Fraction(0), Fraction(-1, 50), Fraction(1, 47)])
def test_an_exposure_that_cannot_be_is_refused(exposure_s):
    with pytest.raises(OutOfRangeError, match="to_exposure_s"):
        change_on_the_day(plain_shot(), to_fps=Fraction(48), to_exposure_s=exposure_s)


def test_an_old_setting_that_cannot_be_is_refused():
    with pytest.raises(OutOfRangeError, match="do not fit"):
        change_on_the_day(plain_shot(wall=plain_wall(clock_hz=10e6)), to_fps=Fraction(24))
