"""The verdict on one shot: which hazards, in what order of bad, on what condition."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import (
    free_wall,
    mains_lamp,
    plain_camera,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.comfort import ieee_1789_modulation_limit
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.assess import assess
from bandcheck.vision.level import Level, worst_level


def by_hazard(shot, **how):
    return {each.finding.hazard: each.finding for each in assess(shot, **how).findings}


def test_every_hazard_speaks_once_and_the_worst_decides():
    lamps = (mains_lamp(), pulsed_lamp(), mains_lamp(name="sun", kind="steady"))
    found = assess(plain_shot(lamps=lamps), fixes=False)
    assert [(each.finding.hazard, each.lamp) for each in found.findings] == [
        ("banding", None), ("tearing", None), ("flicker", None), ("lamp", "mains lamp"),
        ("lamp", "pulsed lamp"), ("lamp", "sun"), ("comfort", None),
    ]
    assert found.checked == ("banding", "tearing", "flicker", "lamp")
    assert found.not_checked == ("moire", "grid")
    assert found.overall is worst_level(each.finding.level for each in found.findings[:-1])
    assert found.overall is Level.MARGINAL
    sun = next(each.finding for each in found.findings if each.lamp == "sun")
    assert (sun.level, sun.value, sun.reason) == (Level.SAFE, 0, "lamp_steady_in_picture")
    lamp = next(each.finding for each in found.findings if each.lamp == "mains lamp")
    assert (lamp.reason, lamp.limit, lamp.unit) == ("lamp_bands", 1.0, "")


def test_a_safe_tear_hangs_on_a_phase():
    found = assess(plain_shot(), fixes=False)
    assert_allclose(found.phase_condition_s, (0, 1 / 24 - 1 / 48 - 0.008), atol=1e-15)
    assert by_hazard(plain_shot(), fixes=False)["tearing"].reason == "phase_needed"
    inside = assess(plain_shot(phase_s=0.006), fixes=False)
    assert inside.overall is Level.SAFE
    assert inside.phase_condition_s == found.phase_condition_s
    outside = assess(plain_shot(phase_s=0.02), fixes=False)
    assert outside.overall is Level.VISIBLE
    assert outside.phase_condition_s is None
    still = assess(plain_shot(content_fps=Fraction(0)), fixes=False)
    assert still.phase_condition_s is None
    assert assess(plain_shot(wall_fps="24000/1001", genlock="free")).phase_condition_s is None


def test_without_fixes_nothing_else_changes():
    shot = plain_shot(angle=Fraction("172.8"))
    with_fixes, without = assess(shot), assess(shot, fixes=False)
    assert without.sensitive_to == ()
    assert with_fixes.sensitive_to[0] == "refreshes per frame"
    assert "shutter" in with_fixes.sensitive_to
    assert all(each.fixes == () for each in without.findings)
    assert [each.finding for each in with_fixes.findings] == [
        each.finding for each in without.findings
    ]
    assert any(each.fixes for each in with_fixes.findings)


def test_the_viewer_moves_the_limits():
    shot = plain_shot(angle=Fraction("172.8"))  # V 7.50, physics part 7
    for viewing, level, limit in (
        (Viewing(), Level.MARGINAL, 1.0), (Viewing(visible_from=7.0), Level.VISIBLE, 7.0),
        (Viewing(safe_below=7.6), Level.SAFE, 7.6),
    ):
        finding = by_hazard(replace(shot, viewing=viewing), fixes=False)["banding"]
        assert (finding.level, finding.limit) == (level, limit)
        assert_allclose(finding.value, 7.50, atol=0.01)
    doubled = by_hazard(replace(shot, viewing=Viewing(grade_contrast=2.0)), fixes=False)
    assert_allclose(doubled["banding"].value, 15.0, atol=0.02)
    assert doubled["banding"].level is Level.VISIBLE


def test_a_push_brings_up_what_the_dark_hides():
    dark = plain_shot(levels=(0.02,))
    pushed = replace(dark, viewing=Viewing(push_stops=3.0))
    assert by_hazard(pushed, fixes=False)["banding"].value > (
        1.5 * by_hazard(dark, fixes=False)["banding"].value
    )


class TestComfort:
    def test_an_even_wall_is_steady(self):
        comfort = by_hazard(plain_shot(levels=(1.0,)), fixes=False)["comfort"]
        assert (comfort.level, comfort.reason) == (Level.SAFE, "light_steady_enough")
        assert comfort.value == pytest.approx(0, abs=1e-6)

    def test_a_slow_gray_flickers_at_the_frame_rate(self):
        # one count lights one refresh a frame: 24 flashes a second
        shot = plain_shot(wall=plain_wall(transfer="linear"), levels=(1 / (160 * 409),))
        comfort = by_hazard(shot, fixes=False)["comfort"]
        assert (comfort.level, comfort.reason) == (Level.VISIBLE, "seizure_caution")
        assert_allclose(comfort.figures["flashes_hz"], 24)
        # all 16 lines of one refresh of 160 flash: next to a spike, so nearly 2, counted as 1
        assert comfort.figures["flashes_modulation"] == 1

    def test_the_modulation_of_a_pulse_is_that_of_a_room_full_of_lines(self):
        """A refresh repeated 40 times a frame, lit all through but for its lines' darkness."""
        wall = plain_wall(
            drive="repeated", refreshes_per_frame=10, scan_lines=4, counts_per_refresh=100,
            transfer="linear", clock_hz=4e5, line_switch_s=0.0, frame_end="stretched",
        )
        # 4 lines x 250 us of light in a refresh of 4166.7 us: a pulse of 24 %
        shot = plain_shot(wall=wall, levels=(1.0,))
        comfort = by_hazard(shot, fixes=False)["comfort"]
        depth = 2 * np.sinc(0.24)
        assert depth > 1
        assert comfort.value == 1
        assert_allclose(comfort.figures["frequency_hz"], 240)
        assert_allclose(comfort.limit, ieee_1789_modulation_limit(
            frequency_hz=240.0, practice="low_risk"
        ))
        dim = replace(shot, levels=(0.5,))  # half of each pulse: the lines' gaps show at 4 x 240
        assert by_hazard(dim, fixes=False)["comfort"].level is Level.VISIBLE

    def test_a_slow_refresh_that_is_always_lit_is_steady(self):
        wall = plain_wall(drive="repeated", refreshes_per_frame=5, scan_lines=1)
        comfort = by_hazard(plain_shot(wall=wall, levels=(1.0,)), fixes=False)["comfort"]
        assert comfort.level is Level.SAFE
        assert comfort.value == pytest.approx(0, abs=1e-9)

    def test_comfort_is_told_beside_the_verdict(self):
        shot = plain_shot(
            wall=plain_wall(transfer="linear"), levels=(1 / (160 * 409),), angle=360,
            content_fps=Fraction(0),
        )
        found = assess(shot, fixes=False)
        assert found.overall is Level.SAFE
        assert "comfort" not in found.checked

    def test_black_needs_no_caution(self):
        shot = plain_shot(levels=(0.0,), angle=360)
        assert by_hazard(shot, fixes=False)["comfort"].level is Level.SAFE


class TestAssumptions:
    def listed(self, shot):
        return {(each.about, each.key): each.value
                for each in assess(shot, fixes=False).assumptions}

    def test_nothing_but_the_clock_is_assumed_where_all_is_given(self):
        assert list(self.listed(plain_shot())) == [("wall", "clock_mhz")]
        clocked = plain_wall(clock_hz=26e6, line_switch_s=0.0, frame_end="dark")
        assert self.listed(plain_shot(wall=clocked)) == {}

    def test_a_missing_tolerance_is_listed_where_it_counts(self):
        wall = free_wall(refresh_tolerance=None, rate_tolerance=None)
        camera = plain_camera(rate_tolerance=None)
        listed = self.listed(plain_shot(wall=wall, camera=camera))
        assert listed["wall", "refresh_tolerance_pct"] == 0.01
        assert listed["wall", "rate_tolerance_ppm"] == 50e-6
        assert listed["camera", "rate_tolerance_ppm"] == 50e-6
        locked = self.listed(plain_shot(wall=plain_wall(rate_tolerance=None), camera=camera))
        assert list(locked) == [("wall", "clock_mhz")]
        genlock = self.listed(plain_shot(
            wall=plain_wall(rate_tolerance=None), camera=camera, genlock="free"
        ))
        assert ("wall", "rate_tolerance_ppm") in genlock
        assert ("camera", "rate_tolerance_ppm") in genlock
        assert ("wall", "refresh_tolerance_pct") not in genlock

    def test_what_the_camera_leaves_out(self):
        bare = plain_camera(shutter_whole_lines=None, readout_tolerance_s=None)
        listed = self.listed(plain_shot(camera=bare))
        assert listed["camera", "shutter_whole_lines"] == "false"
        assert listed["camera", "readout_tolerance_ms"] == 0.0
        still = plain_camera(
            shutter="global", readout_s=0.0, shutter_whole_lines=None, readout_tolerance_s=None
        )
        assert list(self.listed(plain_shot(camera=still))) == [("wall", "clock_mhz")]

    def test_what_the_wall_leaves_out(self):
        bare = plain_wall(transfer=None, clock_hz=26e6, frame_end="dark")
        assert self.listed(plain_shot(wall=bare)) == {
            ("wall", "transfer"): "bt1886", ("wall", "line_switch_us"): 0.0,
        }

    def test_what_lamps_leave_out(self):
        lamps = (
            mains_lamp(modulation=None, mains_tolerance=None), pulsed_lamp(duty=None),
            mains_lamp(name="known"),
        )
        listed = self.listed(plain_shot(lamps=lamps))
        assert listed["mains lamp", "modulation"] == 1.0
        assert listed["mains lamp", "mains_tolerance_pct"] == 0.001
        assert ("pulsed lamp", "duty") in listed
        assert "known" not in {about for about, _ in listed}
        every = assess(plain_shot(lamps=lamps), fixes=False).assumptions
        assert [each.key for each in every].count("duty") == 1


def test_a_wall_that_cannot_run_is_refused():
    with pytest.raises(OutOfRangeError, match="do not fit a frame"):
        assess(plain_shot(wall=plain_wall(clock_hz=20e6)))
