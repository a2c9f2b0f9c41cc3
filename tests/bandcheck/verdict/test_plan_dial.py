"""What a plan says to dial: the wanted setting, a click inside a range, or the nearest click."""

from fractions import Fraction

import pytest
from plain_shots import plain_camera, pulsed_lamp
from plan_cases import coarse_wall, coded_plan

from bandcheck.verdict.assess import assess
from bandcheck.verdict.exposure_grades import with_angle
from bandcheck.verdict.plan_agreement import plan_agreement
from bandcheck.vision.level import Level


def chosen_of(dial, *, angle=170, walls=None):
    camera = plain_camera(rows_px=200, **dial)
    plan = coded_plan(walls=walls or {"a": coarse_wall(8)}, cameras={"A": camera},
                      angle_deg=Fraction(str(angle)))
    (setup,) = plan_agreement(plan).setups
    cell = setup.cells[0]
    (dialled,) = cell.chosen.dials
    # Whatever is told is what a check of that setting says.
    levels = [
        assess(with_angle(pair.shot, dialled.angle_deg), fixes=False).overall
        for pair in cell.pairs
    ]
    assert cell.chosen.level == max(levels)
    return cell.chosen, dialled


@pytest.mark.parametrize(("dial", "angle", "told", "inside"), [
    ({}, 170, 180, True), ({}, 180, 180, True), ({}, "179.9", "179.9", True),
    ({"angle_step_deg": Fraction(1, 10)}, 170, 180, True),
    ({"angle_step_deg": Fraction(1, 10)}, "179.95", "180", True),
    ({"angles_deg": (Fraction(90), Fraction(172))}, 170, 90, True),
    ({"angles_deg": (Fraction(100), Fraction(172))}, 170, 172, False),
    ({"speeds_s": (Fraction(1, 48), Fraction(1, 50))}, 170, 180, True),
])
def test_what_is_told_to_dial(dial, angle, told, inside):
    chosen, dialled = chosen_of(dial, angle=angle)
    assert dialled.angle_deg == Fraction(str(told))
    assert dialled.inside is inside
    assert (chosen.level is Level.SAFE) is inside


def test_a_click_outside_is_graded_as_it_is():
    chosen, dialled = chosen_of({"angles_deg": (Fraction(172),)})
    low, high = chosen.allowed_deg
    assert low < 180 < high
    assert dialled.angle_deg == 172
    assert chosen.level is Level.VISIBLE
    assert chosen.visibility > 8


def test_phases_are_those_that_every_surface_allows():
    plan = coded_plan(walls={"a": coarse_wall(8), "b": coarse_wall(8, name="other")})
    (setup,) = plan_agreement(plan).setups
    chosen = setup.cells[0].chosen
    ((camera, (low, high)),) = chosen.phases_s
    assert camera == "A"
    # 180 deg and 8 ms of readout leave so much of a frame: counted by hand.
    assert low == 0
    assert high == pytest.approx(1 / 24 - 1 / 48 - 0.008, abs=1e-9)


def test_a_wanted_setting_that_is_safe_lies_in_a_range_that_is_told():
    # The lamp is safe from some exposure on: a range whose middle lies far from the wanted one.
    lamp = pulsed_lamp(pulse_hz=25_000.0, duty=0.5)
    camera = plain_camera(rows_px=1296, readout_s=0.004, readout_tolerance_s=5e-5)
    plan = coded_plan(walls={"a": coarse_wall(80)}, cameras={"A": camera}, lamps=(lamp,),
                      rates=(48,))
    (setup,) = plan_agreement(plan).setups
    (cell,) = setup.cells
    assert cell.level is Level.SAFE
    low, high = cell.chosen.allowed_deg
    assert low <= 180 <= high
    assert high - low < 0.3
    for angle, safe in ((low, True), (high, True), (low - 2e-3, False), (high + 2e-3, False)):
        told = assess(with_angle(cell.pairs[0].shot, Fraction(angle)), fixes=False).overall
        assert (told is Level.SAFE) is safe
