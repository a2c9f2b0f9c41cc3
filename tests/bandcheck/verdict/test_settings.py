"""Settings: ranges, the camera's own dial, who blocks, and what opens a setting."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import FILM, exposure_at, mains_lamp, plain_camera, plain_shot, plain_wall

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.settings import safe_settings
from bandcheck.vision.level import Level

FIFTY = mains_lamp(name="tubes at 50", mains_hz=50.0, mains_tolerance=1e-3)
SIXTY = mains_lamp(name="tubes at 60", mains_tolerance=1e-3)


def test_a_lamp_that_blocks_is_named_and_opens_a_setting_when_it_is_off():
    blocked = safe_settings(plain_shot(lamps=(FIFTY,)))
    assert blocked.ranges == ()
    assert set(blocked.blocked_by) == {"tubes at 50", "wall"}  # either alone would leave room
    off = blocked.lamp_side[0]
    assert (off.change, off.value, off.level) == ("lamp_off", "tubes at 50", Level.SAFE)
    opened = safe_settings(plain_shot())
    assert opened.blocked_by == ()
    assert opened.ranges[0].best_deg == 180
    assert blocked.quietest.level is not Level.SAFE
    assert opened.quietest is None


def test_the_one_of_two_lamps_that_blocks():
    # 60 Hz is mild and slow: 72 deg apart; 50 Hz at full ripple leaves only slivers
    shot = plain_shot(lamps=(FIFTY, mains_lamp(name="bulbs", modulation=0.1)), angle=144)
    settings = safe_settings(shot)
    assert settings.ranges == ()
    assert "tubes at 50" in settings.blocked_by
    assert "bulbs" not in settings.blocked_by
    levels = {change.value: change.level for change in settings.lamp_side}
    assert levels["tubes at 50"] is Level.SAFE
    assert levels["bulbs"] is not Level.SAFE


def test_where_all_stand_in_each_others_way_all_are_named():
    settings = safe_settings(plain_shot(lamps=(FIFTY, SIXTY)))
    assert settings.blocked_by == ("tear", "tubes at 50", "tubes at 60", "wall")


def test_what_has_no_range_of_its_own_is_named_alone():
    settings = safe_settings(plain_shot(lamps=(FIFTY,), genlock="free"))
    assert settings.blocked_by == ("tear",)


class TestDial:
    def test_a_list_of_angles_is_graded(self):
        camera = plain_camera(angles_deg=tuple(map(Fraction, ("90", "144", "172.8", "180", "270"))))
        settings = safe_settings(plain_shot(camera=camera, angle=Fraction("172.8")))
        grades = exposure_grades(
            plain_shot(), np.array([float(exposure_at(each.angle_deg)) for each in settings.dial])
        )
        assert [float(each.angle_deg) for each in settings.dial] == [90, 144, 172.8, 180, 270]
        assert [each.exposure_s for each in settings.dial] == [
            exposure_at(angle) for angle in camera.angles_deg
        ]
        assert [each.level for each in settings.dial] == [
            Level.SAFE, Level.SAFE, Level.MARGINAL, Level.SAFE, Level.SAFE,
        ]
        assert_allclose(
            [each.visibility for each in settings.dial], grades.worst_visibility, rtol=1e-12
        )
        on_dial = [each.dial_deg for each in settings.ranges if each.dial_deg is not None]
        assert_allclose(sorted(on_dial), [180], rtol=1e-12)

    def test_of_a_fine_dial_the_neighbours_and_what_is_safe(self):
        camera = plain_camera(angle_step_deg=Fraction(1, 10))
        settings = safe_settings(plain_shot(camera=camera, angle=Fraction("172.8")))
        angles = [float(each.angle_deg) for each in settings.dial]
        assert angles == sorted(angles)
        assert {172.7, 172.8, 172.9, 171.0, 175.5, 180.0} <= set(angles)
        assert len(angles) < 40
        holds = {each.best_deg: each.dial_deg for each in settings.ranges}
        assert holds[min(holds, key=lambda best: abs(best - 180))] == pytest.approx(180)
        # 173.25 +- 0.02 lies between 173.2 and 173.3
        assert holds[min(holds, key=lambda best: abs(best - 173.25))] is None

    def test_speeds(self):
        camera = plain_camera(speeds_s=(Fraction(1, 48), Fraction(1, 50), Fraction(1, 60)))
        settings = safe_settings(plain_shot(camera=camera))
        assert [(each.exposure_s, each.level) for each in settings.dial] == [
            (Fraction(1, 60), Level.SAFE), (Fraction(1, 50), Level.MARGINAL),
            (Fraction(1, 48), Level.SAFE),
        ]

    def test_where_nothing_is_safe_the_quietest_on_the_dial_is_told(self):
        camera = plain_camera(speeds_s=(Fraction(1, 50), Fraction(1, 55), Fraction(1, 125)))
        shot = plain_shot(camera=camera, lamps=(SIXTY,), exposure_s=Fraction(1, 50))
        settings = safe_settings(shot)
        assert settings.ranges  # without the dial there is something
        blocked = safe_settings(plain_shot(
            camera=camera, lamps=(FIFTY, SIXTY), exposure_s=Fraction(1, 50)
        ))
        assert blocked.ranges == ()
        graded = {each.exposure_s: each for each in blocked.dial}
        best = min(graded.values(), key=lambda each: (each.level, each.visibility))
        assert blocked.quietest == best

    def test_any_angle_has_no_dial(self):
        assert safe_settings(plain_shot()).dial == ()


def test_a_camera_that_is_not_described_has_no_settings():
    for scheme in ("multi", "global_reset"):
        settings = safe_settings(plain_shot(camera=plain_camera(exposure_scheme=scheme)))
        assert settings.ranges == ()
        assert settings.blocked_by == ("camera",)
        assert settings.wanted.level is Level.UNKNOWN
        assert settings.quietest is None
        assert all(change.level is not Level.SAFE for change in settings.wall_side)


def test_the_wanted_setting_and_its_lowest_level():
    settings = safe_settings(plain_shot())
    assert settings.wanted.change == "none"
    assert settings.wanted.value == 180
    assert settings.wanted.level is Level.SAFE
    assert_allclose(settings.wanted.visibility, 0.327, atol=5e-4)  # physics, part 7: 18 %
    assert settings.ranges[0].lowest_safe_level == 0.1


def test_a_wall_that_cannot_run_is_refused():
    shot = plain_shot(wall=plain_wall(clock_hz=20e6), angle=180)
    with pytest.raises(OutOfRangeError, match=r"160 refreshes x 16 lines .* do not fit a frame"):
        safe_settings(shot)


def test_a_phase_that_tears_does_not_change_the_ranges():
    torn = plain_shot(phase_s=0.015)
    settings = safe_settings(torn)
    assert settings.ranges[0].best_deg == 180
    phase = next(change for change in settings.wall_side if change.change == "phase")
    assert_allclose(phase.value, 1e3 * (1 / 24 - 1 / 48 - 0.008) / 2, rtol=1e-9)
    assert phase.mended is Level.SAFE
    assert torn.content_fps == FILM
