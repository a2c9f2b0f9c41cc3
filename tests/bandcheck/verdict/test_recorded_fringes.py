"""Grid and moire of a recorded frame: the frequency and contrast that they are computed to have."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
from numpy.testing import assert_allclose

from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Optics, Shot
from bandcheck.verdict.moire_report import moire_report
from bandcheck.verdict.recorded_fringes import fringe_factor

RATE = Fraction(24)
SHOT = Shot(
    wall=load_wall("side-2.8"), camera=load_camera("cine-a-wide"), fps=RATE, wall_fps=RATE,
    content_fps=RATE, exposure_s=Fraction(1, 48),
    optics=Optics(focal_mm=35, f_number=2.8, distance_mm=6000, focus_mm=5000),
)
SIZE = 2048
PLACES = (np.arange(SIZE) + 0.5) / SIZE


def test_nothing_without_optics():
    assert fringe_factor(replace(SHOT, optics=None), across=PLACES, down=PLACES) is None


def test_a_transform_of_the_picture_finds_the_fringes_of_the_table():
    factor = fringe_factor(SHOT, across=PLACES, down=PLACES[:1])
    lines = moire_report(SHOT, distances=False).lines
    level = lines[(np.abs(lines.fringes_per_height) < 0.5) & (lines.contrast > 1e-3)
                  & (np.abs(lines.fringes_per_width) < 0.45 * SIZE)]
    assert level.m.size
    window = np.hanning(SIZE)
    spectrum = np.abs(np.fft.rfft((factor[0, :, 1] - 1) * window)) / window.sum() * 2
    strongest = level[level.colour == 0]
    for wave, contrast in zip(
        np.abs(strongest.fringes_per_width), strongest.contrast, strict=True
    ):
        place = round(float(wave))
        found = spectrum[max(0, place - 2) : place + 3].max()
        left = abs(np.sinc(wave / SIZE))
        assert found > 0.5 * contrast * left


def test_mean_light_is_kept_and_gain_multiplies():
    plain, strong = (
        fringe_factor(SHOT, across=PLACES, down=PLACES[:16], gain=gain) for gain in (1.0, 3.0)
    )
    assert_allclose(plain.mean(), 1.0, atol=2e-3)
    # no light is negative, however large the gain
    assert_allclose(strong - 1, np.maximum(3 * (plain - 1), -1.0), atol=1e-12)


def test_a_sensor_without_a_mosaic_shows_no_colour():
    gray = replace(SHOT, camera=replace(SHOT.camera, mosaic="none"))
    factor = fringe_factor(gray, across=PLACES[:64], down=PLACES[:64])
    assert_allclose(factor[..., 0], factor[..., 1], atol=1e-15)
    assert_allclose(factor[..., 2], factor[..., 1], atol=1e-15)
