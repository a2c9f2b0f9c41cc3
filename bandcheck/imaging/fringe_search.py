"""The worst fringe of very many standpoints, by leaving out what cannot be the worst.

Most of the lines at most of the places are nowhere near the worst one of their standpoint, and a
rough bound from above shows it at a fraction of the cost. What is left out never changes a result.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.blur import emitter_amplitude
from bandcheck.imaging.fringes import (
    Fringes,
    colour_fringes,
    cycles_per_height,
    frequency_range,
    graded_transfer,
    luma_fringes,
)
from bandcheck.imaging.lattice import LINES, Places, distance_steps, line_frequency
from bandcheck.imaging.perspective import frame_places
from bandcheck.imaging.sampling import COLOURS

__all__ = ["LargestFringes", "Sensitivity", "largest_fringes", "places_of_interest"]

Floats = NDArray[np.float64]
Sensitivity = Callable[[Floats, ArrayLike, NDArray[np.int8]], Floats]
"""Sensitivity to fringes between a lowest and a highest frequency [cycles per picture height], of
a colour: increases nowhere when the lowest rises and the highest is beyond all that matters."""

_PLACES_AT_ONCE = 1 << 14
_BINS = 1 << 10
_BIN_CYCLES = 4.0


@dataclass(frozen=True, kw_only=True, slots=True)
class LargestFringes:
    """Sensitivity times graded contrast of the worst fringe of each standpoint.

    Attributes
    ----------
    luma, colour, grid
        Moire in all colours alike, moire in the colours of a mosaic, and the wall's grid itself;
        0 where there is none. Shape (emitters, low-pass shifts, photosite fills, delivery
        filters) followed by the standpoint's: an axis is longer than 1 where a figure of the wall
        or the sensor is not known.
    """

    luma: Floats
    colour: Floats
    grid: Floats


def places_of_interest(lattice: LedLattice, standpoint: Standpoint) -> Floats:
    """Grid of places over the frame, or its middle alone where the wall looks alike all over."""
    return frame_places(whole_frame=standpoint.oblique or lattice.curvature != 0)


def largest_fringes(
    *, lattice: LedLattice, sensor: Sensor, standpoint: Standpoint, picture_aspect: float,
    sensitivity: Sensitivity,
) -> LargestFringes:
    """Worst fringe of each standpoint, over all lines and places and within 1 % of the distance.

    Parameters
    ----------
    lattice, sensor, standpoint
        Wall, camera, and lens and geometry of any shape.
    picture_aspect
        Width over height of the delivered picture.
    sensitivity
        How well a fringe is seen.

    Returns
    -------
    LargestFringes
        Contrast of the fringes times their sensitivity.

    Raises
    ------
    OutOfRangeError
        Optics that cannot be: distance 0, focus inside the focal length, yaw 90.
    """
    grid = places_of_interest(lattice, standpoint)
    edges = _BIN_CYCLES * np.arange(_BINS, dtype=np.float64)
    luma, *colours = (
        sensitivity(edges, np.full(_BINS, 1e6), np.full(_BINS, index, dtype=np.int8))
        for index in range(len(COLOURS)))
    context = _Context(
        lattice=lattice, sensor=sensor, squeeze=standpoint.squeeze, picture_aspect=picture_aspect,
        sensitivity=sensitivity, envelopes=np.stack([luma, np.maximum(*colours), luma]),
        per_standpoint=grid.shape[1],
    )
    parts = [
        context.searched(
            Places.of(lattice=lattice, sensor=sensor, standpoint=part, grid=grid))
        for part in standpoint.parts(max(1, _PLACES_AT_ONCE // grid.shape[1]))
    ]
    whole = np.concatenate(parts, axis=-1)
    luma, colour, wall_grid = whole.reshape(*whole.shape[:-1], *standpoint.shape)
    return LargestFringes(luma=luma, colour=colour, grid=wall_grid)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Context:
    """What stays the same for all parts of a search; its kinds are luma, colour and grid."""

    lattice: LedLattice
    sensor: Sensor
    squeeze: float
    picture_aspect: float
    sensitivity: Sensitivity
    envelopes: Floats
    per_standpoint: int

    def searched(self, places: Places) -> Floats:
        """Worst of every kind, shape (3, emitters, shifts, fills, filters, standpoints)."""
        sensor = self.sensor
        found = np.zeros((
            3, len(self.lattice.emitters), len(sensor.low_pass_px), len(sensor.photosite_fill),
            len(sensor.delivery_filters), places.depth_mm.size // self.per_standpoint))
        circle = _least_circle_mm(places)
        for m, n in LINES:
            amplitude = np.array([
                float(emitter_amplitude(m=m, n=n, fill=fill, shape=shape))
                for shape, fill in self.lattice.emitters])
            to_beat = self._to_beat(found, amplitude)
            line, step = line_frequency(places, m=m, n=n)
            bound = self._rough_bound(line, step, places, circle)
            near = np.flatnonzero(bound * self.envelopes.max() > to_beat.min(axis=0))
            for fringes, kind in self._fringes(line[:, near], step[:, near]):
                rough = bound[near] * self._rough_sensitivity(fringes, kind)
                live = (kind >= 0) & (rough > to_beat[kind, near])
                for one in np.unique(kind[live]):
                    which = np.flatnonzero(live & (kind == one))
                    self._keep(found[one], amplitude, fringes[which], places[near[which]],
                               near[which] // self.per_standpoint)
        return found

    def _to_beat(self, found: Floats, amplitude: Floats) -> Floats:
        """What transfer times sensitivity must exceed to change a result, (3, places)."""
        least = found.min(axis=(2, 3, 4)) / np.maximum(amplitude, 1e-12)[:, np.newaxis]
        return np.repeat(least.min(axis=1), self.per_standpoint, axis=-1)

    def _rough_bound(
        self, line: Floats, step: Floats, places: Places, circle: Floats,
    ) -> Floats:
        """Bound from above of `graded_transfer`, by the envelopes of its factors."""
        size = [[self.sensor.photosite_width_mm], [self.sensor.photosite_height_mm]]
        per_mm, change = np.hypot(*(line / size)), np.hypot(*(step / size))
        lowest = (per_mm - change) / places.cutoff_per_mm
        highest = (per_mm + change) / places.cutoff_per_mm
        cycles = circle * (per_mm - change) * np.maximum(1 - highest, 0)
        blur = 0.4 / np.maximum(cycles / max(1.0, self.squeeze**2), 0.1) ** 1.5
        across, down = np.minimum(1, 1 / np.maximum(
            np.pi * min(self.sensor.photosite_fill) * (np.abs(line) - np.abs(step)), 1e-3))
        return np.asarray(np.minimum(1, blur) * np.maximum(1 - lowest, 0) * across * down)

    def _rough_sensitivity(self, fringes: Fringes, kind: NDArray[np.intp]) -> Floats:
        """Largest sensitivity from the lowest frequency in question up."""
        nominal, step = self._cycles_per_height(fringes)
        lowest = np.hypot(*nominal) - np.hypot(*step)
        bins = np.clip(lowest / _BIN_CYCLES, 0, _BINS - 1).astype(np.intp)
        return np.asarray(self.envelopes[kind, bins])

    def _cycles_per_height(self, fringes: Fringes) -> tuple[Floats, Floats]:
        return cycles_per_height(fringes, sensor=self.sensor, squeeze=self.squeeze,
                                 picture_aspect=self.picture_aspect)

    def _fringes(
        self, line: Floats, step: Floats,
    ) -> Iterator[tuple[Fringes, NDArray[np.intp]]]:
        """Fringes of a line and of which kind they are at each place, -1 for none."""
        luma = luma_fringes(line, step, sensor=self.sensor, squeeze=self.squeeze)
        yield luma, np.where(luma.resolved, 2, 0)
        if self.sensor.mosaic != "none":
            colour = colour_fringes(line, step)
            yield colour, np.where(colour.colour > 0, 1, -1)

    def _keep(
        self, found: Floats, amplitude: Floats, fringes: Fringes, places: Places,
        standpoints: NDArray[np.intp],
    ) -> None:
        """Work out what is left, and keep the worst of each standpoint."""
        lowest, highest = frequency_range(*self._cycles_per_height(fringes))
        seen = self.sensitivity(lowest, highest, fringes.colour) * graded_transfer(
            fringes, places, sensor=self.sensor, squeeze=self.squeeze)
        starts = np.flatnonzero(np.diff(standpoints, prepend=-1))
        worst = np.maximum.reduceat(seen, starts, axis=-1)
        which = standpoints[starts]
        found[..., which] = np.maximum(
            found[..., which], amplitude[:, np.newaxis, np.newaxis, np.newaxis, np.newaxis] * worst)


def _least_circle_mm(places: Places) -> Floats:
    """Smallest blur circle within 1 % of the distance."""
    depth = places.depth_mm + distance_steps(places)[-1] * places.depth_step_mm
    return places.circle_mm2 * np.abs(1 / depth - 1 / places.subject_mm)
