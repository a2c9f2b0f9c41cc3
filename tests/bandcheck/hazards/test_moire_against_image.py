"""The predicted fringes against photographs of the wall made the long way (brute_image)."""

from dataclasses import replace

import numpy as np
import pytest
from brute_image import Photograph, box_delivered, colour_planes, strongest_sines

from bandcheck.hazards.moire import Viewer, moire_lines
from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.blur import defocus_transfer, emitter_amplitude
from bandcheck.imaging.lattice import (
    LINES,
    Places,
    lens_transfer,
    line_frequency,
    sensor_transfer,
)
from bandcheck.imaging.sampling import COLOURS, folded

FREQUENCY = 1e-4
"""Agreement asked for in frequency [cycles per photosite]."""

IN_FOCUS = 0.003
OUT_OF_FOCUS = 0.017
"""Agreement asked for in contrast; out of focus times the amplitude of the emitter's line."""

COLUMNS, ROWS = 4096, 2160


def at_pitch(photosites, focal=35.0):
    """Distance from the sensor at which a pitch of 2.6 mm spans so many photosites of 5 um."""
    return focal * 2.6 / (0.005 * photosites)


def arrangement(photo, *, mosaic="none", ratio=1, resample="box"):
    return (
        LedLattice.of(pitch_mm=photo.pitch, emitter_fill=photo.fill,
                      emitter_shape="disc" if photo.disc else "square"),
        Sensor.of(columns_px=COLUMNS, rows_px=ROWS, width_mm=COLUMNS * photo.photosite,
                  mosaic=mosaic, low_pass_px=photo.low_pass, photosite_fill=photo.photosite_fill,
                  delivery_columns_px=COLUMNS / ratio, delivery_filter=resample),
        Standpoint(
            focal_mm=photo.focal, f_number=photo.f_number, distance_mm=photo.distance,
            focus_mm=photo.focus, yaw_deg=photo.yaw, tilt_deg=photo.tilt, roll_deg=photo.roll,
            squeeze=photo.squeeze, wavelength_um=photo.wavelength * 1e3),
    )


def predicted(photo, **camera):
    lattice, sensor, standpoint = arrangement(photo, **camera)
    return moire_lines(lattice=lattice, sensor=sensor, standpoint=standpoint, viewer=Viewer())


def nearest(table, kx, ky, found):
    """Row of the table at a frequency that was found, and how far off it is."""
    off = np.minimum(np.hypot(kx - found[0], ky - found[1]),
                     np.hypot(kx + found[0], ky + found[1]))
    row = int(off.argmin())
    return table[slice(row, row + 1)], off[row]


def assert_found(table, kx, ky, found, photo, tolerance, focused):
    line, off = nearest(table, kx, ky, found)
    assert off < tolerance, f"{found}: nearest is {off:.1e} away"
    allowed = IN_FOCUS
    if not focused:
        allowed = OUT_OF_FOCUS * emitter_amplitude(
            m=line.m[0], n=line.n[0], fill=photo.fill, shape="disc" if photo.disc else "square")
    assert abs(found[2] - line.contrast[0]) < allowed, f"{found}: {line}"
    assert line.graded_contrast[0] > found[2] - allowed


FLAT = Photograph(distance=at_pitch(1.9), focus=at_pitch(1.9))

IN_FOCUS_SCENES = {
    "facing": FLAT,
    "discs, low-pass, roll": replace(FLAT, disc=True, roll=7, low_pass=0.5, photosite_fill=0.75),
    "yaw, tilt and roll": replace(FLAT, yaw=24, tilt=-10, roll=4),
    "second harmonic": Photograph(
        distance=at_pitch(2.3), focus=at_pitch(2.3), fill=0.35, photosite_fill=0.75,
        f_number=2.8, roll=2),
    "anamorphic": replace(FLAT, squeeze=1.33, roll=10),
    "finer than the photosites": replace(
        FLAT, distance=at_pitch(1.35), focus=at_pitch(1.35), roll=12, f_number=2.8),
    "long lens": replace(FLAT, focal=135, distance=at_pitch(1.7, 135), focus=at_pitch(1.7, 135),
                         yaw=-35, f_number=5.6),
}

OUT_OF_FOCUS_SCENES = {
    "focus in front": replace(FLAT, distance=at_pitch(2.5), focus=at_pitch(2.9), roll=4),
    "focus well in front": replace(FLAT, distance=at_pitch(2.5), focus=at_pitch(3.4), roll=4),
    "focus behind": replace(FLAT, distance=at_pitch(2.5), focus=at_pitch(2.2), roll=4),
    "focus well behind, yaw": replace(
        FLAT, distance=at_pitch(2.7), focus=at_pitch(1.9), roll=6, yaw=15),
    "wide open": replace(FLAT, distance=at_pitch(3.2), focus=at_pitch(3.4), roll=5, f_number=1.4,
                         disc=True),
}


@pytest.mark.parametrize("name", IN_FOCUS_SCENES)
def test_in_focus(name):
    photo = IN_FOCUS_SCENES[name]
    table = predicted(photo)
    for found in strongest_sines(photo.recorded(), 3):
        assert_found(table, table.kx, table.ky, found, photo, FREQUENCY, focused=True)


@pytest.mark.parametrize("name", OUT_OF_FOCUS_SCENES)
def test_out_of_focus(name):
    photo = OUT_OF_FOCUS_SCENES[name]
    table = predicted(photo)
    for found in strongest_sines(photo.recorded(), 2):
        assert_found(table, table.kx, table.ky, found, photo, FREQUENCY, focused=False)


def test_the_second_harmonic_is_among_what_was_found():
    photo = IN_FOCUS_SCENES["second harmonic"]
    table = predicted(photo)
    found = strongest_sines(photo.recorded(), 2, within=0.3)
    orders = [nearest(table, table.kx, table.ky, each)[0] for each in found]
    assert {(int(line.m[0]), int(line.n[0])) for line in orders} == {(2, 0), (0, 2)}
    assert not any(line.grid[0] for line in orders)


@pytest.mark.parametrize(("colour", "photo"), [
    ("red-blue", replace(FLAT, distance=at_pitch(2.1), focus=at_pitch(2.1), roll=3)),
    ("green-magenta", replace(FLAT, distance=at_pitch(1.5), focus=at_pitch(1.5), roll=41)),
])
def test_colours_of_a_bayer_mosaic(colour, photo):
    table = predicted(photo, mosaic="bayer")
    table = table[table.colour == COLOURS.index(colour)]
    picture = photo.recorded()
    plane = colour_planes(picture)[COLOURS.index(colour) - 1]
    for found in strongest_sines(plane, 2, within=0.25, mean=picture.mean()):
        assert_found(table, table.kx, table.ky, found, photo, FREQUENCY, focused=True)
        assert found[2] > 0.1


@pytest.mark.parametrize(("ratio", "resample", "pitch"), [
    (2, "box", 1.8), (3, "box", 2.6), (2, "sharp", 2.8),
])
def test_delivery_folds_again(ratio, resample, pitch):
    photo = replace(FLAT, distance=at_pitch(pitch), focus=at_pitch(pitch), roll=8, size=192, fine=5)
    picture = photo.recorded()
    nearest_photosite = picture[::ratio, ::ratio]
    delivered = box_delivered(picture, ratio) if resample == "box" else nearest_photosite
    table = predicted(photo, ratio=ratio, resample=resample)
    kx = table.fringes_per_width / (COLUMNS / ratio)
    ky = table.fringes_per_height / (COLUMNS / ratio / Viewer().picture_aspect)
    for found in strongest_sines(delivered, 2):
        assert_found(table, kx, ky, found, photo, FREQUENCY * ratio, focused=True)


@pytest.mark.parametrize("place", [(-900.0, 400.0), (1400.0, -700.0)])
def test_away_from_the_middle_of_the_frame(place):
    """Where the wall is turned, each place has its own frequency, and its own blur."""
    photo = replace(FLAT, yaw=20, tilt=5, roll=5, centre=place, f_number=5.6,
                    distance=at_pitch(1.6), focus=at_pitch(1.8))
    lattice, sensor, standpoint = arrangement(photo)
    half = np.array([[COLUMNS / 2], [ROWS / 2]])
    here = Places.of(lattice=lattice, sensor=sensor, standpoint=standpoint,
                     grid=np.array([place]).T / half)
    m, n = np.array(LINES).T
    here = here[np.zeros(m.size, dtype=int)]
    line, _ = line_frequency(here, m=m, n=n)
    emitted = emitter_amplitude(m=m, n=n, fill=photo.fill, shape="square")
    lens = lens_transfer(line, places=here, sensor=sensor, squeeze=1.0, step=0.0,
                         defocus=defocus_transfer)
    contrast = emitted * np.abs(lens) * sensor_transfer(line, sensor)[0, 0]
    for found in strongest_sines(photo.recorded(), 2):
        off = np.hypot(*(folded(line) - np.reshape(found[:2], (2, 1))))
        off = np.minimum(off, np.hypot(*(folded(line) + np.reshape(found[:2], (2, 1)))))
        row = off.argmin()
        assert off[row] < FREQUENCY
        assert abs(found[2] - contrast[row]) < OUT_OF_FOCUS * emitted[row]
