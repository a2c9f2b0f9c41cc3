"""Fourier coefficients of a pulse train, in closed form from its counts."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.light.pulse_train import PulseTrain

__all__ = ["fourier_coefficients"]

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]

_ENTRIES_AT_ONCE = 1 << 21
"""Entries of the phase matrix of an unevenly pitched train that are held at once."""


def _pulses(train: PulseTrain, count: int) -> list[tuple[float, float]]:
    """Start and length [s] of the pulses by which a slot shows a count."""
    if not train.binary_code:
        return [(0.0, count * train.count_s)]
    return [
        ((2**plane - 1) * train.count_s, 2**plane * train.count_s)
        for plane in range(count.bit_length())
        if count >> plane & 1
    ]


def _comb(train: PulseTrain, shown: NDArray[np.bool_], harmonics: FloatArray) -> ComplexArray:
    """Sum of exp(-2 pi i h start / cycle) over the refreshes that are shown."""
    if train.evenly_pitched:
        around = np.fft.fft(shown.astype(np.float64))
        return np.asarray(around[np.mod(harmonics, train.refreshes).astype(np.int64)])
    turns = np.flatnonzero(shown) * (train.refresh_pitch_s / train.cycle_s)
    comb = np.empty(harmonics.shape, dtype=np.complex128)
    step = max(1, _ENTRIES_AT_ONCE // max(1, turns.size))
    for first in range(0, harmonics.size, step):
        block = slice(first, first + step)
        comb[block] = np.exp(-2j * np.pi * np.outer(harmonics[block], turns)).sum(axis=1)
    return comb


def fourier_coefficients(train: PulseTrain, harmonics: NDArray[np.int64]) -> ComplexArray:
    """Coefficients `c_h = 1/P * integral of light * exp(-2 pi i h t / P)` of scan line 0.

    A pulse of length w that starts at a gives `w/P sinc(h w/P) exp(-2 pi i h (a + w/2)/P)`;
    refreshes with the same count share that factor, and where they lie is one discrete Fourier
    transform over the refreshes.

    Parameters
    ----------
    train
        Train of L levels with cycle P.
    harmonics
        Numbers h of the harmonics of 1/P, >= 0, shape (H,).

    Returns
    -------
    ndarray
        Complex coefficients, shape (L, H); harmonic 0 is the mean light (0..1).
    """
    number = np.asarray(harmonics, dtype=np.float64)
    result = np.zeros((len(train.counts), number.size), dtype=np.complex128)
    for level, counts in enumerate(train.counts):
        for count in np.unique(counts[counts > 0]):
            slot = np.zeros(number.size, dtype=np.complex128)
            for start, length in _pulses(train, int(count)):
                middle = (train.first_pulse_s + start + length / 2) / train.cycle_s
                share = length / train.cycle_s
                slot += share * np.sinc(number * share) * np.exp(-2j * np.pi * number * middle)
            result[level] += slot * _comb(train, counts == count, number)
    return result
