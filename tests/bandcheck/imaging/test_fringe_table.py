"""The table of fringes: symmetries, units, and what must not be in it."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moire_cases import VIEWER, a_lattice, a_sensor, arrangement
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.moire import fringe_sensitivity
from bandcheck.imaging.fringe_table import fringe_table
from bandcheck.imaging.sampling import COLOURS


def table_of(lattice=None, sensor=None, **standpoint):
    return fringe_table(**arrangement(lattice=lattice, sensor=sensor, **standpoint),
                        picture_aspect=VIEWER.picture_aspect,
                        sensitivity=partial(fringe_sensitivity, viewer=VIEWER))


def same_lines(first, second, **tolerance):
    """Visibility and contrast alike, whichever way the lines are numbered."""
    for name in ("visibility", "graded_contrast", "contrast"):
        assert_allclose(np.sort(getattr(first, name)), np.sort(getattr(second, name)), **tolerance)


TURNED = {"yaw_deg": 25.0, "tilt_deg": -8.0, "roll_deg": 12.0}


def test_lines_of_a_facing_wall_by_hand():
    """2.6 mm at 6 m: the wall's first line in cycles per photosite, and what folds from it."""
    table = table_of()
    image = 1 / (1 / 35 - 1 / (2500 + np.sqrt(2500**2 - 5000 * 35)))
    first = 0.005 * (6000 - image) / (2.6 * image)
    grid = table[(table.m == 1) & (table.n == 0) & table.grid]
    assert_allclose([grid.kx, grid.ky], [[first], [0]], rtol=1e-9)
    assert_allclose(grid.fringes_per_width, 4096 * first, rtol=1e-9)
    fringe = table[(table.m == 1) & (table.n == 0) & (table.colour == 1)]
    assert_allclose(fringe.kx, first - 0.5, rtol=1e-9)
    assert_allclose(fringe.direction_deg, 90)
    second = table[(table.m == 0) & (table.n == 2) & (table.colour == 0)]
    assert_allclose(second.ky, 2 * first - 1, rtol=1e-9)
    assert_allclose(second.fringes_per_height, 2304 * (2 * first - 1), rtol=1e-9)
    assert_allclose(second.direction_deg, 0)
    assert not second.grid
    assert (np.diff(table.visibility) <= 0).all()


@pytest.mark.parametrize(("m", "n", "direction"), [(1, 0, 70.0), (0, 1, 160.0)])
def test_stripes_run_where_the_wall_is_rolled_to(m, n, direction):
    """A wall turned clockwise by 20 degrees: its columns lean to the right at the top."""
    table = table_of(roll_deg=20.0, distance_mm=4000.0)
    line = table[(table.m == m) & (table.n == n) & table.grid]
    assert_allclose(line.direction_deg, direction, rtol=1e-6)


@pytest.mark.parametrize("curved", [{}, {"cabinet_angle_deg": 5.0, "cabinet_columns_px": 192}])
def test_a_mirror_changes_nothing_but_the_side(curved):
    lattice = a_lattice(**curved)
    left = table_of(lattice, **TURNED)
    right = table_of(lattice, yaw_deg=-25.0, tilt_deg=-8.0, roll_deg=-12.0)
    same_lines(left, right, rtol=1e-6, atol=1e-9)
    assert_allclose(left.worst_across[0], -right.worst_across[0])
    assert_allclose(left.worst_down[0], right.worst_down[0])


def test_a_quarter_turn_of_a_facing_wall_changes_nothing():
    upright = table_of(roll_deg=12.0)
    same_lines(upright, table_of(roll_deg=102.0), rtol=1e-6, atol=1e-9)
    same_lines(upright, table_of(roll_deg=-78.0), rtol=1e-6, atol=1e-9)


@given(scale=st.floats(0.6, 1.9))
@settings(derandomize=True, deadline=None, max_examples=15)
def test_all_lengths_scaled_alike_change_nothing(scale):
    plain = table_of(**TURNED)
    scaled = table_of(
        a_lattice(pitch_mm=2.6 * scale), a_sensor(width_mm=4096 * 5e-3 * scale),
        focal_mm=35 * scale, distance_mm=6000 * scale, focus_mm=5000 * scale,
        wavelength_um=0.55 * scale, **TURNED)
    same_lines(plain, scaled, rtol=1e-6, atol=1e-9)


def test_a_monochrome_sensor_has_no_colour_fringes():
    for mosaic, colours in (("bayer", {0, 1, 2}), ("none", {0}), (None, {0, 1, 2})):
        assert set(table_of(sensor=a_sensor(mosaic=mosaic), **TURNED).colour) == colours
    assert COLOURS[0] == "luma"


def test_beyond_the_lens_cutoff_there_is_nothing():
    far = {"distance_mm": 2e5, "focus_mm": 2e5, "focal_mm": 14.0, "f_number": 11.0}
    assert table_of(**far).m.size == 0
    assert table_of(**{**far, "distance_mm": 5000.0}).m.size > 0


@given(distance=st.floats(1500, 12000), focus=st.floats(1000, 20000), yaw=st.floats(-50, 50),
       number=st.floats(1.2, 16))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_graded_contrast_is_never_below_the_expected(distance, focus, yaw, number):
    table = table_of(distance_mm=distance, focus_mm=focus, yaw_deg=yaw, f_number=number)
    assert (table.graded_contrast >= table.contrast * (1 - 1e-9)).all()
    assert (table.visibility >= 0).all()
    assert np.isfinite(table.kx).all()
    assert (np.abs([table.kx, table.ky]) <= 0.5).all()


def test_the_worst_place_of_a_curved_wall_is_named():
    """Focus nearer than the middle of a concave wall: its sides, which come nearer, are sharp."""
    concave = a_lattice(cabinet_angle_deg=10.0, cabinet_columns_px=96)
    table = table_of(concave, distance_mm=3000.0, focus_mm=2700.0, f_number=1.4)
    grid = table[(table.m == 0) & (table.n == 1) & table.grid]
    assert_array_equal(np.abs(grid.worst_across), 1)
    assert grid.graded_contrast > 5 * grid.contrast
    convex = a_lattice(cabinet_angle_deg=-10.0, cabinet_columns_px=96)
    table = table_of(convex, distance_mm=3000.0, focus_mm=2700.0, f_number=1.4)
    grid = table[(table.m == 0) & (table.n == 1) & table.grid]
    assert_array_equal(grid.worst_across, 0)


def test_a_fringe_that_misses_the_middle_has_no_contrast_there():
    table = table_of(**{**TURNED, "yaw_deg": 45.0})
    here = table[(table.m == 1) & (table.n == 0) & (table.colour == 0)]
    assert sorted(here.grid) == [False, True], "resolved on one side of the frame only"
    assert (here.contrast == 0).sum() == 1
    assert (here.graded_contrast > 0).all()


def test_what_is_not_known_is_shown_at_its_worst():
    known = [table_of(sensor=a_sensor(low_pass_px=shift), **TURNED) for shift in (0.0, 0.35, 0.7)]
    open_shift = table_of(sensor=a_sensor(low_pass_px=None), **TURNED)
    assert_array_equal(open_shift.visibility[0], max(each.visibility[0] for each in known))


def test_one_standpoint_at_a_time():
    with pytest.raises(OutOfRangeError, match="one at a time"):
        table_of(distance_mm=[4000.0, 5000.0])
