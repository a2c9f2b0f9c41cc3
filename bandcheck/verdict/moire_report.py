"""Moire and grid of one shot, and the focus and distances at which there is none."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import overload

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.moire import (
    FringeGrades,
    fringe_grades,
    moire_findings,
    moire_lines,
    open_figures,
)
from bandcheck.imaging.arrangement import Standpoint
from bandcheck.imaging.fringe_table import FringeTable
from bandcheck.imaging.optics import (
    blur_circle_mm,
    image_distance_mm,
    subject_distance_mm,
    wall_distance_from_lens_mm,
)
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_scene import MoireScene, moire_scene
from bandcheck.verdict.range_search import Excess, Range, safe_runs
from bandcheck.vision.level import Finding

__all__ = [
    "MoireReport", "graded_fringes", "moire_report", "nearest_distance_mm", "safe_distances_mm",
    "safe_focus_mm",
]

FloatArray = NDArray[np.float64]

FARTHEST_FOCUS_MM = 1e6
"""Focus that stands for infinity in searches: a kilometre."""

FARTHEST_TIMES = 30
"""Times the present distance of the wall, more or less, up to which it is searched."""

_FOCUS_POINTS = 16
_DISTANCE_POINTS = 480


@dataclass(frozen=True, kw_only=True, slots=True)
class MoireReport:
    """Moire of one shot.

    Attributes
    ----------
    findings
        Moire and grid.
    lines
        All fringes, the best visible first.
    pitch_photosites
        LED pitch on the sensor, in photosites.
    blur_pitches
        Circle of confusion of the wall, in LED pitches on the sensor.
    safe_focus_mm, safe_distance_mm
        Distances to focus on with the wall where it is, and distances of the wall with the focus
        where it is, at which both findings are safe.
    rule_mm
        The trade's rule of thumb for the nearest distance: as many metres as the pitch has
        millimetres (common practice).
    to_find_out
        Figures that are not known and would change the level.
    """

    findings: tuple[Finding, Finding]
    lines: FringeTable
    pitch_photosites: float
    blur_pitches: float
    safe_focus_mm: tuple[Range, ...]
    safe_distance_mm: tuple[Range, ...]
    rule_mm: float
    to_find_out: tuple[str, ...]


def graded_fringes(scene: MoireScene) -> FringeGrades:
    """Worst moire and grid of every standpoint of a scene."""
    return fringe_grades(
        lattice=scene.lattice, sensor=scene.sensor, standpoint=scene.standpoint,
        viewer=scene.viewer,
    )


@overload
def nearest_distance_mm(focal_mm: float) -> float: ...
@overload
def nearest_distance_mm(focal_mm: FloatArray) -> FloatArray: ...
def nearest_distance_mm(focal_mm: float | FloatArray) -> float | FloatArray:
    """Distance from the sensor just beyond life size, nearer than which no lens is described."""
    return 4.2 * focal_mm


def _excess(
    scene: MoireScene, safe_below: float, standpoint: Callable[[FloatArray], Standpoint]
) -> Excess:
    def excess(values: FloatArray) -> FloatArray:
        grades = graded_fringes(replace(scene, standpoint=standpoint(values)))
        return np.asarray(np.maximum(grades.moire, grades.grid) - safe_below)

    return excess


@lru_cache(maxsize=64)  # the report and what would mend it both ask
def safe_focus_mm(scene: MoireScene, *, safe_below: float) -> tuple[Range, ...]:
    """Distances to focus on at which neither moire nor grid is seen, the wall staying put.

    Parameters
    ----------
    scene
        One standpoint.
    safe_below
        Limit of visibility.

    Returns
    -------
    tuple
        Ranges from the sensor plane [mm]; one that ends at a kilometre holds infinity.
    """
    point = scene.standpoint
    nearest, wall = nearest_distance_mm(float(np.max(point.focal_mm))), float(
        np.max(point.distance_mm)
    )
    excess = _excess(
        scene, safe_below, lambda focus: replace(point, focus_mm=focus)
    )
    ranges: list[Range] = []
    # Blur only grows away from the wall: on either side one range at the most, easily found.
    for low, high in ((nearest, wall), (wall, FARTHEST_FOCUS_MM)):
        if low < high:
            points = np.geomspace(low, high, _FOCUS_POINTS)
            ranges += safe_runs(excess, points, resolution=wall * 1e-4)
    if len(ranges) > 1 and ranges[0][1] >= wall >= ranges[-1][0]:
        return ((ranges[0][0], ranges[-1][1]),)
    return tuple(ranges)


@lru_cache(maxsize=64)
def safe_distances_mm(scene: MoireScene, *, safe_below: float) -> tuple[Range, ...]:
    """Distances of the wall at which neither moire nor grid is seen, the focus staying put.

    Parameters
    ----------
    scene
        One standpoint; a focus on the wall itself goes along with it.
    safe_below
        Limit of visibility.

    Returns
    -------
    tuple
        Ranges from the sensor plane [mm], up to thirty times the present distance.
    """
    point = scene.standpoint
    present = float(np.max(point.distance_mm))
    on_wall = float(np.max(point.focus_mm)) == present
    excess = _excess(scene, safe_below, lambda distance: replace(
        point, distance_mm=distance, focus_mm=distance if on_wall else point.focus_mm
    ))
    nearest = nearest_distance_mm(float(np.max(point.focal_mm)))
    points = np.geomspace(
        max(nearest, present / FARTHEST_TIMES), present * FARTHEST_TIMES, _DISTANCE_POINTS
    )
    return tuple(safe_runs(excess, points, resolution=present * 1e-3))


def _on_sensor(scene: MoireScene) -> tuple[float, float]:
    """LED pitch in photosites and blur in pitches, in the middle of the frame."""
    point = scene.standpoint
    subject = subject_distance_mm(from_sensor_mm=point.focus_mm, focal_mm=point.focal_mm)
    image = image_distance_mm(focal_mm=point.focal_mm, subject_mm=subject)
    wall = wall_distance_from_lens_mm(
        distance_mm=point.distance_mm, focal_mm=point.focal_mm, focus_mm=point.focus_mm
    )
    pitch = scene.lattice.pitch_mm * image / wall
    blur = blur_circle_mm(
        f_number=point.f_number, focal_mm=point.focal_mm, subject_mm=subject, wall_mm=wall
    )
    return float(pitch / scene.sensor.photosite_height_mm), float(blur / pitch)


def moire_report(shot: Shot, *, distances: bool = True) -> MoireReport | None:
    """Moire and grid of a shot.

    Parameters
    ----------
    shot
        The shot.
    distances
        Whether safe distances are wanted, which take most of the time.

    Returns
    -------
    MoireReport or None
        None while something is missing (`moire_missing`).

    Raises
    ------
    OutOfRangeError
        Optics that cannot be.
    """
    scene = moire_scene(shot)
    if scene is None:
        return None
    viewing = shot.viewing
    grades = graded_fringes(scene)
    pitch, blur = _on_sensor(scene)
    return MoireReport(
        findings=moire_findings(
            grades, safe_below=viewing.safe_below, visible_from=viewing.visible_from
        ),
        lines=moire_lines(
            lattice=scene.lattice, sensor=scene.sensor, standpoint=scene.standpoint,
            viewer=scene.viewer,
        ),
        pitch_photosites=pitch, blur_pitches=blur,
        safe_focus_mm=safe_focus_mm(scene, safe_below=viewing.safe_below),
        safe_distance_mm=safe_distances_mm(scene, safe_below=viewing.safe_below)
        if distances else (),
        rule_mm=1000 * scene.lattice.pitch_mm,
        to_find_out=open_figures(
            grades, lattice=scene.lattice, sensor=scene.sensor, safe_below=viewing.safe_below,
            visible_from=viewing.visible_from,
        ),
    )
