"""Which inputs a verdict hangs on most."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import numpy as np

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.light_cases import light_cases

__all__ = ["most_sensitive_inputs"]

_LITTLE_VISIBILITY = 0.05
"""V below which a change does not count: project choice."""


def _varied(shot: Shot) -> Iterator[tuple[str, Shot]]:
    """Shots with one input moved by about as much as such inputs are wrong in practice."""
    wall, camera = shot.wall, shot.camera
    refreshes = light_cases(wall, shot.wall_fps)[0].timing.refreshes
    for step in (Fraction(-1, 10), Fraction(1, 10)):
        exposure = shot.exposure_s + step / 360 / shot.fps
        if 0 < exposure * shot.fps <= 1:
            yield "shutter", replace(shot, exposure_s=exposure)
    pulled = Fraction(1000, 1001) if shot.fps.denominator == 1 else Fraction(1001, 1000)
    if (exposure := shot.exposure_s / pulled) * shot.fps * pulled <= 1:
        yield "camera frame rate", replace(
            shot, fps=shot.fps * pulled, exposure_s=exposure, genlock="free"
        )
    for number in {max(1, refreshes - 1), refreshes + 1}:
        yield "refreshes per frame", replace(shot, wall=replace(
            wall, refreshes_per_frame=number, refreshes_per_frame_allowed=(),
        ))
    if camera.shutter == "rolling":
        for factor in (0.95, 1.05):
            if camera.readout_s * factor * shot.fps <= 1:
                yield "readout", replace(
                    shot, camera=replace(camera, readout_s=camera.readout_s * factor)
                )
    if wall.gray_bits is not None and wall.drive == "spread" and wall.counts_per_refresh is None:
        yield "gray depth", replace(shot, wall=replace(wall, gray_bits=wall.gray_bits - 1))
    if wall.line_switch_s:
        yield "line switch time", replace(
            shot, wall=replace(wall, line_switch_s=wall.line_switch_s * 1.2)
        )
    darkest = min(shot.levels)
    yield "gray level", replace(shot, levels=(darkest * 0.8,))
    if shot.brightness > 0.1 and wall.brightness_control != "current":
        yield "wall brightness", replace(shot, brightness=shot.brightness * 0.8)
    for lamp in shot.lamps:
        others = tuple(other for other in shot.lamps if other is not lamp)
        for factor in (0.995, 1.005):
            moved = replace(
                lamp, mains_hz=lamp.mains_hz and lamp.mains_hz * factor,
                pulse_hz=lamp.pulse_hz and lamp.pulse_hz * factor,
            )
            yield f"lamp {lamp.name}", replace(shot, lamps=(*others, moved))


def most_sensitive_inputs(
    shot: Shot, *, level: float | None = None, most: int = 3
) -> tuple[str, ...]:
    """Inputs that move the verdict's visibility most when they are a little off.

    Each input is moved by what such figures err in practice (project choice): the shutter by
    0.1 deg, the camera's rate by 1000/1001, the refreshes by one a frame, the readout by 5 %, the
    gray depth by a bit, a lamp's rate by 0.5 %, the switch time, the gray level and the
    brightness by 20 %.

    Parameters
    ----------
    shot
        The shot.
    level
        Signal level that decides its verdict, if known: the others are not looked at.
    most
        How many are wanted.

    Returns
    -------
    tuple of str
        Names, the most sensitive first; those that move nothing are left out.
    """
    def visibility(varied: Shot) -> float:
        grades = exposure_grades(varied, np.array([float(varied.exposure_s)]))
        return float(grades.worst_visibility[0])

    at_level = shot if level is None else replace(shot, levels=(level,))
    nominal = visibility(at_level)
    if np.isnan(nominal):
        return ()
    moved: dict[str, float] = {}
    for name, varied in _varied(at_level):
        try:
            change = abs(np.log2(
                max(visibility(varied), _LITTLE_VISIBILITY) / max(nominal, _LITTLE_VISIBILITY)
            ))
        except OutOfRangeError:
            # A step that cannot be made is no reason to fail.
            continue
        moved[name] = max(moved.get(name, 0.0), float(change))
    ranked = sorted(moved, key=lambda name: -moved[name])
    return tuple(name for name in ranked[:most] if moved[name] > 0.01)
