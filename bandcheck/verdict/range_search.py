"""Ends of ranges in which something is safe, all of them searched for at once."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["Excess", "Range", "last_safe", "runs_of_true", "safe_runs"]

FloatArray = NDArray[np.float64]

_LOOKED_BETWEEN = 8
"""Parts of the way to an edge at whose joints nothing unsafe may lie: project choice."""

_PARTS_OF_LATTICE = 8

_ON_LATTICE = 1e-6
"""Steps of a lattice within which a value counts as one of its places."""

Excess = Callable[[FloatArray], FloatArray]
"""How far values lie above what is safe; below 0: safe. NaN is not safe."""

Range = tuple[float, float]
"""From and to, both safe."""


def runs_of_true(safe: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First and last index of every run of True in a row of flags."""
    steps = np.diff(safe.astype(np.int8), prepend=0, append=0)
    return np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1


def _closer(
    inside: FloatArray, outside: FloatArray, within: FloatArray, beyond: FloatArray, *,
    turn: int, resolution: float, first_step: float,
) -> FloatArray:
    """Next values to look at: in steps that grow until an edge is passed, then straight at it."""
    width = np.abs(outside - inside)
    rise = beyond - within
    share = np.divide(-within, rise, out=np.full(inside.shape, 0.5), where=rise > 0)
    if turn % 4 == 3:
        share = np.full(inside.shape, 0.5)
    # Just short of where the edge should be, then just past it, so that both ends close in.
    nudge = 0.45 * resolution / np.maximum(width, resolution)
    share = np.clip(share + (nudge if turn % 2 else -nudge), nudge, 1 - nudge)
    stride = first_step * 4.0**turn / np.maximum(width, resolution)
    share = np.where(np.isnan(beyond), np.minimum(stride, 0.5), share)
    return inside + share * (outside - inside)


def last_safe(
    excess: Excess, inside: FloatArray, outside: FloatArray, resolution: float,
    first_step: float | None = None, lattice: float | None = None,
) -> FloatArray:
    """Last safe values on the way from safe ones to unsafe ones.

    Steps that grow fourfold until the edge is passed; then false position, and now and then
    bisection, which cannot get stuck. Values whose edge is known are not looked at again. What
    long steps have passed over is looked at last: the edge is the first one on the way there.
    Where some values cost less than others, the search keeps to those while it can.

    Parameters
    ----------
    excess
        Tells of values how far they are from safe.
    inside, outside
        Safe values and values beyond the edge, shape (N,); where both are equal there is no edge.
    resolution
        Distance to which edges are found.
    first_step
        Distance at which an edge is first looked for; None: half-way.
    lattice
        Step of the values, counted from 0, that cost the least to look at; eighths of it cost
        little where many are looked at together. None: all are alike.

    Returns
    -------
    ndarray
        Values that are safe, shape (N,).
    """
    found = _an_edge(excess, inside, outside, resolution, first_step, lattice)
    share = np.arange(_LOOKED_BETWEEN)[:, np.newaxis] / _LOOKED_BETWEEN
    way = inside + share * (found - inside)
    if lattice is not None:
        # Only where parts of the lattice lie in every part of the way.
        step = lattice / _PARTS_OF_LATTICE
        fine = np.abs(found - inside) >= _LOOKED_BETWEEN * step
        way[1:, fine] = _on_lattice(way[1:, fine], inside[fine], found[fine], step)
    unsafe = np.zeros(way.shape, dtype=np.bool_)
    if inside.size:
        unsafe[1:] = ~(excess(way[1:].ravel()) < 0).reshape(way[1:].shape)
    passed = np.flatnonzero(unsafe.any(axis=0) & (np.abs(found - inside) > resolution))
    if passed.size:
        first = unsafe[:, passed].argmax(axis=0)
        found[passed] = last_safe(
            excess, way[first - 1, passed], way[first, passed], resolution, first_step, lattice
        )
    return found


def _on_lattice(
    value: FloatArray, inside: FloatArray, outside: FloatArray, step: float
) -> FloatArray:
    """Values moved to the nearest place of a lattice that lies between; unmoved where none does."""
    low, high = np.minimum(inside, outside) / step, np.maximum(inside, outside) / step
    first, last = np.floor(low + _ON_LATTICE) + 1, np.ceil(high - _ON_LATTICE) - 1
    place = np.clip(np.round(value / step), first, np.maximum(first, last))
    return np.where(first <= last, place * step, value)


def _an_edge(
    excess: Excess, inside: FloatArray, outside: FloatArray, resolution: float,
    first_step: float | None, lattice: float | None,
) -> FloatArray:
    """Some last safe values, as for `last_safe`; other edges may lie on the way to them."""
    inside, outside = inside.copy(), outside.copy()
    beyond = np.full(inside.shape, np.nan)
    step = np.abs(outside - inside).max(initial=resolution) if first_step is None else first_step
    within = excess(inside) if inside.size else inside
    turn = 0
    while (active := np.flatnonzero(np.abs(outside - inside) > resolution)).size:
        middle = _closer(
            inside[active], outside[active], within[active], beyond[active], turn=turn,
            resolution=resolution, first_step=step,
        )
        if lattice is not None:
            for step in (lattice / _PARTS_OF_LATTICE, lattice):
                middle = _on_lattice(middle, inside[active], outside[active], step)
        found = excess(middle)
        good = found < 0
        inside[active] = np.where(good, middle, inside[active])
        within[active] = np.where(good, found, within[active])
        outside[active] = np.where(good, outside[active], middle)
        beyond[active] = np.where(good, beyond[active], np.nan_to_num(found, nan=1.0))
        turn += 1
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
