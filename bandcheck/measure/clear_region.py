"""Where in a picture rows can be compared: bright enough, not clipped, not busy."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.row_light import RowLight

__all__ = ["clear_part"]

FloatArray = NDArray[np.float64]

_BLOCKS_DOWN = 24
_DARKEST, _BRIGHTEST = 0.003, 0.97
_DARK_SHARE = 0.2
"""Share of the bright parts' light below which a part is none of them: project choice."""

_NEVER = 10_000
"""Vote against a block that no number of quiet ones makes up for."""

_QUIET_ENOUGH = 0.02
_BUSY = 4.0
"""How many times busier than its quietest half a picture may be: project choice."""


def clear_part(rows: RowLight) -> tuple[slice, slice]:
    """Rows and stripes of the largest rectangle that is lit, not clipped and for the most not busy.

    Bands do not count as busy, as they are the same across a row: what is looked at is how light
    changes from one stripe to the next. A stripe that is busy in some rows is outvoted there by
    quiet ones, so a rectangle is worth the majority of its quiet stripes in its busiest rows, times
    its height cubed, as the frequency of bands is known the better for it (variance of a frequency:
    1 / rows^3).

    Parameters
    ----------
    rows
        Light of the whole picture.

    Returns
    -------
    rows, stripes
        What to use; everything where no part is clear.
    """
    height, stripes = rows.light.shape
    edges = np.unique(np.linspace(0, height, min(_BLOCKS_DOWN, height) + 1).astype(int))
    sizes = np.diff(edges)[:, np.newaxis]
    level = np.add.reduceat(rows.light, edges[:-1], axis=0) / sizes
    lit = _lit(level) & (level < _BRIGHTEST)
    vote = np.where(lit, 1, -_NEVER)
    if stripes > 2:
        busy = _busy(rows.light, edges)
        quiet = busy[lit] if lit.any() else busy.ravel()
        vote[lit & (busy > max(_QUIET_ENOUGH, _BUSY * float(np.median(quiet))))] = -1
    top, bottom, left, right = _best_rectangle(vote, edges)
    if bottom == top:
        return slice(0, height), slice(0, stripes)
    return slice(int(edges[top]), int(edges[bottom])), slice(left, right)


def _lit(level: FloatArray) -> NDArray[np.bool_]:
    """Which blocks are lit: as bright as their row's bright ones, and not in the dark at an end.

    Rows that are dark all across may be bands, so they count as dark only from the upper or the
    lower end of the picture on.
    """
    across = np.quantile(level, 0.9, axis=1, keepdims=True)
    lit = level >= _DARK_SHARE * across  # all of a row that is black all across
    dark = across[:, 0] <= max(_DARKEST, _DARK_SHARE * float(np.quantile(across, 0.9)))
    if dark.all():
        return np.zeros(level.shape, dtype=np.bool_)
    ends = np.flatnonzero(~dark)
    lit[: ends[0]] = lit[ends[-1] + 1 :] = False
    return np.asarray(lit)


def _busy(light: FloatArray, edges: NDArray[np.int64]) -> FloatArray:
    """How much neighbouring stripes change against each other within a block, shape (B, K)."""
    logs = np.log(np.maximum(light, 1e-4))
    against = np.diff(logs, axis=1)
    sizes = np.diff(edges)[:, np.newaxis]
    mean = np.add.reduceat(against, edges[:-1], axis=0) / sizes
    square = np.add.reduceat(against**2, edges[:-1], axis=0) / sizes
    rough = np.sqrt(np.maximum(square - mean**2, 0.0))
    padded = np.pad(rough, ((0, 0), (1, 1)), mode="edge")
    return np.asarray(np.minimum(padded[:, 1:], padded[:, :-1]))


def _best_rectangle(
    vote: NDArray[np.int64], edges: NDArray[np.int64]
) -> tuple[int, int, int, int]:
    """Top, bottom, left and right of the rectangle that is worth most; all 0 where none is."""
    blocks = len(vote)
    summed = np.pad(np.cumsum(vote, axis=1), ((0, 0), (1, 0)))
    between = summed[:, np.newaxis, :] - summed[:, :, np.newaxis]
    between[:, np.tri(summed.shape[1], dtype=np.bool_)] = -_NEVER  # right of left alone
    best, found = 0.0, (0, 0, 0, 0)
    for top in range(blocks):
        majority = between[top]
        for bottom in range(top, blocks):
            majority = np.minimum(majority, between[bottom])
            left, right = np.unravel_index(int(majority.argmax()), majority.shape)
            worth = float(edges[bottom + 1] - edges[top]) ** 3 * float(majority[left, right])
            if worth > best:
                best, found = worth, (top, bottom + 1, int(left), int(right))
    return found
