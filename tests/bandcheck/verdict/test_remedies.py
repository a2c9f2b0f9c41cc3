"""Every change that is offered, made anew on a fresh shot, gives the grade that it claims."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import (
    FILM,
    free_wall,
    mains_lamp,
    plain_camera,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.assess import assess
from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.remedies import (
    dial_of,
    lamp_changes,
    phase_changes,
    present_state,
    shutter_changes,
    wall_changes,
)
from bandcheck.vision.level import Level

SHOTS = {
    "off the null": {"angle": Fraction("172.8")},
    "free refresh": {"wall": free_wall()},
    "free camera": {"fps": "24000/1001", "wall_fps": 24, "genlock": "free"},
    "free but able to lock": {"wall_fps": 48, "genlock": "free"},
    "gray bits": {"wall": plain_wall(counts_per_refresh=None, gray_bits=16), "angle": 100},
    "list": {"wall": plain_wall(refreshes_per_frame_allowed=(100, 150, 160, 175)),
             "angle": Fraction("172.8")},
    "lamps": {"lamps": (mains_lamp(), pulsed_lamp())},
    "tears": {"camera": plain_camera(readout_s=0.03)},
}


def changed_shot(shot, change):
    """Shot with a change made by hand, from its name and value alone."""
    wall = shot.wall
    if change.change == "shutter_angle":
        return replace(shot, exposure_s=Fraction(change.value) / 360 / shot.fps)
    if change.change == "refreshes_per_frame":
        counts = None if wall.gray_bits else wall.counts_per_refresh
        return replace(shot, wall=replace(
            wall, refreshes_per_frame=int(change.value), refresh_hz=None, rated_fps=None,
            refresh_lock="frame", counts_per_refresh=counts,
        ))
    if change.change == "refresh_lock":
        return replace(shot, wall=replace(wall, refresh_lock=change.value))
    if change.change == "wall_fps":
        return replace(shot, wall_fps=Fraction(change.value).limit_denominator(1001))
    if change.change == "genlock" and change.value == "locked":
        return replace(shot, genlock="locked")
    if change.change == "genlock":
        return replace(shot, genlock="locked", wall_fps=shot.fps, content_fps=shot.fps)
    if change.change == "phase":
        return replace(shot, phase_s=change.value / 1e3)
    assert change.change == "lamp_off"
    return replace(shot, lamps=tuple(each for each in shot.lamps if each.name != change.value))


@pytest.mark.parametrize("changed", SHOTS.values(), ids=SHOTS)
def test_every_change_keeps_what_it_claims(changed):
    shot = plain_shot(**changed)
    changes = [
        *shutter_changes(shot), *wall_changes(shot), *phase_changes(shot), *lamp_changes(shot),
    ]
    assert changes
    for change in changes:
        made = changed_shot(shot, change)
        grades = exposure_grades(made, np.array([float(made.exposure_s)]))
        assert grades.level() is change.level, change
        # an angle is rounded on its way through degrees
        assert_allclose(grades.worst_visibility[0], change.visibility, rtol=1e-6, atol=1e-6)
        if change.side == "wall":
            case = light_cases(made.wall, made.wall_fps)[0]
            assert change.figures["refreshes_per_frame"] == case.timing.refreshes
            assert_allclose(
                change.figures["refresh_hz"], case.timing.refreshes / case.timing.cycle_s
            )
            assert change.figures["counts_per_refresh"] == case.counts_per_refresh
            assert_allclose(2 ** change.figures["gray_bits"], case.full_scale)
        else:
            assert change.figures == {}


def test_the_wall_side_keeps_the_shutter():
    # 12/25 of a frame: whole refreshes if their number is a multiple of 25
    found = wall_changes(plain_shot(angle=Fraction("172.8")))
    numbers = [each.value for each in found if each.change == "refreshes_per_frame"]
    assert numbers == [150, 175, 125, 200]
    assert all(each.level is Level.SAFE for each in found[:4])
    assert [each.value for each in found if each.change == "wall_fps"] == [48, 72]
    levels = [each.level for each in found]
    assert levels == sorted(levels)


def test_what_the_clock_cannot_carry_is_absent():
    # 160 refreshes x 16 lines x 409 counts / 26 MHz = 40.3 ms of 41.7: room for 165
    clocked = plain_wall(clock_hz=26e6, frame_end="stretched")
    found = wall_changes(plain_shot(wall=clocked, angle=Fraction("172.8")))
    numbers = [each.value for each in found if each.change == "refreshes_per_frame"]
    assert sorted(numbers) == [125, 150]
    assert not [each for each in found if each.change == "wall_fps"]
    with pytest.raises(OutOfRangeError, match="do not fit"):
        light_cases(replace(clocked, refreshes_per_frame=175), FILM)


def test_no_wall_is_asked_for_twice_its_refresh_and_more():
    # 1001/2000 of a frame would be whole at 2000 refreshes
    found = wall_changes(plain_shot(**SHOTS["free camera"]))
    assert not [each for each in found if each.change == "refreshes_per_frame"]
    found = wall_changes(plain_shot(angle=Fraction(360 * 3, 320)))  # 3/320 of a frame: just twice
    assert 320 in [each.value for each in found]


def test_a_list_of_what_the_wall_can_do_binds():
    shot = plain_shot(**SHOTS["list"])
    found = wall_changes(shot)
    numbers = [each.value for each in found if each.change == "refreshes_per_frame"]
    assert sorted(numbers) == [100, 150, 175]
    assert found[0].value in (150, 175)
    assert found[0].level is Level.SAFE


def test_locking_a_free_wall():
    found = wall_changes(plain_shot(wall=free_wall()))
    lock = next(each for each in found if each.change == "refresh_lock")
    assert (lock.value, lock.level) == ("frame", Level.SAFE)
    free = wall_changes(plain_shot(wall_fps=48, genlock="free"))
    assert next(each for each in free if each.change == "genlock").value == "locked"
    assert not [each for each in wall_changes(plain_shot()) if "lock" in each.change]


def test_shutters_on_the_dial_only():
    camera = plain_camera(angle_step_deg=Fraction(1))
    found = shutter_changes(plain_shot(camera=camera, angle=Fraction(173)))
    assert found
    assert all(abs(each.value - round(each.value)) < 1e-9 for each in found)
    assert found[0].value == pytest.approx(171)  # 76 refreshes; 175.5 is not on it
    assert found[0].level is Level.SAFE
    assert_allclose(found[0].stops, np.log2(171 / 173), rtol=1e-9)
    assert_allclose(found[0].blur, 171 / 180, rtol=1e-12)
    single = plain_camera(speeds_s=(Fraction(1, 48),))
    (only,) = shutter_changes(plain_shot(camera=single, exposure_s=Fraction(1, 50)))
    assert only.value == pytest.approx(180)
    assert dial_of(plain_shot()) is None
    assert dial_of(plain_shot(camera=camera))[9] == Fraction(10, 360 * 24)


def test_what_is_aimed_at_and_what_it_leaves():
    shot = plain_shot(lamps=(mains_lamp(),), angle=Fraction("172.8"))
    wall, lamp, tear, whole = (
        present_state(shot, target) for target in ("wall", "mains lamp", "tear", "all")
    )
    assert wall.mended is Level.MARGINAL
    assert_allclose(wall.mended_visibility, 7.50, atol=0.01)  # physics, part 7
    at_180 = present_state(plain_shot(lamps=(mains_lamp(),)), "mains lamp").mended_visibility
    assert_allclose(lamp.mended_visibility / at_180, 0.126138 / 0.127324, rtol=2e-5)  # sinc
    assert (tear.mended, tear.mended_visibility) == (Level.SAFE, 0)
    assert whole.mended is whole.level is Level.MARGINAL
    assert whole.visibility == whole.mended_visibility == wall.mended_visibility
    mends_lamp = shutter_changes(shot, "mains lamp")
    assert mends_lamp[0].mended is Level.SAFE
    assert mends_lamp[0].value == pytest.approx(144)


def test_a_torn_shot_stays_torn_but_for_its_phase():
    shot = plain_shot(camera=plain_camera(readout_s=0.03))
    assert present_state(shot).level is Level.VISIBLE
    assert present_state(shot, "tear").mended is Level.VISIBLE
    assert present_state(shot, "wall").mended is Level.SAFE
    assert phase_changes(shot) == []
    clean = phase_changes(plain_shot())
    assert [each.unit for each in clean] == ["ms"]
    assert_allclose(clean[0].value, 1e3 * (1 / 24 - 1 / 48 - 0.008) / 2, rtol=1e-9)


def test_the_verdict_offers_only_what_helps():
    shot = plain_shot(angle=Fraction("172.8"), lamps=(mains_lamp(),))
    for fixed in assess(shot).findings:
        if fixed.finding.hazard == "banding":
            assert fixed.fixes[0].mended is Level.SAFE
            assert len({each.change for each in fixed.fixes}) == len(fixed.fixes) <= 4
        if fixed.finding.hazard == "lamp":
            assert {each.change for each in fixed.fixes} == {"shutter_angle", "lamp_off"}
            assert fixed.lamp == "mains lamp"
        if fixed.finding.hazard in ("flicker", "comfort"):
            assert fixed.fixes == ()
        if fixed.finding.reason == "phase_needed":
            assert [each.change for each in fixed.fixes] == ["phase"]
