"""Moire of a shot: every range it calls safe is looked at anew, through a fresh shot."""

from dataclasses import replace

import numpy as np
import pytest
from lens_shots import lens_shot, with_optics
from numpy.testing import assert_allclose
from plain_shots import plain_shot

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.moire_report import (
    FARTHEST_FOCUS_MM,
    graded_fringes,
    moire_report,
    nearest_distance_mm,
)
from bandcheck.verdict.moire_scene import moire_missing, moire_scene
from bandcheck.vision.level import Level, worst_level

SHOTS = {
    "facing": lens_shot(), "on the wall": lens_shot(focus_mm=6000.0),
    "turned": lens_shot(yaw_deg=25.0), "behind": lens_shot(focus_mm=15000.0, f_number=2.0),
}


def visibility(shot):
    """Worst of moire and grid."""
    grades = graded_fringes(moire_scene(shot))
    return float(np.maximum(grades.moire, grades.grid))


@pytest.mark.parametrize("shot", SHOTS.values(), ids=SHOTS)
def test_focus_is_safe_inside_every_range_and_not_just_outside(shot):
    ranges = moire_report(shot, distances=False).safe_focus_mm
    assert ranges
    wall = shot.optics.distance_mm
    nearest = nearest_distance_mm(shot.optics.focal_mm)
    for low, high in ranges:
        for focus in np.geomspace(low * (1 + 1e-9), high * (1 - 1e-9), 4):
            assert visibility(with_optics(shot, focus_mm=float(focus))) < 1
        if low > nearest * 1.001:
            assert visibility(with_optics(shot, focus_mm=low - 3e-4 * wall)) >= 1
        if high < FARTHEST_FOCUS_MM:
            assert visibility(with_optics(shot, focus_mm=high + 3e-4 * wall)) >= 1


@pytest.mark.parametrize("shot", SHOTS.values(), ids=SHOTS)
def test_no_safe_focus_is_left_out(shot):
    ranges = moire_report(shot, distances=False).safe_focus_mm
    for focus in np.geomspace(nearest_distance_mm(35) * 1.01, 1e6, 30):
        inside = any(low <= focus <= high for low, high in ranges)
        assert (visibility(with_optics(shot, focus_mm=float(focus))) < 1) is inside, focus


@pytest.mark.parametrize("shot", [SHOTS["facing"], SHOTS["on the wall"]])
def test_distances_are_safe_inside_and_not_just_outside(shot):
    present = shot.optics.distance_mm
    ranges = moire_report(shot).safe_distance_mm
    assert ranges
    on_wall = shot.optics.focus_mm == present

    def at(distance):
        moved = {"distance_mm": distance, **({"focus_mm": distance} if on_wall else {})}
        return visibility(with_optics(shot, **moved))

    for low, high in ranges:
        for distance in np.geomspace(low * (1 + 1e-9), high * (1 - 1e-9), 5):
            assert at(float(distance)) < 1
        if high < present * 29.9:
            assert at(high + 3e-3 * present) >= 1
        if low > present / 29.9:
            assert at(low - 3e-3 * present) >= 1


def test_findings_and_lines_agree():
    report = moire_report(SHOTS["facing"], distances=False)
    moire, grid = report.findings
    assert (moire.hazard, grid.hazard) == ("moire", "grid")
    assert_allclose(moire.value, report.lines.visibility[~report.lines.grid].max(), rtol=1e-9)
    assert_allclose(grid.value, report.lines.visibility[report.lines.grid].max(), rtol=1e-9)
    assert worst_level(each.level for each in report.findings) is Level.MARGINAL


def test_pitch_blur_and_rule_by_hand():
    report = moire_report(SHOTS["facing"], distances=False)
    # Focused on 4 m from the sensor: S + v = 4000, 1/S + 1/v = 1/35.
    image = (4000 - np.sqrt(4000**2 - 4 * 35 * 4000)) / 2
    wall = 6000 - image
    pitch_mm = 2.8 * image / wall
    assert_allclose(report.pitch_photosites, pitch_mm / 0.005, rtol=1e-9)
    # By similar triangles: a pupil of 35/2.8 mm, the wall sharp at 1 / (1/35 - 1/wall).
    sharp = 1 / (1 / 35 - 1 / wall)
    circle = 35 / 2.8 * (image - sharp) / sharp
    assert_allclose(report.blur_pitches, circle / pitch_mm, rtol=1e-9)
    assert_allclose(report.rule_mm, 2800, rtol=1e-12)  # common practice: 2.8 m for 2.8 mm


def test_everything_three_times_as_far_and_as_large_is_the_same():
    """Wall, distance and focus scaled; far from the lens, where the sensor's place is nothing."""
    shot = lens_shot(wall={"pitch_mm": 28.0}, distance_mm=60000.0, focus_mm=40000.0)
    small = moire_report(shot, distances=False)
    large = moire_report(
        lens_shot(wall={"pitch_mm": 84.0}, distance_mm=180000.0, focus_mm=120000.0,
                  f_number=2.8 / 3),
        distances=False,
    )
    assert_allclose(large.pitch_photosites, small.pitch_photosites, rtol=2e-3)
    assert_allclose(large.blur_pitches, small.blur_pitches, rtol=2e-3)


def test_a_figure_that_is_not_known_is_named_only_where_it_decides():
    assert moire_report(SHOTS["facing"], distances=False).to_find_out == ()
    open_fill = lens_shot(wall={"emitter_fill": None}, camera={"low_pass_px": None})
    report = moire_report(open_fill, distances=False)
    levels = set()
    for fill in (0.2, 1.0):
        for low_pass in (0.0, 0.5):
            known = lens_shot(wall={"emitter_fill": fill}, camera={"low_pass_px": low_pass})
            levels.add(worst_level(each.level for each in
                                   moire_report(known, distances=False).findings))
    assert bool(report.to_find_out) is (len(levels) > 1)
    assert report.findings[0].level in (Level.UNKNOWN, *levels)


@pytest.mark.parametrize(("changed", "name"), [
    ({"wall": {"pitch_mm": None}}, "pitch_mm"),
    ({"camera": {"columns_px": None}}, "columns_px"),
    ({"camera": {"sensor_width_mm": None}}, "sensor_width_mm"), ({"f_number": None}, "f_number"),
])
def test_what_is_missing_is_named(changed, name):
    shot = lens_shot(**changed)
    assert moire_missing(shot) == (name,)
    assert moire_report(shot) is None


def test_without_a_lens_nothing_is_said():
    assert moire_report(plain_shot()) is None
    assert {"focal_mm", "distance_m", "f_number"} <= set(moire_missing(plain_shot()))


def test_a_focus_that_is_not_known_is_the_worst_one():
    shot = SHOTS["on the wall"]
    unknown = moire_report(with_optics(shot, focus_mm=None), distances=False)
    assert unknown.findings == moire_report(shot, distances=False).findings


@pytest.mark.parametrize("changed", [
    {"focus_mm": 20.0}, {"distance_mm": 0.0}, {"f_number": 0.0}, {"yaw_deg": 90.0},
    {"focal_mm": -35.0}, {"distance_mm": float("nan")},
])
def test_optics_that_cannot_be_are_refused(changed):
    with pytest.raises(OutOfRangeError):
        moire_report(lens_shot(**changed))


def test_more_room_for_doubt_makes_less_of_the_focus_safe():
    shot = SHOTS["facing"]
    strict = replace(shot, viewing=replace(shot.viewing, safe_below=0.5))
    wide, narrow = (
        sum(np.log(high / low) for low, high in moire_report(each, distances=False).safe_focus_mm)
        for each in (shot, strict)
    )
    assert narrow < wide
