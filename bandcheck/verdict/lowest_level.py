"""The lowest gray level from which up a setting stays safe."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["LOOKED_AT_PERCENT", "lowest_safe_levels"]

LOOKED_AT_PERCENT = (*range(100, 20, -5), *range(20, 0, -1))
"""Signal levels that are looked at, in percent: closest where pictures are dark; project choice."""

_LEVELS_AT_ONCE = 10


def lowest_safe_levels(
    shot: Shot, *, exposure_s: NDArray[np.float64], cases: Sequence[LightCase]
) -> NDArray[np.float64]:
    """Lowest signal level from which up exposures are safe against a shot's wall.

    Darker levels are not always worse than brighter ones (which refreshes carry the odd counts
    decides), so every level of `LOOKED_AT_PERCENT` is looked at, from white down to the first that
    is not safe.

    Parameters
    ----------
    shot
        The shot; its own exposure is not looked at.
    exposure_s
        Exposures as the camera makes them [s], shape (A,).
    cases
        Ways in which its wall may pulse.

    Returns
    -------
    ndarray
        Signal 0.01..1, shape (A,); NaN where white is not safe.
    """
    safe_from = np.full(len(exposure_s), np.nan)
    open_to_doubt = np.arange(len(exposure_s))
    if shot.camera.exposure_scheme != "single":
        return safe_from
    for first in (0, *range(1, len(LOOKED_AT_PERCENT), _LEVELS_AT_ONCE)):
        chosen = LOOKED_AT_PERCENT[first : first + (_LEVELS_AT_ONCE if first else 1)]
        cells = wall_cells(
            shot, levels=np.array(chosen) / 100, exposure_s=exposure_s[open_to_doubt],
            cases=cases, extremes=False, enough=shot.viewing.safe_below,
        )
        safe = np.logical_and.accumulate(cells.visibility < shot.viewing.safe_below, axis=0)
        some = safe[0]
        lowest = safe.sum(axis=0)[some] - 1
        safe_from[open_to_doubt[some]] = np.take(chosen, lowest) / 100
        open_to_doubt = open_to_doubt[safe[-1]]
        if open_to_doubt.size == 0:
            break
    return safe_from
