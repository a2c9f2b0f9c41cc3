"""Bounds from above on what lens and sensor pass, as tables that never rise and cost a look-up.

They serve to leave out work: what a ceiling shows to be too little need not be worked out. None
of them ends up in a result.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.arrangement import Sensor
from bandcheck.imaging.blur import defocus_bound, diffraction_transfer

__all__ = [
    "BLUR", "DIFFRACTION", "Ceiling", "Spans", "blur_ceiling", "sensor_ceiling", "sensor_spans",
]

Floats = NDArray[np.float64]

_ROUNDING = 1e-6
"""Share by which tables are raised, above what the polynomials of `jinc` err by."""

_BLUR_CYCLES = 4
_FAR_BLUR = 0.29 * (1 + _ROUNDING)
"""What `defocus_bound` is beyond the table, over x^-1.5."""

_FINEST_CYCLES = 8.0
_SENSOR_STEP = 1 / 256
_LOOKS = 4
"""Places at which a piece of the sensor's table is looked at."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Ceiling:
    """Table of a bound that never rises.

    Attributes
    ----------
    per_unit
        Pieces of the table in one unit of the argument, from 0 up.
    values
        Bound from the start of each piece up.
    """

    per_unit: float
    values: Floats

    @classmethod
    def of(cls, falling: Callable[[Floats], Floats], *, step: float, pieces: int) -> Self:
        """Ceiling of a function that never rises, from its values where the pieces begin.

        Parameters
        ----------
        falling
            The function, of any shape and from 0 up.
        step, pieces
            Length of a piece in the function's argument, > 0, and how many there are.
        """
        start = step * np.arange(pieces, dtype=np.float64)
        return cls(per_unit=1 / step, values=falling(start) * (1 + _ROUNDING))

    def __call__(self, at_least: Floats) -> Floats:
        """Largest value from here up; arguments below 0 count as 0, NaN is not accepted."""
        piece = np.clip(at_least * self.per_unit, 0, self.values.size - 1)
        return self.values[piece.astype(np.intp)]


DIFFRACTION = Ceiling.of(diffraction_transfer, step=1 / 1024, pieces=1025)
"""Of `bandcheck.imaging.blur.diffraction_transfer`."""

BLUR = Ceiling.of(defocus_bound, step=1 / 512, pieces=512 * _BLUR_CYCLES)
"""Of `bandcheck.imaging.blur.defocus_bound`."""


def blur_ceiling(cycles: Floats) -> Floats:
    """Bound on `defocus_bound` for at least so many cycles in the blur circle, any shape."""
    beyond = np.maximum(cycles, _BLUR_CYCLES)
    return np.where(
        cycles < _BLUR_CYCLES, BLUR(cycles), _FAR_BLUR / (beyond * np.sqrt(beyond)))


@dataclass(frozen=True, kw_only=True, slots=True)
class Spans:
    """Table of a bound from which the largest over any span is read.

    Attributes
    ----------
    per_unit
        Pieces of the table in one unit of the argument, from 0 up; the last one has no end.
    largest
        Bound over 1, 2, 4, ... pieces from each one on, shape (powers, pieces).
    """

    per_unit: float
    largest: Floats

    @classmethod
    def of(cls, values: Floats, *, per_unit: float) -> Self:
        """Spans over pieces with a bound each."""
        levels = [values]
        while (step := 2 ** (len(levels) - 1)) < values.size:
            following = np.append(levels[-1][step:], np.full(step, values[-1]))
            levels.append(np.maximum(levels[-1], following))
        return cls(per_unit=per_unit, largest=np.stack(levels))

    def __call__(self, low: Floats, high: Floats) -> Floats:
        """Largest value from `low` to `high`; arguments below 0 count as 0."""
        last = self.largest.shape[1] - 1
        first, final = (np.clip(each * self.per_unit, 0, last).astype(np.intp)
                        for each in (low, high))
        # Two spans of the largest power of 2 that fits cover it all.
        power = np.frexp((final - first + 1).astype(np.float64))[1] - 1
        return np.asarray(np.maximum(
            self.largest[power, first], self.largest[power, final + 1 - 2**power]))


def sensor_spans(sensor: Sensor) -> Spans:
    """What low-pass and photosites pass along one axis, by cycles per photosite, from above.

    The product of both axes' values is a bound on `bandcheck.imaging.lattice.sensor_transfer` for
    every shift and fill that the sensor may have.
    """
    return _sensor_spans(sensor.low_pass_px, sensor.photosite_fill)


def sensor_ceiling(sensor: Sensor) -> Ceiling:
    """As `sensor_spans`, from a frequency up."""
    spans = sensor_spans(sensor)
    return Ceiling(per_unit=spans.per_unit,
                   values=np.maximum.accumulate(spans.largest[0, ::-1])[::-1])


@cache
def _sensor_spans(shifts: tuple[float, ...], fills: tuple[float, ...]) -> Spans:
    pieces = round(_FINEST_CYCLES / _SENSOR_STEP)
    finest = _SENSOR_STEP / _LOOKS
    cycles = finest * np.arange(pieces * _LOOKS + 1)
    largest = np.zeros(cycles.size)
    for shift in shifts:
        for fill in fills:
            passed = np.abs(np.cos(np.pi * shift * cycles) * np.sinc(fill * cycles))
            # Between two looks it rises by no more than its steepest slope lets it.
            steepest = np.pi * shift + 1.4 * fill
            largest = np.maximum(largest, passed + steepest * finest / 2)
    looks = np.minimum(largest[:-1], 1).reshape(pieces, _LOOKS)
    values = np.maximum(looks.max(axis=1), np.minimum(largest[_LOOKS::_LOOKS], 1))
    beyond = 1 / (np.pi * min(fills) * _FINEST_CYCLES)
    return Spans.of(np.append(values, beyond), per_unit=1 / _SENSOR_STEP)
