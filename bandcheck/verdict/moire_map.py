"""Maps of moire over two distances, or distance and focal length."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.moire import FringeGrades, open_severity
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_report import graded_fringes, nearest_distance_mm
from bandcheck.verdict.moire_scene import MoireScene, moire_scene
from bandcheck.vision.level import Level

__all__ = ["MapKind", "MoireMap", "moire_map"]

FloatArray = NDArray[np.float64]

MapKind = Literal["focus", "focal"]

_CELLS_AT_ONCE = 2048

USUAL_FOCAL_MM = (12.0, 150.0)
"""Focal lengths that a map spans unless the shot's own lies outside: project choice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class MoireMap:
    """Visibility over distance of the wall and a second axis.

    Attributes
    ----------
    kind
        Second axis: distance focused on ("focus") or focal length ("focal").
    distance_mm, other_mm
        Axes [mm], rising, shapes (D,) and (O,).
    moire, grid
        Visibility, shape (O, D); NaN where no lens can be so.
    severity
        Worst grade of both, shape (O, D).
    here
        Distance and second value of the shot itself [mm].
    """

    kind: MapKind
    distance_mm: FloatArray
    other_mm: FloatArray
    moire: FloatArray
    grid: FloatArray
    severity: NDArray[np.int8]
    here: tuple[float, float]


def _axes(scene: MoireScene, kind: MapKind, size: int) -> tuple[FloatArray, FloatArray]:
    point = scene.standpoint
    present, focal = float(np.max(point.distance_mm)), float(np.max(point.focal_mm))
    distance = np.geomspace(max(present / 6, nearest_distance_mm(focal)), present * 6, size)
    if kind == "focus":
        focus = float(np.max(point.focus_mm))
        low = max(min(focus, present) / 6, nearest_distance_mm(focal))
        return distance, np.geomspace(low, max(focus, present) * 6, size)
    shortest, longest = USUAL_FOCAL_MM
    return distance, np.geomspace(min(shortest, focal), max(longest, focal), size)


def _worst(grades: FringeGrades, shot: Shot) -> NDArray[np.int8]:
    return np.maximum(*(
        open_severity(
            largest=largest, least=least, safe_below=shot.viewing.safe_below,
            visible_from=shot.viewing.visible_from,
        )
        for largest, least in (
            (grades.moire, grades.moire_least), (grades.grid, grades.grid_least)
        )
    ))


def moire_map(
    shot: Shot, *, kind: MapKind, size: int = 120,
    progress: Callable[[Iterator[int], int], Iterator[int]] | None = None,
) -> MoireMap:
    """Map of a shot's moire.

    Parameters
    ----------
    shot
        The shot, of which nothing is missing (`moire_missing`).
    kind
        "focus": distance of the wall by distance focused on; "focal": by focal length, focused as
        the shot is.
    size
        Points along either axis.
    progress
        Wraps the blocks as they are done, given their number.

    Returns
    -------
    MoireMap
        Axes are even in their logarithm and reach to six times less and more than the shot.

    Raises
    ------
    OutOfRangeError
        Something is missing, or the optics cannot be.
    """
    scene = moire_scene(shot)
    if scene is None:
        raise OutOfRangeError("optics", None, "a lens, a distance and figures of wall and sensor")
    distance, other = _axes(scene, kind, size)
    point = scene.standpoint
    wall, second = (each.ravel() for each in np.meshgrid(distance, other))
    focal = np.full(wall.shape, float(np.max(point.focal_mm))) if kind == "focus" else second
    focus = second if kind == "focus" else np.full(wall.shape, float(np.max(point.focus_mm)))
    can = np.flatnonzero(np.minimum(wall, focus) > nearest_distance_mm(focal))
    moire, grid = np.full(wall.shape, np.nan), np.full(wall.shape, np.nan)
    severity = np.full(wall.shape, Level.UNKNOWN.severity, dtype=np.int8)
    blocks = [can[first : first + _CELLS_AT_ONCE] for first in range(0, can.size, _CELLS_AT_ONCE)]
    numbers = iter(range(len(blocks)))
    for number in progress(numbers, len(blocks)) if progress else numbers:
        cells = blocks[number]
        grades = graded_fringes(replace(scene, standpoint=replace(
            point, focal_mm=focal[cells], focus_mm=focus[cells], distance_mm=wall[cells]
        )))
        moire[cells], grid[cells] = grades.moire, grades.grid
        severity[cells] = _worst(grades, shot)
    here = float(np.max(point.focus_mm if kind == "focus" else point.focal_mm))
    return MoireMap(
        kind=kind, distance_mm=distance, other_mm=other, moire=moire.reshape(size, size),
        grid=grid.reshape(size, size), severity=severity.reshape(size, size),
        here=(float(np.max(point.distance_mm)), here),
    )
