"""A map of moire: every cell is the verdict on that geometry."""

from multiprocessing import active_children

import numpy as np
import pytest
from lens_shots import lens_shot, with_optics
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import plain_shot

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict import moire_map as moire_map_module
from bandcheck.verdict.moire_map import USUAL_FOCAL_MM, moire_map
from bandcheck.verdict.moire_report import graded_fringes, moire_report, nearest_distance_mm
from bandcheck.verdict.moire_scene import moire_scene
from bandcheck.vision.level import Level, worst_level

OTHER = {"focus": "focus_mm", "focal": "focal_mm"}


@pytest.mark.parametrize("kind", OTHER)
@pytest.mark.parametrize("shot", [lens_shot(), lens_shot(yaw_deg=-20.0, f_number=4.0)])
def test_a_cell_is_the_verdict_on_that_geometry(kind, shot):
    found = moire_map(shot, kind=kind, size=9)
    for row, column in [(2, 7), (4, 4), (8, 1)]:
        there = with_optics(shot, **{
            OTHER[kind]: float(found.other_mm[row]), "distance_mm": float(found.distance_mm[column])
        })
        if np.isnan(found.moire[row, column]):
            optics = there.optics
            nearest = nearest_distance_mm(optics.focal_mm)
            assert min(optics.distance_mm, optics.focus_mm) <= nearest * (1 + 1e-12)
            continue
        grades = graded_fringes(moire_scene(there))
        assert_array_equal(found.moire[row, column], grades.moire)
        assert_array_equal(found.grid[row, column], grades.grid)
        findings = moire_report(there, distances=False).findings
        level = worst_level(each.level for each in findings)
        assert Level.of_severity(int(found.severity[row, column])) is level


@pytest.mark.parametrize("kind", OTHER)
def test_axes_hold_the_shot_and_are_even_in_their_logarithm(kind):
    shot = lens_shot()
    found = moire_map(shot, kind=kind, size=7)
    for axis, here in zip((found.distance_mm, found.other_mm), found.here, strict=True):
        assert axis[0] < here < axis[-1]
        steps = np.diff(np.log(axis))
        assert_allclose(steps, steps[0], rtol=1e-9)
    assert found.here == (6000.0, 4000.0 if kind == "focus" else 35.0)
    assert found.moire.shape == found.grid.shape == found.severity.shape == (7, 7)


def test_a_focal_length_beyond_the_usual_widens_the_map():
    shot = lens_shot(focal_mm=300.0, distance_mm=30000.0, focus_mm=25000.0)
    found = moire_map(shot, kind="focal", size=5)
    assert_allclose(found.other_mm[[0, -1]], [USUAL_FOCAL_MM[0], 300.0])


def test_what_no_lens_can_do_is_unknown_and_has_no_figure():
    found = moire_map(lens_shot(distance_mm=700.0, focus_mm=700.0), kind="focal", size=12)
    cannot = found.distance_mm <= nearest_distance_mm(found.other_mm)[:, np.newaxis]
    cannot |= (nearest_distance_mm(found.other_mm) >= 700.0)[:, np.newaxis]
    assert cannot.any()
    assert_array_equal(np.isnan(found.moire), cannot)
    assert_array_equal(np.isnan(found.grid), cannot)
    assert (found.severity[cannot] == Level.UNKNOWN.severity).all()


def test_progress_is_told():
    told = []

    def progress(done, length):
        for each in done:
            told.append(length)
            yield each

    moire_map(lens_shot(), kind="focus", size=6, progress=progress)
    assert told == [1]


@pytest.fixture
def small_is_large(monkeypatch):
    monkeypatch.setattr(moire_map_module, "_FEW_PLACES", 0)
    monkeypatch.setattr(moire_map_module, "_CELLS_AT_ONCE", 20)


def test_two_processes_give_the_bits_of_one(small_is_large):
    shot = lens_shot(yaw_deg=12.0)
    alone, together = (
        moire_map(shot, kind="focus", size=8, workers=workers) for workers in (1, 2)
    )
    for name in ("moire", "grid", "severity"):
        assert_array_equal(getattr(together, name), getattr(alone, name), name)
    assert active_children() == []


def test_an_interrupted_map_leaves_no_process_behind(small_is_large):
    def interrupted(done, length):
        yield next(done)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        moire_map(lens_shot(), kind="focus", size=8, workers=2, progress=interrupted)
    assert active_children() == []


def test_without_a_lens_there_is_no_map():
    with pytest.raises(OutOfRangeError, match="a lens"):
        moire_map(plain_shot(), kind="focus")
