"""The smallest sets of changes: each opens what it says, and no smaller one would."""

from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from plain_shots import mains_lamp, plain_camera
from plan_cases import coarse_wall, coded_plan, pair_shots, scanned_safe

from bandcheck.shoot.plan_shots import with_refreshes
from bandcheck.verdict.plan_agreement import plan_agreement

FINE = np.arange(1, 1441) * 0.25
FLICKERING = mains_lamp(mains_hz=54.0)


def changed_plan(walls, lamps, parts):
    """The plan again, by hand, with some parts changed."""
    walls, lamps = dict(walls), list(lamps)
    for part in parts:
        if part.change == "lamp_off":
            lamps = [lamp for lamp in lamps if lamp.name != part.device.name]
        else:
            name = part.device.name
            walls[name] = with_refreshes(walls[name], part.value)
    return coded_plan(walls=walls, lamps=tuple(lamps))


SCENES = {
    "a wall": ({"a": coarse_wall(8), "b": coarse_wall(7)}, ()),
    "a lamp": ({"a": coarse_wall(8), "b": coarse_wall(12)}, (FLICKERING,)),
    "two things": ({"a": coarse_wall(8), "b": coarse_wall(7)}, (FLICKERING,)),
    "what is allowed": (
        {"a": coarse_wall(9, refreshes_per_frame_allowed=(9, 15)),
         "b": coarse_wall(7, refreshes_per_frame_allowed=(7, 5, 11))}, (),
    ),
}


@pytest.mark.parametrize("name", SCENES)
def test_every_set_opens_what_it_says(name):
    walls, lamps = SCENES[name]
    (setup,) = plan_agreement(coded_plan(walls=walls, lamps=lamps)).setups
    (cell,) = setup.cells
    assert cell.common_deg == ()
    assert cell.mends
    assert len({len(each.parts) for each in cell.mends}) == 1
    for mend in cell.mends:
        shots = pair_shots(changed_plan(walls, lamps, mend.parts))
        (opened,) = mend.opened
        middles = np.array([(low + high) / 2 for low, high in opened.ranges_deg])
        assert scanned_safe(shots, middles).all()


def test_no_single_change_is_enough_where_two_are_told():
    walls, lamps = SCENES["two things"]
    (setup,) = plan_agreement(coded_plan(walls=walls, lamps=lamps)).setups
    mends = setup.cells[0].mends
    assert {len(each.parts) for each in mends} == {2}
    for part in {part for each in mends for part in each.parts}:
        assert not scanned_safe(pair_shots(changed_plan(walls, lamps, [part])), FINE).any()


def test_only_refreshes_that_a_wall_allows_are_told():
    walls, lamps = SCENES["what is allowed"]
    (setup,) = plan_agreement(coded_plan(walls=walls, lamps=lamps)).setups
    told = {(part.device.name, part.value) for each in setup.cells[0].mends for part in each.parts}
    assert told
    assert told <= {("a", 15), ("b", 5), ("b", 11)}
    opened = {
        pair for size in (1, 2) for pair in combinations([("a", 15), ("b", 5), ("b", 11)], size)
        if len({each[0] for each in pair}) == size
        and scanned_safe(pair_shots(coded_plan(walls={
            **walls, **{key: with_refreshes(walls[key], number) for key, number in pair},
        })), FINE).any()
    }
    smallest = min(map(len, opened))
    assert {frozenset(each) for each in opened if len(each) == smallest} == {
        frozenset((part.device.name, part.value) for part in each.parts)
        for each in setup.cells[0].mends
    }


def test_a_camera_may_have_a_shutter_of_its_own():
    # A's readout leaves 60 deg without a tear, so 45 of its nulls; B makes multiples of 60 deg of
    # whatever is dialled, of which 180 alone is a null.
    cameras = {
        "A": plain_camera(rows_px=200, readout_s=300 / 360 / 24),
        "B": plain_camera(rows_px=2, readout_s=120 / 360 / 24, shutter_whole_lines=True),
    }
    plan = coded_plan(walls={"a": coarse_wall(8)}, cameras=cameras, angle_deg=Fraction(50))
    (setup,) = plan_agreement(plan).setups
    (cell,) = setup.cells
    assert cell.common_deg == ()
    assert [str(each) for each in cell.blocked_by] == ["camera A", "camera B"]
    for mend in cell.mends:
        (part,) = mend.parts
        assert part.change == "own_shutter"
        opened = {each.cameras: each.ranges_deg for each in mend.opened}
        ((low, high),) = opened["A",]
        assert low < 45 < high
        ((low, high),) = opened["B",]
        assert abs(low - 150) < 0.01
        assert abs(high - 210) < 0.01
    assert len(cell.mends) == 2
