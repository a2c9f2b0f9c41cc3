"""Grid and moire of a recorded frame: the frequency and contrast that a camera would record."""

from dataclasses import replace

import numpy as np
import pytest
from brute_image import Photograph, colour_planes, strongest_sines
from lens_shots import lens_shot
from numpy.testing import assert_allclose
from plain_shots import plain_shot

from bandcheck.imaging.blur import emitter_amplitude
from bandcheck.verdict.moire_report import moire_report
from bandcheck.verdict.recorded_fringes import fringe_factor

COLUMNS, ROWS = 4096, 2160
TURNED = Photograph(
    distance=11375.0, focus=10111.0, f_number=5.6, yaw=22.0, tilt=5.0, roll=6.0)
"""2.6 mm LEDs through 35 mm: 1.6 photosites of 5 um apart in the middle, focused in front."""

MIDDLE = (0.0, 0.0)
PLACES = [MIDDLE, (-1500.0, 600.0), (1500.0, -700.0), (-1800.0, -900.0), (1900.0, 1000.0)]


def shot_of(photo, **camera):
    return lens_shot(
        wall={"pitch_mm": photo.pitch, "emitter_fill": photo.fill},
        camera={"low_pass_px": photo.low_pass, "photosite_fill": photo.photosite_fill,
                "mosaic": "none", **camera},
        focal_mm=photo.focal, f_number=photo.f_number, distance_mm=photo.distance,
        focus_mm=photo.focus, yaw_deg=photo.yaw, tilt_deg=photo.tilt, roll_deg=photo.roll)


def patch(shot, place, size=96, gain=1.0):
    """Photosites around a place, counted from the middle of the frame."""
    across, down = (
        0.5 + (np.arange(size) + 0.5 - size / 2 + middle) / count
        for middle, count in zip(place, (COLUMNS, ROWS), strict=True))
    return fringe_factor(shot, across=across, down=down, gain=gain)


def assert_same_sines(ours, theirs, allowed):
    """Frequencies to what a drift over 96 photosites leaves, contrast to the closed defocus form.

    A sine and its mirror image are one.
    """
    for kx, ky, strength in theirs:
        off = [min(np.hypot(kx - x, ky - y), np.hypot(kx + x, ky + y)) for x, y, _ in ours]
        nearest = int(np.argmin(off))
        assert off[nearest] < 1e-4
        assert abs(ours[nearest][2] - strength) < allowed


@pytest.mark.parametrize("place", PLACES)
def test_each_place_of_a_turned_frame_is_what_a_camera_records_there(place):
    photo = replace(TURNED, centre=place)
    allowed = 0.017 * emitter_amplitude(m=1, n=0, fill=photo.fill, shape="square")
    assert_same_sines(strongest_sines(patch(shot_of(photo), place)[..., 1], 4),
                      strongest_sines(photo.recorded(), 2), allowed)


def test_the_pitch_of_fringes_varies_over_a_turned_frame():
    found = [strongest_sines(patch(shot_of(TURNED), place)[..., 1], 1)[0][:2] for place in PLACES]
    lengths = np.hypot(*np.transpose(found))
    assert lengths.max() > 1.4 * lengths.min()


@pytest.mark.parametrize("place", PLACES[1:])
def test_colour_fringes_are_those_of_a_mosaic(place):
    photo = replace(TURNED, centre=place, distance=8600.0, focus=8600.0, roll=3.0)
    factor = patch(shot_of(photo, mosaic="bayer"), place)
    picture = photo.recorded()
    ours = (factor[..., 0] - factor[..., 2]) / 2
    theirs = colour_planes(picture)[0]
    (x, y, strength), = strongest_sines(theirs, 1, within=0.25, mean=picture.mean())
    assert strength > 0.1
    assert_same_sines(strongest_sines(ours, 3, within=0.25, mean=1.0), [(x, y, strength)], 0.02)


def test_nothing_without_optics():
    assert fringe_factor(plain_shot(), across=np.array([0.5]), down=np.array([0.5])) is None


def wide(shot, columns):
    shares = (np.arange(columns) + 0.5) / columns
    return fringe_factor(shot, across=shares, down=shares[: columns // 5])


@pytest.mark.parametrize("delivered", [4096, 2048, 1920])
def test_a_picture_made_smaller_has_the_fringes_of_the_table(delivered):
    """The mean row of a facing wall against the fringes counted over the width."""
    shot = lens_shot(
        camera={"delivery_columns_px": delivered, "mosaic": "none", "low_pass_px": 0,
                "photosite_fill": 0.7}, distance_mm=18770.0, focus_mm=18770.0)
    for found, expected, cycles in level_fringes(shot, columns=1024):
        assert_allclose(found, expected * np.sinc(cycles), rtol=0.02)


def level_fringes(shot, columns):
    """Contrast in the mean row, contrast in the table and cycles per pixel of upright stripes."""
    lines = moire_report(shot, distances=False).lines
    line = lines[(lines.n == 0) & (np.abs(lines.fringes_per_width) < 0.4 * columns)
                 & (lines.contrast > 0.05)]
    assert line.m.size
    row = wide(shot, columns)[:, :, 1].mean(axis=0) - 1
    window = np.hanning(columns) / np.hanning(columns).sum()
    place = np.arange(columns) + 0.5
    cycles = line.fringes_per_width / columns
    found = [2 * np.abs((window * row) @ np.exp(-2j * np.pi * each * place)) for each in cycles]
    return list(zip(found, line.contrast, cycles, strict=True))


def test_delivered_pixels_lie_between_photosites():
    """1,920 pixels of 4,096 photosites, each pixel shown: fringes of 0.17 cycle per photosite."""
    shot = lens_shot(
        camera={"delivery_columns_px": 1920, "mosaic": "none", "low_pass_px": 0,
                "photosite_fill": 0.7}, distance_mm=16366.0, focus_mm=16366.0)
    for found, expected, cycles in level_fringes(shot, columns=1920):
        assert abs(cycles) > 0.3
        assert_allclose(found, expected, rtol=0.02)


def test_what_is_finer_than_the_pixels_does_not_come_back():
    """0.6 cycle in each of 1,500 pixels would look like 600 fringes."""
    shot = lens_shot(camera={"mosaic": "none", "low_pass_px": 0}, distance_mm=1945.0,
                     focus_mm=1945.0)
    assert moire_report(shot, distances=False).lines.contrast.max() > 0.5
    assert np.ptp(wide(shot, 400)) < 0.02
    assert np.ptp(patch(shot, MIDDLE)) > 0.5


def test_mean_light_is_kept_and_gain_multiplies():
    shot = lens_shot()
    plain, strong = (patch(shot, MIDDLE, gain=gain) for gain in (1.0, 3.0))
    assert_allclose(plain.mean(axis=(0, 1)), 1.0, atol=0.01)
    assert_allclose(strong - 1, 3 * (plain - 1), atol=1e-12)


def test_a_sensor_without_a_mosaic_shows_no_colour():
    gray, bayer = (patch(lens_shot(camera={"mosaic": mosaic}), MIDDLE)
                   for mosaic in ("none", "bayer"))
    assert_allclose(gray, np.repeat(gray[..., :1], 3, axis=2), atol=1e-15)
    assert np.abs(bayer[..., 0] - bayer[..., 2]).max() > 0.01


def test_a_wall_that_ends_in_the_frame_leaves_the_rest_alone():
    shot = lens_shot(yaw_deg=80.0, focal_mm=14.0, focus_mm=6000.0)
    shares = (np.arange(64) + 0.5) / 64
    factor = fringe_factor(shot, across=shares, down=shares)
    assert np.isfinite(factor).all()
    assert (factor[:, :8] == 1).all() or (factor[:, -8:] == 1).all()
