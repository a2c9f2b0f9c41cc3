"""From codes to light: the mean light of every row, in stripes of the picture beside each other."""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.levels.transfer import bt709_light, gamma_light, srgb_light
from bandcheck.measure.frame_grab import FrameGrab

__all__ = ["Along", "PictureTransfer", "RowLight", "clipped_share", "picture_light", "row_light"]

FloatArray = NDArray[np.float64]
PictureTransfer = Literal["srgb", "bt709", "linear", "gamma"]
Along = Literal["rows", "columns"]

_MOST_STRIPES = 48
_NARROWEST_STRIPE = 12
_ELEMENTS_AT_ONCE = 1 << 20
_LOOKED_AT = 3
"""Every how many rows and columns are looked at for clipping."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RowLight:
    """Light of the rows of a picture or of a part of it.

    Attributes
    ----------
    light
        Mean light of each row in each stripe, 0..1, shape (rows, stripes).
    first_row
        Row of the picture that the first one is.
    edges
        Columns at which the stripes begin and the last one ends, shape (stripes + 1,).
    """

    light: FloatArray
    first_row: int
    edges: NDArray[np.int64]

    def part(self, *, rows: slice, stripes: slice) -> "RowLight":
        """Part of the rows and stripes."""
        return RowLight(
            light=self.light[rows, stripes], first_row=self.first_row + (rows.start or 0),
            edges=self.edges[stripes.start or 0 : (stripes.stop or len(self.edges)) + 1],
        )


def picture_light(
    signal: ArrayLike, *, transfer: PictureTransfer, gamma: float | None = None
) -> FloatArray:
    """Light of a picture's signal 0..1, over the light of its white.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.
    transfer
        How the picture was encoded.
    gamma
        Exponent of "gamma", 0.1..10.

    Returns
    -------
    ndarray
        Light 0..1.

    Raises
    ------
    OutOfRangeError
        Another transfer, "gamma" without its exponent, or a signal outside 0..1.
    """
    match transfer:
        case "srgb":
            return srgb_light(signal)
        case "bt709":
            return bt709_light(signal)
        case "gamma":
            if gamma is None:
                raise OutOfRangeError("gamma", gamma, "needed by transfer 'gamma'")
            return gamma_light(signal, gamma=gamma)
        case "linear":
            return gamma_light(signal, gamma=1.0)
    raise OutOfRangeError("transfer", transfer, f"one of {', '.join(get_args(PictureTransfer))}")


def row_light(
    grab: FrameGrab, *, transfer: PictureTransfer, gamma: float | None = None,
    region: tuple[int, int, int, int] | None = None, along: Along = "rows",
) -> RowLight:
    """Mean light of rows, in one pass over the codes.

    Parameters
    ----------
    grab
        The picture; the mean of its colours is taken.
    transfer, gamma
        How it was encoded.
    region
        Part of it: left, top, width, height [px]; None: all.
    along
        "columns" for a picture whose sensor rows stand upright: its columns are then the rows.

    Returns
    -------
    RowLight
        Light in up to 48 stripes, which are all of one width; columns that are left over at the
        end of a row are not looked at.

    Raises
    ------
    OutOfRangeError
        As for `picture_light`.
    """
    codes = grab.codes if along == "rows" else grab.codes.transpose(1, 0, 2)
    left, top, width, height = region or (0, 0, codes.shape[1], codes.shape[0])
    if region is not None and along == "columns":
        left, top, width, height = top, left, height, width
    count = max(1, min(_MOST_STRIPES, width // _NARROWEST_STRIPE))
    stripe = width // count
    steps = np.arange(grab.top_code + 1) / grab.top_code
    table = picture_light(steps, transfer=transfer, gamma=gamma).astype(np.float32)
    light = np.empty((height, count))
    at_once = max(1, _ELEMENTS_AT_ONCE // (count * stripe * codes.shape[2]))
    for first in range(0, height, at_once):
        block = codes[top + first : top + min(first + at_once, height),
                      left : left + count * stripe]
        light[first : first + len(block)] = np.take(table, block).reshape(
            len(block), count, -1
        ).mean(axis=2)
    return RowLight(
        light=light, first_row=top, edges=left + stripe * np.arange(count + 1, dtype=np.int64)
    )


def clipped_share(
    grab: FrameGrab, *, region: tuple[int, int, int, int]
) -> tuple[float, float]:
    """Share of a region's code values that stand at the top and at the bottom.

    Parameters
    ----------
    grab
        The picture.
    region
        Left, top, width, height [px].

    Returns
    -------
    top, bottom
        Shares 0..1, of every third row and column.
    """
    left, top, width, height = region
    part = grab.codes[top : top + height : _LOOKED_AT, left : left + width : _LOOKED_AT]
    return float((part == grab.top_code).mean()), float((part == 0).mean())
