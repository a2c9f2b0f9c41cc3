"""Visibility of the bands that rows of a rolling shutter draw, all aliases included."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.row_ring import light_kinks

__all__ = ["row_visibility"]

FloatArray = NDArray[np.float64]

PHASES = 8
"""Phases within a line time at which all rows are looked at: V to 1e-3 (tests)."""

_SHIFT_ROUNDING = 1e-6


def _filtered(
    train: PulseTrain, *, shift_s: float, rows: int, weight: NDArray[np.complex128]
) -> FloatArray:
    """Running integral of the light as a viewer meets it, in order of phase, shape (2 N,).

    Twice round the ring, so that a shift by whole samples is a slice.
    """
    kinks = light_kinks(train, shift_s=shift_s, rows=rows, phases=PHASES)
    met = np.fft.irfft(np.fft.rfft(kinks, axis=1) * weight, rows, axis=1)
    ring = met.T.ravel()
    return np.concatenate([ring, ring])


def row_visibility(
    train: PulseTrain, *, rows: int, sensitivity: FloatArray, exposure_s: ArrayLike
) -> FloatArray:
    """Visibility V of a rolling shutter's bands: the largest filtered relative light over phase.

    What a row catches is the difference of the light's running integral at its closing and its
    opening; the viewer's filter, applied to that integral from row to row, gives V as the largest
    difference. Exact in the harmonics of the light, whatever their number.

    Parameters
    ----------
    train
        Train of one level, not black, whose cycle is a ring of rows (`light.row_ring`).
    rows
        Rows in the ring.
    sensitivity
        Viewer's weight at 0, 1, .. rows // 2 periods in the ring; the first is not used.
    exposure_s
        Exposures [s], > 0, shape (A,).

    Returns
    -------
    ndarray
        V, shape (A,); of all phases, eight in each line time are looked at.
    """
    exposure = np.atleast_1d(np.asarray(exposure_s, dtype=np.float64))
    samples = rows * PHASES
    number = np.arange(1, rows // 2 + 1)
    weight = np.zeros(rows // 2 + 1, dtype=np.complex128)
    # The integral follows from its second differences: twice divided by exp(i w) - 1, and since
    # a second difference stands one row after its middle, turned back by as much again.
    turn = np.exp(2j * np.pi * number / rows)
    weight[1:] = sensitivity[1:] * turn**2 / (turn - 1) ** 2
    place = np.mod(exposure, train.cycle_s) * (samples / train.cycle_s)
    parts = round(1 / _SHIFT_ROUNDING)
    whole, part = np.divmod(np.round(place / _SHIFT_ROUNDING).astype(np.int64), parts)
    # Light in an exposure and in the rest of the cycle adds up to the same: the shorter will do
    # where both ends of either are looked at.
    whole = np.where(part == 0, np.minimum(whole, samples - whole), whole)
    cells, which = np.unique(whole * parts + part, return_inverse=True)
    whole, part = np.divmod(cells, parts)
    twice = _filtered(train, shift_s=0.0, rows=rows, weight=weight)
    opened = twice[:samples]
    largest = np.zeros(cells.shape)
    light = np.empty(samples)
    for own in np.unique(part):
        closed = twice if own == 0 else _filtered(
            train, shift_s=own * _SHIFT_ROUNDING * train.cycle_s / samples, rows=rows,
            weight=weight,
        )
        for cell in np.flatnonzero(part == own):
            begin = whole[cell]
            np.subtract(closed[begin : begin + samples], opened, out=light)
            largest[cell] = max(light.max(), -light.min())
    largest = largest[which.reshape(exposure.shape)]
    mean = train.light_per_cycle_s[0] / train.cycle_s
    return np.asarray(largest / (mean * exposure))
