"""Light that changes from frame to frame, against overlaps averaged over rows and frames."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall, light_against_phase, mean_light
from plain_shots import free_wall, plain_camera, plain_shot, plain_wall

from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.frame_flicker import frame_flicker
from bandcheck.verdict.light_cases import light_cases
from bandcheck.vision.contrast_sensitivity import largest_sensitivity, picture_width_deg

LISTED = ListedWall(
    wall_fps=Fraction(60), refreshes_per_frame=8, scan_lines=4, counts_per_refresh=100
)
WALL = plain_wall(
    refreshes_per_frame=8, scan_lines=4, counts_per_refresh=100, transfer="linear"
)


def flicker(shot, exposures):
    return frame_flicker(
        shot, cases=light_cases(shot.wall, shot.wall_fps), levels=shot.levels,
        exposure_s=np.asarray(exposures),
    )


def eye(nits):
    width = picture_width_deg(view_heights=3.0, picture_aspect=16 / 9)
    return float(largest_sensitivity(luminance_nits=nits + 0.05, field_deg=width)
                 ) * nits / (nits + 0.05)


@pytest.mark.parametrize("value", [1, 3, 401])
@pytest.mark.parametrize("readout_s", [0.0, 0.004, 0.011])
def test_against_frames_that_are_added_up(value, readout_s):
    """A wall at 60 and a camera at 24: every second frame meets the wall half a frame later.

    Where the light steps from one side of its mean to the other, the harmonics that are kept swing
    past it by up to 18 % (Gibbs): never too little is told.
    """
    rows, exposure, samples = 240 if readout_s else 1, 0.0173, 1200
    phases = np.arange(samples) / samples / 60
    row_at = np.arange(rows) / rows * readout_s
    light = np.mean([
        light_against_phase(LISTED, value, phases_s=phases + at, exposure_s=exposure)
        for at in row_at
    ], axis=0) / float(mean_light(LISTED, value, exposure_s=exposure))
    differs = (light - np.roll(light, samples // 2)) / 2  # from the mean of two frames
    shot = plain_shot(
        wall_fps=60, wall=WALL, levels=(value / 800,), content_fps=Fraction(0),
        camera=plain_camera(
            rows_px=rows, readout_s=readout_s, shutter="rolling" if readout_s else "global"
        ),
    )
    expected = np.abs(differs).max() * eye(100 * value / 800)
    assert expected > (0.04 if value == 401 else 1)
    assert 0.998 < flicker(shot, [exposure])[0] / expected < (1.02 if readout_s else 1.18)


def test_frames_of_a_locked_wall_are_alike():
    exposures = np.array([0.001, 0.0173, 1 / 24])
    for wall_fps in (24, 48, 72):
        assert_array_equal(flicker(plain_shot(wall_fps=wall_fps, wall=WALL), exposures), 0)


def test_whole_wall_frames_are_alike_whatever_the_rate():
    shot = plain_shot(wall_fps=60, wall=WALL, levels=(1 / 800,))
    assert_allclose(flicker(shot, [1 / 60, 2 / 60]), 0, atol=1e-6)
    assert flicker(shot, [1 / 40])[0] > 1


def test_what_runs_free_flickers():
    exposures = np.array([1 / 48])
    locked = plain_shot(wall=plain_wall(transfer="linear"), levels=(3 / 65440,))
    for changed in (
        {"genlock": "free"}, {"wall": free_wall(transfer="linear", refresh_tolerance=0.0)},
    ):
        shot = plain_shot(**{"wall": locked.wall, "levels": locked.levels, **changed})
        assert flicker(shot, exposures)[0] > 0.3
    assert flicker(locked, exposures)[0] == 0


def test_black_and_the_grade():
    assert flicker(plain_shot(wall_fps=60, wall=WALL, levels=(0.0,)), [0.01])[0] == 0
    shot = {"wall_fps": 60, "wall": WALL, "levels": (1 / 800,)}
    once = flicker(plain_shot(**shot), [0.01, 0.02])
    assert once.shape == (2,)
    twice = flicker(plain_shot(**shot, viewing=Viewing(grade_contrast=2.0)), [0.01, 0.02])
    assert_allclose(twice, 2 * once, rtol=5e-3)


def test_the_worst_level_and_colour_are_kept():
    levels = (1 / 800, 400 / 800)
    shot = {"wall_fps": 60, "wall": WALL}
    together, *alone = (
        flicker(plain_shot(**shot, levels=each), [0.01])[0]
        for each in (levels, levels[:1], levels[1:])
    )
    assert together == max(alone)
    coloured = plain_wall(
        refreshes_per_frame=8, scan_lines=4, counts_per_refresh=100, transfer="linear",
        white_duty=(1.0, 1.0, 0.5),
    )
    dim = plain_shot(wall_fps=60, wall=coloured, levels=(2 / 800,))  # blue: one count
    white = plain_shot(wall_fps=60, wall=WALL, levels=(2 / 800,))
    assert flicker(dim, [0.0173])[0] > 1.2 * flicker(white, [0.0173])[0]
