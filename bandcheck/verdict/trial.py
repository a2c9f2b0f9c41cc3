"""Settings that are tried for their timing, and the shot that a change of rate or shutter makes."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.tearing import Tearing
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import locked_ratio
from bandcheck.verdict.exposure_grades import exposure_grades, shot_tearing
from bandcheck.verdict.light_cases import LightCase, light_cases
from bandcheck.vision.level import Level

__all__ = [
    "Side", "Trial", "at_wall_rate", "follows", "graded_side", "runs", "shot_after", "tried",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One setting with its verdict on timing.

    Attributes
    ----------
    shot
        The setting.
    level, visibility
        Worst grade, tears included, and largest V (NaN: not known).
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
class Trial:
    """A setting that was tried.

    Attributes
    ----------
    name
        What was tried: a rule of the wall, or the name of a camera's mode.
    side
        What it leads to; None where it cannot be.
    refused
        Why it cannot be.
    """

    name: str
    side: Side | None = None
    refused: str | None = None


def graded_side(shot: Shot) -> Side:
    """A setting with its verdict on timing.

    Parameters
    ----------
    shot
        The setting.

    Returns
    -------
    Side
        Of all that `assess` checks but for moire and grid, which no rate and no shutter changes.

    Raises
    ------
    OutOfRangeError
        The wall cannot run as it is described.
    """
    grades = exposure_grades(shot, np.array([float(shot.exposure_s)]))
    torn = shot_tearing(shot)
    return Side(
        shot=shot, level=max(grades.level(), torn.finding.level),
        visibility=float(grades.worst_visibility[0]), tearing=torn,
        wall=light_cases(shot.wall, shot.wall_fps),
    )


def runs(camera: Camera, fps: Fraction) -> bool:
    """Whether a camera's mode runs a frame rate: its highest, and a readout that fits the frame."""
    slow_enough = camera.max_fps is None or fps <= camera.max_fps
    return slow_enough and camera.readout_s * fps <= 1


def follows(shot: Shot) -> bool:
    """Whether the wall goes along with the camera's rate."""
    return shot.genlock == "locked" and shot.wall_fps == shot.fps


def at_wall_rate(shot: Shot, wall_fps: Fraction) -> Shot:
    """Same shot with the wall at another rate; content that ran at the wall's rate goes along."""
    content = wall_fps if shot.content_fps == shot.wall_fps else min(shot.content_fps, wall_fps)
    return replace(shot, wall_fps=wall_fps, content_fps=content)


def shot_after(shot: Shot, *, fps: Fraction, exposure_s: Fraction) -> Shot:
    """Shot after a change of rate or shutter, with the wall where it will be.

    Parameters
    ----------
    shot
        The shot before.
    fps, exposure_s
        New rate [frames/s] and exposure [s].

    Returns
    -------
    Shot
        A wall that ran locked at the camera's rate goes along, and so does its content. The phase
        is not known after a change of rate.

    Raises
    ------
    OutOfRangeError
        The exposure or the readout is longer than the frame.
    """
    if fps == shot.fps:
        return replace(shot, exposure_s=exposure_s)
    gone = replace(shot, fps=fps, exposure_s=exposure_s, phase_s=None)
    return at_wall_rate(gone, fps) if follows(shot) else gone


def tried(name: str, make: Callable[[], Shot], known: Side | None = None) -> Trial:
    """Verdict on a shot, or why there is none.

    Parameters
    ----------
    name
        What is tried.
    make
        Gives the shot, or refuses.
    known
        A verdict that is known already: the same shot is not graded again.

    Returns
    -------
    Trial
        The setting, or the reason.
    """
    try:
        shot = make()
        if known is not None and shot == known.shot:
            return Trial(name=name, side=known)
        if shot.genlock == "locked":
            locked_ratio(wall_fps=shot.wall_fps, camera_fps=shot.fps)
        highest_fps = shot.camera.max_fps
        if highest_fps is not None and shot.fps > highest_fps:
            raise OutOfRangeError(
                "fps", float(shot.fps),
                f"at most {float(highest_fps):g} frames/s with {shot.camera.name}",
            )
        return Trial(name=name, side=graded_side(shot))
    except OutOfRangeError as error:
        return Trial(name=name, refused=str(error))
