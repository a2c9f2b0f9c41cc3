"""What a card says to dial: held against a check of that setting and of its neighbours."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from card_cases import DIAL, camera, shots, wall
from numpy.testing import assert_allclose
from plain_shots import mains_lamp, plain_shot

from bandcheck.levels.codes import full_range_signal
from bandcheck.verdict.assess import assess
from bandcheck.verdict.card_rate import graded_dial, rate_answer
from bandcheck.verdict.exposure_grades import with_angle
from bandcheck.verdict.settings import safe_settings
from bandcheck.vision.level import Level

STEPS = camera(angles_deg=(), angle_step_deg=Fraction(1, 10))
ANY = camera(angles_deg=())


def answer(*, angle="172.8", fps=24, **changed):
    return rate_answer(shots(fps, angle=angle, **changed)[Fraction(fps)])


def test_verdict_and_settings_are_those_of_check_and_settings():
    found = answer()
    shot = found.wanted.shot
    assert found.wanted == assess(shot, fixes=False)
    assert found.settings == safe_settings(shot)
    assert found.dialled.assessment == assess(found.dialled.shot, fixes=False)


def test_a_safe_setting_on_the_dial_is_left_as_it_is():
    found = answer(angle="270")
    assert found.wanted.overall is Level.SAFE
    assert found.dialled.shot == found.wanted.shot
    assert found.dialled.stops_from_wanted == 0


def test_what_is_dialled_is_safe_and_none_nearer_is_quieter():
    found = answer(camera=STEPS, angle="172.8")
    assert found.wanted.overall is not Level.SAFE
    assert found.dialled.level is Level.SAFE
    steps = graded_dial(found.wanted.shot, [
        Fraction(tenth, 10) / 360 / 24 for tenth in range(1, 3601)
    ])
    safe = [each for each in steps if each.level is Level.SAFE]
    off = {each: abs(np.log2(float(each.angle_deg) / 172.8)) for each in safe}
    own, = (each for each in safe if each.angle_deg == found.dialled.shot.angle_deg)
    nearest = min(off.values())
    assert off[own] <= nearest + 0.1
    assert own.visibility == min(
        each.visibility for each in safe if off[each] <= nearest + 0.1
    )


def test_how_far_off_is_allowed_is_where_safe_ends():
    dialled = answer(angle="270").dialled
    low, high = dialled.allowed.from_deg, dialled.allowed.to_deg
    assert low <= dialled.shot.angle_deg <= high

    def level(angle_deg):
        return assess(with_angle(dialled.shot, Fraction(angle_deg)), fixes=False).overall

    assert level(low) is Level.SAFE
    assert level(high) is Level.SAFE
    assert level(low - 1e-3) > Level.SAFE
    assert level(high + 1e-3) > Level.SAFE


def test_any_angle_is_rounded_to_what_a_hand_can_set():
    dialled = answer(camera=ANY, angle="172.8", fps=25).dialled
    assert dialled.level is Level.SAFE
    assert (dialled.shot.angle_deg * 1000).denominator == 1
    assert dialled.allowed.from_deg < dialled.shot.angle_deg < dialled.allowed.to_deg


def test_a_setting_that_the_dial_does_not_have_is_replaced_though_safe():
    shot = plain_shot(angle="269.9999", wall=wall(), camera=camera())
    found = rate_answer(shot)
    assert found.wanted.overall is Level.SAFE
    assert found.dialled.shot.angle_deg in DIAL


def test_codes_are_the_first_that_are_no_darker_than_the_lowest_safe_level():
    dialled = answer(angle="270").dialled
    lowest = dialled.lowest_safe
    assert lowest.signal == dialled.assessment.banding.lowest_safe_level
    for bits, code in ((8, lowest.code_8), (10, lowest.code_10), (12, lowest.code_12)):
        assert full_range_signal(code, bits=bits) >= lowest.signal
        assert full_range_signal(code - 1, bits=bits) < lowest.signal


@pytest.mark.parametrize(("dial", "wanted", "expected"), [
    # Whole refreshes at every one, but at 18 % signal the odd counts fall on some of them only.
    ((81, 90, 99, 180), 90, 99), ((81, 90, 180), 99, 90), ((81, 180), 110, 81),
])
def test_where_nothing_is_safe_a_marginal_setting_near_by_is_told_without_room(
    dial, wanted, expected
):
    found = answer(camera=camera(angles_deg=tuple(map(Fraction, dial))), angle=wanted)
    grades = graded_dial(found.wanted.shot, [Fraction(each, 360 * 24) for each in dial])
    assert {each.level for each in grades} == {Level.MARGINAL}
    assert found.dialled.shot.angle_deg == expected
    near = [each for each in grades if abs(np.log2(float(each.angle_deg) / wanted)) <= 1 / 3]
    own, = (each for each in grades if each.angle_deg == expected)
    assert not near or own.visibility == min(each.visibility for each in near)
    assert found.dialled.level is Level.MARGINAL
    assert found.dialled.allowed is None


def test_where_all_is_visible_nothing_is_told():
    found = answer(camera=camera(angles_deg=(Fraction(5), Fraction(7))), angle="5")
    assert found.dialled is None
    assert found.wanted.overall is Level.VISIBLE


def test_what_cannot_be_graded_is_unknown_and_nothing_is_told():
    found = answer(camera=camera(exposure_scheme="multi"))
    assert found.wanted.overall is Level.UNKNOWN
    assert found.dialled is None


def test_a_lamp_decides_too():
    # 60 Hz mains leaves no room on this dial at 24 fps but where it holds whole ripples.
    found = answer(lamps=(mains_lamp(),), angle="180")
    lamp, = (each for each in found.dialled.assessment.findings if each.lamp)
    assert found.dialled.level >= lamp.finding.level


def test_a_phase_that_tears_is_told_as_visible():
    shot = plain_shot(angle="270", wall=wall(), camera=camera(), phase_s=0.02)
    found = rate_answer(shot)
    assert found.dialled.level is Level.VISIBLE
    assert found.dialled.shot == shot


def test_grades_of_a_dial_are_those_of_a_check():
    shot = shots(24, angle="180")[Fraction(24)]
    for each in graded_dial(shot, [angle / 360 / 24 for angle in DIAL]):
        own = assess(replace(shot, exposure_s=each.exposure_s), fixes=False)
        assert each.level is own.overall
        bands = max(
            fixed.finding.value for fixed in own.findings
            if fixed.finding.hazard in ("banding", "flicker")
        )
        assert_allclose(each.visibility, bands, rtol=0, atol=0)
    assert graded_dial(shot, []) == ()


@pytest.mark.parametrize("angle", ["90", "172.8", "360"])
def test_stops_are_counted_from_the_wanted_exposure(angle):
    found = answer(angle=angle)
    assert_allclose(
        found.dialled.stops_from_wanted,
        np.log2(float(found.dialled.shot.exposure_s / found.wanted.shot.exposure_s)),
    )
