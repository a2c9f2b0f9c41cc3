"""What to change about lens, place and delivery so that moire is not seen, each recomputed."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.moire import open_severity
from bandcheck.imaging.arrangement import Standpoint
from bandcheck.shoot.shot import Optics, Shot
from bandcheck.verdict.moire_report import (
    graded_fringes,
    nearest_distance_mm,
    safe_distances_mm,
    safe_focus_mm,
)
from bandcheck.verdict.moire_scene import moire_scene
from bandcheck.verdict.remedies import Change
from bandcheck.vision.level import Level

__all__ = ["moire_fixes"]

FloatArray = NDArray[np.float64]

_WIDEST_F_NUMBER = 1.0
_INSIDE = 1.02
"""How far inside a safe range a fix goes, so that a hair's breadth does not undo it."""


UNITS = {
    "focus_mm": "mm", "f_number": "", "distance_mm": "mm", "focal_mm": "mm", "roll_deg": "deg",
    "delivery_filter": "",
}


def _graded(shots: Sequence[Shot]) -> list[tuple[Level, float]]:
    """Worst level and visibility of shots with the same wall and picture, in their order."""
    scenes = [scene for scene in map(moire_scene, shots) if scene is not None]
    found: dict[int, tuple[Level, float]] = {}
    for sensor in {scene.sensor for scene in scenes}:
        which = [index for index, scene in enumerate(scenes) if scene.sensor == sensor]
        grades = graded_fringes(replace(
            scenes[which[0]],
            standpoint=Standpoint.together([scenes[index].standpoint for index in which]),
        ))
        limits = {
            "safe_below": shots[0].viewing.safe_below,
            "visible_from": shots[0].viewing.visible_from,
        }
        severity = np.maximum(
            open_severity(largest=grades.moire, least=grades.moire_least, **limits),
            open_severity(largest=grades.grid, least=grades.grid_least, **limits),
        )
        largest = np.maximum(grades.moire, grades.grid)
        for place, index in enumerate(which):
            found[index] = Level.of_severity(int(severity[place])), float(largest[place])
    return [found[index] for index in range(len(scenes))]


def _octaves(new: float, old: float) -> float:
    return float(abs(np.log2(new / old)))


def _focuses(shot: Shot, optics: Optics) -> Iterator[float]:
    """Nearest safe distance to focus on, in front of the wall and behind it."""
    scene = moire_scene(shot)
    if scene is None:
        return
    for low, high in safe_focus_mm(scene, safe_below=shot.viewing.safe_below):
        if high < optics.distance_mm:
            yield max(high / _INSIDE, low)
        elif low > optics.distance_mm:
            yield min(low * _INSIDE, high)


def _distances(shot: Shot, optics: Optics) -> Iterator[float]:
    scene = moire_scene(shot)
    if scene is None:
        return
    for low, high in safe_distances_mm(scene, safe_below=shot.viewing.safe_below):
        if high < optics.distance_mm:
            yield max(high / _INSIDE, low)
        else:
            yield min(max(low * _INSIDE, optics.distance_mm), high)


def _candidates(shot: Shot, optics: Optics) -> Iterator[tuple[str, float | str, float, Shot]]:
    """Changes that may help: name, value, effort and the shot that results."""
    focus_mm = optics.distance_mm if optics.focus_mm is None else optics.focus_mm

    def with_optics(**changed: float) -> Shot:
        return replace(shot, optics=replace(optics, **changed))

    for focus in _focuses(shot, optics):
        yield "focus_mm", focus, _octaves(focus, focus_mm), with_optics(focus_mm=focus)
    stop = optics.f_number or _WIDEST_F_NUMBER
    for thirds in (*range(-12, 0), *range(1, 13)):
        number = stop * 2 ** (thirds / 6)
        if number >= _WIDEST_F_NUMBER:
            yield "f_number", number, abs(thirds) / 6, with_optics(f_number=number)
    for distance in _distances(shot, optics):
        moved = {"distance_mm": distance}
        if optics.focus_mm is not None and optics.focus_mm == optics.distance_mm:
            moved["focus_mm"] = distance
        octaves = _octaves(distance, optics.distance_mm)
        yield "distance_mm", distance, octaves, with_optics(**moved)
    for factor in 2.0 ** (np.array([-4, -3, -2, -1, 1, 2, 3, 4]) / 4):
        focal = optics.focal_mm * float(factor)
        if min(optics.distance_mm, focus_mm) > nearest_distance_mm(focal):
            yield "focal_mm", focal, _octaves(focal, optics.focal_mm), with_optics(focal_mm=focal)
    for turn in (2.0, 5.0, 10.0, 15.0):
        yield "roll_deg", optics.roll_deg + turn, turn / 45, with_optics(
            roll_deg=optics.roll_deg + turn
        )
    camera = shot.camera
    delivered = camera.delivery_columns_px or camera.columns_px or 0
    if camera.delivery_filter != "sharp" and delivered < (camera.columns_px or 0):
        sharp = replace(camera, delivery_filter="sharp")
        yield "delivery_filter", "sharp", 1.0, replace(shot, camera=sharp)


def moire_fixes(shot: Shot) -> tuple[Change, ...]:
    """Changes that leave neither moire nor grid to be seen, the least change first.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    tuple of Change
        Among its figures is the effort: octaves of a length or f-number, eighths of a turn, 1 for
        a setting. At the most one in each direction of each kind; where none leads to safe, the
        three that help most. Empty where nothing needs mending or something is missing.
    """
    if shot.optics is None or moire_scene(shot) is None:
        return ()
    ((level, visibility),) = _graded([shot])
    if level is Level.SAFE:
        return ()
    fixes: list[Change] = []
    tried = list(_candidates(shot, shot.optics))
    graded = _graded([changed for *_, changed in tried])
    for (change, value, effort, _), (after, remaining) in zip(tried, graded, strict=True):
        if after < level or remaining < visibility:
            fixes.append(Change(
                side="camera", change=change, value=value, unit=UNITS[change], level=after,
                visibility=remaining, mended=after, mended_visibility=remaining,
                figures={"effort": effort},
            ))
    safe = sorted((fix for fix in fixes if fix.level is Level.SAFE), key=_effort)
    if not safe:
        return tuple(sorted(fixes, key=lambda fix: (fix.level, fix.visibility))[:3])
    nearest: dict[tuple[str, bool], Change] = {}
    present = _present(shot.optics)
    for fix in safe:
        more = isinstance(fix.value, float) and fix.value > present.get(fix.change, 0.0)
        nearest.setdefault((fix.change, more), fix)
    return tuple(sorted(nearest.values(), key=_effort))


def _effort(fix: Change) -> float:
    return fix.figures["effort"]


def _present(optics: Optics) -> dict[str, float]:
    return {
        "focus_mm": optics.focus_mm or optics.distance_mm, "f_number": optics.f_number or 0.0,
        "distance_mm": optics.distance_mm, "focal_mm": optics.focal_mm,
        "roll_deg": optics.roll_deg,
    }
