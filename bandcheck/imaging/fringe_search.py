"""The worst fringe of very many standpoints, by leaving out what cannot be the worst.

Most of the lines at most of the places are nowhere near the worst one of their standpoint, and a
rough bound from above shows it at a fraction of the cost: first one for the whole frame, then one
for each place. What is left out never changes a result.
"""

from dataclasses import dataclass, fields
from itertools import pairwise
from typing import Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.blur import emitter_amplitude
from bandcheck.imaging.fringe_bounds import FringeBounds, RoughPlaces, Sensitivity
from bandcheck.imaging.fringes import (
    colour_fringes,
    cycles_per_height,
    frequency_range,
    graded_transfer,
    luma_fringes,
)
from bandcheck.imaging.lattice import LINES, Places, line_frequency
from bandcheck.imaging.perspective import frame_places

__all__ = ["LargestFringes", "Sensitivity", "largest_fringes", "places_of_interest"]

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

_PLACES_AT_ONCE = 1 << 17

_PATCHES = 3
"""Upright strips that a frame is divided into."""

_BATCHES = (0, 2, 4, 8, 16, 32, len(LINES))
"""Lines that are looked at together, the coarsest first, since they mostly are the worst."""

_FEW_PLACES, _FEW_BATCHES = 4096, (0, 8, len(LINES))
"""For so few places steps cost more than what they spare."""


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
    grid = grid[:, np.argsort(grid[0], kind="stable")]
    patches = 1 if grid.shape[1] == 1 else _PATCHES
    orders = np.array(LINES)
    search = _Search(
        sensor=sensor, squeeze=standpoint.squeeze, picture_aspect=picture_aspect,
        sensitivity=sensitivity, patches=patches, per_patch=grid.shape[1] // patches,
        bounds=FringeBounds.of(
            sensor=sensor, squeeze=standpoint.squeeze, picture_aspect=picture_aspect,
            sensitivity=sensitivity),
        amplitude=np.array([
            emitter_amplitude(m=orders[:, 0], n=orders[:, 1], fill=fill, shape=shape)
            for shape, fill in lattice.emitters]),
    )
    parts = [
        search.worst(Places.of(lattice=lattice, sensor=sensor, standpoint=part, grid=grid))
        for part in standpoint.parts(max(1, _PLACES_AT_ONCE // grid.shape[1]))
    ]
    whole = np.concatenate(parts, axis=-1)
    luma, colour, wall_grid = whole.reshape(*whole.shape[:-1], *standpoint.shape)
    return LargestFringes(luma=luma, colour=colour, grid=wall_grid)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Candidates:
    """Fringes of one kind that may be the worst, sorted by standpoint and then by line.

    Every array has one element for each: index of its place, of its standpoint and of its line,
    and a bound on transfer times sensitivity.
    """

    place: Indices
    standpoint: Indices
    line: Indices
    bound: Floats

    def __getitem__(self, which: NDArray[np.bool_]) -> Self:
        return type(self)(
            **{field.name: getattr(self, field.name)[which] for field in fields(self)})

    @property
    def likeliest(self) -> NDArray[np.bool_]:
        """Which of each standpoint has the largest bound."""
        starts = np.flatnonzero(np.diff(self.standpoint, prepend=-1))
        counts = np.diff(starts, append=self.standpoint.size)
        return np.asarray(
            self.bound == np.repeat(np.maximum.reduceat(self.bound, starts), counts))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Search:
    """What stays the same for all parts of a search; its kinds are luma, colour and grid."""

    sensor: Sensor
    squeeze: float
    picture_aspect: float
    sensitivity: Sensitivity
    bounds: FringeBounds
    amplitude: Floats
    patches: int
    per_patch: int

    def worst(self, places: Places) -> Floats:
        """Worst of every kind, shape (3, emitters, shifts, fills, filters, standpoints)."""
        sensor = self.sensor
        rough = RoughPlaces.of(places, self.per_patch)
        patches = rough.cutoff_per_mm.shape[0]
        found = np.zeros((
            3, len(self.amplitude), len(sensor.low_pass_px), len(sensor.photosite_fill),
            len(sensor.delivery_filters), patches // self.patches))
        in_patch = self.bounds.patches(rough)
        standpoint_of = np.arange(patches)[:, np.newaxis] // self.patches
        at_once = max(1, _PLACES_AT_ONCE // self.per_patch)
        batches = _BATCHES if places.depth_mm.size > _FEW_PLACES else _FEW_BATCHES
        for first, last in pairwise(batches):
            to_beat = [self._to_beat(each, standpoint_of, np.arange(first, last))
                       for each in found]
            patch, line = np.nonzero((in_patch[..., first:last] > to_beat).any(axis=0))
            order = np.lexsort((line, patch // self.patches))
            for start in range(0, patch.size, at_once):
                part = order[start : start + at_once]
                self._look(found, places, rough, patch[part], line[part] + first)
        return found

    def _to_beat(self, found: Floats, standpoint: Indices, line: Indices) -> Floats:
        """What transfer times sensitivity must exceed to change what was found of a kind."""
        shares = [each[standpoint] / np.maximum(amplitude[line], 1e-12) for each, amplitude
                  in zip(found.min(axis=(1, 2, 3)), self.amplitude, strict=True)]
        return np.asarray(np.minimum.reduce(shares))

    def _look(
        self, found: Floats, places: Places, rough: RoughPlaces, patch: Indices, line: Indices,
    ) -> None:
        """Look for the worst of lines all over patches of the frame."""
        frequency, change = rough.lines(patch, line)
        transfer = self.bounds.transfer(
            frequency, change, rough.circle_mm[patch], rough.cutoff_per_mm[patch])
        frequency, change = frequency.reshape(2, -1), change.ravel()
        for kinds in ((0, 2), (1,))[: 1 if self.sensor.mosaic == "none" else 2]:
            coloured = kinds == (1,)
            to_beat = np.stack([
                self._to_beat(found[kind], patch // self.patches, line) for kind in kinds])
            best = transfer * self.bounds.best_seen(coloured=coloured)
            near = np.flatnonzero(best > to_beat.min(axis=0)[:, np.newaxis])
            bound, kind = self.bounds.visibility(
                transfer.ravel()[near], frequency[:, near], change[near], coloured=coloured)
            for one, least in zip(kinds, to_beat, strict=True):
                live = (kind == one) & (bound > least[near // self.per_patch])
                if not live.any():
                    continue
                which = near[live]
                closer = bound[live] * self.bounds.sharper(frequency[:, which], change[which])
                live = closer > least[which // self.per_patch]
                pair, within = np.divmod(which[live], self.per_patch)
                self._settle(found, one, places, _Candidates(
                    place=patch[pair] * self.per_patch + within, line=line[pair],
                    standpoint=patch[pair] // self.patches, bound=closer[live]))

    def _settle(
        self, found: Floats, kind: int, places: Places, candidates: _Candidates,
    ) -> None:
        """Work out the likeliest of every standpoint, then what may still change a result."""
        if not candidates.line.size:
            return
        first = candidates.likeliest
        self._keep(found[kind], places, candidates[first], coloured=kind == 1)
        others = candidates[~first]
        to_beat = self._to_beat(found[kind], others.standpoint, others.line)
        others = others[others.bound > to_beat]
        if others.line.size:
            self._keep(found[kind], places, others, coloured=kind == 1)

    def _keep(
        self, found: Floats, places: Places, candidates: _Candidates, *, coloured: bool,
    ) -> None:
        """Work candidates out and keep the worst of each standpoint."""
        standpoint, line = candidates.standpoint, candidates.line
        here = places[candidates.place]
        m, n = np.array(LINES)[line].T
        frequency = line_frequency(here, m=m, n=n)
        fringes = colour_fringes(*frequency) if coloured else luma_fringes(
            *frequency, sensor=self.sensor, squeeze=self.squeeze)
        lowest, highest = frequency_range(*cycles_per_height(
            fringes, sensor=self.sensor, squeeze=self.squeeze,
            picture_aspect=self.picture_aspect))
        seen = self.sensitivity(lowest, highest, fringes.colour) * graded_transfer(
            fringes, here, sensor=self.sensor, squeeze=self.squeeze)
        starts = np.flatnonzero(np.diff(standpoint, prepend=-1) | np.diff(line, prepend=-1))
        of_line = np.maximum.reduceat(seen, starts, axis=-1)
        of_line = of_line * self.amplitude[:, np.newaxis, np.newaxis, np.newaxis, line[starts]]
        which, starts = np.unique(standpoint[starts], return_index=True)
        found[..., which] = np.maximum(
            found[..., which], np.maximum.reduceat(of_line, starts, axis=-1))
