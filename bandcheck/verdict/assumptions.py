"""Figures that a shot's profiles leave out, and what is taken for them."""

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.lamp_cells import lamp_light
from bandcheck.verdict.light_cases import (
    ASSUMED_RATE_TOLERANCE,
    ASSUMED_REFRESH_TOLERANCE,
    Assumption,
    LightCase,
)
from bandcheck.verdict.row_sampling import row_sampling

__all__ = ["shot_assumptions"]


def _of_wall(shot: Shot) -> list[Assumption]:
    wall = shot.wall
    free = wall.refresh_lock == "free"
    taken: list[tuple[bool, str, str | float]] = [
        (wall.transfer is None, "transfer", "bt1886"),
        (wall.clock_hz is not None and wall.line_switch_s is None, "line_switch_us", 0.0),
        (wall.clock_hz is None, "clock_mhz", "not known: slots fill the frame"),
        (
            wall.brightness_control is None and shot.brightness < 1,
            "brightness_control", "pwm",
        ),
        (
            free and wall.refresh_tolerance is None, "refresh_tolerance_pct",
            ASSUMED_REFRESH_TOLERANCE,
        ),
        (
            (free or shot.genlock == "free") and wall.rate_tolerance is None,
            "rate_tolerance_ppm", ASSUMED_RATE_TOLERANCE,
        ),
    ]
    return [Assumption(about="wall", key=key, value=value) for so, key, value in taken if so]


def _of_camera(shot: Shot) -> list[Assumption]:
    camera = shot.camera
    free = shot.wall.refresh_lock == "free" or shot.genlock == "free"
    rolling = camera.shutter == "rolling"
    taken: list[tuple[bool, str, str | float]] = [
        (rolling and camera.shutter_whole_lines is None, "shutter_whole_lines", "false"),
        (rolling and camera.readout_tolerance_s is None, "readout_tolerance_ms", 0.0),
        (free and camera.rate_tolerance is None, "rate_tolerance_ppm", ASSUMED_RATE_TOLERANCE),
    ]
    return [Assumption(about="camera", key=key, value=value) for so, key, value in taken if so]


def shot_assumptions(shot: Shot, case: LightCase) -> tuple[Assumption, ...]:
    """Everything that was taken for granted about a shot.

    Parameters
    ----------
    shot
        The shot.
    case
        The way in which its wall pulses that decided.

    Returns
    -------
    tuple of Assumption
        Wall first, then camera, then lamps.
    """
    lamps = [way for lamp in shot.lamps for way in lamp_light(lamp, row_sampling(shot))[:1]]
    return (
        *case.taken, *_of_wall(shot), *_of_camera(shot),
        *(assumption for way in lamps for assumption in way.taken),
    )
