"""Where a locked camera's frame may start so that no row sees the wall's picture change."""

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.timing.picture_changes import PictureChanges
from bandcheck.timing.rates import positive_rate

__all__ = [
    "CleanPhaseRange", "InterleavedSlot", "clean_phase_margin_s", "clean_phase_range",
    "clean_phase_slack_s", "frame_phase_s", "interleaved_slots", "largest_clean_angle_deg",
]

# Times computed along two ways differ by less; no clock is held that closely.
_ROUNDING_S = 1e-12


def _above_0(argument: str, time_s: ArrayLike) -> NDArray[np.float64]:
    return require(argument, time_s, "a time above 0 s", above=0)


def _not_negative(argument: str, time_s: ArrayLike) -> NDArray[np.float64]:
    return require(argument, time_s, "a time of 0 s or more", at_least=0)


def clean_phase_slack_s(
    *, rest_s: ArrayLike, exposure_s: ArrayLike, readout_s: ArrayLike,
    change_spread_s: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Width of the range of clean phases: `rest - spread - T - readout` (physics page 5).

    Parameters
    ----------
    rest_s
        Longest time without a change [s], above 0: `PictureChanges.longest_rest`, or `1/(q F_c)`.
    exposure_s, readout_s
        Exposure above 0, and readout, 0 for a global shutter [s]. The readout is rows times line
        time, so that the last row is given one line more than it needs.
    change_spread_s
        Time that a change takes [s].

    Returns
    -------
    ndarray
        Slack [s], broadcast shape; negative: no phase is clean, by so much.

    Raises
    ------
    OutOfRangeError
        A time is out of range.
    """
    rest = _above_0("rest_s", rest_s)
    exposure = _above_0("exposure_s", exposure_s)
    readout = _not_negative("readout_s", readout_s)
    spread = _not_negative("change_spread_s", change_spread_s)
    slack = np.asarray(rest - spread - exposure - readout)
    return np.where(np.abs(slack) < _ROUNDING_S, 0.0, slack)


def largest_clean_angle_deg(
    *, rest_s: ArrayLike, camera_fps: Fraction, readout_s: ArrayLike,
    change_spread_s: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Largest shutter angle that has a clean phase: `360 fps (rest - spread - readout)`.

    Parameters
    ----------
    rest_s, readout_s, change_spread_s
        As for `clean_phase_slack_s`.
    camera_fps
        Camera's frame rate [frames/s].

    Returns
    -------
    ndarray
        Angle [deg], broadcast shape, at most 360; 0 where no angle has one.

    Raises
    ------
    OutOfRangeError
        A time or the rate is out of range.
    """
    rest = _above_0("rest_s", rest_s)
    readout = _not_negative("readout_s", readout_s)
    spread = _not_negative("change_spread_s", change_spread_s)
    longest_s = rest - spread - readout
    return np.clip(360 * float(positive_rate("fps", camera_fps)) * longest_s, 0, 360)


@dataclass(frozen=True, kw_only=True, slots=True)
class CleanPhaseRange:
    """Phases at which no row sees a change.

    A phase runs from the start of a wall frame that brings a new picture to the first row's
    opening.

    Attributes
    ----------
    from_s, to_s, best_s
        First and last clean phase and the middle between them [s].
    slack_s
        Width of the range [s].
    repeats_every_s
        Every phase a multiple of this away is as good [s].
    """

    from_s: float
    to_s: float
    best_s: float
    slack_s: float
    repeats_every_s: float


def clean_phase_range(
    *, changes: PictureChanges, exposure_s: float, readout_s: float, change_spread_s: float = 0.0
) -> CleanPhaseRange | None:
    """Range of clean phases in the longest rest, or None where there is none.

    Parameters
    ----------
    changes
        When the picture changes, from `picture_changes`.
    exposure_s, readout_s, change_spread_s
        As for `clean_phase_slack_s`.

    Returns
    -------
    CleanPhaseRange or None
        `[start + spread, end - T - readout]` of the longest rest; with an uneven cadence shorter
        rests may hold clean phases too.

    Raises
    ------
    OutOfRangeError
        A time is out of range.
    """
    start_s, rest_s = changes.longest_rest
    slack_s = float(clean_phase_slack_s(
        rest_s=float(rest_s), exposure_s=exposure_s, readout_s=readout_s,
        change_spread_s=change_spread_s,
    ))
    if slack_s < 0:
        return None
    first_s = float(start_s) + change_spread_s
    return CleanPhaseRange(
        from_s=first_s, to_s=first_s + slack_s, best_s=first_s + slack_s / 2, slack_s=slack_s,
        repeats_every_s=float(changes.period_s),
    )


def clean_phase_margin_s(
    *, changes: PictureChanges, phase_s: ArrayLike, exposure_s: ArrayLike, readout_s: ArrayLike,
    change_spread_s: float = 0.0,
) -> NDArray[np.float64]:
    """Time by which a phase may slip either way and stay clean.

    Parameters
    ----------
    changes
        When the picture changes, from `picture_changes`.
    phase_s
        From the start of a wall frame that brings a new picture to the first row's opening [s].
    exposure_s, readout_s, change_spread_s
        As for `clean_phase_slack_s`.

    Returns
    -------
    ndarray
        Margin [s], broadcast shape: the smaller of the time from the last change's end to the first
        row's opening and of that from the last row's closing to the next change. Negative: a row
        sees a change.

    Raises
    ------
    OutOfRangeError
        A time is out of range.
    """
    exposure = _above_0("exposure_s", exposure_s)
    readout = _not_negative("readout_s", readout_s)
    spread = _not_negative("change_spread_s", change_spread_s)
    period_s = float(changes.period_s)
    instants = np.array([*map(float, changes.instants_s), period_s])
    # A phase computed to lie on a change may fall a rounding short of it; and a remainder may be
    # rounded up to the period itself, which the second one makes 0.
    nudged = np.mod(require("phase_s", phase_s, "a finite time") + _ROUNDING_S, period_s) % period_s
    following = np.searchsorted(instants, nudged, side="right")
    phase = nudged - _ROUNDING_S
    before = phase - instants[following - 1] - spread
    after = instants[following] - phase - exposure - readout
    margin = np.minimum(before, after)
    return np.where(np.abs(margin) < 2 * _ROUNDING_S, 0.0, margin)


def frame_phase_s(
    *, frame: int, phase_s: Fraction, camera_fps: Fraction, wall_fps: Fraction
) -> Fraction:
    """Phase of camera frame n in the wall frame in which it opens, exact however large n is.

    Parameters
    ----------
    frame
        Number of the camera frame, 0 the one whose phase is given.
    phase_s
        From the start of a wall frame to the first row's opening in frame 0 [s].
    camera_fps, wall_fps
        Frame rates [frames/s].

    Returns
    -------
    Fraction
        `(phase + n / fps) mod (1 / wall fps)` [s].

    Raises
    ------
    OutOfRangeError
        A rate is not above 0.
    """
    opens_s = Fraction(phase_s) + frame / positive_rate("fps", camera_fps)
    return opens_s % (1 / positive_rate("wall_fps", wall_fps))


@dataclass(frozen=True, kw_only=True, slots=True)
class InterleavedSlot:
    """One of several cameras that take turns on a wall which shows each its own picture.

    Attributes
    ----------
    slot
        Number of the wall frame in the camera's frame that is this camera's, from 0.
    offset_s
        From the start of slot 0 to the start of this one [s], exact.
    largest_angle_deg
        Largest angle that stays inside the slot [deg]; 0 where the readout alone is too long.
    stops_lost
        Light lost at that angle against 180 deg, in stops, negative where the slot allows more;
        None where no angle fits.
    """

    slot: int
    offset_s: Fraction
    largest_angle_deg: float
    stops_lost: float | None


def interleaved_slots(
    *, cameras: int, wall_multiple: int, fps: Fraction, readout_s: ArrayLike,
    change_spread_s: float = 0.0,
) -> tuple[InterleavedSlot, ...]:
    """Slots of cameras that share a wall running at a multiple of their rate.

    Every wall frame of `1/(k fps)` shows another camera's picture, so that each camera exposes and
    reads out inside one of them (physics page 5).

    Parameters
    ----------
    cameras
        Number of cameras, at least 1.
    wall_multiple
        Wall frames in a camera frame, k; no fewer than cameras.
    fps
        Frame rate of the cameras [frames/s].
    readout_s
        Readout of all cameras, or of each [s].
    change_spread_s
        Time that a change of picture takes [s].

    Returns
    -------
    tuple of InterleavedSlot
        One for each camera, in turn.

    Raises
    ------
    OutOfRangeError
        No camera, more cameras than wall frames, or a time or the rate is out of range.
    """
    if cameras < 1:
        raise OutOfRangeError("cameras", cameras, "at least one camera")
    if wall_multiple < cameras:
        raise OutOfRangeError(
            "wall_multiple", wall_multiple, f"at least a wall frame for each of {cameras} cameras"
        )
    if np.ndim(readout_s) and np.shape(readout_s) != (cameras,):
        raise OutOfRangeError("readout_s", readout_s, f"one readout, or {cameras} of them")
    slot_s = 1 / (wall_multiple * positive_rate("fps", fps))
    angles = largest_clean_angle_deg(
        rest_s=float(slot_s), camera_fps=fps, readout_s=readout_s, change_spread_s=change_spread_s
    )
    return tuple(
        InterleavedSlot(
            slot=slot, offset_s=slot * slot_s, largest_angle_deg=float(angle),
            stops_lost=float(np.log2(180 / angle)) if angle > 0 else None,
        )
        for slot, angle in enumerate(np.broadcast_to(angles, cameras))
    )
