"""Defocus softens timing bands: only where focus is known, and never into safety from unknown."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose

from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Optics, Shot
from bandcheck.verdict.assess import assess
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.level import Level

RATE = Fraction(24)
STAGE = Shot(
    wall=load_wall("stage-main-2.6"), camera=load_camera("cine-a-wide"), fps=RATE, wall_fps=RATE,
    content_fps=RATE, exposure_s=Fraction(1, 50),
)
LENS = Optics(focal_mm=35, f_number=2.8, distance_mm=6000)


def at_focus(focus_mm, **changed):
    return replace(STAGE, optics=replace(LENS, focus_mm=focus_mm, **changed))


def visibility(shot):
    return wall_cells(
        shot, levels=shot.levels, exposure_s=[float(shot.exposure_s)], extremes=False
    ).visibility[:, 0]


@pytest.mark.parametrize("optics", [
    None, LENS, replace(LENS, focus_mm=4000, f_number=None),
])
def test_nothing_is_softened_while_focus_or_stop_are_not_known(optics):
    assert row_sampling(replace(STAGE, optics=optics)).softening is None


def test_more_blur_is_never_graded_worse():
    seen = [visibility(at_focus(focus)) for focus in (None, 6000, 5000, 4000, 3000, 2000, 1000)]
    assert (np.diff(seen, axis=0) <= 1e-3).all()
    assert (seen[-1] < 0.6 * seen[0]).all()


def test_light_that_all_lines_share_is_not_softened():
    for focus in (2000, 6000):
        assert_allclose(row_sampling(at_focus(focus)).softening[0], 1.0)


def test_a_wave_and_its_mirror_are_softened_alike():
    found = row_sampling(at_focus(3000)).softening
    assert len(found) == STAGE.wall.scan_lines
    assert_allclose(found[1:], found[:0:-1])


def test_unknown_stays_unknown_however_blurred():
    odd = replace(at_focus(1000), camera=replace(STAGE.camera, exposure_scheme="multi"))
    assert assess(odd, fixes=False).overall is Level.UNKNOWN or (
        assess(odd, fixes=False).overall is Level.VISIBLE
    )
    banding = assess(odd, fixes=False).findings[0].finding
    assert banding.level is Level.UNKNOWN
