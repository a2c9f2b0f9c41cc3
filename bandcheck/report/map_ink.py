"""How maps are inked: one hue from light to dark in even steps, and lines that read in gray."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.levels.transfer import srgb_signal
from bandcheck.vision.level import Level

__all__ = ["HATCH", "NO_CELL", "hatched", "ink", "visibility_share"]

FloatArray = NDArray[np.float64]
Pixels = NDArray[np.uint8]

NO_CELL = (226, 226, 226)
"""Gray of what has no figure."""

_HUE_DEG = 335.0
_LIGHTEST, _DARKEST = 97.0, 20.0
_CHROMA = 40.0
_WHITE_D65 = np.array([0.95047, 1.0, 1.08883])
# IEC 61966-2-1: linear sRGB from XYZ.
_TO_SRGB = np.array([
    [3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570],
])

_DECADE_BELOW, _DECADE_ABOVE = 10.0, 10.0


def ink(share: ArrayLike) -> Pixels:
    """Colour of a share of the scale: lightness L* of CIE 1976 falls in proportion to it.

    Parameters
    ----------
    share
        0 (light) to 1 (dark), any shape; NaN has no colour.

    Returns
    -------
    ndarray of uint8
        sRGB, shape (..., 3).
    """
    given = np.asarray(share, dtype=np.float64)
    at = np.clip(np.nan_to_num(given), 0, 1)
    lightness = _LIGHTEST + at * (_DARKEST - _LIGHTEST)
    chroma = _CHROMA * np.sin(np.pi * (0.04 + 0.76 * at))
    f_y = (lightness + 16) / 116
    f_x = f_y + chroma * np.cos(np.radians(_HUE_DEG)) / 500
    f_z = f_y - chroma * np.sin(np.radians(_HUE_DEG)) / 200
    f = np.stack([f_x, f_y, f_z], axis=-1)
    xyz = _WHITE_D65 * np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    rgb = srgb_signal(np.clip(xyz @ _TO_SRGB.T, 0, 1))
    pixels = np.rint(255 * rgb).astype(np.uint8)
    return np.where(np.isnan(given)[..., np.newaxis], np.array(NO_CELL, dtype=np.uint8), pixels)


def visibility_share(
    visibility: ArrayLike, *, safe_below: float, visible_from: float
) -> FloatArray:
    """Place of a visibility on the scale of ink.

    Even in the logarithm of V, from a tenth of what is safe to ten times what is visible.

    Parameters
    ----------
    visibility
        V, any shape.
    safe_below, visible_from
        Limits of V.

    Returns
    -------
    ndarray
        0..1; NaN stays NaN.
    """
    low, high = np.log([safe_below / _DECADE_BELOW, visible_from * _DECADE_ABOVE])
    least = safe_below / _DECADE_BELOW
    value = np.log(np.maximum(np.asarray(visibility, dtype=np.float64), least))
    return np.asarray(np.clip((value - low) / (high - low), 0, 1))


HATCH: dict[str, str] = {
    Level.SAFE.value: "rising lines: safe",
    "some safe": "lines in the lower half: a safe angle is among those of the column",
    "torn": "level lines: below the limit of V, but no phase is free of a tear",
    Level.UNKNOWN.value: "dots: not known",
}
"""Kinds of line and what each says."""


def hatched(cells: Pixels, which: NDArray[np.bool_], kind: str) -> None:
    """Draw lines over some pixels of a picture, in place.

    Parameters
    ----------
    cells
        Picture, shape (height, width, 3).
    which
        Pixels that take part, shape (height, width).
    kind
        Key of `HATCH`.
    """
    down, across = np.indices(which.shape)
    on = {
        Level.SAFE.value: (across + down) % 7 < 2,
        "some safe": (across + down) % 7 < 2,
        "torn": down % 6 < 1,
        Level.UNKNOWN.value: (across % 6 < 2) & (down % 6 < 2),
    }[kind]
    bright = cells.mean(axis=2) > 128
    cells[which & on & bright] = (40, 40, 40)
    cells[which & on & ~bright] = (240, 240, 240)
