"""Where a shutter angle lies among the columns of a camera's dial."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError

__all__ = ["place_on_dial"]

_FULL_TURN_DEG = 360.0


def place_on_dial(angle_deg: ArrayLike, dial_angles_deg: ArrayLike) -> NDArray[np.float64]:
    """Place of angles on an axis whose columns 0, 1, 2, … are the steps of a dial.

    Straight lines join the steps; below the first the axis runs from 0 deg at -1/2, beyond the last
    to 360 deg half a column on. A column that the rate does not have (a time longer than the frame)
    takes no part. At one rate an exposure goes with its angle, so that the place among columns of
    times is the same by either.

    Parameters
    ----------
    angle_deg
        Angles 0..360 [deg], any shape; NaN stays NaN.
    dial_angles_deg
        Angle of each column at one rate [deg], rising, shape (C,); NaN where it has none.

    Returns
    -------
    ndarray
        Places -1/2..C-1/2, shape of `angle_deg`; NaN everywhere for a dial without a step.

    Raises
    ------
    OutOfRangeError
        An angle out of range, or a dial that does not rise.
    """
    angle, dial = (np.asarray(each, dtype=np.float64) for each in (angle_deg, dial_angles_deg))
    if ((angle < 0) | (angle > _FULL_TURN_DEG)).any():
        raise OutOfRangeError("angle_deg", angle, "angles from 0 to 360 deg")
    column = np.flatnonzero(~np.isnan(dial))
    if column.size == 0:
        return np.full(angle.shape, np.nan)
    step = dial[column]
    if step[0] <= 0 or step[-1] > _FULL_TURN_DEG or (np.diff(step) <= 0).any():
        raise OutOfRangeError("dial_angles_deg", dial, "rising angles above 0 and up to 360 deg")
    known, place = [0.0, *step], [column[0] - 0.5, *column]
    if step[-1] < _FULL_TURN_DEG:
        known, place = [*known, _FULL_TURN_DEG], [*place, column[-1] + 0.5]
    return np.asarray(np.interp(angle, known, place))
