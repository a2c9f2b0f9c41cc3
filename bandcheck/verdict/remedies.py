"""What to change, on the camera's side, the wall's and the lamps', each recomputed."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal, TypedDict

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.timing.dial import dial_exposures
from bandcheck.timing.rates import locked_ratio
from bandcheck.timing.shutter import blur_against_180, stops_between
from bandcheck.verdict.exposure_grades import exposure_grades, shot_tearing
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.safe_ranges import null_exposures_s
from bandcheck.vision.just_noticeable import severities
from bandcheck.vision.level import Level

__all__ = [
    "Change", "dial_of", "lamp_changes", "phase_changes", "present_state", "shutter_changes",
    "wall_changes",
]

FloatArray = NDArray[np.float64]

_NEAREST = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One change to a shot and what becomes of its timing.

    Attributes
    ----------
    side
        Whose change it is.
    change
        What is changed: "shutter_angle", "refreshes_per_frame", "wall_fps", "refresh_lock",
        "genlock", "phase", "lamp_off".
    value, unit
        New value and its unit.
    level, visibility
        Worst grade and largest V of everything after the change, tears included in the grade.
    mended, mended_visibility
        The same for what the change is meant to mend.
    stops, blur
        Change of exposure in stops, and blur against a 180 deg shutter, where the shutter moves.
    figures
        Side effects by name: refresh, counts, gray bits and the like.
    """

    side: Literal["camera", "wall", "lamp"]
    change: str
    value: float | str
    unit: str
    level: Level
    visibility: float
    mended: Level
    mended_visibility: float
    stops: float | None = None
    blur: float | None = None
    figures: dict[str, float] = field(default_factory=dict)


class _Graded(TypedDict):
    level: Level
    visibility: float
    mended: Level
    mended_visibility: float


def dial_of(shot: Shot) -> tuple[Fraction, ...] | None:
    """Exposures that the camera's dial offers at the shot's rate [s]; None: any angle."""
    angles, speeds = shot.camera.angles_deg, shot.camera.speeds_s
    step = shot.camera.angle_step_deg
    return dial_exposures(fps=shot.fps, angles_deg=angles, speeds_s=speeds, angle_step_deg=step)


def _nearest(candidates: FloatArray, wanted: float) -> FloatArray:
    """The few candidates on either side of what is wanted."""
    below, above = candidates[candidates < wanted], candidates[candidates > wanted]
    return np.concatenate([np.sort(below)[-_NEAREST:], np.sort(above)[:_NEAREST]])


def _grades(
    shot: Shot, exposure_s: FloatArray, target: str, wall_visibility: float | None = None
) -> list[_Graded]:
    """Grades after a change at each of some exposures, and of what it is to mend."""
    known = None if wall_visibility is None else np.array([wall_visibility])
    grades = exposure_grades(shot, exposure_s, wall_visibility=known)
    viewing = shot.viewing
    meant = np.array([
        target in ("all", source) or (target, source) == ("wall", "flicker")
        for source in grades.sources
    ])
    aimed_at = np.where(meant[:, np.newaxis], grades.visibility, 0.0).max(axis=0)
    levels = severities(
        aimed_at, safe_below=viewing.safe_below, visible_from=viewing.visible_from
    )
    if target in ("all", "tear"):
        levels = np.where(grades.torn, Level.VISIBLE.severity, levels)
    return [
        {
            "level": grades.level(index), "visibility": float(grades.worst_visibility[index]),
            "mended": Level.of_severity(int(levels[index])),
            "mended_visibility": float(aimed_at[index]),
        }
        for index in range(len(exposure_s))
    ]


def present_state(
    shot: Shot, target: str = "all", *, wall_visibility: float | None = None
) -> Change:
    """The shot as it is, in the form of a change that changes nothing; V of its wall if known."""
    graded = _grades(shot, np.array([float(shot.exposure_s)]), target, wall_visibility)[0]
    return Change(side="camera", change="none", value=float(shot.angle_deg), unit="deg", **graded)


def shutter_changes(shot: Shot, target: str = "all") -> list[Change]:
    """Shutter settings near a shot's own that are better, the least change first.

    Looked at are the exposures that hold whole periods of the wall's refresh or of a lamp, and
    the settings of the camera's dial next to the present one and to those.

    Parameters
    ----------
    shot
        The shot.
    target
        What is to be mended: "wall", "tear", the name of a lamp, or "all".

    Returns
    -------
    list of Change
        Those that mend it by stops from the present setting, those first that leave nothing else
        unsafe; where none does the quietest.
    """
    wanted, fps = float(shot.exposure_s), float(shot.fps)
    nulls = np.concatenate([
        _nearest(each, wanted) for each in null_exposures_s(shot).values()
    ])
    dial = dial_of(shot)
    offered = nulls
    if dial is not None:
        steps = np.array([float(exposure) for exposure in dial])
        around = [steps[np.argsort(np.abs(steps - null), kind="stable")[:2]] for null in nulls]
        offered = np.unique(np.concatenate([_nearest(steps, wanted), *around]))
    offered = offered[(offered > 0) & (offered <= 1 / fps * (1 + 1e-12))]
    if offered.size == 0:
        return []
    found = [
        Change(
            side="camera", change="shutter_angle", value=float(exposure * fps * 360), unit="deg",
            stops=float(stops_between(from_exposure_s=wanted, to_exposure_s=exposure)),
            blur=float(blur_against_180(exposure_s=exposure, fps=shot.fps)), **graded,
        )
        for exposure, graded in zip(offered, _grades(shot, offered, target), strict=True)
    ]
    mending = [change for change in found if change.mended is Level.SAFE]
    if mending:
        return sorted(mending, key=lambda change: (change.level, abs(change.stops or 0.0)))
    return sorted(found, key=lambda change: (change.mended, change.mended_visibility))[:1]


def _recomputed(
    shot: Shot, *, side: Literal["camera", "wall", "lamp"], change: str, value: float | str,
    unit: str, target: str, wall_visibility: float | None = None,
) -> Change:
    graded = _grades(shot, np.array([float(shot.exposure_s)]), target, wall_visibility)[0]
    case = light_cases(shot.wall, shot.wall_fps)[0]
    figures = {
        "refreshes_per_frame": float(case.timing.refreshes),
        "refresh_hz": case.timing.refreshes / case.timing.cycle_s,
        "counts_per_refresh": float(case.counts_per_refresh),
        "gray_bits": float(np.log2(case.full_scale)),
    } if side == "wall" else {}
    return Change(side=side, change=change, value=value, unit=unit, figures=figures, **graded)


def _refresh_candidates(shot: Shot) -> list[int]:
    """Numbers of refreshes a frame of which the exposure holds a whole number.

    Up to twice the present one, where the profile does not list them: what a wall can be asked for
    (project choice).
    """
    present = light_cases(shot.wall, shot.wall_fps)[0].timing.refreshes
    step = (shot.exposure_s * shot.wall_fps).denominator
    if shot.wall.refreshes_per_frame_allowed:
        candidates = [
            number for number in shot.wall.refreshes_per_frame_allowed if number != present
        ]
    else:
        first = present // step
        candidates = [
            number * step for number in range(max(1, first - 1), first + 3)
            if present != number * step <= 2 * present
        ]
    return sorted(candidates, key=lambda number: (abs(number - present), number))[:4]


def _walls(shot: Shot) -> Iterator[tuple[str, float | str, str, Shot]]:
    """Shots with something changed about their wall."""
    wall = shot.wall
    if wall.refresh_lock == "free":
        locked = replace(wall, refresh_lock="frame")
        yield "refresh_lock", "frame", "", replace(shot, wall=locked)
    for number in _refresh_candidates(shot):
        changed = replace(
            wall, refreshes_per_frame=number, refresh_hz=None, rated_fps=None,
            refresh_lock="frame",
            counts_per_refresh=None if wall.gray_bits is not None else wall.counts_per_refresh,
        )
        yield "refreshes_per_frame", float(number), "", replace(shot, wall=changed)
    for multiple in (2, 3):
        rate = shot.fps * multiple
        if rate != shot.wall_fps:
            yield "wall_fps", float(rate), "fps", replace(shot, wall_fps=rate)
    if shot.genlock == "free":
        try:
            locked_ratio(wall_fps=shot.wall_fps, camera_fps=shot.fps)
        except OutOfRangeError:
            same = replace(shot, wall_fps=shot.fps, genlock="locked")
            if shot.content_fps == shot.wall_fps:
                same = replace(same, content_fps=shot.fps)
            yield "genlock", f"locked, wall at {shot.fps} fps", "", same
        else:
            yield "genlock", "locked", "", replace(shot, genlock="locked")


def wall_changes(shot: Shot, target: str = "all") -> list[Change]:
    """Changes on the wall's side that keep the shutter, the best first.

    Which number of refreshes a frame the exposure holds whole, a multiple of the frame rate, a
    refresh locked to the frame, genlock; what a gray clock cannot carry is left out.

    Parameters
    ----------
    shot
        The shot.
    target
        What is to be mended: "wall", "tear", the name of a lamp, or "all".

    Returns
    -------
    list of Change
        Each recomputed, by grade and then in the order of effort above.
    """
    found = []
    for change, value, unit, changed in _walls(shot):
        try:
            found.append(_recomputed(
                changed, side="wall", change=change, value=value, unit=unit, target=target
            ))
        except OutOfRangeError:
            continue
    return sorted(found, key=lambda each: (each.mended, each.level))


def phase_changes(shot: Shot, *, wall_visibility: float | None = None) -> list[Change]:
    """Phase that keeps the picture changes out of the exposure, where there is one.

    Parameters
    ----------
    shot, wall_visibility
        The shot, and V of the wall's bands if computed already; no phase changes it.

    Returns
    -------
    list of Change
        One, or none where every phase tears or none is needed.
    """
    found = shot_tearing(shot)
    if found.phase_best_s is None:
        return []
    return [_recomputed(
        replace(shot, phase_s=found.phase_best_s), side="wall", change="phase", unit="ms",
        value=found.phase_best_s * 1e3, target="tear", wall_visibility=wall_visibility,
    )]


def lamp_changes(shot: Shot) -> list[Change]:
    """What taking each lamp away, or feeding it steadily, would do.

    Parameters
    ----------
    shot
        The shot.
    """
    return [
        _recomputed(
            replace(shot, lamps=tuple(other for other in shot.lamps if other is not lamp)),
            side="lamp", change="lamp_off", value=lamp.name, unit="", target=lamp.name,
        )
        for lamp in shot.lamps
    ]
