"""A change on the day: what camera and wall do unasked, and whether what was agreed still holds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

import numpy as np

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.tearing import Tearing
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.shot import Shot
from bandcheck.timing.dial import exposure_after_rate_change
from bandcheck.timing.rates import locked_ratio
from bandcheck.timing.shutter import stops_between
from bandcheck.verdict.exposure_grades import exposure_grades, shot_tearing
from bandcheck.verdict.light_cases import LightCase, light_cases
from bandcheck.verdict.settings import SafeRange, safe_settings
from bandcheck.vision.level import Level

__all__ = ["CameraBehaviour", "ChangeOnTheDay", "Side", "change_on_the_day"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One side of a change: the old setting or the new one.

    Attributes
    ----------
    shot
        The setting.
    level, visibility
        Worst grade, tears included, and largest V.
    tearing
        Tear and clean phase.
    wall
        Ways in which the wall pulses at its rate.
    """

    shot: Shot
    level: Level
    visibility: float
    tearing: Tearing
    wall: tuple[LightCase, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CameraBehaviour:
    """What a camera makes of its shutter when nobody touches it.

    Attributes
    ----------
    kept
        What it keeps.
    exposure_s, angle_deg
        Exposure and angle at the new rate, exact.
    clamped
        Whether the old time was cut to the new frame.
    stops
        Change of exposure in stops.
    level, visibility
        Grade of the new setting; None where the shot cannot be made.
    """

    kept: Literal["angle", "time"]
    exposure_s: Fraction
    angle_deg: Fraction
    clamped: bool
    stops: float
    level: Level | None
    visibility: float | None


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangeOnTheDay:
    """Old and new side by side.

    Attributes
    ----------
    old
        The setting before.
    new
        The setting after; None where camera or wall cannot run it.
    refused
        Why not.
    stops
        Change of exposure in stops, old to new; None without a new setting.
    behaviours
        What the camera does in angle mode and in time mode.
    camera_does
        Which of the two this camera does; None: not known.
    camera_can
        Whether the camera's mode runs the rate.
    other_modes
        Modes of the same body that do.
    wall_must_follow
        Whether the wall has to leave its old rate for the new one.
    same_look
        Safe settings nearest to the old angle at the new rate, the nearest first.
    card_holds
        Whether what was agreed for the old rate may be used on: only where nothing has changed.
    """

    old: Side
    new: Side | None
    refused: str | None
    stops: float | None
    behaviours: tuple[CameraBehaviour, ...]
    camera_does: Literal["angle", "time"] | None
    camera_can: bool
    other_modes: tuple[Camera, ...]
    wall_must_follow: bool
    same_look: tuple[SafeRange, ...]
    card_holds: bool


def _side(shot: Shot) -> Side:
    grades = exposure_grades(shot, np.array([float(shot.exposure_s)]))
    torn = shot_tearing(shot)
    level = max(grades.level(), torn.finding.level)
    return Side(
        shot=shot, level=level, visibility=float(grades.worst_visibility[0]), tearing=torn,
        wall=light_cases(shot.wall, shot.wall_fps),
    )


def runs(camera: Camera, fps: Fraction) -> bool:
    """Whether a camera's mode runs a frame rate: its highest, and a readout that fits the frame."""
    slow_enough = camera.max_fps is None or fps <= camera.max_fps
    return slow_enough and camera.readout_s * float(fps) <= 1


def _rates_after(shot: Shot, to_fps: Fraction) -> tuple[Fraction, Fraction]:
    """Rates of wall and content after the change: what ran at the camera's rate goes along."""
    wall_fps = to_fps if shot.wall_fps == shot.fps else shot.wall_fps
    content = shot.content_fps
    if content == shot.wall_fps:
        content = wall_fps
    elif content == shot.fps:
        content = min(to_fps, wall_fps)
    return wall_fps, content


def _at(shot: Shot, to_fps: Fraction, exposure_s: Fraction) -> Shot:
    wall_fps, content_fps = _rates_after(shot, to_fps)
    if shot.genlock == "locked":
        locked_ratio(wall_fps=wall_fps, camera_fps=to_fps)
    phase_s = shot.phase_s if to_fps == shot.fps else None
    return replace(
        shot, fps=to_fps, exposure_s=exposure_s, wall_fps=wall_fps, content_fps=content_fps,
        phase_s=phase_s,
    )


def _behaviour(shot: Shot, to_fps: Fraction, kept: Literal["angle", "time"]) -> CameraBehaviour:
    made = exposure_after_rate_change(
        exposure_s=shot.exposure_s, from_fps=shot.fps, to_fps=to_fps, kept=kept
    )
    level, visibility = None, None
    try:
        side = _side(_at(shot, to_fps, made.exposure_s))
        level, visibility = side.level, side.visibility
    except OutOfRangeError:
        pass
    return CameraBehaviour(
        kept=kept, exposure_s=made.exposure_s, angle_deg=made.angle_deg, clamped=made.clamped,
        stops=float(stops_between(
            from_exposure_s=float(shot.exposure_s), to_exposure_s=float(made.exposure_s)
        )),
        level=level, visibility=visibility,
    )


def change_on_the_day(
    shot: Shot, *, to_fps: Fraction | None = None, to_exposure_s: Fraction | None = None,
    modes: Sequence[Camera] = (),
) -> ChangeOnTheDay:
    """What a change of rate or shutter does to a shot.

    Parameters
    ----------
    shot
        The setting before.
    to_fps
        New frame rate; None: the old one.
    to_exposure_s
        New exposure [s]; None: what the camera makes of the old one, or where it is not known
        what it keeps, the old angle.
    modes
        Camera modes to look among for one of the same body that runs the rate.

    Returns
    -------
    ChangeOnTheDay
        Old and new side by side.

    Raises
    ------
    OutOfRangeError
        The old setting cannot be, or the new exposure is longer than the new frame.
    """
    rate = shot.fps if to_fps is None else to_fps
    camera = shot.camera
    behaviours = tuple(_behaviour(shot, rate, kept) for kept in ("angle", "time"))
    does: Literal["angle", "time"] | None = None
    if camera.on_rate_change is not None:
        does = "time" if camera.on_rate_change == "keep_time" else "angle"
    exposure_s = to_exposure_s
    if exposure_s is None:
        exposure_s = behaviours[1 if does == "time" else 0].exposure_s
    new: Side | None = None
    refused: str | None = None
    near: tuple[SafeRange, ...] = ()
    if not runs(camera, rate):
        refused = "camera_too_slow"
    else:
        try:
            changed = _at(shot, rate, exposure_s)
            new, near = _side(changed), safe_settings(
                replace(changed, exposure_s=shot.angle_deg / (360 * rate))
            ).ranges[:3]
        except OutOfRangeError as error:
            refused = str(error)
    return ChangeOnTheDay(
        old=_side(shot), new=new, refused=refused,
        stops=float(stops_between(
            from_exposure_s=float(shot.exposure_s), to_exposure_s=float(exposure_s)
        )) if new else None,
        behaviours=behaviours, camera_does=does, camera_can=runs(camera, rate),
        other_modes=tuple(
            mode for mode in modes
            if camera.body and mode.body == camera.body and mode.name != camera.name
            and runs(mode, rate)
        ),
        wall_must_follow=shot.genlock == "locked" and shot.wall_fps == shot.fps != rate,
        same_look=near,
        card_holds=rate == shot.fps and exposure_s == shot.exposure_s,
    )
