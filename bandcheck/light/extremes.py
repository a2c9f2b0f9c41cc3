"""The brightest and the darkest window of a pulse train over every phase."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require
from bandcheck.light.pulse_train import PulseTrain, light_until, single_level

__all__ = ["light_extremes", "pulse_edges"]

FloatArray = NDArray[np.float64]

_CELLS_AT_ONCE = 1 << 16
"""Windows evaluated in one go: the working set of a block stays in a core's cache."""

_ROUNDING = 1e-14
"""Light that rounding leaves of none, over the times it is the difference of."""


def pulse_edges(train: PulseTrain) -> tuple[FloatArray, FloatArray]:
    """Starts and ends of all pulses in one cycle.

    Parameters
    ----------
    train
        Train of one level.

    Returns
    -------
    starts, ends : ndarray
        Times [s] of scan line 0, shape (pulses,).
    """
    counts = train.counts[0]
    start = np.arange(train.refreshes) * train.refresh_pitch_s + train.first_pulse_s
    if not train.binary_code:
        shown = counts > 0
        return start[shown], (start + counts * train.count_s)[shown]
    plane = np.arange(int(counts.max(initial=0)).bit_length())
    shown = (counts[:, np.newaxis] >> plane) & 1 == 1
    opening = start[:, np.newaxis] + (2.0**plane - 1) * train.count_s
    return opening[shown], (opening + 2.0**plane * train.count_s)[shown]


def _one_level(
    train: PulseTrain, exposure: FloatArray, delays: FloatArray
) -> tuple[FloatArray, FloatArray]:
    starts, ends = (
        (edge[:, np.newaxis] + delays).ravel() for edge in pulse_edges(train)
    )
    lowest = np.zeros_like(exposure)
    highest = np.zeros_like(exposure)
    if starts.size == 0:
        return lowest, highest

    def mean_until(time: FloatArray) -> FloatArray:
        light = light_until(train, np.subtract.outer(time, delays))[0]
        return light[..., 0] if delays.size == 1 else np.asarray(light.mean(axis=-1))

    at_starts, at_ends = mean_until(starts), mean_until(ends)
    step = max(1, _CELLS_AT_ONCE // (starts.size * delays.size))
    for first in range(0, exposure.size, step):
        block = slice(first, first + step)
        window = exposure[block, np.newaxis]
        # Light against phase rises while a pulse enters at the far edge and falls while one
        # leaves at the near edge: it peaks where a window opens with a pulse, and is least where
        # it opens at one's end. (From a window that closes with a pulse's end, sliding either
        # way leads to one that opens with a pulse and holds no less.)
        highest[block] = (mean_until(starts + window) - at_starts).max(axis=1)
        lowest[block] = (mean_until(ends + window) - at_ends).min(axis=1)
        if delays.size > 1:
            # Of several lines more than one may be lit: here the far edge decides on its own.
            closes_at_end = at_ends - mean_until(ends - window)
            closes_at_start = at_starts - mean_until(starts - window)
            highest[block] = np.maximum(highest[block], closes_at_end.max(axis=1))
            lowest[block] = np.minimum(lowest[block], closes_at_start.min(axis=1))
    # What is shorter than times are rounded to is no light.
    return np.where(lowest < _ROUNDING * (exposure + train.cycle_s), 0.0, lowest), highest


def light_extremes(
    train: PulseTrain, *, exposure_s: ArrayLike, line_delays_s: ArrayLike = (0.0,)
) -> tuple[FloatArray, FloatArray]:
    """Least and most light of a window of given length, over all phases.

    Light against phase is piecewise linear, so its extremes lie where an edge of the window
    meets an edge of a pulse; only those phases are evaluated. Exact to rounding.

    Parameters
    ----------
    train
        Train of L levels.
    exposure_s
        Window lengths [s], > 0, any shape.
    line_delays_s
        Delays [s] of the scan lines whose mean the window sees, shape (lines,).

    Returns
    -------
    lowest, highest : ndarray
        Light [s of a fully lit LED], shape (L, *exposure shape).

    Raises
    ------
    OutOfRangeError
        An exposure that is not positive.
    """
    exposure = require("exposure_s", exposure_s, "a time above 0 s", above=0)
    delays = require("line_delays_s", line_delays_s, "finite times").ravel()
    pairs = [_one_level(level, exposure.ravel(), delays) for level in single_level(train)]
    shape = (len(train.counts), *exposure.shape)
    lowest = np.array([low for low, _ in pairs]).reshape(shape)
    highest = np.array([high for _, high in pairs]).reshape(shape)
    return lowest, highest
