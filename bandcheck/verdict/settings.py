"""Safe shutter settings near the wanted one, and what the wall could do for the wanted one."""

from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.shoot.shot import Shot
from bandcheck.timing.shutter import blur_against_180, stops_between
from bandcheck.verdict.exposure_grades import exposure_grades, made_exposures_s
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.lowest_level import lowest_safe_levels
from bandcheck.verdict.remedies import (
    Change,
    dial_of,
    lamp_changes,
    phase_changes,
    present_state,
    wall_changes,
)
from bandcheck.verdict.safe_ranges import (
    MOST_SEARCHED,
    Range,
    common_ranges,
    null_exposures_s,
    source_ranges,
)
from bandcheck.vision.level import Level

__all__ = ["DialSetting", "SafeRange", "Settings", "safe_settings"]

FloatArray = NDArray[np.float64]

MOST_RANGES = 8
"""Ranges that are told: those nearest to the wanted setting."""

_DIAL_NEIGHBOURS = 6
_FEW = 24


@dataclass(frozen=True, kw_only=True, slots=True)
class SafeRange:
    """Shutter angles that are safe, next to one another.

    Attributes
    ----------
    from_deg, to_deg, best_deg
        Ends, both safe, and the best between them: the null that lies in the middle half of the
        range, or else the middle. The margins are the distances to the ends.
    visibility_max
        Largest V at the best, of all sources and of the levels that decide.
    lowest_safe_level
        Signal from which up the best is safe; None where white is not.
    stops_from_wanted, blur
        Exposure of the best against the wanted one in stops; blur against a 180 deg shutter.
    dial_deg
        Setting of the camera's dial that lies inside with the most room; None where none does.
    """

    from_deg: float
    to_deg: float
    best_deg: float
    visibility_max: float
    lowest_safe_level: float | None
    stops_from_wanted: float
    blur: float
    dial_deg: float | None


@dataclass(frozen=True, kw_only=True, slots=True)
class DialSetting:
    """One setting of the camera's own dial.

    Attributes
    ----------
    angle_deg, exposure_s
        The setting, exact.
    level, visibility
        Worst grade, tears included, and largest V.
    """

    angle_deg: Fraction
    exposure_s: Fraction
    level: Level
    visibility: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Settings:
    """What may be set.

    Attributes
    ----------
    shot
        The wanted setting.
    wanted
        Its grade, as a change that changes nothing.
    ranges
        Safe ranges, the nearest in stops first.
    dial
        The camera's own settings near the wanted one and inside the ranges, rising; empty where
        the camera takes any angle.
    quietest
        Where nothing is safe: the setting with the smallest V that was looked at.
    wall_side
        Changes on the wall that keep the wanted shutter and make it better; and the clean phase.
    lamp_side
        What each lamp costs.
    blocked_by
        "wall", "tear" and lamps that leave no room: each one alone without which there would be
        some, or all that have none of their own.
    """

    shot: Shot
    wanted: Change
    ranges: tuple[SafeRange, ...]
    dial: tuple[DialSetting, ...]
    quietest: DialSetting | None
    wall_side: tuple[Change, ...]
    lamp_side: tuple[Change, ...]
    blocked_by: tuple[str, ...]


def _blockers(ranges: dict[str, list[Range]]) -> tuple[str, ...]:
    if common_ranges(ranges.values()):
        return ()
    alone = [name for name, own in ranges.items() if not own]
    if alone:
        return tuple(alone)
    opened = [
        name for name in ranges
        if common_ranges(own for other, own in ranges.items() if other != name)
    ]
    return tuple(opened or ranges)


def _middles(shot: Shot, ranges: list[Range]) -> FloatArray:
    """Middle of each range, or the null that lies next to it: the quietest, and a round figure."""
    nulls = np.concatenate([np.zeros(1), *null_exposures_s(shot).values()])
    middles = np.array([(low + high) / 2 for low, high in ranges])
    nearest = nulls[np.abs(nulls - middles[:, np.newaxis]).argmin(axis=1)]
    quarter = np.array([(high - low) / 4 for low, high in ranges])
    return np.where(np.abs(nearest - middles) <= quarter, nearest, middles)


def _safe_ranges(shot: Shot, ranges: list[Range], dial: FloatArray | None) -> list[SafeRange]:
    """The nearest ranges with their figures."""
    if not ranges:
        return []
    fps, wanted = float(shot.fps), float(shot.exposure_s)
    middles = _middles(shot, ranges)
    nearest = np.argsort(np.abs(np.log2(middles / wanted)), kind="stable")[:MOST_RANGES]
    best = middles[nearest]
    grades = exposure_grades(shot, best)
    lowest = lowest_safe_levels(
        shot, exposure_s=made_exposures_s(shot, best),
        cases=light_cases(shot.wall, shot.wall_fps),
    )
    found = []
    for place, index in enumerate(nearest):
        low, high = ranges[index]
        inside = [] if dial is None else dial[(dial >= low) & (dial <= high)]
        holds = min(inside, key=lambda each: abs(each - middles[index]), default=None)
        found.append(SafeRange(
            from_deg=low * fps * 360, to_deg=min(360.0, high * fps * 360),
            best_deg=float(best[place]) * fps * 360,
            visibility_max=float(grades.worst_visibility[place]),
            lowest_safe_level=None if np.isnan(lowest[place]) else float(lowest[place]),
            stops_from_wanted=float(stops_between(
                from_exposure_s=wanted, to_exposure_s=best[place]
            )),
            blur=float(blur_against_180(exposure_s=best[place], fps=shot.fps)),
            dial_deg=None if holds is None else float(holds) * fps * 360,
        ))
    return found


def _dial_settings(
    shot: Shot, dial: tuple[Fraction, ...], ranges: list[Range]
) -> tuple[DialSetting, ...]:
    steps = np.array([float(each) for each in dial])
    wanted = float(shot.exposure_s)
    near = np.argsort(np.abs(np.log2(steps / wanted)), kind="stable")[: 2 * _DIAL_NEIGHBOURS]
    chosen = set(near.tolist()) if len(dial) > 3 * _DIAL_NEIGHBOURS else set(range(len(dial)))
    for low, high in ranges:
        inside = np.flatnonzero((steps >= low) & (steps <= high))
        chosen.update(inside[np.argsort(np.abs(steps[inside] - (low + high) / 2))[:2]].tolist())
    return _graded_dial(shot, [dial[index] for index in sorted(chosen)])


def _graded_dial(shot: Shot, exposures: list[Fraction]) -> tuple[DialSetting, ...]:
    if not exposures:
        return ()
    grades = exposure_grades(shot, np.array([float(each) for each in exposures]))
    return tuple(
        DialSetting(
            angle_deg=360 * exposure * shot.fps, exposure_s=exposure, level=grades.level(index),
            visibility=float(grades.worst_visibility[index]),
        )
        for index, exposure in enumerate(exposures)
    )


def _quietest(shot: Shot, dial: tuple[Fraction, ...] | None, *, few: bool) -> DialSetting:
    """Setting with the smallest V where nothing is safe, on the dial or in steps of a degree."""
    even = [Fraction(degrees) / 360 / shot.fps for degrees in range(1, 361)]
    offered = even if dial is None or len(dial) > len(even) else list(dial)
    if few:
        offered = offered[:: -max(1, len(offered) // _FEW)]
    known = _graded_dial(shot, offered)
    return min(known, key=lambda setting: (setting.level, setting.visibility))


def safe_settings(shot: Shot, *, most_ranges: int | None = None) -> Settings:
    """Safe shutter settings near a shot's own, and the wall's side of the same question.

    Parameters
    ----------
    shot
        The shot with the wanted setting.
    most_ranges
        Where the answer has to come at once: so many of the nearest ranges are enough, and the
        quietest of few settings where there are none.

    Returns
    -------
    Settings
        Ranges, dial settings, changes on the wall and lamps, and who blocks where nothing is
        safe.

    Raises
    ------
    OutOfRangeError
        The wall cannot run as it is described.
    """
    dial = dial_of(shot)
    describable = shot.camera.exposure_scheme == "single"
    most = MOST_SEARCHED if most_ranges is None else most_ranges
    by_source = source_ranges(shot, most=most) if describable else {"camera": []}
    common = common_ranges(by_source.values())
    steps = None if dial is None else np.array([float(each) for each in dial])
    ranges = _safe_ranges(shot, common, steps)
    fps = float(shot.fps)
    told = [(each.from_deg / fps / 360, each.to_deg / fps / 360) for each in ranges]
    unconditional = replace(shot, phase_s=None)
    wanted = present_state(shot)
    helpful = [
        change for change in wall_changes(shot)
        if change.level < wanted.level or change.visibility < wanted.visibility / 2
    ]
    return Settings(
        shot=shot, wanted=wanted, ranges=tuple(ranges),
        dial=() if not dial else _dial_settings(shot, dial, told),
        quietest=None if ranges or dial == () or not describable else _quietest(
            shot, dial, few=most_ranges is not None
        ),
        wall_side=(*helpful, *phase_changes(unconditional)),
        lamp_side=tuple(lamp_changes(shot)),
        blocked_by=_blockers(by_source),
    )
