"""Safe ranges of the shutter: safe to their ends, unsafe beyond, and none is missed."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import (
    FILM,
    mains_lamp,
    plain_camera,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.safe_ranges import common_ranges, null_exposures_s, source_ranges
from bandcheck.verdict.settings import safe_settings

OUTSIDE_DEG = 2e-3
FRAME_S = 1 / 24

SHOTS = {
    "locked": {},
    "wanted off the null": {"angle": Fraction("172.8")},
    "refreshes that need all day": {"wall": plain_wall(refreshes_per_frame=80)},
    "dark picture": {"levels": (1.0, 0.5, 0.12), "wall": plain_wall()},
    "whole lines": {"camera": plain_camera(shutter_whole_lines=True)},
    "mains": {"lamps": (mains_lamp(),), "angle": 144},
    "two lamps": {"lamps": (mains_lamp(), pulsed_lamp()), "angle": 144},
    "fast wall": {"wall_fps": 48, "content_fps": FILM},
    "still picture": {"content_fps": Fraction(0), "angle": 356},
    "tears": {"camera": plain_camera(readout_s=0.0205), "angle": 180},
}


def safe(shot, angles_deg):
    exposure = np.asarray(angles_deg, dtype=np.float64) / 360 / float(shot.fps)
    return exposure_grades(shot, exposure).severity == 0


@pytest.mark.parametrize("changed", SHOTS.values(), ids=SHOTS)
def test_safe_inside_and_not_beyond(changed):
    shot = plain_shot(**changed)
    ranges = safe_settings(shot).ranges
    assert ranges
    low, high = (np.array([getattr(each, end) for each in ranges])
                 for end in ("from_deg", "to_deg"))
    for share in (0, 0.25, 0.5, 0.75, 1):
        assert safe(shot, low + share * (high - low)).all()
    assert safe(shot, [each.best_deg for each in ranges]).all()
    beyond = np.concatenate([low - OUTSIDE_DEG, high + OUTSIDE_DEG])
    possible = (beyond > 0.01) & (beyond <= 360)
    assert not safe(shot, beyond[possible]).any()


@pytest.mark.parametrize("kind", [
    "locked", "refreshes that need all day", "dark picture", "whole lines", "mains", "fast wall",
])
def test_a_dense_scan_finds_nothing_that_no_range_holds(kind):
    shot = plain_shot(**SHOTS[kind])
    scan = float(shot.angle_deg) + np.arange(-300, 301) / 100
    ranges = safe_settings(shot).ranges
    held = np.zeros(scan.shape, dtype=bool)
    for each in ranges:
        held |= (scan >= each.from_deg - 5e-4) & (scan <= each.to_deg + 5e-4)
    found = safe(shot, scan)
    assert found.any()
    assert not (found & ~held).any()
    edges = np.array([[each.from_deg, each.to_deg] for each in ranges]).ravel()
    sure = np.abs(scan[:, np.newaxis] - edges).min(axis=1) > 1e-3
    assert_array_equal(found[sure], held[sure])


def test_with_lamps_the_safe_set_is_the_intersection():
    lamps = (mains_lamp(modulation=0.5), pulsed_lamp())
    shot = plain_shot(lamps=lamps, angle=144)
    both = source_ranges(shot)
    assert list(both) == ["tear", "mains lamp", "pulsed lamp", "wall"]
    common = common_ranges(both.values())
    assert common
    rng = np.random.default_rng(5)
    inside = np.concatenate([low + (high - low) * rng.random(5) for low, high in common])
    around = np.concatenate([inside, rng.uniform(0.3, 0.5, 200) * FRAME_S])
    apart = [plain_shot(lamps=(lamp,), angle=144) for lamp in lamps]
    alone = [exposure_grades(each, around).severity == 0 for each in apart]
    together = exposure_grades(shot, around).severity == 0
    assert_array_equal(together, alone[0] & alone[1])
    assert together[: inside.size].all()


def test_what_is_safe_from_the_first_to_the_last_is_one_range():
    shot = plain_shot(lamps=(mains_lamp(kind="steady", mains_hz=None),))
    ((first, last),) = source_ranges(shot)["mains lamp"]
    assert first <= FRAME_S / 360 * (1 + 1e-9)
    assert_allclose(last, FRAME_S, rtol=1e-9)


def test_nulls_hold_whole_periods():
    shot = plain_shot(lamps=(mains_lamp(mains_hz=50.0), pulsed_lamp(),
                             mains_lamp(name="dark", kind="steady", mains_hz=None)))
    nulls = null_exposures_s(shot)
    assert list(nulls) == ["wall", "mains lamp", "pulsed lamp", "dark"]
    assert_allclose(nulls["wall"] * 24 * 160, np.arange(1, 161), rtol=1e-12)
    assert_allclose(nulls["mains lamp"] * 100, [1, 2, 3, 4], rtol=1e-12)
    assert_allclose(nulls["pulsed lamp"] * 1200, np.arange(1, 51), rtol=1e-12)
    assert nulls["dark"].size == 0


def test_of_thousands_of_nulls_the_nearest_are_enough():
    quick = plain_shot(wall=plain_wall(refreshes_per_frame=2000, counts_per_refresh=32))
    nulls = null_exposures_s(quick)["wall"] * 24 * 2000
    assert nulls.size == 400
    assert_allclose(nulls, np.arange(1000 - 199, 1000 + 201), atol=1.01)


def test_ranges_have_figures_of_their_best():
    shot = plain_shot(angle=Fraction("172.8"))
    ranges = safe_settings(shot).ranges
    assert len(ranges) == 8
    stops = [abs(each.stops_from_wanted) for each in ranges]
    assert stops == sorted(stops)
    nearest = ranges[0]
    # 77 refreshes: 77 x 360 / 160 deg
    assert_allclose(nearest.best_deg, 77 * 2.25, rtol=1e-12)
    assert_allclose(nearest.stops_from_wanted, np.log2(173.25 / 172.8), rtol=1e-9)
    assert_allclose(nearest.blur, 173.25 / 180, rtol=1e-12)
    assert 0.02 < nearest.to_deg - nearest.from_deg < 0.1
    grades = exposure_grades(shot, np.array([173.25 / 8640]))
    assert_allclose(nearest.visibility_max, grades.worst_visibility[0], rtol=1e-9)
    assert nearest.dial_deg is None


def test_the_whole_frame_has_no_more_beyond():
    ranges = safe_settings(plain_shot(**SHOTS["still picture"])).ranges
    last = max(each.to_deg for each in ranges)
    assert last == 360.0
    assert all(each.to_deg <= 290.88 for each in safe_settings(plain_shot(angle=289)).ranges)


def test_intersections_by_hand():
    left, right = [(1.0, 3.0), (5.0, 8.0)], [(2.0, 6.0), (8.0, 9.0)]
    assert common_ranges([left, right]) == [(2.0, 3.0), (5.0, 6.0), (8.0, 8.0)]
    assert common_ranges([left, []]) == []
    assert common_ranges([]) == []
    assert common_ranges([right]) == right
    assert common_ranges([left, right, [(0.0, 2.5), (5.5, 10.0)]]) == [
        (2.0, 2.5), (5.5, 6.0), (8.0, 8.0),
    ]


def test_whole_lines_and_a_tear_at_every_phase_leave_no_room():
    shot = plain_shot(camera=plain_camera(shutter_whole_lines=True), genlock="free")
    assert source_ranges(shot, most=1)["tear"] == []


def test_few_ranges_are_the_nearest_of_all():
    shot = plain_shot(angle=Fraction("172.8"))
    few, every = (safe_settings(shot, most_ranges=most).ranges for most in (3, None))
    assert len(few) == 3
    np.testing.assert_allclose(
        [each.best_deg for each in few], [each.best_deg for each in every[:3]], atol=1e-3,
    )
