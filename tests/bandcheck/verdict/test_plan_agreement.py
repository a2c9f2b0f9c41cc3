"""What suits everything in a set-up, against enumerations that know nothing of ranges."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from plain_shots import mains_lamp, plain_camera
from plan_cases import coarse_wall, coded_plan, pair_shots, scanned_safe

from bandcheck.shoot.plan_file import load_plan
from bandcheck.verdict.assess import assess
from bandcheck.verdict.exposure_grades import with_angle
from bandcheck.verdict.plan_agreement import plan_agreement
from bandcheck.verdict.plan_results import Device
from bandcheck.verdict.settings import safe_settings
from bandcheck.vision.level import Level

EDGE_DEG = 2e-3
FINE = np.arange(1, 3601) * 0.1

MAINS = mains_lamp(modulation=0.05)

SCENES = {
    "two walls": {"walls": {"a": coarse_wall(8), "b": coarse_wall(12)}},
    "a lamp": {"walls": {"a": coarse_wall(8), "b": coarse_wall(12)}, "lamps": (MAINS,)},
    "levels": {"walls": {"a": coarse_wall(8), "b": coarse_wall(6)}, "levels": (1.0, 0.3, 0.05)},
    "nothing": {"walls": {"a": coarse_wall(8), "b": coarse_wall(7)}},
    "far off": {"walls": {"a": coarse_wall(36), "b": coarse_wall(40)}, "angle_deg": Fraction(20)},
    "two cameras": {
        "walls": {"a": coarse_wall(8)}, "cameras": {
            "A": plain_camera(rows_px=200),
            "B": plain_camera(rows_px=1000, readout_s=0.02, shutter_whole_lines=True),
        },
    },
    "a tear": {
        "walls": {"a": coarse_wall(8), "b": coarse_wall(12)},
        "cameras": {"A": plain_camera(rows_px=200, readout_s=0.025)},
    },
}


def only_cell(plan):
    (setup,) = plan_agreement(plan).setups
    (cell,) = setup.cells
    return cell


@pytest.mark.parametrize("name", SCENES)
def test_common_ranges_are_those_of_a_dense_scan(name):
    plan = coded_plan(**SCENES[name])
    common = only_cell(plan).common_deg
    safe = scanned_safe(pair_shots(plan), FINE)
    inside = np.zeros(FINE.shape, dtype=bool)
    near = np.zeros(FINE.shape, dtype=bool)
    for low, high in common:
        inside |= (low <= FINE) & (high >= FINE)
        near |= (low - EDGE_DEG <= FINE) & (high + EDGE_DEG >= FINE)
    assert safe[inside].all()
    assert bool(common) == safe.any() == (name != "nothing")
    if name == "far off":
        # No common range lies where the search begins: what is told is the nearest there is.
        wanted = float(plan.defaults["angle_deg"].value)
        stops = np.abs(np.log2(FINE[safe] / wanted))
        assert near[safe][stops.argmin()]
    else:
        assert near[safe].all()


def test_common_ranges_are_those_where_a_check_of_every_pair_says_safe():
    plan = coded_plan(**SCENES["a lamp"])
    common = only_cell(plan).common_deg
    ends = [end for low, high in common for end in (low - EDGE_DEG, low, high, high + EDGE_DEG)]
    for angle in sorted([*np.arange(5, 361, 5.0), *(each for each in ends if each <= 360)]):
        levels = [
            assess(with_angle(shot, Fraction(angle)), fixes=False).overall
            for shot in pair_shots(plan)
        ]
        told = any(low <= angle <= high for low, high in common)
        assert told == all(level is Level.SAFE for level in levels), angle


def test_the_demo_plan_agrees_with_a_check_of_every_pair():
    plan = load_plan("night-train")
    plan = replace(plan, setups=plan.setups[:2], ramps=(), interleaves=())
    looked_at = 0
    for setup in plan_agreement(plan).setups:
        for cell in setup.cells:
            for low, high in cell.common_deg[:2]:
                for angle, safe in ((low, True), (high, True), ((low + high) / 2, True),
                                    (low - EDGE_DEG, False), (high + EDGE_DEG, False)):
                    levels = [
                        assess(with_angle(pair.shot, Fraction(angle)), fixes=False).overall
                        for pair in cell.pairs
                    ]
                    assert all(level is Level.SAFE for level in levels) is safe
                    looked_at += 1
            if not cell.common_deg:
                shots = [pair.shot for pair in cell.pairs]
                assert not scanned_safe(shots, np.arange(1, 7201) * 0.05).any()
                looked_at += 1
    assert looked_at > 12


@pytest.mark.parametrize("angle", [180, 172.8, 100])
@pytest.mark.parametrize("lamps", [(), (MAINS,)])
def test_a_plan_of_one_is_settings(lamps, angle):
    plan = coded_plan(
        walls={"a": coarse_wall(36)}, lamps=lamps, angle_deg=Fraction(str(angle))
    )
    settings = safe_settings(pair_shots(plan)[0])
    cell = only_cell(plan)
    told = sorted((each.from_deg, each.to_deg) for each in settings.ranges)
    np.testing.assert_allclose(cell.common_deg, told, rtol=1e-13)
    assert cell.level is settings.wanted.level
    assert settings.ranges


@pytest.mark.parametrize(("lamps", "walls", "blocker"), [
    ((), {"a": coarse_wall(8), "b": coarse_wall(12), "c": coarse_wall(7)}, ("surface", "c")),
    ((mains_lamp(mains_hz=54.0),), {"a": coarse_wall(8)}, ("lamp", "mains lamp")),
])
def test_removing_the_device_that_blocks_opens_a_setting(lamps, walls, blocker):
    cell = only_cell(coded_plan(walls=walls, lamps=lamps))
    kind, name = blocker
    assert cell.common_deg == ()
    assert Device(kind=kind, name=name) in cell.blocked_by
    walls = {key: wall for key, wall in walls.items() if key != name}
    lamps = tuple(lamp for lamp in lamps if lamp.name != name)
    assert only_cell(coded_plan(walls=walls, lamps=lamps)).common_deg


def test_devices_that_are_told_to_block_are_all_that_open_something_alone():
    walls = {"a": coarse_wall(8), "b": coarse_wall(12), "c": coarse_wall(7), "d": coarse_wall(36)}
    cell = only_cell(coded_plan(walls=walls))
    opened = []
    for name in walls:
        rest = {key: wall for key, wall in walls.items() if key != name}
        if scanned_safe(pair_shots(coded_plan(walls=rest)), FINE).any():
            opened.append(name)
    assert [each.name for each in cell.blocked_by] == opened == ["c"]


def test_one_shutter_for_all_rates_as_an_angle_and_as_a_time():
    plan = coded_plan(walls={"a": coarse_wall(8)}, rates=(20, 24, 25))
    (setup,) = plan_agreement(plan).setups
    # The same number of refreshes in a frame at every rate: the same angles, and no time.
    assert [round(sum(each) / 2) for each in setup.common_deg] == [45, 90, 135, 180, 225, 270]
    assert setup.common_s == ()
    kept = coarse_wall(refreshes=None, refresh_hz=600.0, rated_fps=Fraction(24),
                       on_rate_change="keep_refresh", name="kept")
    (setup,) = plan_agreement(coded_plan(walls={"a": kept}, rates=(20, 24, 25))).setups
    # 600 Hz at each rate: every 1/600 s holds one of its periods.
    assert setup.common_s
    for low, high in setup.common_s:
        assert abs((low + high) / 2 * 600 - round((low + high) / 2 * 600)) < 0.01
    assert setup.common_s[0][1] < 1 / 25


def test_the_rate_that_stands_alone_is_the_one_that_blocks():
    kept = coarse_wall(refreshes=None, refresh_hz=300.0, rated_fps=Fraction(30),
                       on_rate_change="keep_refresh", name="kept")
    plan = coded_plan(walls={"a": kept}, rates=(30, 30 * Fraction(10, 11), 60))
    (setup,) = plan_agreement(plan).setups
    assert setup.common_deg == ()
    assert all(cell.common_deg for cell in setup.cells)
    assert [str(each) for each in setup.blocked_by] == ["rate 300/11"]


def test_a_camera_that_the_model_does_not_describe_is_never_safe():
    cameras = {"A": plain_camera(rows_px=200), "B": plain_camera(exposure_scheme="multi")}
    cell = only_cell(coded_plan(walls={"a": coarse_wall(8)}, cameras=cameras))
    assert cell.common_deg == ()
    assert cell.level is Level.UNKNOWN
    assert [str(each) for each in cell.blocked_by] == ["camera B"]


def test_a_wall_that_cannot_run_a_rate_is_told_and_is_unknown():
    slow = coarse_wall(8, clock_hz=1e5, name="slow")
    (setup,) = plan_agreement(coded_plan(walls={"a": slow})).setups
    assert setup.level is Level.UNKNOWN
    assert "do not fit a frame" in setup.cells[0].refused
    assert str(setup.blocked_by[0]) == "rate 24"
