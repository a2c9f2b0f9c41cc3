"""Timing bands of a shot's wall."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.banding_cells import BandingCells, banding_cells
from bandcheck.verdict.light_cases import LightCase, light_cases, primaries
from bandcheck.verdict.recorded_rows import linear_levels, pwm_brightness
from bandcheck.verdict.row_sampling import row_sampling

__all__ = ["wall_cells"]

FloatArray = NDArray[np.float64]


def wall_cells(
    shot: Shot, *, levels: Sequence[float] | FloatArray,
    exposure_s: Sequence[float] | FloatArray,
    cases: Sequence[LightCase] | None = None, nominal: bool = False, extremes: bool = True,
    enough: float = np.inf,
) -> BandingCells:
    """Timing bands of a shot's wall for levels and exposures.

    Parameters
    ----------
    shot
        The shot; its own exposure is not looked at.
    levels
        Signal levels 0..1, shape (L,).
    exposure_s
        Exposures that the camera makes [s], shape (A,).
    cases
        Ways in which the wall may pulse; None: all that its profile leaves open.
    nominal
        Whether to take the rates at their nominal value, without tolerance.
    extremes
        Whether the least and the most light are wanted.
    enough
        V from which up it is enough to know that it is no less.

    Returns
    -------
    BandingCells
        Shapes (L, A).
    """
    rows = row_sampling(shot)
    return banding_cells(
        cases=light_cases(shot.wall, shot.wall_fps) if cases is None else cases,
        colours=tuple(primaries(shot.wall).values()),
        rows=replace(rows, rate_tolerance=0.0) if nominal else rows,
        light=linear_levels(shot, np.asarray(levels, dtype=np.float64)),
        brightness=pwm_brightness(shot), viewing=shot.viewing,
        exposure_s=np.asarray(exposure_s, dtype=np.float64), extremes=extremes, enough=enough,
    )
