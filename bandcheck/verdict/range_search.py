"""Ends of ranges in which something is safe, all of them searched for at once."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["Excess", "Range", "last_safe", "runs_of_true", "safe_runs"]

FloatArray = NDArray[np.float64]
Excess = Callable[[FloatArray], FloatArray]
"""How far values lie above what is safe; below 0: safe. NaN is not safe."""

Range = tuple[float, float]
"""From and to, both safe."""


def runs_of_true(safe: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First and last index of every run of True in a row of flags."""
    steps = np.diff(safe.astype(np.int8), prepend=0, append=0)
    return np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1


def last_safe(
    excess: Excess, inside: FloatArray, outside: FloatArray, resolution: float
) -> FloatArray:
    """Last safe values on the way from safe ones to unsafe ones.

    False position, and every third time bisection, which cannot get stuck.

    Parameters
    ----------
    excess
        Tells of values how far they are from safe.
    inside, outside
        Safe values and values beyond the edge, shape (N,); where both are equal there is no edge.
    resolution
        Distance to which edges are found.

    Returns
    -------
    ndarray
        Values that are safe, shape (N,).
    """
    inside, outside = inside.copy(), outside.copy()
    if not inside.size or np.abs(outside - inside).max() <= resolution:
        return inside
    within, beyond = excess(inside), np.nan_to_num(excess(outside), nan=1.0)
    turn = 0
    while np.abs(outside - inside).max() > resolution:
        turn += 1
        share = np.full(inside.shape, 0.5)
        if turn % 3:
            rise = beyond - within
            share = np.divide(-within, rise, out=share, where=rise > 0)
        # A step just short of the edge or just past it: both ends close in.
        nudge = 0.4 * resolution / np.maximum(np.abs(outside - inside), resolution)
        share = np.clip(share + (nudge if turn % 2 else -nudge), nudge, 1 - nudge)
        middle = inside + share * (outside - inside)
        found = excess(middle)
        good = found < 0
        inside, within = np.where(good, middle, inside), np.where(good, found, within)
        outside = np.where(good, outside, middle)
        beyond = np.where(good, beyond, np.nan_to_num(found, nan=1.0))
    return inside


def safe_runs(excess: Excess, points: FloatArray, resolution: float) -> list[Range]:
    """Ranges of contiguous safe points, with their edges.

    Parameters
    ----------
    excess
        Tells of values how far they are from safe.
    points
        Values to look at, rising, close enough together that nothing changes twice between.
    resolution
        Distance to which edges are found.

    Returns
    -------
    list
        Ranges, rising.
    """
    first, last = runs_of_true(excess(points) < 0)
    before, after = np.maximum(first - 1, 0), np.minimum(last + 1, len(points) - 1)
    low = last_safe(excess, points[first], points[before], resolution)
    high = last_safe(excess, points[last], points[after], resolution)
    return list(zip(low.tolist(), high.tolist(), strict=True))
