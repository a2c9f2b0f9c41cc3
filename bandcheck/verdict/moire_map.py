"""Maps of moire over two distances, or distance and focal length."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.moire import open_severity
from bandcheck.imaging.fringe_search import places_of_interest
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_report import graded_fringes, nearest_distance_mm
from bandcheck.verdict.moire_scene import MoireScene, moire_scene
from bandcheck.vision.level import Level

__all__ = ["MapKind", "MoireMap", "moire_map"]

FloatArray = NDArray[np.float64]

Graded = tuple[FloatArray, FloatArray, NDArray[np.int8]]
MapKind = Literal["focus", "focal"]

_CELLS_AT_ONCE = 2048

_FEW_PLACES = 250_000
"""Cells times places in each that are done before a second process is: project choice."""

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


def _graded(
    scene: MoireScene, *, safe_below: float, visible_from: float
) -> Graded:
    """Moire, grid and the worst grade of both of all standpoints of a scene."""
    grades = graded_fringes(scene)
    severity = np.maximum(*(
        open_severity(
            largest=largest, least=least, safe_below=safe_below, visible_from=visible_from
        )
        for largest, least in (
            (grades.moire, grades.moire_least), (grades.grid, grades.grid_least)
        )
    ))
    return grades.moire, grades.grid, severity


@contextmanager
def _answers(
    shot: Shot, scenes: Sequence[MoireScene], *, workers: int
) -> Iterator[Iterator[Graded]]:
    """Figures of scenes in their order, from several processes where more than one is allowed."""
    graded = partial(
        _graded, safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from
    )
    if workers < 2 or len(scenes) < 2:
        yield map(graded, scenes)
        return
    from bandcheck.verdict.processes import process_pool

    with process_pool(min(workers, len(scenes))) as pool:
        yield pool.map(graded, scenes)


def moire_map(
    shot: Shot, *, kind: MapKind, size: int = 120, workers: int = 1,
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
    workers
        Most processes; small maps take one. The result is the same to the last bit.
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
    scenes = [
        replace(scene, standpoint=replace(
            point, focal_mm=focal[cells], focus_mm=focus[cells], distance_mm=wall[cells]
        ))
        for cells in blocks
    ]
    places = can.size * places_of_interest(scene.lattice, point).shape[1]
    numbers = iter(range(len(blocks)))
    with _answers(shot, scenes, workers=workers if places > _FEW_PLACES else 1) as answers:
        for number in progress(numbers, len(blocks)) if progress else numbers:
            cells = blocks[number]
            moire[cells], grid[cells], severity[cells] = next(answers)
    here = float(np.max(point.focus_mm if kind == "focus" else point.focal_mm))
    return MoireMap(
        kind=kind, distance_mm=distance, other_mm=other, moire=moire.reshape(size, size),
        grid=grid.reshape(size, size), severity=severity.reshape(size, size),
        here=(float(np.max(point.distance_mm)), here),
    )
