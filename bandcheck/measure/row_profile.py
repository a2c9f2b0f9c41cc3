"""One light for each row, from stripes that need not all show the wall."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["RowProfile", "row_profile"]

FloatArray = NDArray[np.float64]

_PARTS = 8
_DEGREE = 3
_OUTLIER = 4.0
_ROUNDS = 3
_DARK = 1e-7
"""Light of a stripe that holds none."""

_DIM = 0.1
"""Share of the mean light below which rows are compared by difference and not by ratio."""

_FEWEST_STRIPES = 0.2
"""Share of stripes that must agree for a row to count: project choice."""

_ALMOST_ALL = 0.98
_WILD = 20.0
"""Times the light of almost all rows above which the few others are no part of a band but a fault
of the picture, so bright that a fit would follow them instead of the bands: project choice."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RowProfile:
    """Light of the rows, the same in all stripes but for what is odd about one of them.

    Attributes
    ----------
    light
        Relative light, about 1, shape (rows,).
    weight
        1, or 0 for a row of which too little is seen, or too bright to belong to a band.
    parts
        The same for parts of the picture beside each other, shape (rows, parts).
    """

    light: FloatArray
    weight: FloatArray
    parts: FloatArray


def row_profile(light: FloatArray) -> RowProfile:
    """Common light of rows, robust against what stands in single stripes.

    Each stripe is divided by its own smooth trend against the others; what then lies far off the
    common profile (a caption, a face, an edge) is left out of its row, and the rest is averaged
    with weights that fall with a stripe's own unrest.

    Parameters
    ----------
    light
        Light of each row in each stripe, shape (rows, stripes).

    Returns
    -------
    RowProfile
        The profile.
    """
    stripes = light.shape[1]
    typical = np.median(light, axis=0)
    typical = np.where(typical > 0, typical, light.mean(axis=0))  # bands may be mostly dark
    usable = np.broadcast_to(typical > _DARK, light.shape)
    relative = np.where(usable, light / np.where(typical > 0, typical, 1.0), 1.0)
    common = np.median(relative, axis=1)
    weight = usable.astype(np.float64)
    flat = relative
    for _ in range(_ROUNDS if stripes > 1 else 0):
        level = np.maximum(common, _DIM * float(common.mean()))[:, np.newaxis]
        flat = relative / _own_trend(relative / level, weight)
        off = (flat - common[:, np.newaxis]) / level
        bright = common >= _DIM * float(common.mean())
        spread = 1.4826 * np.median(np.abs(off[bright]), axis=0)
        spread = np.maximum(spread, max(1e-9, 0.5 * float(np.median(spread))))
        weight = usable * (np.abs(off) < _OUTLIER * spread) / spread**2
        total = weight.sum(axis=1)
        seen = total > 0
        common = np.where(seen, (weight * flat).sum(axis=1) / np.where(seen, total, 1.0), common)
    enough = (weight > 0).mean(axis=1) >= _FEWEST_STRIPES
    tame = common < _WILD * np.quantile(common, _ALMOST_ALL, method="lower")
    return RowProfile(
        light=common, weight=(enough & tame).astype(np.float64),
        parts=_parts(flat, weight, common),
    )


def _own_trend(ratio: FloatArray, weight: FloatArray) -> FloatArray:
    """Smooth course of each stripe against the common profile, shape (rows, stripes)."""
    rows = len(ratio)
    shapes = np.polynomial.legendre.legvander(np.linspace(-1, 1, rows), _DEGREE)
    mask = (weight > 0).astype(np.float64)
    normal = np.einsum("ri,rk,rj->kij", shapes, mask, shapes, optimize=True)
    normal += 1e-9 * rows * np.eye(_DEGREE + 1)
    right = np.einsum("ri,rk->ki", shapes, mask * ratio)
    trend = shapes @ np.linalg.solve(normal, right[:, :, np.newaxis])[:, :, 0].T
    return np.maximum(trend, 0.05)


def _parts(flat: FloatArray, weight: FloatArray, common: FloatArray) -> FloatArray:
    """Means over neighbouring stripes; the common profile where a part has nothing to say."""
    stripes = flat.shape[1]
    edges = np.unique(np.linspace(0, stripes, min(_PARTS, stripes) + 1).astype(int))[:-1]
    total = np.add.reduceat(weight, edges, axis=1)
    caught = np.add.reduceat(weight * flat, edges, axis=1)
    return np.where(total > 0, caught / np.where(total > 0, total, 1.0), common[:, np.newaxis])
