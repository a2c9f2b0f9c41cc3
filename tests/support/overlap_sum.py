"""Second route for the light of an LED wall: list every lit interval, add up the overlaps.

Written from the description of the drive alone. It shares no code with `bandcheck.light`: there is
no running integral and no closed form in here, only intervals in exact fractions and sums of
overlaps, which makes it slow and hard to get wrong. `light_against_phase` is the same sum in
floats, for dense scans.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "ListedWall", "cycle_s", "dealt_refreshes", "exact_extremes", "exact_light",
    "light_against_phase", "lit_intervals", "lit_share", "mean_light", "pulse_counts", "slot_s",
]

_PHASES_AT_ONCE = 2048


@dataclass(frozen=True, kw_only=True, slots=True)
class ListedWall:
    """One multiplexed wall; floats stand for exactly the number they hold.

    `refresh_hz` given means that the refresh runs free of the frame.
    """

    wall_fps: Fraction
    refreshes_per_frame: int
    scan_lines: int
    counts_per_refresh: int
    drive: str = "spread"
    dealing: str = "bit_reversed"
    min_pulse_counts: int = 1
    clock_hz: float | None = None
    line_switch_s: float = 0.0
    frame_end: str = "stretched"
    refresh_hz: float | None = None

    @property
    def full_scale(self) -> int:
        """Largest count: shared by all refreshes of a frame, or shown by each."""
        refreshes = self.refreshes_per_frame if self.drive == "spread" else 1
        return refreshes * self.counts_per_refresh


def dealt_refreshes(*, chosen: int, out_of: int, dealing: str) -> list[int]:
    """Indices of the refreshes that come first when `chosen` of them are to be picked."""
    if dealing == "even":
        return [
            k for k in range(out_of)
            if (k + 1) * chosen // out_of - k * chosen // out_of == 1
        ]
    digits = 0
    while 2**digits < out_of:
        digits += 1
    turned = [int("0" + format(k, f"0{digits}b")[::-1], 2) if digits else 0
              for k in range(2**digits)]
    return [k for k in turned if k < out_of][:chosen]


def pulse_counts(wall: ListedWall, value: int) -> list[int]:
    """Counts that each refresh of a frame shows, in the order of time."""
    refreshes = wall.refreshes_per_frame
    if wall.drive != "spread":
        return [value] * refreshes
    shared_by = min(refreshes, max(1, value // wall.min_pulse_counts))
    each, left_over = divmod(value, shared_by)
    counts = [0] * refreshes
    lit = dealt_refreshes(chosen=shared_by, out_of=refreshes, dealing=wall.dealing)
    for k in lit:
        counts[k] = each
    if wall.dealing == "even":
        places = dealt_refreshes(chosen=left_over, out_of=shared_by, dealing="even")
        for place in places:
            counts[sorted(lit)[place]] += 1
    else:
        for k in lit[:left_over]:
            counts[k] += 1
    return counts


def slot_s(wall: ListedWall) -> tuple[Fraction, Fraction]:
    """Time of one line's slot, and how long it can be lit."""
    dark = Fraction(wall.line_switch_s)
    if wall.clock_hz is not None:
        lit = wall.counts_per_refresh / Fraction(wall.clock_hz)
        return lit + dark, lit
    refresh_hz = wall.wall_fps * wall.refreshes_per_frame
    if wall.refresh_hz is not None:
        refresh_hz = Fraction(wall.refresh_hz)
    slot = 1 / (refresh_hz * wall.scan_lines)
    return slot, slot - dark


def cycle_s(wall: ListedWall) -> Fraction:
    """Time after which the light repeats: a wall frame, or M free refreshes."""
    if wall.refresh_hz is not None:
        return wall.refreshes_per_frame * wall.scan_lines * slot_s(wall)[0]
    return 1 / wall.wall_fps


def lit_share(wall: ListedWall) -> Fraction:
    """Share of time for which one line is lit at full drive."""
    return wall.refreshes_per_frame * slot_s(wall)[1] / cycle_s(wall)


def lit_intervals(
    wall: ListedWall, value: int, *, line: int | Fraction = 0
) -> list[tuple[Fraction, Fraction]]:
    """Every lit interval [start, stop] of one line in the first cycle, in seconds.

    A line that is not whole lights that much of a slot later, while its neighbour is still lit:
    no wall does so, but the sums must hold.
    """
    slot, lit = slot_s(wall)
    cycle, refreshes = cycle_s(wall), wall.refreshes_per_frame
    one_count = lit / wall.counts_per_refresh
    intervals = []
    for k, counts in enumerate(pulse_counts(wall, value)):
        begin = k * wall.scan_lines * slot
        if wall.refresh_hz is None and wall.frame_end == "stretched":
            begin = k * cycle / refreshes
        begin += line * slot + Fraction(wall.line_switch_s)
        if wall.drive == "binary_code":
            planes = range(wall.counts_per_refresh.bit_length())
            intervals += [
                (begin + (2**b - 1) * one_count, begin + (2 ** (b + 1) - 1) * one_count)
                for b in planes if counts & 2**b
            ]
        elif counts:
            intervals.append((begin, begin + counts * one_count))
    return intervals


@lru_cache(maxsize=256)
def _in_whole_units(
    wall: ListedWall, value: int, line: int | Fraction
) -> tuple[int, int, list[tuple[int, int]]]:
    """Units a second that make the cycle and every edge a whole number, and these numbers."""
    intervals, cycle = lit_intervals(wall, value, line=line), cycle_s(wall)
    edges = [edge for interval in intervals for edge in interval]
    units = math.lcm(cycle.denominator, *(edge.denominator for edge in edges))
    return units, int(cycle * units), [(int(a * units), int(b * units)) for a, b in intervals]


def exact_light(
    wall: ListedWall, value: int, *, open_s: float | Fraction, exposure_s: float | Fraction,
    line: int | Fraction = 0,
) -> Fraction:
    """Lit time inside the window [open, open + exposure], exact."""
    opening, exposure = Fraction(open_s), Fraction(exposure_s)
    coarse, cycle, intervals = _in_whole_units(wall, value, line)
    units = math.lcm(coarse, opening.denominator, exposure.denominator)
    finer = units // coarse
    opens, closes = int(opening * units), int((opening + exposure) * units)
    total = 0
    for n in range(opens // (cycle * finer) - 1, closes // (cycle * finer) + 2):
        for start, stop in intervals:
            first = max((start + n * cycle) * finer, opens)
            last = min((stop + n * cycle) * finer, closes)
            total += max(last - first, 0)
    return Fraction(total, units)


def mean_light(wall: ListedWall, value: int, *, exposure_s: float | Fraction) -> Fraction:
    """Mean over all phases of the lit time inside the window, exact."""
    lit = sum((stop - start for start, stop in lit_intervals(wall, value)), Fraction(0))
    return lit * Fraction(exposure_s) / cycle_s(wall)


def exact_extremes(
    wall: ListedWall, value: int, *, exposure_s: float | Fraction,
    lines: Sequence[int | Fraction] = (0,),
) -> tuple[Fraction, Fraction]:
    """Least and most lit time over all phases, mean of the lines, exact.

    The light against phase is made of straight pieces that join where an edge of the window meets
    an edge of a lit interval, so one of these phases holds each extreme.
    """
    edges = {
        edge for line in lines for interval in lit_intervals(wall, value, line=line)
        for edge in interval
    }
    phases = edges | {edge - Fraction(exposure_s) for edge in edges}
    lights = [
        sum(exact_light(wall, value, open_s=phase, exposure_s=exposure_s, line=line)
            for line in lines) / Fraction(len(lines))
        for phase in phases
    ]
    return min(lights, default=Fraction(0)), max(lights, default=Fraction(0))


def light_against_phase(
    wall: ListedWall, value: int, *, phases_s: NDArray[np.float64], exposure_s: float,
    line: int | Fraction = 0,
) -> NDArray[np.float64]:
    """Lit time inside the window for each phase (1-D), overlaps added up in floats."""
    intervals, cycle = lit_intervals(wall, value, line=line), cycle_s(wall)
    first = math.floor(Fraction(float(phases_s.min())) / cycle) - 1
    last = math.floor(Fraction(float(phases_s.max()) + exposure_s) / cycle) + 1
    listed = [
        (float(start + n * cycle), float(stop + n * cycle))
        for n in range(first, last + 1) for start, stop in intervals
    ]
    starts, stops = np.array(listed).reshape(-1, 2).T
    light = np.empty(phases_s.size)
    for at in range(0, phases_s.size, _PHASES_AT_ONCE):
        opens = phases_s[at:at + _PHASES_AT_ONCE, None]
        closes = opens + exposure_s
        near = (stops > opens.min()) & (starts < closes.max())
        overlap = np.minimum(stops[near], closes) - np.maximum(starts[near], opens)
        light[at:at + _PHASES_AT_ONCE] = np.maximum(overlap, 0.0).sum(axis=1)
    return light
