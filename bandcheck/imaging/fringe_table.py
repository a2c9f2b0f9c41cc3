"""Every fringe of one standpoint: where it folds to, how strong it is and where it is worst."""

from dataclasses import dataclass, fields
from typing import Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.blur import defocus_transfer, emitter_amplitude
from bandcheck.imaging.fringe_search import Sensitivity, places_of_interest
from bandcheck.imaging.fringes import (
    Fringes,
    colour_fringes,
    cycles_per_height,
    delivered_cycles_per_height,
    delivered_share,
    frequency_range,
    graded_transfer,
    luma_fringes,
)
from bandcheck.imaging.lattice import LINES, Places, lens_transfer, line_frequency, sensor_transfer
from bandcheck.imaging.sampling import fringe_of_colour

__all__ = ["FringeTable", "fringe_table"]

Floats = NDArray[np.float64]

NOTHING = 1e-9
"""Contrast up to which a line counts as not there: rounding, beyond the cutoff or in a null."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FringeTable:
    """Fringes of one standpoint; every array has one element for each, the best visible first.

    Attributes
    ----------
    m, n
        Orders of the line along the wall's columns and rows.
    colour
        Index into `bandcheck.imaging.sampling.COLOURS`.
    grid
        True for the wall's own grid, which does not fold; False for moire.
    kx, ky
        Frequency on the sensor, folded, in the middle of the frame [cycles per photosite].
    contrast
        Modulation in the middle of the frame at the nominal distance, with the expected transfer
        of defocus; 0 where the fringe does not reach the middle.
    graded_contrast
        Modulation at the worst place and distance, with the bound of defocus.
    visibility
        Sensitivity times graded contrast at the place where that is largest.
    fringes_per_width, fringes_per_height
        In the delivered picture, in the middle of the frame, with sign.
    direction_deg
        Direction in which the stripes run there: 0 level, 90 upright, 45 rising to the right.
    worst_across, worst_down
        Place of the largest visibility, -1..1 from the left and from the top edge.
    Where figures of wall or sensor are not known, contrasts are the largest that they may be.
    """

    m: NDArray[np.int64]
    n: NDArray[np.int64]
    colour: NDArray[np.int8]
    grid: NDArray[np.bool_]
    kx: Floats
    ky: Floats
    contrast: Floats
    graded_contrast: Floats
    visibility: Floats
    fringes_per_width: Floats
    fringes_per_height: Floats
    direction_deg: Floats
    worst_across: Floats
    worst_down: Floats

    def __getitem__(self, which: NDArray[np.bool_] | NDArray[np.intp] | slice) -> Self:
        """Some of the fringes."""
        return type(self)(
            **{field.name: getattr(self, field.name)[which] for field in fields(self)})


def fringe_table(
    *, lattice: LedLattice, sensor: Sensor, standpoint: Standpoint, picture_aspect: float,
    sensitivity: Sensitivity,
) -> FringeTable:
    """All fringes of one standpoint.

    Parameters
    ----------
    lattice, sensor, standpoint
        Wall, camera, and lens and geometry: plain numbers, no arrays.
    picture_aspect
        Width over height of the delivered picture.
    sensitivity
        How well a fringe is seen.

    Returns
    -------
    FringeTable
        What is left of every line up to the sixth order, at any place, within 1 % of the distance.

    Raises
    ------
    OutOfRangeError
        More than one standpoint; optics that cannot be.
    """
    if standpoint.shape != ():
        raise OutOfRangeError("standpoint", standpoint.shape, "one at a time: numbers, no arrays")
    scene = _Scene(
        lattice=lattice, sensor=sensor, squeeze=standpoint.squeeze,
        picture_aspect=picture_aspect, sensitivity=sensitivity,
        grid=places_of_interest(lattice, standpoint),
        amplitude=np.array([
            max(float(emitter_amplitude(m=m, n=n, fill=fill, shape=shape))
                for shape, fill in lattice.emitters)
            for m, n in LINES]))
    count = scene.grid.shape[1]
    places = Places.of(lattice=lattice, sensor=sensor, standpoint=standpoint, grid=scene.grid)
    places = places[np.tile(np.arange(count), len(LINES))]
    m, n = np.repeat(LINES, count, axis=0).T
    line, step = line_frequency(places, m=m, n=n)
    luma = luma_fringes(line, step, sensor=sensor, squeeze=standpoint.squeeze)
    parts = [scene.rows(luma, places, grid=True), scene.rows(luma, places, grid=False)]
    if sensor.mosaic != "none":
        colours = colour_fringes(line, step)
        parts += [scene.rows(colours, places, grid=False, colour=colour) for colour in (1, 2)]
    table = FringeTable(**{
        field.name: np.concatenate([getattr(part, field.name) for part in parts])
        for field in fields(FringeTable)})
    return table[np.argsort(-table.visibility, kind="stable")]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Scene:
    """What all fringes of a standpoint share."""

    lattice: LedLattice
    sensor: Sensor
    squeeze: float
    picture_aspect: float
    sensitivity: Sensitivity
    grid: Floats
    amplitude: Floats

    def rows(
        self, fringes: Fringes, places: Places, *, grid: bool, colour: int = 0,
    ) -> FringeTable:
        """Rows of the table for one kind of fringe."""
        there = (fringes.colour == colour) & (fringes.resolved == grid)
        there &= np.isfinite(fringes.frequency[0] + fringes.step[0])
        contrast, visibility = self._graded(fringes, places, there)
        worst = visibility.argmax(axis=1)
        middle = slice(self.grid.shape[1] // 2, None, self.grid.shape[1])
        line = (fringes.frequency + fringes.carrier)[:, middle]
        frequency = fringe_of_colour(line, colour=colour)
        delivered = delivered_cycles_per_height(
            frequency, sensor=self.sensor, squeeze=self.squeeze,
            picture_aspect=self.picture_aspect)
        orders = np.array(LINES)
        table = FringeTable(
            m=orders[:, 0], n=orders[:, 1],
            colour=np.full(len(LINES), colour, dtype=np.int8), grid=np.full(len(LINES), grid),
            kx=frequency[0], ky=frequency[1],
            contrast=there[middle] * self._expected(line, frequency, places[middle]),
            graded_contrast=contrast.max(axis=1), visibility=visibility.max(axis=1),
            fringes_per_width=delivered[0] * self.picture_aspect, fringes_per_height=delivered[1],
            direction_deg=np.degrees(np.arctan2(*delivered)) % 180,
            worst_across=self.grid[0][worst], worst_down=self.grid[1][worst])
        return table[contrast.max(axis=1) > NOTHING]

    def _graded(
        self, fringes: Fringes, places: Places, there: NDArray[np.bool_],
    ) -> tuple[Floats, Floats]:
        """Graded contrast and visibility, each (lines, places), 0 where the fringe is not."""
        contrast, visibility = np.zeros((2, there.size))
        fringes, places = fringes[there], places[there]
        transfer = graded_transfer(fringes, places, sensor=self.sensor, squeeze=self.squeeze)
        amplitude = np.repeat(self.amplitude, self.grid.shape[1])[there]
        contrast[there] = amplitude * transfer.max(axis=(0, 1, 2))
        nominal, step = cycles_per_height(
            fringes, sensor=self.sensor, squeeze=self.squeeze, picture_aspect=self.picture_aspect)
        visibility[there] = contrast[there] * self.sensitivity(
            *frequency_range(nominal, step), fringes.colour)
        return contrast.reshape(len(LINES), -1), visibility.reshape(len(LINES), -1)

    def _expected(self, line: Floats, frequency: Floats, middle: Places) -> Floats:
        """Expected modulation in the middle of the frame."""
        lens = lens_transfer(line, places=middle, sensor=self.sensor, squeeze=self.squeeze,
                             step=0.0, defocus=defocus_transfer)
        sensor = sensor_transfer(line, self.sensor).max(axis=(0, 1))
        delivery = delivered_share(frequency, sensor=self.sensor, squeeze=self.squeeze)
        return np.asarray(self.amplitude * np.abs(lens) * sensor * delivery.max(axis=0))
