"""Who sees the fringes: sensitivity, grades of maps, and what unknown figures do to them."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moire_cases import VIEWER, a_lattice, a_sensor, arrangement
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.moire import (
    Viewer,
    fringe_grades,
    fringe_sensitivity,
    moire_findings,
    moire_lines,
    open_figures,
    open_severity,
)
from bandcheck.imaging.sampling import COLOURS
from bandcheck.imaging.unknowns import UNKNOWN_EMITTER_FILL
from bandcheck.vision.chroma_sensitivity import chroma_sensitivity
from bandcheck.vision.contrast_sensitivity import barten_1999_sensitivity, picture_width_deg
from bandcheck.vision.level import Level

LIMITS = {"safe_below": 1.0, "visible_from": 8.0}
HEIGHT_DEG = np.degrees(2 * np.arctan(1 / 6))
FIELD_DEG = float(picture_width_deg(view_heights=3, picture_aspect=16 / 9))


def grades(viewer=VIEWER, **given):
    return fringe_grades(**arrangement(**given), viewer=viewer)


def sensitivity(lowest, highest=None, colour=0, viewer=VIEWER):
    low = np.atleast_1d(np.asarray(lowest, dtype=float))
    high = low if highest is None else np.atleast_1d(np.asarray(highest, dtype=float))
    return fringe_sensitivity(low, high, np.full(low.shape, colour, dtype=np.int8), viewer=viewer)


def luma(cycles_per_degree, nits=100.05):
    return barten_1999_sensitivity(
        cycles_per_degree=cycles_per_degree, luminance_nits=nits, field_deg=FIELD_DEG)


def test_luma_is_seen_with_bartens_sensitivity_thinned_by_flare():
    cycles = np.array([5.0, 60.0, 400.0])
    assert_allclose(sensitivity(cycles), luma(cycles / HEIGHT_DEG) * 100 / 100.05, rtol=1e-9)


@given(lowest=st.floats(0, 900), more=st.floats(0, 300))
@settings(derandomize=True, deadline=None)
def test_of_a_range_of_frequencies_the_best_seen_counts(lowest, more):
    walk = np.linspace(lowest, lowest + more, 400)
    for colour in range(len(COLOURS)):
        best = sensitivity(lowest, lowest + more, colour)
        assert_allclose(best, sensitivity(walk, colour=colour).max(), rtol=3e-3)


@pytest.mark.parametrize(("colour", "luminance", "red_green", "blue_yellow"), [
    ("red-blue", 0.2126 - 0.0722, None, None), ("green-magenta", 2 * 0.7152 - 1, None, None),
])
def test_colour_is_seen_by_whichever_channel_sees_it_best(
    colour, luminance, red_green, blue_yellow,
):
    """Far apart fringes by their colour, fine ones by what they do to luminance."""
    index = COLOURS.index(colour)
    fine = 20 * HEIGHT_DEG
    assert_allclose(sensitivity(fine, colour=index),
                    abs(luminance) * sensitivity(fine), rtol=2e-3)
    coarse = 0.3 * HEIGHT_DEG
    by_colour = max(
        chroma_sensitivity(axis=axis, cycles_per_degree=0.3, luminance_nits=100.05,
                           white_nits=100.05) for axis in ("red-green", "blue-yellow"))
    assert abs(luminance) * sensitivity(coarse)[0] < sensitivity(coarse, colour=index)[0]
    assert sensitivity(coarse, colour=index)[0] < 2 * by_colour


def test_the_viewers_settings_count():
    near = Viewer(view_heights=1.5)
    assert sensitivity(400.0, viewer=near) > sensitivity(400.0)
    assert_allclose(sensitivity(60.0, viewer=Viewer(grade_contrast=2.0)), 2 * sensitivity(60.0))
    dim = Viewer(luminance_nits=1.0, flare_nits=1.0)
    assert_allclose(sensitivity(60.0, viewer=dim), luma(60 / HEIGHT_DEG, nits=2.0) / 2, rtol=1e-9)


def test_grades_are_the_worst_rows_of_the_table():
    given = arrangement(yaw_deg=20.0)
    table = moire_lines(**given, viewer=VIEWER)
    found = fringe_grades(**given, viewer=VIEWER)
    assert_allclose(found.grid, table.visibility[table.grid].max(), rtol=1e-9)
    assert_allclose(found.moire, table.visibility[~table.grid].max(), rtol=1e-9)
    assert_array_equal(found.moire, found.moire_least)
    assert found.moire.shape == ()


def test_visibility_of_a_facing_wall_is_contrast_times_sensitivity():
    table = moire_lines(**arrangement(), viewer=VIEWER)
    row = table[(table.m == 0) & (table.n == 1) & table.grid]
    cycles = abs(row.fringes_per_height)
    image = 1 / (1 / 35 - 1 / (2500 + np.sqrt(2500**2 - 5000 * 35)))
    change = 60 / (6000 - image)  # 1 % of the distance, which is from the sensor
    best = sensitivity(cycles * (1 - change), cycles * (1 + change))
    assert_allclose(row.visibility, row.graded_contrast * best, rtol=1e-9)


def test_a_map_grades_the_focus_and_the_distance():
    """Safe out of focus, visible in focus, the ridge along focus = distance."""
    distance = np.linspace(5000, 8000, 7)
    focus = np.linspace(2000, 8000, 25)
    found = grades(distance_mm=distance[:, None], focus_mm=focus, focal_mm=50.0, f_number=2.0)
    both = np.maximum(found.moire, found.grid)
    assert both.shape == (7, 25)
    ridge = focus[both.argmax(axis=1)]
    assert_allclose(ridge, distance, atol=500)
    severity = open_severity(largest=both, least=both, **LIMITS)
    assert (severity[:, 0] == Level.SAFE.severity).all()
    assert (severity.max(axis=1) == Level.VISIBLE.severity).all()
    assert (np.diff(both[:, :5], axis=1) > 0).all(), "nearing focus, always worse"


@pytest.mark.parametrize("fill", [0.2, 0.35, 0.5, 0.65])
def test_an_unknown_fill_is_graded_at_its_worst(fill):
    assert fill in UNKNOWN_EMITTER_FILL
    unknown = grades(lattice=a_lattice(emitter_fill=None))
    known = grades(lattice=a_lattice(emitter_fill=fill))
    assert unknown.moire_least <= known.moire <= unknown.moire
    assert unknown.grid_least <= known.grid <= unknown.grid


def test_an_unknown_mosaic_may_be_either():
    either, bayer, none = (grades(sensor=a_sensor(mosaic=mosaic))
                           for mosaic in (None, "bayer", "none"))
    assert_array_equal(either.moire, bayer.moire)
    assert_array_equal(either.moire_least, none.moire)
    assert none.moire < bayer.moire
    assert not none.found.colour.any()


def test_unknown_only_where_the_range_changes_the_level():
    unknown = {"lattice": a_lattice(emitter_fill=None, emitter_shape=None),
               "sensor": a_sensor(low_pass_px=None, photosite_fill=None)}
    focus = np.array([13000.0, 10400.0, 2600.0])
    set_up = {**unknown, "focal_mm": 50.0, "f_number": 2.0, "distance_mm": 13000.0}
    found = grades(**set_up, focus_mm=focus)
    severity = open_severity(largest=found.moire, least=found.moire_least, **LIMITS)
    assert [Level.of_severity(int(each)) for each in severity] == [
        Level.VISIBLE, Level.UNKNOWN, Level.SAFE]
    named = open_figures(found, lattice=unknown["lattice"], sensor=unknown["sensor"], **LIMITS)
    assert named == ("emitter_fill", "emitter_shape", "low_pass_px", "photosite_fill")
    safe = grades(**set_up, focus_mm=2600.0)
    assert open_figures(safe, lattice=unknown["lattice"], sensor=unknown["sensor"],
                        **LIMITS) == ()


def test_an_unknown_shape_alone_is_named_where_it_decides():
    lattices = {shape: a_lattice(emitter_shape=shape) for shape in ("square", "disc", None)}
    square, disc, either = (grades(lattice=each) for each in lattices.values())
    assert square.moire != disc.moire
    between = float(square.moire + disc.moire) / 2
    for limit, named in ((between, ("emitter_shape",)), (2 * between, ())):
        assert open_figures(
            either, lattice=lattices[None], sensor=a_sensor(), safe_below=limit,
            visible_from=10 * limit,
        ) == named


def test_the_mosaic_is_named_where_it_decides():
    sensor = a_sensor(mosaic=None)
    found = grades(sensor=sensor, distance_mm=6000.0, focus_mm=6000.0)
    assert open_figures(found, lattice=a_lattice(), sensor=sensor, **LIMITS) == ("mosaic",)


def test_open_severity():
    found = open_severity(largest=np.array([0.5, 3.0, 3.0, 9.0, 9.0]),
                          least=np.array([0.1, 2.0, 0.5, 8.0, 2.0]), **LIMITS)
    assert [Level.of_severity(int(each)) for each in found] == [
        Level.SAFE, Level.MARGINAL, Level.UNKNOWN, Level.VISIBLE, Level.UNKNOWN]


@pytest.mark.parametrize(("given", "levels", "reasons"), [
    ({"focus_mm": 900.0, "focal_mm": 50.0}, (Level.SAFE, Level.SAFE),
     ("below_threshold", "below_threshold")),
    ({"focus_mm": 6000.0}, (Level.VISIBLE, Level.MARGINAL), ("colour_fringes", "grid_resolved")),
    ({"focus_mm": 6000.0, "sensor": a_sensor(mosaic="none", low_pass_px=0), "distance_mm": 15000.0,
      "focal_mm": 40.0}, (Level.VISIBLE, Level.SAFE), ("luma_fringes", "below_threshold")),
])
def test_findings(given, levels, reasons):
    if given["focus_mm"] == 6000.0:
        given = {**given, "focus_mm": given.get("distance_mm", 6000.0)}
    moire, grid = moire_findings(grades(**given), **LIMITS)
    assert (moire.hazard, grid.hazard) == ("moire", "grid")
    assert (moire.level, grid.level) == levels
    assert (moire.reason, grid.reason) == reasons
    assert moire.value == moire.figures["largest_visibility"]


def test_an_open_finding_has_no_value_but_both_ends():
    found = grades(lattice=a_lattice(emitter_fill=None), sensor=a_sensor(low_pass_px=None),
                   focus_mm=4700.0, focal_mm=50.0, f_number=2.0)
    moire, _ = moire_findings(found, **LIMITS)
    assert moire.level is Level.UNKNOWN
    assert moire.value is None
    assert moire.figures["least_visibility"] < moire.figures["largest_visibility"]


@pytest.mark.parametrize(("name", "value"), [
    ("distance_mm", 0.0), ("focus_mm", 20.0), ("f_number", 0.0), ("yaw_deg", 90.0),
    ("focal_mm", np.nan), ("tilt_deg", -90.0),
])
def test_optics_that_cannot_be_are_refused(name, value):
    for question in (fringe_grades, moire_lines):
        with pytest.raises(OutOfRangeError, match=name):
            question(**arrangement(**{name: value}), viewer=VIEWER)


def test_nan_where_the_wall_is_not_seen_is_no_fringe():
    turned = grades(yaw_deg=80.0, focal_mm=12.0, focus_mm=5000.0)
    assert np.isfinite(turned.moire)
    assert np.isfinite(turned.grid)
    assert partial(fringe_sensitivity, viewer=VIEWER)(
        np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int8)).shape == (0,)
