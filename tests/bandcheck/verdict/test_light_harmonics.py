"""Harmonics as rows and viewer meet them, and what the ones left out are worth."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import (
    FILM,
    free_wall,
    global_camera,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)

from bandcheck.light.pulse_train import single_level
from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.light_harmonics import level_harmonics, standing_pattern
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.verdict.wall_cells import wall_cells


def harmonics_of(shot, count, viewing=Viewing()):  # noqa: B008
    case = light_cases(shot.wall, shot.wall_fps)[0]
    train = next(single_level(case.train(np.array([count]), min_pulse_counts=1)))
    return level_harmonics(
        train, case=case, rows=row_sampling(shot), luminance_nits=20.0, viewing=viewing
    )


def pattern(repeats=1, **changed):
    shot = plain_shot(**changed)
    return standing_pattern(
        light_cases(shot.wall, shot.wall_fps)[0], row_sampling(shot), repeats
    )


def test_which_harmonics_stand():
    assert pattern() == pattern(wall_fps=48) == 1
    assert pattern(wall_fps=60) == 2  # 60 against 24: every second harmonic
    assert pattern(wall_fps=60, repeats=4) == 1  # 240 Hz: all of them
    assert pattern(wall_fps=36, repeats=3) == 2
    assert pattern(wall_fps=16) == 3
    assert pattern(genlock="free") is None
    assert pattern(wall=free_wall()) is None


def test_the_cycle_of_a_gray_value_is_as_short_as_it_can_be():
    white = harmonics_of(plain_shot(), 160 * 409)
    assert_allclose(white.light_hz[:2], [3840, 7680], rtol=1e-12)
    assert harmonics_of(plain_shot(), 40).light_hz[0] == pytest.approx(960)
    assert harmonics_of(plain_shot(), 41).light_hz[0] == pytest.approx(24)
    half = harmonics_of(plain_shot(wall_fps=60), 41)
    assert_array_equal(half.standing, np.arange(half.standing.size) % 2 == 1)
    assert white.standing.all()


def test_the_contrast_that_is_graded_weighs_the_same_in_all():
    once, twice = (
        harmonics_of(plain_shot(), 41, Viewing(grade_contrast=times)) for times in (1.0, 2.0)
    )
    assert_allclose(twice.sensitivity, 2 * once.sensitivity, rtol=1e-12)
    assert_array_equal(twice.relative, once.relative)
    flare = harmonics_of(plain_shot(), 41, Viewing(flare_nits=20.0))
    assert flare.sensitivity[4] < once.sensitivity[4]


def test_up_to_which_harmonic():
    for camera, highest_hz in (
        (plain_camera(), 2.5 * 2160 / 0.008), (global_camera(), 2.5 * 24 * 160 * 16),
    ):
        found = harmonics_of(plain_shot(camera=camera), 41)
        assert found.light_hz[-1] <= highest_hz < found.light_hz[-1] + 24.001


def test_the_mean_of_lines_has_less_of_each_harmonic():
    shot = plain_shot(
        wall=plain_wall(pitch_mm=0.5), camera=plain_camera(sensor_height_mm=13.8),
        optics=plain_optics(focus_mm=None),
    )
    rows = row_sampling(shot)
    assert 2 < rows.wall_rows_per_row < 3
    one = harmonics_of(plain_shot(), 160 * 409)
    two = level_harmonics(
        next(single_level(light_cases(shot.wall, FILM)[0].train(
            np.array([160 * 409]), min_pulse_counts=1
        ))),
        case=light_cases(shot.wall, FILM)[0], rows=replace(rows, softening=None),
        luminance_nits=20.0, viewing=Viewing(),
    )
    # two lines a sixteenth of a refresh apart: cos(pi h / 16)
    number = np.arange(1, 17)
    assert_allclose(
        np.abs(two.relative[:16]), np.abs(one.relative[:16] * np.cos(np.pi * number / 16)),
        atol=1e-12,
    )


@pytest.mark.parametrize("wall", ["stage-main-2.6", "studio-1.2", "stage-quiet-1.9"])
def test_no_rate_inside_the_tolerance_has_more(wall):
    """For all that the harmonics above the highest that is kept would add; found: 0.5 %."""
    angles, levels = np.array([180, 172.8, 180.02, 180.1, 45]), [1.0, 0.5, 0.18, 0.1]
    shot = plain_shot(
        wall=load_wall(wall), camera=load_camera("cine-a-wide"), optics=plain_optics(),
        genlock="free",
    )
    tolerance = row_sampling(shot).rate_tolerance
    assert tolerance > 0
    told = wall_cells(shot, levels=levels, exposure_s=angles / 8640, extremes=False).visibility
    for share in (-1.0, -0.4, 0.0, 0.3, 0.7):
        inside = wall_cells(
            shot, levels=levels, exposure_s=angles / 8640 * (1 + share * tolerance),
            extremes=False, nominal=True,
        ).visibility
        assert (told > inside * 0.99 - 1e-3).all()
