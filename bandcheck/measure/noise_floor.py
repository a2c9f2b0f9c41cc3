"""What in a spectrum of row means is noise, coloured as it may be, and what stands above it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "FALSE_ALARM", "NoiseFloor", "noise_floor", "row_spectrum", "seen_amplitude",
    "tapered",
]

FloatArray = NDArray[np.float64]

FALSE_ALARM = 0.001
"""Chance that noise alone passes for a band somewhere in the spectrum: project choice."""

_EULER = 0.5772156649015329
"""An exponential deviate's logarithm lies so much below that of its mean, on the mean."""

_MEAN_OVER_MEDIAN = 0.3665129205816643
"""Logarithm of the mean over the median of an exponential deviate: -ln(ln 2)."""

_CENTRES = 40
_HALF_WIDTH = 24
_ROUNDS = 4
_REACH = 1.7
_OUTLIER = 2.4
_TAKEN_BY_TREND = 2
"""Lowest frequencies, from which the fitted trend takes most of the noise."""

_STEEPEST, _SLOPE, _SLOPE_SD = -4.0, -0.7, 0.7
"""Exponents of power that noise of row means may have: none rises; pictures fall with the square
at most (common practice), sensors are white. Project choice."""

_ALIKE = 1.9
"""How many neighbours in a tapered spectrum count as one: they share what they show (derived: 1 +
2 (4/9 + 1/36), the squared correlations of a Hann taper)."""

_OVERSAMPLED = 2.3
"""Independent looks in a step of an oversampled periodogram, against one at its middle."""

_SURE = 1.1631
"""Standard deviations of a complex noise that 95 of 100 tones stay above: 1.645 / sqrt 2."""


class NoiseFloor:
    """Level of the noise at any frequency, and how well it is known.

    Parameters
    ----------
    cycles
        Frequencies of the centres [cycles per row], rising, shape (C,).
    log_level
        Natural logarithm of the mean power there, shape (C,).
    looks
        Independent values of a periodogram whose mean would be known as well, shape (C,).
    rows
        Row means that the spectrum is of.
    """

    def __init__(
        self, cycles: FloatArray, log_level: FloatArray, looks: FloatArray, *, rows: int
    ) -> None:
        self._log_cycles = np.log(cycles)
        self._log_level = log_level
        self._looks = looks
        self.rows = rows

    def __call__(self, cycles: ArrayLike) -> FloatArray:
        """Mean power of the noise at frequencies [cycles per row], any shape."""
        return np.exp(np.interp(np.log(cycles), self._log_cycles, self._log_level))

    def variance(self, cycles: ArrayLike) -> FloatArray:
        """Variance to go on with: the level, raised for how well it is known, `1 + 1 / n`."""
        return np.asarray(self(cycles) * (1 + 1 / self._known_from(cycles)))

    def alarm(self, cycles: ArrayLike, power: ArrayLike) -> FloatArray:
        """Chance that noise has so much power somewhere near one frequency or another.

        With a level known from n values the ratio follows F with 2 and 2 n degrees of freedom, so
        the chance at one frequency is `(1 + ratio / n) ^ -n`. Every octave gets an equal share of
        the false alarms (Bonferroni).

        Parameters
        ----------
        cycles, power
            Frequency [cycles per row] and power there, any shape.

        Returns
        -------
        ndarray
            Natural logarithm of an upper bound of the chance.
        """
        looks = self._known_from(cycles)
        ratio = np.asarray(power) / self(cycles)
        return np.asarray(self._log_trials(cycles) - looks * np.log1p(ratio / looks))

    def threshold(self, cycles: ArrayLike) -> FloatArray:
        """Power over the noise from which a line counts as real, shape of `cycles`."""
        looks = self._known_from(cycles)
        return np.asarray(
            looks * np.expm1((self._log_trials(cycles) - np.log(FALSE_ALARM)) / looks)
        )

    def _known_from(self, cycles: ArrayLike) -> FloatArray:
        return np.asarray(np.interp(np.log(cycles), self._log_cycles, self._looks))

    def _log_trials(self, cycles: ArrayLike) -> FloatArray:
        octaves = np.log2(max(self.rows / 2, 2.0))
        return np.asarray(np.log(_OVERSAMPLED * octaves * np.asarray(cycles) * self.rows / 2))


def tapered(weight: FloatArray) -> FloatArray:
    """Weights of rows under a Hann taper, which keeps a strong line from spilling over others."""
    rows = len(weight)
    return np.asarray(weight * np.sin(np.pi * (np.arange(rows) + 0.5) / rows) ** 2)


def row_spectrum(
    residual: FloatArray, weight: FloatArray, *, oversampled: int = 1
) -> tuple[FloatArray, FloatArray]:
    """Periodogram of what is left of the row means, under a Hann taper.

    Parameters
    ----------
    residual
        Relative light that is not explained, shape (rows,).
    weight
        Weight of each row, 0 where it is left out, the same shape.
    oversampled
        Points for each independent frequency.

    Returns
    -------
    cycles, power
        Frequencies above 0 and below 1/2 [cycles per row]; the power of white noise is its
        variance at every frequency.
    """
    size = oversampled * len(residual)
    taper = tapered(weight)
    power = np.abs(np.fft.rfft(taper * residual, size)) ** 2 / max(float((taper**2).sum()), 1e-300)
    last = (size - 1) // 2
    return np.arange(1, last + 1) / size, np.asarray(power[1 : last + 1])


def noise_floor(residual: FloatArray, weight: FloatArray) -> NoiseFloor:
    """Level of the noise in what is left of the row means.

    In each stretch of the spectrum a power law is fitted to the logarithm of the power, which
    scatters alike about its mean for any noise; what lies far above the law is taken for a line
    and left out.

    Parameters
    ----------
    residual, weight
        As for `row_spectrum`.

    Returns
    -------
    NoiseFloor
        Smooth in frequency.
    """
    cycles, power = (each[_TAKEN_BY_TREND:] for each in row_spectrum(residual, weight))
    logs = np.log(np.maximum(power, max(float(power.max()) * 1e-30, 1e-300))) + _EULER
    places = np.log(cycles)
    count = len(cycles)
    centres = np.unique(np.rint(np.geomspace(1, count, _CENTRES)).astype(int)) - 1
    half = np.maximum(_HALF_WIDTH, (centres * (1 - 1 / _REACH)).astype(int))
    first = np.maximum(0, np.minimum(centres - half, count - 2 * half))
    end = np.maximum(centres + half, first + 2 * half)
    bins = np.arange(count)
    near = (bins >= first[:, np.newaxis]) & (bins < end[:, np.newaxis])
    level, looks = _local_levels(places, logs, near, places[centres])
    return NoiseFloor(cycles[centres], level, looks, rows=len(residual))


def _local_levels(
    places: FloatArray, logs: FloatArray, near: NDArray[np.bool_], at: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Power laws through parts of a log spectrum, lines left out, and the looks they rest on.

    Parameters
    ----------
    places, logs
        Logarithms of frequency and power, shape (N,).
    near
        What belongs to each part, shape (C, N).
    at
        Where its level is wanted, shape (C,).

    Returns
    -------
    level, looks
        Shape (C,).
    """
    scatter = np.pi**2 / 6 * _ALIKE
    middle_log = np.array([np.median(logs[own]) for own in near])
    level = (middle_log + _MEAN_OVER_MEDIAN - _EULER)[:, np.newaxis]
    for _ in range(_ROUNDS):
        kept = (near & (logs - level < _OUTLIER)).astype(np.float64)
        size = kept.sum(axis=1)
        middle, mean = kept @ places / size, kept @ logs / size
        square = kept @ places**2 - size * middle**2
        known = square / scatter + 1 / _SLOPE_SD**2
        slope = (kept @ (places * logs) - size * middle * mean) / scatter + _SLOPE / _SLOPE_SD**2
        slope = np.clip(slope / known, _STEEPEST, 0.0)
        level = mean[:, np.newaxis] + slope[:, np.newaxis] * (places - middle[:, np.newaxis])
    variance = scatter / size + (at - middle) ** 2 / known
    return mean + slope * (at - middle), 1 / variance


def seen_amplitude(cycles: FloatArray, *, floor: NoiseFloor, weight: FloatArray) -> FloatArray:
    """Amplitude of a tone that is found 95 times in a hundred.

    Parameters
    ----------
    cycles
        Frequencies [cycles per row], any shape.
    floor
        Level of the noise.
    weight
        Weight of each row.

    Returns
    -------
    ndarray
        Relative amplitude, shape of `cycles`.
    """
    taper = tapered(weight)
    needed = np.sqrt(floor.threshold(cycles)) + _SURE
    return np.asarray(
        2 * needed * np.sqrt(floor(cycles) * (taper**2).sum()) / max(float(taper.sum()), 1e-300)
    )
