"""What a shutter dial offers, and what becomes of its setting when the frame rate changes."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.rates import exact_number, positive_rate
from bandcheck.timing.shutter import angle_deg, exposure_s, shutter_angle, shutter_speed

__all__ = [
    "ChangedExposure", "dial_exposures", "exposure_after_rate_change", "flicker_free_angles_deg",
]

_FULL_CIRCLE_DEG = 360
_SMALLEST_STEP_DEG = Fraction(1, 1000)
_HIGHEST_MAINS_HZ = 1000


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangedExposure:
    """What a camera makes of its shutter when its frame rate is changed.

    Attributes
    ----------
    exposure_s, angle_deg
        The new exposure [s] and its angle at the new rate [deg], exact.
    clamped
        Whether the old time did not fit the new frame and was cut to it.
    """

    exposure_s: Fraction
    angle_deg: Fraction
    clamped: bool


def exposure_after_rate_change(
    *, exposure_s: Fraction, from_fps: Fraction, to_fps: Fraction, kept: Literal["angle", "time"]
) -> ChangedExposure:
    """Exposure after a change of frame rate, by what the camera keeps.

    Parameters
    ----------
    exposure_s
        Exposure before the change [s], no longer than a frame at the old rate.
    from_fps, to_fps
        Frame rates before and after [frames/s].
    kept
        "angle": the time scales with the frame; "time": it stays, cut to the new frame if longer.

    Returns
    -------
    ChangedExposure
        Exposure, angle and whether it was cut.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0, the exposure does not fit the old frame, or `kept` is neither.
    """
    angle_before = angle_deg(exposure_s=Fraction(exposure_s), fps=from_fps)
    frame_s = 1 / positive_rate("to_fps", to_fps)
    if kept == "angle":
        after = angle_before * frame_s / _FULL_CIRCLE_DEG
    elif kept == "time":
        after = min(Fraction(exposure_s), frame_s)
    else:
        raise OutOfRangeError("kept", kept, "'angle' or 'time'")
    return ChangedExposure(
        exposure_s=after, angle_deg=angle_deg(exposure_s=after, fps=to_fps),
        clamped=kept == "time" and exposure_s > frame_s,
    )


@lru_cache(maxsize=64)
def _every_step_s(fps: Fraction, angle_step_deg: Fraction) -> tuple[Fraction, ...]:
    """Exposures of all steps of an angle; thousands, and a card asks for them again and again."""
    step_s = exposure_s(angle_deg=angle_step_deg, fps=fps)
    return tuple(step_s * step for step in range(1, int(_FULL_CIRCLE_DEG / angle_step_deg) + 1))


def dial_exposures(
    *, fps: Fraction, angles_deg: Iterable[Fraction] = (), speeds_s: Iterable[Fraction] = (),
    angle_step_deg: Fraction | None = None,
) -> tuple[Fraction, ...] | None:
    """Exposures that a camera's dial offers at a frame rate.

    Parameters
    ----------
    fps
        Frame rate [frames/s].
    angles_deg
        Angles on the dial [deg].
    speeds_s
        Shutter speeds on the dial [s]; those longer than the frame are left out.
    angle_step_deg
        Steps in which an angle can be set, from one step up to 360 deg; at least 0.001 deg.

    Returns
    -------
    tuple of Fraction or None
        Exposures [s], rising, each once; empty where every speed is longer than the frame; None
        where nothing was given, so that any angle can be set.

    Raises
    ------
    OutOfRangeError
        An angle, a speed, the step or the rate is out of range.
    """
    rate = positive_rate("fps", fps)
    angles = [shutter_angle(angle, argument="angles_deg") for angle in angles_deg]
    speeds = [shutter_speed(speed, argument="speeds") for speed in speeds_s]
    if not angles and not speeds and angle_step_deg is None:
        return None
    stepped: tuple[Fraction, ...] = ()
    if angle_step_deg is not None:
        if not _SMALLEST_STEP_DEG <= angle_step_deg <= _FULL_CIRCLE_DEG:
            raise OutOfRangeError(
                "angle_step_deg", float(angle_step_deg), "a step of 0.001 to 360 deg"
            )
        stepped = _every_step_s(rate, angle_step_deg)
        if not angles and not speeds:
            return stepped
    offered = {*stepped, *(exposure_s(angle_deg=angle, fps=rate) for angle in angles)}
    offered.update(speed for speed in speeds if speed * rate <= 1)
    return tuple(sorted(offered))


def flicker_free_angles_deg(*, fps: Fraction, mains_hz: float | Fraction) -> tuple[Fraction, ...]:
    """Angles at which an exposure holds a whole number of the mains' ripples.

    `360 fps N / (2 mains)` for N = 1, 2, ... up to 360 deg: light on mains ripples at twice its
    frequency, and an exposure of whole ripples catches the same light wherever it starts (common
    practice). How badly another angle flickers depends on the lamp and is not in it.

    Parameters
    ----------
    fps
        Frame rate [frames/s].
    mains_hz
        Mains frequency [Hz], up to 1000.

    Returns
    -------
    tuple of Fraction
        Angles [deg], rising; empty where a frame is shorter than one ripple.

    Raises
    ------
    OutOfRangeError
        The rate is not above 0, or the frequency is out of range.
    """
    accepted = f"a frequency above 0 and up to {_HIGHEST_MAINS_HZ} Hz"
    mains = exact_number(mains_hz, argument="mains_hz", accepted=accepted)
    if not 0 < mains <= _HIGHEST_MAINS_HZ:
        raise OutOfRangeError("mains_hz", mains_hz, accepted)
    ripples_per_frame = 2 * mains / positive_rate("fps", fps)
    return tuple(
        _FULL_CIRCLE_DEG * ripples / ripples_per_frame
        for ripples in range(1, int(ripples_per_frame) + 1)
    )
