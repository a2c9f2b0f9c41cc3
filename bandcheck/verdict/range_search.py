"""Ends of ranges in which something is safe, found by bisection of all of them at once."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["Range", "last_safe", "runs_of_true", "safe_runs"]

FloatArray = NDArray[np.float64]
IsSafe = Callable[[FloatArray], NDArray[np.bool_]]

Range = tuple[float, float]
"""From and to, both safe."""


def runs_of_true(safe: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First and last index of every run of True in a row of flags."""
    steps = np.diff(safe.astype(np.int8), prepend=0, append=0)
    return np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1


def last_safe(
    is_safe: IsSafe, inside: FloatArray, outside: FloatArray, resolution: float
) -> FloatArray:
    """Last safe values on the way from safe ones to unsafe ones.

    Parameters
    ----------
    is_safe
        Tells of values whether they are safe.
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
    while inside.size and np.abs(outside - inside).max() > resolution:
        middle = (inside + outside) / 2
        good = is_safe(middle)
        inside, outside = np.where(good, middle, inside), np.where(good, outside, middle)
    return inside


def safe_runs(is_safe: IsSafe, points: FloatArray, resolution: float) -> list[Range]:
    """Ranges of contiguous safe points, with their edges.

    Parameters
    ----------
    is_safe
        Tells of values whether they are safe.
    points
        Values to look at, rising, close enough together that nothing changes twice between.
    resolution
        Distance to which edges are found.

    Returns
    -------
    list
        Ranges, rising.
    """
    first, last = runs_of_true(is_safe(points))
    before, after = np.maximum(first - 1, 0), np.minimum(last + 1, len(points) - 1)
    low = last_safe(is_safe, points[first], points[before], resolution)
    high = last_safe(is_safe, points[last], points[after], resolution)
    return list(zip(low.tolist(), high.tolist(), strict=True))
