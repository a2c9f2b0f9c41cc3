"""How visible a fringe can be at the most, roughly and fast: for leaving out what cannot matter.

Bounds are of `graded_transfer` times a viewer's sensitivity, once for a whole frame and once for
each place; kinds of fringes are luma, colour and the wall's grid, in this order.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.imaging.arrangement import Sensor
from bandcheck.imaging.ceilings import (
    DIFFRACTION,
    Ceiling,
    Spans,
    blur_ceiling,
    sensor_ceiling,
    sensor_spans,
)
from bandcheck.imaging.lattice import LINES, Places, distance_steps
from bandcheck.imaging.sampling import COLOURS, folded

__all__ = ["FringeBounds", "RoughPlaces", "Sensitivity"]

Floats = NDArray[np.float64]
Sensitivity = Callable[[Floats, ArrayLike, NDArray[np.int8]], Floats]
"""Sensitivity to fringes between a lowest and a highest frequency [cycles per picture height], of
a colour: increases nowhere when the lowest rises and the highest is beyond all that matters."""

_BINS = 1 << 10
_BIN_CYCLES = 4.0
_ROUNDING = 1e-9
_TOO_FINE = 1e6 * np.eye(2)[..., np.newaxis]


@dataclass(frozen=True, kw_only=True, slots=True)
class FringeBounds:
    """What bounds need to know of sensor, lens and viewer.

    Attributes
    ----------
    sensor, squeeze, picture_aspect
        Sensor, squeeze of the lens, width over height of the delivered picture.
    spans, axis
        What low-pass and photosites pass along one axis, by cycles per photosite, and the same
        from a frequency up.
    seen
        Sensitivity to fringes of each of `COLOURS`, by cycles per picture height.
    """

    sensor: Sensor
    squeeze: float
    picture_aspect: float
    spans: Spans
    axis: Ceiling
    seen: tuple[Ceiling, ...]

    @classmethod
    def of(
        cls, *, sensor: Sensor, squeeze: float, picture_aspect: float, sensitivity: Sensitivity,
    ) -> Self:
        """Bounds for a sensor, a squeeze, a picture's shape and a viewer.

        Parameters
        ----------
        sensor
            The sensor.
        squeeze, picture_aspect
            Horizontal squeeze of the lens, and width over height of the delivered picture.
        sensitivity
            Of the viewer, by lowest and highest frequency and the colour of a fringe.
        """
        edges = _BIN_CYCLES * np.arange(_BINS, dtype=np.float64)
        seen = tuple(
            Ceiling(per_unit=1 / _BIN_CYCLES, values=sensitivity(
                edges, np.full(_BINS, 1e6), np.full(_BINS, index, dtype=np.int8)))
            for index in range(len(COLOURS)))
        return cls(sensor=sensor, squeeze=squeeze, picture_aspect=picture_aspect,
                   spans=sensor_spans(sensor), axis=sensor_ceiling(sensor), seen=seen)

    def best_seen(self, *, coloured: bool) -> float:
        """Sensitivity to the fringes that are seen best, in a colour or in luma."""
        return max(float(each.values[0])
                   for each in (self.seen[1:] if coloured else self.seen[:1]))

    def patches(self, rough: "RoughPlaces") -> Floats:
        """Bound for every line anywhere in a patch of the frame, shape (3, patches, lines).

        A line (m, n) is at least |(m, n)| times the smaller singular value of the gradients.
        """
        sensor = self.sensor
        narrow, wide = sorted((sensor.photosite_width_mm, sensor.photosite_height_mm))
        few, many = sorted(sensor.photosites_per_delivered_pixel(self.squeeze))
        order = np.hypot(*np.array(LINES).T)
        least, most = rough.stretch()
        low, high = least * order, most * order
        cutoff = rough.cutoff_per_mm
        cycles = rough.circle_mm.min(axis=1, keepdims=True) * low / wide
        cycles *= np.maximum(1 - high / narrow / cutoff, 0)
        across, down = self.axis(rough.least_components())
        transfer = self._lens(low / wide / cutoff, cycles) * across * down
        luma, colour = (self.best_seen(coloured=coloured) for coloured in (False, True))
        return np.stack([
            transfer * luma * (high >= 0.5 / many),
            transfer * colour * ((high >= 0.25) & (sensor.mosaic != "none")),
            transfer * self.seen[0](low * min(self._per_height())) * (low <= np.sqrt(0.5) / few),
        ])

    def transfer(
        self, line: Floats, change: Floats, circle_mm: Floats, cutoff_per_mm: Floats,
    ) -> Floats:
        """Bound on `graded_transfer` of lines at places.

        Parameters
        ----------
        line, change
            From `RoughPlaces.lines`.
        circle_mm, cutoff_per_mm
            Smallest blur circle within 1 % of the distance; cutoff of the lens.
        """
        sensor = self.sensor
        x, y = np.abs(line)
        per_mm = _length(x / sensor.photosite_width_mm, y / sensor.photosite_height_mm)
        spread = change / min(sensor.photosite_width_mm, sensor.photosite_height_mm)
        low, high = np.maximum(per_mm * (1 - _ROUNDING) - spread, 0), per_mm + spread
        cycles = circle_mm * low * np.maximum(1 - high / cutoff_per_mm, 0)
        lens = self._lens(low / cutoff_per_mm, cycles)
        return np.asarray(lens * self.axis(x - change) * self.axis(y - change))

    def sharper(self, line: Floats, change: Floats) -> Floats:
        """How far `transfer` lies above a closer bound, which heeds the nulls of the sensor."""
        x, y = np.abs(line)
        closer = self.spans(x - change, x + change) * self.spans(y - change, y + change)
        return np.asarray(closer / (self.axis(x - change) * self.axis(y - change)))

    def visibility(
        self, transfer: Floats, line: Floats, change: Floats, *, coloured: bool,
    ) -> tuple[Floats, NDArray[np.intp]]:
        """Bound on visibility of lines at places, and of which kind they are, -1 for none.

        Parameters
        ----------
        transfer
            Bound on what lens and sensor leave of each line, shape (places,).
        line
            Frequency of each on the sensor [cycles per photosite], shape (2, places).
        change
            How far the frequency may be off within a place's patch [cycles per photosite].
        coloured
            Whether fringes of the colour mosaic are meant, or those of luma.
        """
        ratio = np.reshape(self.sensor.photosites_per_delivered_pixel(self.squeeze), (2, 1))
        carrier = np.rint(2 * line) if coloured else 2 * np.rint(line)  # in halves of a cycle
        fringe = line - carrier / 2
        if ratio.max() > 1:
            fringe = folded(fringe * ratio) / ratio
        across, down = self._per_height()
        lowest = _length(across * fringe[0], down * fringe[1]) * (1 - _ROUNDING)
        lowest -= np.hypot(across, down) * change
        if not coloured:
            resolved = (np.abs(line * ratio) <= 0.5).all(axis=0)
            return transfer * self.seen[0](lowest), np.where(resolved, 2, 0)
        colour = np.mod(carrier, 2).sum(axis=0)
        seen = np.where(colour == 1, self.seen[1](lowest), self.seen[2](lowest))
        return transfer * seen, np.where(colour > 0, 1, -1)

    def _per_height(self) -> tuple[float, float]:
        """Photosites across and down that span one picture height."""
        across = self.sensor.columns_px / self.picture_aspect
        return across, across * self.sensor.height_to_width(self.squeeze)

    def _lens(self, nu: Floats, cycles: Floats) -> Floats:
        return DIFFRACTION(nu) * blur_ceiling(cycles / max(1.0, self.squeeze**2))


def _length(x: Floats, y: Floats) -> Floats:
    """As numpy's hypot to 1e-15 of the length, in a fraction of the time."""
    return np.sqrt(x * x + y * y)


@dataclass(frozen=True, kw_only=True, slots=True)
class RoughPlaces:
    """What bounds need to know of places, patch by patch of the frame.

    Attributes
    ----------
    gradient
        Wall periods per photosite, shape (2, 2, patches, places of each). Where the wall is not
        seen it is so fine there that no lens passes it.
    change
        As much as 1 % of the distance changes a line (m, n), over |(m, n)|.
    circle_mm
        Smallest blur circle within 1 % of the distance.
    cutoff_per_mm
        Cutoff of the lens, shape (patches, 1).
    """

    gradient: Floats
    change: Floats
    circle_mm: Floats
    cutoff_per_mm: Floats

    @classmethod
    def of(cls, places: Places, per_patch: int) -> Self:
        """Places that come in patches of so many."""
        depth = places.depth_mm + distance_steps(places)[-1] * places.depth_step_mm
        circle = places.circle_mm2 * np.abs(1 / depth - 1 / places.subject_mm)
        change = np.sqrt((places.gradient_step**2).sum(axis=(0, 1)))
        there = np.isfinite(change + circle)
        gradient, change, circle = (
            np.where(there, each, instead).reshape(*each.shape[:-1], -1, per_patch)
            for each, instead in ((places.gradient, _TOO_FINE), (change, 0), (circle, 0)))
        return cls(gradient=gradient, change=change, circle_mm=circle,
                   cutoff_per_mm=places.cutoff_per_mm[::per_patch, np.newaxis])

    def lines(self, patch: NDArray[np.intp], line: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """Frequencies of lines in patches, and as much as 1 % of the distance changes them."""
        m, n = np.array(LINES)[line].T[..., np.newaxis]
        gradient = self.gradient[:, :, patch]
        return (m * gradient[0] + n * gradient[1],
                np.hypot(m, n) * self.change[patch])

    def stretch(self) -> tuple[Floats, Floats]:
        """Smallest and largest stretch of the gradients in each patch, shape (patches, 1)."""
        (a, b), (c, d) = self.gradient
        squares, twice = a * a + b * b + c * c + d * d, 2 * np.abs(a * d - b * c)
        # Singular values are half the sum and half the difference of two square roots.
        together, apart = np.sqrt(squares + twice), np.sqrt(np.maximum(squares - twice, 0))
        least = (twice / (together + apart) - self.change) * (1 - _ROUNDING)
        most = ((together + apart) / 2 + self.change) * (1 + _ROUNDING)
        return (np.maximum(least.min(axis=1, keepdims=True), 0), most.max(axis=1, keepdims=True))

    def least_components(self) -> Floats:
        """Smallest |kx| and |ky| of every line in each patch, shape (2, patches, lines)."""
        lowest = (self.gradient - self.change).min(axis=-1)[..., np.newaxis]
        highest = (self.gradient + self.change).max(axis=-1)[..., np.newaxis]
        m, n = np.array(LINES).T  # m is never below 0
        of_n = n * lowest[1], n * highest[1]
        from_below = m * lowest[0] + np.minimum(*of_n)
        from_above = m * highest[0] + np.maximum(*of_n)
        return np.asarray(np.maximum(np.maximum(from_below, -from_above), 0))
