"""Fourier coefficients of a pulse train, in closed form from its counts."""

import math

import numpy as np
from numpy.typing import NDArray

from bandcheck.light.pulse_train import PulseTrain

__all__ = ["fourier_coefficients"]

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]


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
    # exp(i (a + b)) = exp(i a) exp(i b): with h in steps and what is left of it, few exponentials.
    step = math.isqrt(int(harmonics.max(initial=0))) + 1
    steps, place = np.unique(harmonics // step, return_inverse=True)
    coarse = np.exp(-2j * np.pi * np.outer(steps * step, turns))
    fine = np.exp(-2j * np.pi * np.outer(turns, np.arange(step)))
    return np.asarray((coarse @ fine)[place, np.mod(harmonics, step).astype(np.int64)])


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
