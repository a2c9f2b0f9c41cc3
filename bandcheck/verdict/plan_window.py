"""What is known of the safe exposures of one camera and one surface.

The search of `safe_ranges` looks closely at the ranges nearest to a wanted exposure: that is what a
card needs. Where several surfaces have to agree, the range that suits them all may lie farther off;
it is then looked for in what the others leave, which is little.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import exposure_grades, shot_tearing
from bandcheck.verdict.range_search import Excess, last_safe, runs_of_true
from bandcheck.verdict.remedies import wall_changes
from bandcheck.verdict.safe_ranges import (
    Range,
    common_ranges,
    null_exposures_s,
    source_ranges,
)
from bandcheck.vision.level import Level

__all__ = [
    "Wanted", "Window", "refresh_options", "safe_window", "safe_within", "shot_at", "wanted_grade",
]

FloatArray = NDArray[np.float64]

_EVERY_DEG = 1.0
_EDGE_DEG = 5e-4
_NEAR_DEG = 0.025
_MOST_REFRESHES = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Window:
    """Safe exposures of a shot near its own.

    Attributes
    ----------
    ranges
        Safe against everything in the shot [s], rising.
    lacking
        "tear", "wall", lamps and "camera" that have no safe exposure at all: then there are no
        ranges; else there may be others, farther off.
    sparseness
        Nulls of the wall in a frame: the fewer, the fewer ranges there can be.
    refused
        Why the shot cannot be run; empty where it can.
    """

    ranges: tuple[Range, ...]
    lacking: tuple[str, ...] = ()
    sparseness: int = 0
    refused: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """Grade of the setting that a shot has.

    Attributes
    ----------
    level
        Worst grade, tears included.
    visibility
        Largest V of each source.
    tear
        Grade and reason of the picture changes.
    phase_s
        From and to of the phases that are clean [s]; None: any, or none.
    refused
        Why the shot cannot be run; empty where it can.
    """

    level: Level
    visibility: dict[str, float]
    tear: tuple[Level, str] | None = None
    phase_s: Range | None = None
    refused: str = ""

    @property
    def worst_visibility(self) -> float:
        """Largest V of all sources; NaN where one is not known."""
        values = list(self.visibility.values())
        return float(np.max(values)) if values else float("nan")


def shot_at(shot: Shot, exposure_s: float) -> Shot:
    """Same shot at another exposure, no longer than its frame."""
    return replace(shot, exposure_s=min(1 / shot.fps, Fraction(exposure_s)))


def safe_window(shot: Shot) -> Window:
    """Safe exposures of a shot near its own.

    Parameters
    ----------
    shot
        The shot; its exposure says where to look.

    Returns
    -------
    Window
        Ranges as `safe_settings` has them.
    """
    if shot.camera.exposure_scheme != "single":
        return Window(ranges=(), lacking=("camera",))
    try:
        by_source = source_ranges(shot)
        nulls = null_exposures_s(shot)
    except OutOfRangeError as error:
        return Window(ranges=(), lacking=("wall",), refused=str(error))
    lacking = tuple(source for source, ranges in by_source.items() if not ranges)
    return Window(
        ranges=tuple(common_ranges(by_source.values())), lacking=lacking,
        sparseness=nulls["wall"].size,
    )


def _points(nulls: FloatArray, within: Sequence[Range], frame_s: float) -> list[FloatArray]:
    """Exposures to look at in each range: its ends, nulls, halves between them, every degree."""
    even = np.arange(1, 360 / _EVERY_DEG + 1) * frame_s * _EVERY_DEG / 360
    offered = np.unique(np.concatenate([nulls, (nulls[1:] + nulls[:-1]) / 2, even]))
    return [
        np.unique([low, *offered[(offered > low) & (offered < high)], (low + high) / 2, high])
        for low, high in within
    ]


def _inside(
    excess: Excess, points: Sequence[FloatArray], *, resolution_s: float, step_s: float
) -> list[Range]:
    """Safe runs of the points of several ranges, with their edges."""
    every = np.concatenate(points)
    ends = np.cumsum([each.size for each in points])
    starts = ends - [each.size for each in points]
    safe = excess(every) < 0
    first: list[int] = []
    last: list[int] = []
    before: list[int] = []
    after: list[int] = []
    for start, end in zip(starts, ends, strict=True):
        begin, finish = runs_of_true(safe[start:end])
        first += (begin + start).tolist()
        last += (finish + start).tolist()
        before += np.maximum(begin - 1 + start, start).tolist()
        after += np.minimum(finish + 1 + start, end - 1).tolist()
    low = last_safe(excess, every[first], every[before], resolution_s, step_s)
    high = last_safe(excess, every[last], every[after], resolution_s, step_s)
    return list(zip(low.tolist(), high.tolist(), strict=True))


def _excess(shot: Shot, names: tuple[str, ...], exposure: FloatArray) -> FloatArray:
    """How far exposures lie above what is safe against some sources."""
    if exposure.size == 0:
        return exposure
    grades = exposure_grades(shot, exposure, only=names)
    return grades.worst_visibility - shot.viewing.safe_below


def safe_within(shot: Shot, within: Sequence[Range]) -> tuple[Range, ...]:
    """Safe exposures of a shot inside ranges, all that there are.

    Parameters
    ----------
    shot
        The shot; its own exposure is not looked at.
    within
        Where to look [s].

    Returns
    -------
    tuple of Range
        Rising; empty too where the shot cannot be run or its camera is not described.
    """
    if shot.camera.exposure_scheme != "single":
        return ()
    frame_s = 1 / float(shot.fps)
    resolution_s, step_s = (degrees / 360 * frame_s for degrees in (_EDGE_DEG, _NEAR_DEG))
    try:
        ranges = common_ranges([list(within), [(frame_s * 1e-6, _longest_untorn_s(shot))]])
        nulls = null_exposures_s(shot)
        for source in (*(lamp.name for lamp in shot.lamps), "wall"):
            if not ranges:
                break
            names = ("wall", "flicker") if source == "wall" else (source,)
            ranges = _inside(
                partial(_excess, shot, names), _points(nulls[source], ranges, frame_s),
                resolution_s=resolution_s, step_s=step_s,
            )
    except OutOfRangeError:
        return ()
    return tuple(sorted(ranges))


def _longest_untorn_s(shot: Shot) -> float:
    """Longest exposure that has a clean phase [s]; 0 where there is none."""
    found, frame_s = shot_tearing(shot), 1 / float(shot.fps)
    if found.finding.reason == "still_content":
        return frame_s
    longest_s = (found.largest_clean_angle_deg or 0.0) / 360 * frame_s
    if shot.camera.shutter_whole_lines and 0 < longest_s < frame_s:
        # The dial's value may be rounded up by half a line, into the tear.
        longest_s -= shot.camera.readout_s / shot.camera.rows_px / 2
    return longest_s


def wanted_grade(shot: Shot) -> Wanted:
    """Grade of the setting that a shot has."""
    try:
        grades = exposure_grades(shot, np.array([float(shot.exposure_s)]))
        torn = shot_tearing(shot)
    except OutOfRangeError as error:
        return Wanted(level=Level.UNKNOWN, visibility={}, refused=str(error))
    phase = None
    if torn.phase_from_s is not None and torn.phase_to_s is not None:
        phase = (torn.phase_from_s, torn.phase_to_s)
    return Wanted(
        level=max(grades.level(), torn.finding.level),
        visibility={
            source: float(each[0])
            for source, each in zip(grades.sources, grades.visibility, strict=True)
        },
        tear=(torn.finding.level, torn.finding.reason), phase_s=phase,
    )


def refresh_options(shot: Shot) -> tuple[int, ...]:
    """Numbers of refreshes a frame that a shot's wall could be asked for.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    tuple of int
        Of those that the wall's profile allows, or where it allows any, of those that the wanted
        exposure holds whole: the few that do best at the wanted shutter. None for a wall whose
        refresh runs free.
    """
    if shot.wall.refresh_lock == "free":
        return ()
    changes = [each for each in wall_changes(replace(shot, lamps=()), "wall")
               if each.change == "refreshes_per_frame"]
    return tuple(int(each.value) for each in changes if isinstance(each.value, float))[
        :_MOST_REFRESHES
    ]
