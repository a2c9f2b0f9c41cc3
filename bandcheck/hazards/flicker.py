"""Measures of how unsteady a light is.

Two families: from the extremes of what exposures catch (modulation index, ripple, stops), and
from the waveform of the light itself (flicker index, stroboscopic visibility).

Sources
-------
IEC 60050-845 (International Lighting Vocabulary): flicker index. IEEE 2020-2024: modulation
index. CIE TN 006:2016 and IEC TR 63158: stroboscopic visibility, second-hand.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "flicker_index_of_harmonics",
    "flicker_index_of_pulse",
    "modulation_index",
    "ripple",
    "stroboscopic_threshold",
    "stroboscopic_visibility",
    "swing_stops",
]

_STROBOSCOPIC_HZ = (80.0, 2000.0)
_STROBOSCOPIC_EXPONENT = 3.7

_SAMPLES_PER_PERIOD = 512


def modulation_index(*, largest: ArrayLike, smallest: ArrayLike) -> NDArray[np.float64]:
    """Flicker modulation index of two extremes.

    Parameters
    ----------
    largest, smallest
        Extremes of the light in any one unit, 0 <= smallest <= largest; they broadcast.

    Returns
    -------
    ndarray
        FMI = (Emax - Emin) / (Emax + Emin), 0..1; 0 for black.

    Raises
    ------
    OutOfRangeError
        An extreme that is negative, not finite or on the wrong side of the other.
    """
    high, low = _extremes(largest, smallest)
    return _ratio(high - low, high + low)


def ripple(
    *, largest: ArrayLike, smallest: ArrayLike, mean: ArrayLike
) -> NDArray[np.float64]:
    """Peak to peak over mean.

    Parameters
    ----------
    largest, smallest
        Extremes of the light in any one unit, 0 <= smallest <= largest.
    mean
        Mean of the light over time, in the same unit, at least 0. All three broadcast.

    Returns
    -------
    ndarray
        (Emax - Emin) / mean, a ratio, at least 0; 0 for black.

    Raises
    ------
    OutOfRangeError
        An argument outside its range, or a mean of 0 of a light that is not black.
    """
    high, low = _extremes(largest, smallest)
    middle = require("mean", mean, "at least 0", at_least=0.0)
    if np.any((middle == 0.0) & (high > 0.0)):
        raise OutOfRangeError("mean", 0.0, "above 0 where the largest is")
    return _ratio(high - low, middle)


def swing_stops(*, largest: ArrayLike, smallest: ArrayLike) -> NDArray[np.float64]:
    """Difference of two extremes in stops.

    Parameters
    ----------
    largest, smallest
        Extremes of the light in any one unit, 0 <= smallest <= largest; they broadcast.

    Returns
    -------
    ndarray
        log2(Emax / Emin), at least 0; NaN where the smallest is 0, which is no number of stops
        below anything.

    Raises
    ------
    OutOfRangeError
        An extreme that is negative, not finite or on the wrong side of the other.
    """
    high, low = _extremes(largest, smallest)
    lit = low > 0.0
    stops = np.log2(np.where(lit, high, 1.0)) - np.log2(np.where(lit, low, 1.0))
    return np.where(lit, stops, np.nan)


def flicker_index_of_pulse(
    *, duty: ArrayLike, modulation: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """Flicker index of a light that switches between two levels.

    Parameters
    ----------
    duty
        Share of the period that the higher level lasts, above 0, at most 1.
    modulation
        (Emax - Emin) / (Emax + Emin) of the two levels, 0..1. Both broadcast.

    Returns
    -------
    ndarray
        Area above the mean over the whole area (IEC 60050-845),
        2 m D (1 - D) / (1 + m (2 D - 1)); 1 - D where the lower level is dark.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.
    """
    lit = require("duty", duty, "above 0, at most 1", above=0.0, at_most=1.0)
    depth = require("modulation", modulation, "from 0 to 1", at_least=0.0, at_most=1.0)
    return np.asarray(2.0 * depth * lit * (1.0 - lit) / (1.0 + depth * (2.0 * lit - 1.0)))


def flicker_index_of_harmonics(relative_amplitudes: ArrayLike) -> NDArray[np.float64]:
    """Flicker index of a light of which the harmonics are known.

    Parameters
    ----------
    relative_amplitudes
        Amplitudes a_1, a_2, .. over the mean on the last axis, complex where phases matter: the
        light is 1 + Re sum a_h exp(2 pi i h t). None is larger than 2 in a light that is never
        negative.

    Returns
    -------
    ndarray
        Area above the mean over the whole area (IEC 60050-845), which is half the mean distance
        from the mean; the last axis gone; to about 1e-6. 1/pi for one amplitude of 1.

    Raises
    ------
    OutOfRangeError
        An amplitude above 2 or not finite, or no amplitude.
    """
    amplitudes = np.asarray(relative_amplitudes, dtype=np.complex128)
    require("relative_amplitudes", np.abs(amplitudes), "at most 2 in size", at_most=2.0)
    if amplitudes.ndim == 0 or amplitudes.shape[-1] == 0:
        raise OutOfRangeError("relative_amplitudes", relative_amplitudes, "at least one, in a row")
    order = np.arange(1, amplitudes.shape[-1] + 1)
    samples = _SAMPLES_PER_PERIOD * order[-1]
    away = _real_series(amplitudes, samples)
    area = _real_series(amplitudes / (2j * np.pi * order), samples)  # its running integral
    following = np.roll(away, -1, axis=-1)
    # Between two samples of one sign the running integral is the exact area; where the light
    # crosses its mean between them, two triangles are.
    whole = np.abs(np.roll(area, -1, axis=-1) - area)
    triangles = _ratio(away**2 + following**2, np.abs(away) + np.abs(following)) / (2 * samples)
    return np.asarray(np.where(away * following >= 0.0, whole, triangles).sum(axis=-1) / 2.0)


def stroboscopic_threshold(frequency_hz: ArrayLike) -> NDArray[np.float64]:
    """Modulation of a sine of light at which moving things are just seen to break up.

    Parameters
    ----------
    frequency_hz
        Frequency of the light [Hz], above 0, any shape.

    Returns
    -------
    ndarray
        T(f) = 1 / (1 + exp(-0.00518 (f - 306.6))) + 20 exp(-f / 10); NaN outside 80..2000 Hz,
        the range of the measure. In an office, for moderate movement (CIE TN 006:2016, IEC TR
        63158; second-hand).

    Raises
    ------
    OutOfRangeError
        A frequency that is not above 0 or not finite.
    """
    frequency = require("frequency_hz", frequency_hz, "above 0 Hz", above=0.0)
    inside = (frequency >= _STROBOSCOPIC_HZ[0]) & (frequency <= _STROBOSCOPIC_HZ[1])
    at = np.where(inside, frequency, _STROBOSCOPIC_HZ[0])
    threshold = 1.0 / (1.0 + np.exp(-0.00518 * (at - 306.6))) + 20.0 * np.exp(-at / 10.0)
    return np.where(inside, threshold, np.nan)


def stroboscopic_visibility(
    *, relative_amplitudes: ArrayLike, frequency_hz: ArrayLike
) -> NDArray[np.float64]:
    """Stroboscopic visibility measure (SVM) of a light; 1 is just seen.

    Parameters
    ----------
    relative_amplitudes
        Amplitudes of the light's harmonics over its mean on the last axis, 0..2; a complex
        amplitude counts with its size.
    frequency_hz
        Frequency of each [Hz], above 0; broadcasts.

    Returns
    -------
    ndarray
        (sum (C / T)^3.7)^(1/3.7), the last axis gone. Harmonics outside 80..2000 Hz do not
        count: slower light is seen to flicker as it is, and faster is not seen at all.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.
    """
    sizes = np.atleast_1d(np.abs(np.asarray(relative_amplitudes, dtype=np.complex128)))
    require("relative_amplitudes", sizes, "at most 2 in size", at_most=2.0)
    over = sizes / stroboscopic_threshold(frequency_hz)
    counted = np.where(np.isnan(over), 0.0, over)
    total = (counted**_STROBOSCOPIC_EXPONENT).sum(axis=-1)
    return np.asarray(total ** (1.0 / _STROBOSCOPIC_EXPONENT))


def _extremes(
    largest: ArrayLike, smallest: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    low = require("smallest", smallest, "at least 0", at_least=0.0)
    high = require("largest", largest, "at least 0", at_least=0.0)
    if np.any(low > high):
        raise OutOfRangeError("smallest", smallest, "no more than the largest")
    return high, low


def _ratio(above: NDArray[np.float64], below: NDArray[np.float64]) -> NDArray[np.float64]:
    """Quotient, 0 where there is nothing to divide by."""
    return np.asarray(above / np.where(below > 0.0, below, np.inf))


def _real_series(amplitudes: NDArray[np.complex128], samples: int) -> NDArray[np.float64]:
    """Re sum a_h exp(2 pi i h t) at that many even steps of one period."""
    spectrum = np.zeros((*amplitudes.shape[:-1], samples // 2 + 1), dtype=np.complex128)
    spectrum[..., 1 : amplitudes.shape[-1] + 1] = amplitudes * (samples / 2.0)
    return np.asarray(np.fft.irfft(spectrum, samples, axis=-1))
