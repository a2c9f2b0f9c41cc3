"""Shutter angles, speeds and exposures: exact where typed, arrays where swept."""

from fractions import Fraction
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.timing.rates import exact_number, positive_rate

__all__ = [
    "angle_deg", "blur_against_180", "exposure_s", "shutter_angle", "shutter_speed",
    "stops_between", "whole_line_exposure_s",
]

_FULL_CIRCLE_DEG = 360
_ANGLE_ACCEPTED = "an angle above 0 and up to 360 deg, such as 172.8"
# Ratios of floats that are whole by construction may fall short of whole by a few roundings.
_ROUNDING = 1e-12


def shutter_angle(angle: str | float | Fraction, *, argument: str = "angle") -> Fraction:
    """Shutter angle as people type it, as an exact fraction.

    Parameters
    ----------
    angle
        Text such as '172.8', or a number [deg].
    argument
        Name of the option, for the message.

    Returns
    -------
    Fraction
        The angle [deg], above 0 and up to 360.

    Raises
    ------
    OutOfRangeError
        Not a number, or outside the range.
    """
    exact = exact_number(angle, argument=argument, accepted=_ANGLE_ACCEPTED)
    if not 0 < exact <= _FULL_CIRCLE_DEG:
        raise OutOfRangeError(argument, angle, _ANGLE_ACCEPTED)
    return exact


def shutter_speed(speed: str | float | Fraction, *, argument: str = "speed") -> Fraction:
    """Shutter speed as people type it, as the exact time that it stands for.

    Parameters
    ----------
    speed
        Text such as '1/50' or '0.02', or a number [s].
    argument
        Name of the option, for the message.

    Returns
    -------
    Fraction
        The time [s], above 0; whether it fits the frame is for whoever knows the frame rate.

    Raises
    ------
    OutOfRangeError
        Not a number, or 0.
    """
    accepted = "a shutter speed above 0 s, such as 1/50 or 0.02"
    exact = exact_number(speed, argument=argument, accepted=accepted)
    if exact == 0:
        raise OutOfRangeError(argument, speed, accepted)
    return exact


@overload
def exposure_s(*, angle_deg: Fraction, fps: Fraction) -> Fraction: ...
@overload
def exposure_s(*, angle_deg: ArrayLike, fps: Fraction) -> NDArray[np.float64]: ...
def exposure_s(
    *, angle_deg: Fraction | ArrayLike, fps: Fraction
) -> Fraction | NDArray[np.float64]:
    """Exposure of an angle: `T = angle / (360 fps)`.

    Parameters
    ----------
    angle_deg
        Shutter angle, 0 < angle <= 360 [deg]: a fraction, or floats of any shape.
    fps
        Frame rate [frames/s].

    Returns
    -------
    Fraction or ndarray
        Exposure [s]: exact for a fraction, else floats that may differ from it in the last bit.

    Raises
    ------
    OutOfRangeError
        An angle or the rate is out of range.
    """
    turns_per_s = _FULL_CIRCLE_DEG * positive_rate("fps", fps)
    if isinstance(angle_deg, Fraction):
        return shutter_angle(angle_deg) / turns_per_s
    angles = require("angle", angle_deg, _ANGLE_ACCEPTED, above=0, at_most=_FULL_CIRCLE_DEG)
    return np.asarray(angles / float(turns_per_s))


@overload
def angle_deg(*, exposure_s: Fraction, fps: Fraction) -> Fraction: ...
@overload
def angle_deg(*, exposure_s: ArrayLike, fps: Fraction) -> NDArray[np.float64]: ...
def angle_deg(
    *, exposure_s: Fraction | ArrayLike, fps: Fraction
) -> Fraction | NDArray[np.float64]:
    """Angle of an exposure: `360 fps T`.

    Parameters
    ----------
    exposure_s
        Exposure, above 0 and no longer than a frame [s]: a fraction, or floats of any shape.
    fps
        Frame rate [frames/s].

    Returns
    -------
    Fraction or ndarray
        Shutter angle [deg]: exact for a fraction, else floats.

    Raises
    ------
    OutOfRangeError
        An exposure or the rate is out of range.
    """
    rate = positive_rate("fps", fps)
    accepted = f"above 0 and no longer than a frame, {1e3 / float(rate):g} ms at this rate"
    if isinstance(exposure_s, Fraction):
        if not 0 < exposure_s * rate <= 1:
            raise OutOfRangeError("exposure", f"{float(exposure_s) * 1e3:g} ms", accepted)
        return _FULL_CIRCLE_DEG * exposure_s * rate
    longest = float(1 / rate) * (1 + _ROUNDING)
    times = require("exposure_s", exposure_s, accepted, above=0, at_most=longest)
    return np.minimum(times * float(_FULL_CIRCLE_DEG * rate), _FULL_CIRCLE_DEG)


def whole_line_exposure_s(
    *, exposure_s: ArrayLike, line_time_s: ArrayLike, frame_s: ArrayLike
) -> NDArray[np.float64]:
    """Exposure that a shutter makes which counts whole line times.

    The nearest whole number of lines, half a line up, at least one line and no more than the
    frame holds (physics page 3: project choice for the rounding).

    Parameters
    ----------
    exposure_s
        Exposure asked for [s], above 0, any shape.
    line_time_s
        Line time [s]; where it is 0 (global shutter) the exposure stays as it is.
    frame_s
        Frame time [s], no shorter than a line.

    Returns
    -------
    ndarray
        Exposure made [s], broadcast shape.

    Raises
    ------
    OutOfRangeError
        A time is out of range.
    """
    asked = require("exposure_s", exposure_s, "a time above 0 s", above=0)
    line = require("line_time_s", line_time_s, "a time of 0 s or more", at_least=0)
    frame = require("frame_s", frame_s, "a time above 0 s", above=0)
    if (line > frame * (1 + _ROUNDING)).any():
        raise OutOfRangeError("line_time_s", line_time_s, "a line no longer than the frame")
    counted = np.where(line > 0, line, 1.0)
    lines = np.floor(asked / counted * (1 + _ROUNDING) + 0.5)
    most = np.floor(frame / counted * (1 + _ROUNDING))
    made = np.minimum(np.clip(lines, 1, np.maximum(most, 1)) * counted, frame)
    return np.where(line > 0, made, asked)


def stops_between(*, from_exposure_s: ArrayLike, to_exposure_s: ArrayLike) -> NDArray[np.float64]:
    """Change of exposure in stops, more light positive: `log2(to / from)`.

    Parameters
    ----------
    from_exposure_s, to_exposure_s
        Exposures [s], above 0, any shapes that broadcast.

    Returns
    -------
    ndarray
        Stops, broadcast shape.

    Raises
    ------
    OutOfRangeError
        An exposure is not above 0.
    """
    before = require("from_exposure_s", from_exposure_s, "a time above 0 s", above=0)
    after = require("to_exposure_s", to_exposure_s, "a time above 0 s", above=0)
    return np.asarray(np.log2(after / before))


def blur_against_180(*, exposure_s: ArrayLike, fps: Fraction) -> NDArray[np.float64]:
    """Length of a motion blur against that of a 180 deg shutter at the same rate: `2 fps T`.

    Parameters
    ----------
    exposure_s
        Exposure, above 0 and no longer than a frame [s], any shape.
    fps
        Frame rate [frames/s].

    Returns
    -------
    ndarray
        Ratio of the lengths, 1 at 180 deg, 2 at 360 deg.

    Raises
    ------
    OutOfRangeError
        An exposure or the rate is out of range.
    """
    return angle_deg(exposure_s=np.asarray(exposure_s, dtype=np.float64), fps=fps) / 180
