"""A null that only the wall's own rate spoils: named with its figures, and only where it is one."""

from dataclasses import replace
from fractions import Fraction

import pytest
from numpy.testing import assert_allclose
from plain_shots import exposure_at, free_wall, global_camera, plain_camera, plain_shot, plain_wall

from bandcheck.report.wording import finding_sentence
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.assess import assess
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.missed_null import missed_null
from bandcheck.vision.level import Level

PULLED_DOWN = Fraction(24000, 1001)
CALM = Viewing(safe_below=1e9, visible_from=2e9)
"""A viewer whom nothing disturbs."""


def of_shot(**changed):
    shot = plain_shot(**{"fps": PULLED_DOWN, "wall_fps": 24, "genlock": "free", **changed})
    return missed_null(shot, light_cases(shot.wall, shot.wall_fps)[0])


def banding(**changed):
    found = assess(
        plain_shot(**{"fps": PULLED_DOWN, "wall_fps": 24, "genlock": "free", **changed}),
        fixes=False,
    )
    return found, found.findings[0]


def test_180_degrees_at_23_976_against_24_by_hand():
    # 1001/48000 s at 160 x 24 = 3840 Hz; with the wall at 23.976 it would be 80
    found = of_shot()
    assert_allclose(found["refreshes"], 1001 / 48000 * 3840, rtol=1e-14)
    assert (found["null_refreshes"], found["wall_fps"]) == (80, 24)
    assert_allclose(found["null_fps"], 24000 / 1001, rtol=1e-15)
    assert_allclose(found["null_angle_deg"], 180 * 1000 / 1001, rtol=1e-14)


def test_at_the_angle_named_the_null_is_one():
    angle = of_shot()["null_angle_deg"]
    _, fixed = banding(angle=Fraction(angle))
    assert fixed.finding.figures["nominal_visibility"] < 1
    assert fixed.finding.reason in ("null_drifts_away", "even_light")


@pytest.mark.parametrize(("rates", "refreshes", "whole"), [
    ({"fps": 24, "wall_fps": PULLED_DOWN}, 80 / 1.001, 80),
    ({"wall_fps": 48}, 80.08 * 2, 160), ({"wall_fps": 60}, 80.08 * 2.5, 200),
    ({"angle": 360}, 160.16, 160), ({"angle": 90}, 40.04, 40),
    ({"angle": "2.25", "levels": (1.0,)}, 1.001, 1),
])
def test_other_rates_and_angles(rates, refreshes, whole):
    found = of_shot(**rates)
    assert_allclose(found["refreshes"], refreshes, rtol=1e-12)
    assert found["null_refreshes"] == whole


def test_time_may_be_counted_in_any_unit():
    slow, fast = of_shot(), of_shot(
        fps=2 * PULLED_DOWN, wall_fps=48, camera=plain_camera(readout_s=0.004),
    )
    for key in ("refreshes", "null_refreshes", "null_angle_deg"):
        assert_allclose(fast[key], slow[key], rtol=1e-14)
    assert_allclose(fast["null_fps"], 2 * slow["null_fps"], rtol=1e-14)


@pytest.mark.parametrize("changed", [
    {"fps": 24},  # the rates are alike: nothing but the clocks' errors
    {"fps": 24, "genlock": "locked"},
    {"wall": free_wall()},
    {"angle": "172.8"},  # 76.876 refreshes; 76.8 at 23.976: no null there either
    {"angle": 181},  # 80.525: more than half a refresh away
    {"fps": 24, "wall_fps": 50},  # 83.3: the null of 48 frames/s is another one
    {"fps": 24, "wall_fps": Fraction("48.5")},  # 161.7
    {"angle": "0.9"},  # 0.4004: there is no null of no refresh
])
def test_where_no_null_is_missed(changed):
    assert of_shot(**changed) is None
    assert of_shot(**changed, viewing=CALM) is None


@pytest.mark.parametrize(("angle", "missed"), [("180.45", True), ("181.575", False)])
def test_keeping_pace_must_bring_the_null_nearer(angle, missed):
    # in pace 80.2 and 80.7, as it is 80.28 and 80.78 refreshes
    assert (of_shot(angle=angle, viewing=CALM) is not None) is missed


def test_a_wall_that_cannot_keep_pace_misses_nothing():
    # 16 lines x 160 refreshes x 409 counts fill 1/23.976 s at 25.106 MHz: not 1/24 s
    clock_hz = 160 * 16 * 409 * 24000 / 1001
    wall = plain_wall(clock_hz=clock_hz * (1 + 1e-6), line_switch_s=0.0, frame_end="stretched")
    rates = {"fps": 24, "wall_fps": PULLED_DOWN}
    assert of_shot(wall=wall, **rates) is None
    assert of_shot(wall=replace(wall, clock_hz=1.01 * clock_hz), **rates) is not None


def test_a_null_that_dark_levels_do_not_share_is_none():
    assert of_shot(levels=(1.0,)) is not None
    assert of_shot(levels=(1.0, 0.02)) is None  # V 3.8 at 2 % even in pace


@pytest.mark.parametrize("camera", [plain_camera(), global_camera()])
def test_the_finding_names_it_and_the_sentence_says_by_how_much(camera):
    found, fixed = banding(camera=camera)
    assert fixed.finding.level > Level.SAFE
    assert fixed.finding.reason == "null_missed"
    said = finding_sentence(found, fixed)
    assert said.startswith(
        "With the wall at 23.976 frames/s the exposure would hold 80 whole refreshes; the wall "
        "runs free at 24 and it holds 80.08: the null is missed by 0.08 of a refresh and lies at "
        "179.82°. Bands roll"
    )


def test_a_null_beyond_360_degrees_is_not_offered():
    found, fixed = banding(fps=24, wall_fps=PULLED_DOWN, exposure_s=exposure_at(360))
    said = finding_sentence(found, fixed)
    assert "holds 159.84: the null is missed by 0.16 of a refresh. Bands roll" in said


def test_a_safe_setting_misses_nothing():
    for safe in ({"fps": 24}, {"viewing": CALM}):
        _, fixed = banding(**safe)
        assert fixed.finding.level is Level.SAFE
        assert set(fixed.finding.figures) == {"nominal_visibility"}
