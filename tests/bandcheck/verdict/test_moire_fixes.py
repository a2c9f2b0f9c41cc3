"""What to change about moire: every change is made, and the shot looked at anew."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from lens_shots import lens_shot, with_optics
from numpy.testing import assert_allclose
from plain_shots import plain_shot

from bandcheck.verdict.moire_fixes import moire_fixes
from bandcheck.verdict.moire_report import moire_report
from bandcheck.vision.level import Level, worst_level

MENDABLE = {
    "facing": lens_shot(), "on the wall": lens_shot(focus_mm=6000.0),
    "focus not known": lens_shot(focus_mm=None), "turned": lens_shot(yaw_deg=25.0),
    "delivered smaller": lens_shot(camera={"delivery_columns_px": 2048}),
}


@cache
def fixes_of(name):
    return moire_fixes(MENDABLE[name])


def made(shot, fix):
    """The shot with a change."""
    if fix.change == "delivery_filter":
        return replace(shot, camera=replace(shot.camera, delivery_filter=fix.value))
    moved = {fix.change: fix.value}
    if fix.change == "distance_mm" and shot.optics.focus_mm == shot.optics.distance_mm:
        moved["focus_mm"] = fix.value  # a focus on the wall goes along with it
    return with_optics(shot, **moved)


def looked_at(shot):
    """Level and largest visibility of a shot."""
    findings = moire_report(shot, distances=False).findings
    largest = max(each.figures["largest_visibility"] for each in findings)
    return worst_level(each.level for each in findings), largest


@pytest.mark.parametrize("name", MENDABLE)
def test_every_change_does_what_it_says(name):
    shot, fixes = MENDABLE[name], fixes_of(name)
    assert fixes
    for fix in fixes:
        level, largest = looked_at(made(shot, fix))
        assert level is fix.level is fix.mended, fix.change
        assert_allclose(largest, fix.visibility, rtol=1e-9)
    assert {fix.level for fix in fixes} == {Level.SAFE}


@pytest.mark.parametrize("name", MENDABLE)
def test_the_least_change_comes_first_and_no_kind_twice_the_same_way(name):
    shot, fixes = MENDABLE[name], fixes_of(name)
    efforts = [fix.figures["effort"] for fix in fixes]
    assert efforts == sorted(efforts)
    optics = {"focus_mm": shot.optics.focus_mm or shot.optics.distance_mm,
              "f_number": shot.optics.f_number, "distance_mm": shot.optics.distance_mm,
              "focal_mm": shot.optics.focal_mm, "roll_deg": shot.optics.roll_deg}
    ways = [(fix.change, fix.change in optics and fix.value > optics[fix.change])
            for fix in fixes]
    assert len(ways) == len(set(ways))
    for fix in fixes:
        if fix.change.endswith("_mm"):
            assert_allclose(fix.figures["effort"],
                            abs(np.log2(fix.value / optics[fix.change])), rtol=1e-12)


def test_what_is_safe_or_not_known_needs_no_mending():
    safe = lens_shot(focus_mm=1000.0)
    assert looked_at(safe)[0] is Level.SAFE
    assert moire_fixes(safe) == ()
    assert moire_fixes(plain_shot()) == ()
    assert moire_fixes(lens_shot(wall={"pitch_mm": None})) == ()


def test_where_nothing_leads_to_safe_what_helps_most_is_told():
    # A wall seen from 2 m through a stop so small that focus does nothing.
    coarse = lens_shot(wall={"pitch_mm": 10.0}, distance_mm=2000.0, focus_mm=2000.0, f_number=64.0)
    fixes = moire_fixes(coarse)
    before = looked_at(coarse)
    assert len(fixes) <= 3 or all(fix.level is Level.SAFE for fix in fixes)
    for fix in fixes:
        assert (fix.level, fix.visibility) < before
