"""The table of signs is whole, tells every two faults apart, and agrees with the model."""

from dataclasses import replace
from fractions import Fraction
from importlib import import_module
from itertools import combinations

import numpy as np
import pytest
from fault_matrix import COLUMNS, MATRIX
from lens_shots import lens_shot, with_optics
from numpy.testing import assert_allclose
from plain_shots import global_camera, mains_lamp, plain_shot

from bandcheck.light.lamps import sine_modulation_caught
from bandcheck.verdict.assess import assess
from bandcheck.verdict.fault_signs import (
    BASIS,
    FAULTS,
    HELPING_COMMAND,
    OBSERVATIONS,
    SIDES,
    SIGNS,
)
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.moire_report import moire_report
from bandcheck.vision.level import Level

ADDED = {"only_while_picture_moves", "seen_by_eye", "rolls_or_pulses"}


def test_the_table_is_the_one_written_by_hand():
    assert tuple(MATRIX) == FAULTS
    assert COLUMNS == OBSERVATIONS
    assert {
        fault: {key: sign.answer[0] for key, sign in signs.items()}
        for fault, signs in SIGNS.items()
    } == MATRIX


def test_every_fault_has_every_sign_in_order_a_side_and_a_command():
    assert set(SIGNS) == set(SIDES) == set(HELPING_COMMAND) == set(FAULTS)
    assert {tuple(signs) for signs in SIGNS.values()} == {OBSERVATIONS}


def test_every_reason_has_a_basis_that_is_there():
    assert {sign.reason for signs in SIGNS.values() for sign in signs.values()} == set(BASIS)
    modules = set(BASIS.values()) - {"common practice"}
    assert len(modules) > 5
    for name in modules:
        assert import_module(f"bandcheck.{name}").__doc__


def apart(one, other, keys):
    """Observations to which one fault always says yes and the other always no."""
    return {key for key in keys if {MATRIX[one][key], MATRIX[other][key]} == {"y", "n"}}


@pytest.mark.parametrize(("one", "other"), [*combinations(FAULTS, 2)])
def test_any_two_faults_are_told_apart_for_certain(one, other):
    assert apart(one, other, OBSERVATIONS)


@pytest.mark.parametrize("left_out", sorted(ADDED))
def test_no_observation_was_added_without_need(left_out):
    others = [key for key in OBSERVATIONS if key != left_out]
    assert any(not apart(*pair, others) for pair in combinations(FAULTS, 2))


@pytest.mark.parametrize("fault", [each for each in FAULTS if SIDES[each] == "wall"])
def test_no_command_that_looks_for_a_shutter_goes_with_the_wall(fault):
    assert HELPING_COMMAND[fault] in (None, "profiles")
    assert MATRIX[fault]["changes_with_shutter"] != "y"


def finding(shot, hazard):
    found = assess(shot, fixes=False).findings
    return next(each.finding for each in found if each.finding.hazard == hazard)


class TestTheModelSaysSoToo:
    @pytest.mark.parametrize(("camera", "reason"), [
        ({}, "bands_stand"), ({"camera": global_camera()}, "lines_on_the_wall"),
    ])
    def test_bands_and_scan_lines_hang_on_the_shutter(self, camera, reason):
        even, uneven = (finding(plain_shot(angle=angle, **camera), "banding")
                        for angle in (180, "172.8"))
        assert even.level is Level.SAFE
        assert (uneven.level > Level.SAFE, uneven.reason) == (True, reason)

    def test_a_still_picture_does_not_tear(self):
        moving = plain_shot(angle=300, phase_s=0.02)
        assert finding(moving, "tearing").level is Level.VISIBLE
        still = plain_shot(angle=300, phase_s=0.02, content_fps=Fraction(0))
        assert finding(still, "tearing").reason == "still_content"

    def test_a_black_wall_gives_no_light_and_few_counts_lie_above_it(self):
        case = light_cases(plain_shot().wall, Fraction(24))[0]
        dark = case.counts(np.array([0.0, 0.001, 0.5]) ** 2.4, pwm_share=1.0)
        assert dark[0] == 0
        assert dark[1] < 2 < dark[2]

    def test_dark_pictures_flicker_slowly_and_bright_ones_do_not(self):
        slow = finding(plain_shot(levels=(0.01,)), "comfort")
        assert slow.level is Level.VISIBLE
        assert slow.figures["frequency_hz"] < 100
        assert finding(plain_shot(levels=(1.0,)), "comfort").level is Level.SAFE

    def test_a_blur_takes_moire_away_and_the_shutter_does_not(self):
        sharp = lens_shot(focus_mm=6000.0)
        blurred = with_optics(sharp, focus_mm=1500.0)
        shorter = replace(sharp, exposure_s=sharp.exposure_s / 2)
        fringes = [moire_report(shot, distances=False).findings[0]
                   for shot in (sharp, blurred, shorter)]
        assert [each.hazard for each in fringes] == ["moire"] * 3
        assert [each.level for each in fringes] == [Level.VISIBLE, Level.SAFE, Level.VISIBLE]
        assert fringes[0].value == fringes[2].value

    def test_whole_ripples_of_a_lamp_leave_none(self):
        lamps = (mains_lamp(),)
        assert finding(plain_shot(angle=180, lamps=lamps), "lamp").level > Level.SAFE
        assert finding(plain_shot(angle=144, lamps=lamps), "lamp").level is Level.SAFE
        assert_allclose(
            sine_modulation_caught(modulation=1, light_hz=120, exposure_s=144 / 360 / 24), 0,
            atol=1e-12,
        )
