"""What holds of every plan: more devices never allow more, and their order never matters."""

from fractions import Fraction

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_shots import mains_lamp, plain_camera
from plan_cases import coarse_wall, coded_plan, pair_shots, scanned_safe

from bandcheck.verdict.plan_agreement import plan_agreement
from bandcheck.verdict.plan_search import MOST_TOLD

WALLS = {str(number): coarse_wall(number) for number in (4, 6, 8, 9)}
LAMPS = tuple(
    mains_lamp(name=f"lamp {hertz}", mains_hz=hertz, modulation=0.02) for hertz in (48.0, 60.0)
)

names = st.lists(st.sampled_from(sorted(WALLS)), min_size=1, max_size=3, unique=True)
lamps = st.lists(st.sampled_from(LAMPS), max_size=2, unique_by=lambda lamp: lamp.name)
angles = st.sampled_from([Fraction(90), Fraction(150), Fraction("172.8"), Fraction(300)])


def agreed(chosen, under, angle):
    plan = coded_plan(
        walls={name: WALLS[name] for name in chosen}, lamps=tuple(under), angle_deg=angle
    )
    (setup,) = plan_agreement(plan).setups
    return setup.cells[0], pair_shots(plan)


@settings(derandomize=True, deadline=None, max_examples=6)
@given(names, lamps, angles, st.sampled_from(sorted(WALLS)), st.sampled_from(LAMPS))
def test_adding_a_device_never_enlarges_what_is_safe(chosen, under, angle, wall, lamp):
    fewer, shots = agreed(chosen, under, angle)
    walls = list(dict.fromkeys([*chosen, wall]))
    more, _ = agreed(walls, [*under, *(() if lamp in under else (lamp,))], angle)
    middles = np.array([(low + high) / 2 for low, high in more.common_deg])
    ends = np.array([end for each in more.common_deg for end in each])
    assert scanned_safe(shots, middles).all()
    assert scanned_safe(shots, ends).all()
    if not fewer.common_deg:
        assert more.common_deg == ()
    if len(fewer.common_deg) < MOST_TOLD and fewer.common_deg:
        allowed = sum(high - low for low, high in fewer.common_deg)
        near = [
            (low, high) for low, high in more.common_deg
            if any(low <= end and high >= start for start, end in fewer.common_deg)
        ]
        assert sum(high - low for low, high in near) <= allowed + 2e-3 * len(near)


@settings(derandomize=True, deadline=None, max_examples=4)
@given(names, lamps, angles, st.randoms(use_true_random=False))
def test_the_order_of_devices_never_matters(chosen, under, angle, random):
    first, _ = agreed(chosen, under, angle)
    shuffled, turned = list(chosen), list(under)
    random.shuffle(shuffled)
    random.shuffle(turned)
    other, _ = agreed(shuffled, turned, angle)
    np.testing.assert_allclose(other.common_deg, first.common_deg, atol=2e-3)
    assert set(other.blocked_by) == set(first.blocked_by)
    assert other.level == first.level
    assert {frozenset(each.parts) for each in other.mends} == {
        frozenset(each.parts) for each in first.mends
    }


def test_the_order_of_cameras_never_matters():
    cameras = {
        "A": plain_camera(rows_px=200), "B": plain_camera(rows_px=300, readout_s=0.02),
    }
    told = [
        plan_agreement(coded_plan(
            walls={"a": coarse_wall(8)}, cameras={name: cameras[name] for name in order}
        )).setups[0].cells[0]
        for order in ("AB", "BA")
    ]
    assert told[0].common_deg == told[1].common_deg
    assert set(told[0].blocked_by) == set(told[1].blocked_by)


def test_the_same_work_in_processes_of_its_own_is_the_same_to_the_last_bit():
    plan = coded_plan(
        walls={name: WALLS[name] for name in ("4", "8")}, lamps=LAMPS, rates=(24, 25)
    )
    rounds = []
    alone = plan_agreement(plan, workers=1)
    both = plan_agreement(
        plan, workers=2, progress=lambda items, length: rounds.append(length) or items
    )
    assert both == alone
    assert rounds
    assert max(rounds) >= 8  # enough for a second process
