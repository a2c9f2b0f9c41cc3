"""Ranges of exposure that are safe against everything that pulses or changes in a shot.

Safe exposures lie around nulls, where an exposure holds whole periods of a light, and are a few
hundredths of a degree wide. They are found source by source - points at every null and half-way
between, contiguous safe points joined, edges searched for - and then intersected: a range
that two sources leave between their nulls is not missed.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import exposure_grades, made_exposures_s, shot_tearing
from bandcheck.verdict.frame_flicker import frame_flicker
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.met_light import sample_s
from bandcheck.verdict.range_search import Excess, Range, last_safe, runs_of_true
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["MOST_SEARCHED", "Range", "common_ranges", "null_exposures_s", "source_ranges"]

FloatArray = NDArray[np.float64]
_EVERY_DEG = 1.0
_EDGE_DEG = 5e-4
_NEAR_DEG = 0.025
_NEAREST_NULLS = 400

MOST_SEARCHED = 12
"""Ranges of one source whose edges are searched for: those nearest to the wanted setting."""

_MOST_ALONE = 9
"""The same of a wall without lamps, which rule out none of them: one more than are told."""


def null_exposures_s(shot: Shot) -> dict[str, FloatArray]:
    """Exposures that hold whole periods of each source's light, up to a frame [s].

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    dict
        Source ("wall" or a lamp's name) to exposures, rising.
    """
    frame_s = 1 / float(shot.fps)
    periods: dict[str, list[float]] = {"wall": [
        case.timing.refresh_pitch_s for case in light_cases(shot.wall, shot.wall_fps)
    ]}
    for lamp in shot.lamps:
        rate = lamp.pulse_hz if lamp.kind == "pulsed" else 2 * (lamp.mains_hz or 0.0)
        periods[lamp.name] = [1 / rate] if lamp.kind != "steady" and rate else []
    wanted = float(shot.exposure_s)
    nulls = {}
    for source, each in periods.items():
        found: list[float] = []
        for period in set(each):
            number = np.arange(1, int(frame_s / period * (1 + 1e-9)) + 1)
            # Of thousands of nulls those near the wanted exposure are enough.
            nearest = np.argsort(np.abs(number * period - wanted), kind="stable")
            found += list(np.sort(number[nearest[:_NEAREST_NULLS]] * period))
        nulls[source] = np.unique(np.minimum(found, frame_s))
    return nulls


def _points(shot: Shot, nulls: FloatArray) -> FloatArray:
    """Exposures to look at: nulls, half-way between them, and every degree [s]."""
    frame_s = 1 / float(shot.fps)
    even = np.arange(1, 360 / _EVERY_DEG + 1) * frame_s * _EVERY_DEG / 360
    between = (nulls[1:] + nulls[:-1]) / 2
    own = np.array([float(shot.exposure_s)])
    points = np.unique(np.concatenate([nulls, between, even, own]))
    return points[(points > 0) & (points <= frame_s * (1 + 1e-12))]


def _nearest(
    low: FloatArray, high: FloatArray, within: list[Range], shot: Shot
) -> tuple[NDArray[np.int64], bool]:
    """Groups of safe points that others leave room for, nearest first, and whether there are any.

    Where the others leave no room at all, every group still tells who blocks whom.
    """
    overlap = np.zeros(low.shape, dtype=np.bool_)
    for start, end in within:
        overlap |= (low <= end) & (high >= start)
    candidates = np.flatnonzero(overlap) if overlap.any() else np.arange(low.size)
    middle = (low[candidates] + high[candidates]) / 2
    nearest = np.argsort(np.abs(np.log2(middle / float(shot.exposure_s))), kind="stable")
    most = MOST_SEARCHED if shot.lamps else _MOST_ALONE
    return candidates[nearest[:most]], bool(overlap.any())


def _joined(
    points: FloatArray, excess: Excess, *,
    within: list[Range], shot: Shot, most: int, lattice_s: float | None,
) -> list[Range]:
    """Contiguous safe points as ranges, with their edges.

    With few wanted, so many are searched for at a time until one lies where the others leave room;
    where they leave none, the safe points themselves tell as much as their edges would.
    """
    first, last = runs_of_true(excess(points) < 0)
    if first.size == 0:
        return []
    before, after = np.maximum(first - 1, 0), np.minimum(last + 1, len(points) - 1)
    nearest, fit = _nearest(points[before], points[after], within, shot)
    if most < MOST_SEARCHED and not fit:
        return [(float(points[first[each]]), float(points[last[each]])) for each in nearest[:most]]
    resolution_s, step_s = (degrees / 360 / float(shot.fps) for degrees in (_EDGE_DEG, _NEAR_DEG))
    found: list[Range] = []
    for start in range(0, nearest.size, most):
        kept = np.sort(nearest[start : start + most])
        edges = last_safe(
            excess, points[np.concatenate([first[kept], last[kept]])],
            points[np.concatenate([before[kept], after[kept]])], resolution_s, step_s, lattice_s,
        )
        low, high = np.split(edges, 2)
        found += zip(low.tolist(), high.tolist(), strict=True)
        if common_ranges([found, within]):
            break
    return sorted(found)


def _excess(shot: Shot, names: tuple[str, ...], exposure: FloatArray) -> FloatArray:
    """How far exposures lie above what is safe, the worst of the levels that decide.

    Level by level, the brightest and cheapest first and then the darkest, which rules out most:
    what one level rules out need not be looked at in the others.
    """
    limit = shot.viewing.safe_below
    if "wall" not in names:
        grades = exposure_grades(replace(shot, levels=shot.levels[:1]), exposure, only=names)
        return grades.worst_visibility - limit
    made, worst = made_exposures_s(shot, exposure), np.zeros(exposure.shape)
    cases = light_cases(shot.wall, shot.wall_fps)
    levels = sorted(shot.levels)
    for level in (levels.pop(), *levels):
        still = np.flatnonzero(worst < limit)
        if still.size == 0:
            break
        bands = wall_cells(
            shot, levels=(level,), exposure_s=made[still], cases=cases, extremes=False,
            enough=limit,
        ).visibility[0]
        flicker = frame_flicker(shot, cases=cases, levels=(level,), exposure_s=made[still])
        worst[still] = np.maximum(worst[still], np.maximum(bands, flicker))
    return worst - limit


def source_ranges(shot: Shot, *, most: int = MOST_SEARCHED) -> dict[str, list[Range]]:
    """Safe ranges of exposure against each source on its own.

    Parameters
    ----------
    shot
        The shot; its own exposure says near which ones to look closely.
    most
        Ranges of the wall, at least 1, after which to look for no more where one of them lies in
        what the others leave; of each lamp always as many as usual, for they are cheap and rule
        out most of the wall's.

    Returns
    -------
    dict
        "tear", the lamps' names and "wall" (bands and frame flicker) to ranges [s], rising; of a
        source with very many those nearest to the shot's own exposure that the others leave.
    """
    ranges = {"tear": _untorn(shot)}
    nulls = null_exposures_s(shot)
    for source in (*(lamp.name for lamp in shot.lamps), "wall"):
        names = ("wall", "flicker") if source == "wall" else (source,)

        ranges[source] = _joined(
            _points(shot, nulls[source]), partial(_excess, shot, names), shot=shot,
            within=common_ranges(ranges.values()),
            most=most if source == "wall" else MOST_SEARCHED,
            lattice_s=_lattice_s(shot) if source == "wall" else None,
        )
    return ranges


def _lattice_s(shot: Shot) -> float | None:
    """Step of the exposures whose bands cost the least to find [s]; None: all cost alike."""
    rows = row_sampling(shot)
    if rows.line_time_s == 0 and rows.wall_rows_per_row is None:
        return None
    return sample_s(light_cases(shot.wall, shot.wall_fps)[0], rows)


def _untorn(shot: Shot) -> list[Range]:
    found, frame_s = shot_tearing(shot), 1 / float(shot.fps)
    shortest = frame_s * 1e-6
    if found.finding.reason == "still_content":
        return [(shortest, frame_s)]
    longest = (found.largest_clean_angle_deg or 0.0) / 360 * frame_s
    if 0 < longest < frame_s and shot.camera.shutter_whole_lines:
        # The dial's value may be rounded up into the tear.
        made = made_exposures_s(shot, np.array([longest]))[0]
        longest -= max(0.0, made - longest)
    return [(shortest, longest)] if longest > shortest else []


def common_ranges(ranges: Iterable[list[Range]]) -> list[Range]:
    """Intersection of several sets of ranges, rising.

    Parameters
    ----------
    ranges
        Sets of ranges; none at all: no range.

    Returns
    -------
    list
        Ranges in all of the sets.
    """
    sets = list(ranges)
    if not sets:
        return []
    common = sets[0]
    for other in sets[1:]:
        common = [
            (max(low, other_low), min(high, other_high))
            for low, high in common
            for other_low, other_high in other
            if max(low, other_low) <= min(high, other_high)
        ]
    return sorted(common)
