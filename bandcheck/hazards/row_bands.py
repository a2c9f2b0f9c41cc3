"""Visibility of the bands that rows of a rolling shutter draw, all aliases included."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.row_ring import light_kinks

__all__ = ["PHASES", "RowLight", "row_light", "row_visibility"]

FloatArray = NDArray[np.float64]

PHASES = 8
"""Phases within a line time at which all rows are looked at: V to 1e-3 (tests)."""

_SHIFT_ROUNDING = 1e-6
_SAMPLES_AT_ONCE = 1 << 16
_FEW_SAMPLES = 1 << 14


@dataclass(frozen=True, kw_only=True, slots=True)
class RowLight:
    """What does not depend on the exposure: a light as rows of a ring and a viewer meet it.

    Attributes
    ----------
    train
        Train of one level, not black, whose cycle is the ring.
    delays_s
        Delays [s] of the scan lines whose mean a row sees.
    rows, phases
        Rows in the ring, and phases in which each is looked at.
    weight
        Filter from the second differences of the running integral to what is met of it, for
        0, 1, .. rows // 2 periods in the ring.
    opened
        Running integral of the light as it is met, shape (phases, rows).
    """

    train: PulseTrain
    delays_s: tuple[float, ...]
    rows: int
    phases: int
    weight: NDArray[np.complex128]
    opened: FloatArray

    @property
    def mean(self) -> float:
        """Mean light, 0..1."""
        return float(self.train.light_per_cycle_s[0]) / self.train.cycle_s

    def later(self, shift_s: ArrayLike, *, first: bool = False) -> FloatArray:
        """Running integral so much later, shape (*shifts, phases, rows); 1 phase for the first."""
        return _met(
            light_kinks(
                self.train, shift_s=shift_s, rows=self.rows, phases=self.phases,
                delays_s=self.delays_s, first=first,
            ), self.weight, self.rows,
        )


def _met(kinks: FloatArray, weight: NDArray[np.complex128], rows: int) -> FloatArray:
    spectrum = np.fft.rfft(kinks)
    spectrum *= weight
    return np.asarray(np.fft.irfft(spectrum, rows), dtype=np.float64)


def row_light(
    train: PulseTrain, *, rows: int, sensitivity: FloatArray, phases: int = PHASES,
    delays_s: tuple[float, ...] = (0.0,),
) -> RowLight:
    """A light as rows of a ring and a viewer meet it.

    Parameters
    ----------
    train
        Train of one level, not black, whose cycle is a ring of rows (`light.row_ring`).
    rows
        Rows in the ring.
    sensitivity
        Viewer's weight at 0, 1, .. rows // 2 periods in the ring; the first is not used.
    phases
        Phases within a row at which all rows are looked at.
    delays_s
        Delays [s] of the scan lines whose mean a row sees.

    Returns
    -------
    RowLight
        For `row_visibility`.
    """
    number = np.arange(1, rows // 2 + 1)
    weight = np.zeros(rows // 2 + 1, dtype=np.complex128)
    # The integral follows from its second differences: twice divided by exp(i w) - 1, and since
    # a second difference stands one row after its middle, turned back by as much again.
    turn = np.exp(2j * np.pi * number / rows)
    weight[1:] = sensitivity[1:] * turn**2 / (turn - 1) ** 2
    kinks = light_kinks(train, shift_s=0.0, rows=rows, phases=phases, delays_s=delays_s)
    return RowLight(
        train=train, delays_s=delays_s, rows=rows, phases=phases, weight=weight,
        opened=_met(kinks, weight, rows),
    )


def _largest_differences(
    light: RowLight, twice_round: NDArray[np.float32], closed: FloatArray,
    shifts: NDArray[np.int64],
) -> FloatArray:
    """Largest |closed - opened| with openings so many samples earlier, shape of `shifts`.

    Where it lies is looked for in single precision, which is half as much to go through; what it
    is there, in double. A place that is as good within single rounding changes nothing told.
    """
    rows, phases, found = light.rows, light.phases, np.zeros(shifts.shape)
    single = closed.astype(np.float32)
    difference = np.empty_like(single)
    for cell, shift in enumerate(shifts.tolist()):
        row, phase = divmod(shift, phases)
        # Samples go through the phases row by row: below `split` the opening is a row earlier.
        split = min(phase, len(closed))
        for part, first, column in (
            (slice(split, None), 0, rows - row), (slice(split), phases - phase, rows - row - 1),
        ):
            into = difference[part]
            opened = twice_round[first : first + len(into), column : column + rows]
            np.subtract(single[part], opened, out=into)
        for place in (int(difference.argmax()), int(difference.argmin())):
            at, behind = divmod(place, rows)
            then = (behind * phases + at - shift) % (rows * phases)
            value = closed[at, behind] - light.opened[then % phases, then // phases]
            found[cell] = max(found[cell], abs(value))
    return found


def row_visibility(
    light: RowLight, *, exposure_s: ArrayLike, enough: float = np.inf
) -> FloatArray:
    """Visibility V of a rolling shutter's bands: the largest filtered relative light over phase.

    What a row catches is the difference of the light's running integral at its closing and its
    opening; the viewer's filter, applied to that integral from row to row, gives V as the largest
    difference. Exact in the harmonics of the light, whatever their number.

    Parameters
    ----------
    light
        From `row_light`.
    exposure_s
        Exposures [s], > 0, shape (A,).
    enough
        V from which up it is enough to know that it is no less: a larger one may be told too
        small, but never below this.

    Returns
    -------
    ndarray
        V, shape (A,); of all phases, eight in each line time are looked at.
    """
    exposure = np.atleast_1d(np.asarray(exposure_s, dtype=np.float64))
    cycle_s, samples = light.train.cycle_s, light.rows * light.phases
    place = np.mod(exposure, cycle_s) * (samples / cycle_s)
    parts = round(1 / _SHIFT_ROUNDING)
    cells = np.round(place / _SHIFT_ROUNDING).astype(np.int64)
    # Light in an exposure and in the rest of the cycle adds up to the same: the shorter will do,
    # where that does not move the few phases of a row that are looked at.
    shorter = np.minimum(cells, samples * parts - cells)
    if light.phases > 1:
        shorter = np.where(cells % parts == 0, shorter, cells)
    cells, which = np.unique(shorter, return_inverse=True)
    whole, part = np.divmod(cells, parts)
    most = np.zeros(cells.shape)
    np.maximum.at(most, which, enough * light.mean * exposure)
    largest = np.zeros(cells.shape)
    unshifted = np.flatnonzero(part == 0)
    # In single precision, and twice round the ring so that a shift is a slice.
    twice_round = np.tile(light.opened.astype(np.float32), 2)
    largest[unshifted] = _largest_differences(
        light, twice_round, light.opened, whole[unshifted]
    )
    between = np.flatnonzero(part)
    if light.phases > 1 and samples > _FEW_SAMPLES and enough < np.inf:
        _between_samples(light, twice_round, whole, part, between, largest, first=True)
        between = between[largest[between] < most[between]]
    _between_samples(light, twice_round, whole, part, between, largest, first=False)
    return np.asarray(largest[which] / (light.mean * exposure))


def _between_samples(
    light: RowLight, twice_round: NDArray[np.float32], whole: NDArray[np.int64],
    part: NDArray[np.int64], cells: NDArray[np.int64], largest: FloatArray, *, first: bool,
) -> None:
    """Put in the largest differences of cells whose closings lie between the samples."""
    parts, of_part = np.unique(part[cells], return_inverse=True)
    samples = light.rows * light.phases
    at_once = max(1, _SAMPLES_AT_ONCE // samples)
    for start in range(0, parts.size, at_once):
        block = parts[start : start + at_once]
        shift_s = block * (_SHIFT_ROUNDING * light.train.cycle_s / samples)
        for index, closed in enumerate(light.later(shift_s, first=first), start):
            chosen = cells[of_part == index]
            largest[chosen] = _largest_differences(light, twice_round, closed, whole[chosen])
