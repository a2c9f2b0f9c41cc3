"""The wall's grid and its moire in a recorded frame, as a factor on the light of its pixels.

Every line of the lattice is sampled where the photosites lie: its phase is that of the wall at the
photosite, through the exact perspective, so that its fringes have the frequency that they have at
each place of a turned or curved wall. Its contrast is that of the place, too. An LED is taken to
lie in the middle of the frame and a mosaic to have the same colours in every second row: a hair's
breadth of camera movement shifts the one, the other shifts coloured fringes against each other.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.moire import FRINGE_CHANNELS
from bandcheck.imaging.arrangement import LedLattice, Sensor
from bandcheck.imaging.blur import defocus_transfer, emitter_amplitude
from bandcheck.imaging.fringes import delivered_share
from bandcheck.imaging.lattice import LINES, Places, lens_transfer, line_frequency, sensor_transfer
from bandcheck.imaging.optics import (
    image_distance_mm,
    subject_distance_mm,
    wall_distance_from_lens_mm,
)
from bandcheck.imaging.perspective import wall_periods
from bandcheck.imaging.sampling import bayer_fringe, delivery_transfer, folded
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_scene import MoireScene, moire_scene

__all__ = ["fringe_factor"]

FloatArray = NDArray[np.float64]

_FAINTEST = 1e-4
"""Contrast below which a line is not drawn: no step of 8 bits even ten times as strong."""

_COARSE = (33, 19)
"""Places across and down between which contrast and spacing of the lattice are interpolated."""

_SAME_SIZE = 1 + 1e-6
"""Delivered pixels in a pixel up to which they are the same, but for rounding."""

_FADE_FROM, _FINEST = 0.35, 0.5
"""Cycles per pixel between which fringes fade out: finer ones would come back as false moire."""


def fringe_factor(
    shot: Shot, *, across: FloatArray, down: FloatArray, gain: float = 1.0
) -> FloatArray | None:
    """Factor by which grid and moire change the light of pixels, by colour.

    Parameters
    ----------
    shot
        The shot.
    across, down
        Middles of the pixels as shares of the picture's width and height, evenly spaced, shapes
        (columns,) and (rows,). Of pixels larger than photosites fringes are averaged.
    gain
        Factor on the contrast.

    Returns
    -------
    ndarray or None
        Shape (rows, columns, 3), red, green and blue; below 0 where the gain takes more light than
        there is. None while the optics are not known.
    """
    scene = moire_scene(shot)
    if scene is None:
        return None
    columns = _Axis.of(across, scene.sensor.columns_px, _delivered(scene)[0])
    rows = _Axis.of(down, scene.sensor.rows_px, _delivered(scene)[1])
    place = _wall_at(scene, columns.photosite, rows.photosite)
    lattice = _Coarse.of(scene, across, down)
    factor = np.ones((down.size, across.size, 3))
    flat = factor.reshape(-1, 3)
    for number, (m, n) in enumerate(LINES):
        contrast = lattice.contrast(number).ravel()
        strong = np.flatnonzero(np.abs(contrast) >= _FAINTEST)
        if not strong.size:
            continue
        turns = (m * place[0] + n * place[1]).ravel()[strong]
        frequency = lattice.frequency(m, n).reshape(2, -1)[:, strong]
        for colour, fringe, carrier in _fringes(frequency, scene.sensor):
            share = _faded(fringe, columns, rows)
            own = np.flatnonzero((share > 0) & (colour >= 0) & np.isfinite(turns))
            which = strong[own]
            wave = gain * contrast[which] * share[own] * _wave(
                turns[own], fringe[:, own], carrier[:, own], which, columns, rows, scene)
            flat[which] += wave[:, np.newaxis] * _CHANNELS[colour[own]]
    return factor


_CHANNELS = np.array([(1.0, 1.0, 1.0), *(
    tuple(FRINGE_CHANNELS[colour].values()) for colour in sorted(FRINGE_CHANNELS))])
"""What a fringe of each colour does to red, green and blue."""


@dataclass(frozen=True, kw_only=True, slots=True)
class _Axis:
    """Pixels of the picture along one axis.

    Attributes
    ----------
    photosite
        The photosite nearest to the middle of the delivered pixel that is nearest to each.
    to_delivered
        From that photosite to that delivered pixel [photosites].
    to_pixel
        From there to the pixel [delivered pixels].
    ratio, delivered
        Photosites in a delivered pixel and delivered pixels in a pixel, at least 1.
    """

    photosite: FloatArray
    to_delivered: FloatArray
    to_pixel: FloatArray
    ratio: float
    delivered: float

    @classmethod
    def of(cls, shares: FloatArray, count: int, ratio: float) -> Self:
        """Pixels at shares of a frame of so many photosites, delivered at a ratio."""
        middle = shares * count - 0.5
        pixel = np.rint((middle + 0.5) / ratio - 0.5)
        delivered = (pixel + 0.5) * ratio - 0.5
        nearest = np.rint(delivered)
        step = float(np.ptp(shares)) * count / max(shares.size - 1, 1)
        return cls(
            photosite=nearest, to_delivered=delivered - nearest,
            to_pixel=(middle - delivered) / ratio, ratio=ratio,
            delivered=max(step / ratio, 1.0),
        )


def _delivered(scene: MoireScene) -> tuple[float, float]:
    return scene.sensor.photosites_per_delivered_pixel(scene.standpoint.squeeze)


def _wall_at(scene: MoireScene, columns: FloatArray, rows: FloatArray) -> FloatArray:
    """Columns and rows of the wall at photosites, shape (2, rows, columns)."""
    point, sensor = scene.standpoint, scene.sensor
    image = float(image_distance_mm(focal_mm=point.focal_mm, subject_mm=subject_distance_mm(
        from_sensor_mm=point.focus_mm, focal_mm=point.focal_mm)))
    yaw, tilt, roll = (float(np.max(each)) for each in point.varied[-3:])
    return wall_periods(
        ray_x=(columns + 0.5 - sensor.columns_px / 2)
        * (point.squeeze * sensor.photosite_width_mm / image),
        ray_y=((rows + 0.5 - sensor.rows_px / 2) * sensor.photosite_height_mm / image)[:, None],
        wall_mm=float(wall_distance_from_lens_mm(
            distance_mm=point.distance_mm, focal_mm=point.focal_mm, focus_mm=point.focus_mm)),
        pitch_mm=scene.lattice.pitch_mm, curvature=scene.lattice.curvature,
        yaw_deg=yaw, tilt_deg=tilt, roll_deg=roll,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Coarse:
    """Contrast and spacing of the lattice, known at a few places and interpolated between them.

    Attributes
    ----------
    contrasts
        Expected contrast of each line before delivery, with sign where defocus turns it over,
        shape (lines, down, across).
    gradient
        Wall periods per photosite, shape (2, 2, rows, columns).
    left, right
        Weights of the places for the rows and columns of the picture.
    """

    contrasts: FloatArray
    gradient: FloatArray
    left: FloatArray
    right: FloatArray

    @classmethod
    def of(cls, scene: MoireScene, across: FloatArray, down: FloatArray) -> Self:
        """Of a scene, for pixels at shares of the frame."""
        x, y = (np.linspace(share.min(), share.max(), count) if share.size > 1 else
                share[0] + np.array([-1e-6, 1e-6])
                for share, count in zip((across, down), _COARSE, strict=True))
        grid = np.stack([np.tile(2 * x - 1, y.size), np.repeat(2 * y - 1, x.size)])
        places = Places.of(
            lattice=scene.lattice, sensor=scene.sensor, standpoint=scene.standpoint, grid=grid)
        contrasts = [_contrast(scene.lattice, scene.sensor, scene.standpoint.squeeze, places, m, n)
                     for m, n in LINES]
        left, right = _weights(down, y), _weights(across, x).T
        gradient = np.nan_to_num(places.gradient).reshape(2, 2, y.size, x.size)
        return cls(contrasts=np.reshape(contrasts, (-1, y.size, x.size)), left=left, right=right,
                   gradient=left @ gradient @ right)

    def contrast(self, line: int) -> FloatArray:
        """Contrast of a line, shape (rows, columns)."""
        known = self.contrasts[line]
        if np.abs(known).max() < _FAINTEST:
            return np.zeros((1, 1))  # of no pixel
        return np.asarray(self.left @ known @ self.right)

    def frequency(self, m: int, n: int) -> FloatArray:
        """Cycles per photosite of a line, shape (2, rows, columns)."""
        return np.asarray(m * self.gradient[0] + n * self.gradient[1])


def _weights(wanted: FloatArray, known: FloatArray) -> FloatArray:
    """Matrix that interpolates straight between evenly spaced values, shape (wanted, known)."""
    place = np.clip((wanted - known[0]) / (known[1] - known[0]), 0, known.size - 1)
    return np.asarray(np.maximum(0, 1 - np.abs(place[:, np.newaxis] - np.arange(known.size))))


def _contrast(
    lattice: LedLattice, sensor: Sensor, squeeze: float, places: Places, m: int, n: int
) -> FloatArray:
    """Expected contrast of a line at places before delivery; 0 where the wall is not seen.

    Where figures of wall or sensor are not known it is the largest that it may be.
    """
    line, _ = line_frequency(places, m=m, n=n)
    there = np.isfinite(line[0])
    line, places = line[:, there], places[there]
    amplitude = max(
        float(emitter_amplitude(m=m, n=n, fill=fill, shape=shape))
        for shape, fill in lattice.emitters)
    contrast = np.zeros(there.size)
    contrast[there] = amplitude * sensor_transfer(line, sensor).max(axis=(0, 1)) * lens_transfer(
        line, places=places, sensor=sensor, squeeze=squeeze, step=0.0, defocus=defocus_transfer)
    return contrast


def _fringes(
    frequency: FloatArray, sensor: Sensor
) -> Iterator[tuple[NDArray[np.int8], FloatArray, FloatArray]]:
    """Colour (-1: none), frequency and carrier of what a line turns into, pixel by pixel."""
    fringe = folded(frequency)
    yield np.zeros(fringe.shape[1:], dtype=np.int8), fringe, frequency - fringe
    if sensor.mosaic != "none":
        x, y, colour = bayer_fringe(kx=frequency[0], ky=frequency[1])
        fringe = np.stack([x, y])
        yield np.where(colour > 0, colour, np.int8(-1)), fringe, frequency - fringe


def _faded(fringe: FloatArray, columns: _Axis, rows: _Axis) -> FloatArray:
    """Share of fringes that is drawn: less and less of those that pixels cannot show."""
    fade = np.ones(fringe.shape[1])
    for each, axis in zip(fringe, (columns, rows), strict=True):
        if axis.delivered > _SAME_SIZE:
            cycles = np.abs(folded(each * axis.ratio)) * axis.delivered
            fade *= np.clip((_FINEST - cycles) / (_FINEST - _FADE_FROM), 0, 1)
    return fade


def _wave(
    turns: FloatArray, fringe: FloatArray, carrier: FloatArray, which: NDArray[np.intp],
    columns: _Axis, rows: _Axis, scene: MoireScene,
) -> FloatArray:
    """Fringes at some pixels, by index: the line at a photosite, carried on to the pixel."""
    row, column = np.divmod(which, columns.photosite.size)
    turns = turns.copy()
    share = delivered_share(
        fringe, sensor=scene.sensor, squeeze=scene.standpoint.squeeze).max(axis=0)
    for axis, each, own, at in zip((columns, rows), fringe, carrier, (column, row), strict=True):
        delivered = folded(each * axis.ratio)
        turns += each * axis.to_delivered[at] - own * axis.photosite[at]
        turns += delivered * axis.to_pixel[at]
        share = share * delivery_transfer(
            cycles_per_photosite=delivered, ratio=axis.delivered, resample="box")
    return np.asarray(share * np.cos(2 * np.pi * turns))
