"""Where in a picture rows can be compared: bright enough, not clipped, not busy."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.row_light import RowLight

__all__ = ["clear_part"]

FloatArray = NDArray[np.float64]

_BLOCKS_DOWN = 24
_DARKEST, _BRIGHTEST = 0.01, 0.97
_DARK_SHARE = 0.2
"""Share of the bright parts' light below which a part is none of them: project choice."""

_QUIET_ENOUGH = 0.02
_BUSY = 4.0
"""How many times busier than its quietest half a picture may be: project choice."""


def clear_part(rows: RowLight) -> tuple[slice, slice]:
    """Rows and stripes of the largest rectangle that is lit, not clipped and not busy.

    Bands do not count as busy, as they are the same across a row: what is looked at is how light
    changes from one stripe to the next. Of rectangles that would do, that with the largest height
    cubed times width is taken, as the frequency of bands is known the better for it (variance of a
    frequency: 1 / rows^3).

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
    bright = np.quantile(level, 0.9)
    clear = (level > max(_DARKEST, _DARK_SHARE * bright)) & (level < _BRIGHTEST)
    if stripes > 2:
        busy = _busy(rows.light, edges)
        quiet = busy[clear] if clear.any() else busy.ravel()
        clear &= busy <= max(_QUIET_ENOUGH, _BUSY * float(np.median(quiet)))
    top, bottom, left, right = _best_rectangle(clear, edges)
    if bottom == top:
        return slice(0, height), slice(0, stripes)
    return slice(int(edges[top]), int(edges[bottom])), slice(left, right)


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
    clear: NDArray[np.bool_], edges: NDArray[np.int64]
) -> tuple[int, int, int, int]:
    """Top, bottom, left and right of the best rectangle of clear blocks."""
    count, stripes = clear.shape
    best, found = 0.0, (0, 0, 0, 0)
    for top in range(count):
        open_columns = np.ones(stripes, dtype=np.bool_)
        for bottom in range(top, count):
            open_columns &= clear[bottom]
            left, right = _longest_run(open_columns)
            score = float(edges[bottom + 1] - edges[top]) ** 3 * (right - left)
            if score > best:
                best, found = score, (top, bottom + 1, left, right)
    return found


def _longest_run(flags: NDArray[np.bool_]) -> tuple[int, int]:
    """Begin and end of the longest run of what is true."""
    changes = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(np.int8), [0]))))
    if not changes.size:
        return 0, 0
    begins, ends = changes[::2], changes[1::2]
    longest = int((ends - begins).argmax())
    return int(begins[longest]), int(ends[longest])
