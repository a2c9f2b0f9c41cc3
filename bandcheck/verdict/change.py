"""A change on the day: what camera and wall do unasked, and whether what was agreed still holds."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import Literal

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.tearing import Tearing
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.shot import Shot
from bandcheck.shoot.wall import RateRule
from bandcheck.timing.dial import ChangedExposure, exposure_after_rate_change
from bandcheck.timing.rates import locked_ratio
from bandcheck.timing.shutter import stops_between
from bandcheck.verdict.exposure_grades import shot_tearing
from bandcheck.verdict.remedies import dial_of
from bandcheck.verdict.settings import Settings, safe_settings
from bandcheck.verdict.trial import (
    Side,
    Trial,
    at_wall_rate,
    follows,
    graded_side,
    runs,
    shot_after,
    tried,
)
from bandcheck.vision.level import Level

__all__ = ["CameraBehaviour", "ChangeOnTheDay", "WallStays", "change_on_the_day"]

Kept = Literal["angle", "time"]

_RANGES = 3
"""Ranges that are looked for: the answer has to come at once."""

_KEPT: tuple[Kept, ...] = ("angle", "time")
_RULES: tuple[RateRule, ...] = ("keep_refresh", "keep_refreshes_per_frame")


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
    trial
        The setting that this makes.
    """

    kept: Kept
    exposure_s: Fraction
    angle_deg: Fraction
    clamped: bool
    stops: float
    trial: Trial


@dataclass(frozen=True, kw_only=True, slots=True)
class WallStays:
    """What becomes of the picture changes if the wall stays at its old rate.

    Attributes
    ----------
    tearing
        Tear and clean phase; None where the two rates cannot be locked.
    refused
        Why they cannot.
    """

    tearing: Tearing | None = None
    refused: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangeOnTheDay:
    """Old and new side by side.

    Attributes
    ----------
    old
        The setting before.
    fps, exposure_s
        Frame rate and exposure after the change, exact, whether they can be run or not.
    new
        The setting after.
    on_dial
        Whether the camera's dial has the new shutter.
    stops
        Change of exposure in stops, old to new.
    behaviours
        What the camera does in angle mode and in time mode.
    camera_does
        Which of the two this camera does; None: not known.
    camera_can
        Whether the camera's mode runs the rate.
    other_modes
        The new setting in modes of the same body that run the rate, where this one does not.
    wall_follows
        Whether the wall is taken to leave its old rate for the new one: it does where it runs
        locked at the camera's rate.
    wall_stays
        What becomes of the picture changes if a wall that follows stays instead; None where none
        follows.
    wall_rules
        With a rated refresh: the new setting under each rule that the wall may follow.
    wall_rule
        The rule that the wall's profile states; None: not known.
    near
        Safe settings nearest to the same look: the old angle at the new rate, or the new shutter
        where one is asked for; None where it cannot be run.
    card_holds
        Whether what was agreed for the old setting may be used on: only where nothing has changed.
    """

    old: Side
    fps: Fraction
    exposure_s: Fraction
    new: Trial
    on_dial: bool
    stops: float
    behaviours: tuple[CameraBehaviour, ...]
    camera_does: Kept | None
    camera_can: bool
    other_modes: tuple[Trial, ...]
    wall_follows: bool
    wall_stays: WallStays | None
    wall_rules: tuple[Trial, ...]
    wall_rule: RateRule | None
    near: Settings | None
    card_holds: bool

    @property
    def level(self) -> Level:
        """Verdict on the new setting; unknown where it cannot be run."""
        return Level.UNKNOWN if self.new.side is None else self.new.side.level


def _stops(shot: Shot, exposure_s: Fraction) -> float:
    return float(stops_between(
        from_exposure_s=float(shot.exposure_s), to_exposure_s=float(exposure_s)
    ))


def _made(shot: Shot, fps: Fraction, kept: Kept) -> ChangedExposure:
    """What the camera makes of the shutter if it keeps its angle or its time."""
    return exposure_after_rate_change(
        exposure_s=shot.exposure_s, from_fps=shot.fps, to_fps=fps, kept=kept
    )


def _behaviour(shot: Shot, fps: Fraction, kept: Kept, known: Side | None) -> CameraBehaviour:
    made = _made(shot, fps, kept)
    return CameraBehaviour(
        kept=kept, exposure_s=made.exposure_s, angle_deg=made.angle_deg, clamped=made.clamped,
        stops=_stops(shot, made.exposure_s),
        trial=tried(
            kept, partial(shot_after, shot, fps=fps, exposure_s=made.exposure_s), known
        ),
    )


def _wall_rules(known: Side) -> tuple[Trial, ...]:
    """The shot under each rule by which a rated refresh may follow; none where no rule is asked."""
    changed, wall = known.shot, known.shot.wall
    if wall.refresh_hz is None or wall.refresh_lock == "free":
        return ()
    return tuple(
        tried(rule, partial(replace, changed, wall=replace(wall, on_rate_change=rule)), known)
        for rule in _RULES
    )


def _nearest(changed: Shot, angle_deg: Fraction) -> Settings | None:
    """Safe settings nearest to an angle at the new rate."""
    wanted = replace(changed, exposure_s=angle_deg / (360 * changed.fps))
    return safe_settings(wanted, most_ranges=_RANGES)


def change_on_the_day(
    shot: Shot, *, to_fps: Fraction | None = None, to_exposure_s: Fraction | None = None,
    modes: Callable[[], Sequence[Camera]] = tuple,
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
        Gives camera modes to look among for one of the same body; asked only where the camera's
        own mode does not run the rate.

    Returns
    -------
    ChangeOnTheDay
        Old and new side by side.

    Raises
    ------
    OutOfRangeError
        The old setting cannot be, or the new exposure is longer than the new frame.
    """
    fps, camera = shot.fps if to_fps is None else to_fps, shot.camera
    does: Kept | None = None
    if camera.on_rate_change is not None:
        does = "time" if camera.on_rate_change == "keep_time" else "angle"
    exposure_s = to_exposure_s
    if exposure_s is None:
        exposure_s = _made(shot, fps, does or "angle").exposure_s
    _refuse_exposure(exposure_s, fps)
    old = graded_side(shot)
    new = tried("new", partial(shot_after, shot, fps=fps, exposure_s=exposure_s), old)
    moved, can = fps != shot.fps, runs(camera, fps)
    followed = new.side if moved and follows(shot) else None
    return ChangeOnTheDay(
        old=old, fps=fps, exposure_s=exposure_s, new=new, stops=_stops(shot, exposure_s),
        on_dial=new.side is None or _on_dial(new.side.shot),
        behaviours=tuple(
            _behaviour(shot, fps, kept, new.side) for kept in _KEPT
        ) if moved else (),
        camera_does=does, camera_can=can,
        other_modes=() if can else _other_modes(shot, fps, exposure_s, modes()),
        wall_follows=moved and follows(shot), wall_rule=shot.wall.on_rate_change,
        wall_stays=None if followed is None else _wall_stays(shot, followed.shot),
        wall_rules=() if followed is None else _wall_rules(followed),
        near=None if new.side is None else _nearest(
            new.side.shot, shot.angle_deg if to_exposure_s is None else new.side.shot.angle_deg
        ),
        card_holds=not moved and exposure_s == shot.exposure_s,
    )


def _wall_stays(shot: Shot, followed: Shot) -> WallStays:
    """The new setting with the wall at its old rate; only its tear, for its bands take longer."""
    try:
        stays = at_wall_rate(followed, shot.wall_fps)
        locked_ratio(wall_fps=stays.wall_fps, camera_fps=stays.fps)
        return WallStays(tearing=shot_tearing(stays))
    except OutOfRangeError as error:
        return WallStays(refused=str(error))


def _on_dial(shot: Shot) -> bool:
    dial = dial_of(shot)
    return dial is None or shot.exposure_s in dial


def _refuse_exposure(exposure_s: Fraction, fps: Fraction) -> None:
    if not 0 < exposure_s * fps <= 1:
        raise OutOfRangeError(
            "to_exposure_s", float(exposure_s),
            f"above 0 and no longer than the new frame, {1e3 / float(fps):g} ms at"
            f" {float(fps):g} frames/s",
        )


def _other_modes(
    shot: Shot, fps: Fraction, exposure_s: Fraction, modes: Sequence[Camera]
) -> tuple[Trial, ...]:
    """The new setting in other modes of the camera's body, the best first."""
    body = [
        mode for mode in modes
        if shot.camera.body and mode.body == shot.camera.body and runs(mode, fps)
    ]
    found = [
        tried(mode.name, partial(
            shot_after, replace(shot, camera=mode), fps=fps, exposure_s=exposure_s
        ))
        for mode in body
    ]
    return tuple(sorted(
        found, key=lambda each: Level.UNKNOWN if each.side is None else each.side.level
    ))
