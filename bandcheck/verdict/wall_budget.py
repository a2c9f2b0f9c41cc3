"""What a wall's gray clock is spent on: refresh, gray depth, scan lines and frame rate."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.levels.transfer import wall_light
from bandcheck.light.led_drive import lit_refreshes
from bandcheck.light.refresh_choice import clock_for_refreshes_hz
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.light_cases import LightCase, light_cases

__all__ = [
    "BUDGET_LEVELS", "BUDGET_RATES", "ClockBudget", "Dimming", "LevelBudget", "RateBudget",
    "WallBudget", "wall_budget",
]

BUDGET_RATES = tuple(Fraction(rate) for rate in (24, 25, 30, 48, 50, 60, 96, 100, 120))
BUDGET_LEVELS = (1.0, 0.5, 0.18, 0.1, 0.05, 0.02, 0.01)
DIMMED_TO = (1.0, 0.5, 0.25, 0.1)


@dataclass(frozen=True, kw_only=True, slots=True)
class LevelBudget:
    """One gray level at one frame rate.

    Attributes
    ----------
    signal, counts
        Signal level 0..1 and the counts that show it.
    lit_refreshes
        Refreshes of a frame that light.
    effective_refresh_hz
        Refreshes a second that light [Hz].
    """

    signal: float
    counts: int
    lit_refreshes: int
    effective_refresh_hz: float


@dataclass(frozen=True, kw_only=True, slots=True)
class ClockBudget:
    """What a gray clock carries at a frame rate: each figure with the other three as they are.

    `F M S (C / clock + switch) <= 1`, F the frame rate, M the refreshes of a frame, S the scan
    lines and C the counts of a refresh (the sum behind table 9-2 of the Texas Instruments TLC6984
    data sheet SLVSG10D).

    Attributes
    ----------
    slot_s
        Time `C / clock + switch` that one line takes [s].
    used_share
        `F M S slot`.
    clock_needed_hz
        Slowest clock that carries this [Hz].
    most_refreshes, most_counts, most_scan_lines, highest_fps
        Largest M, C, S and F [frames/s].
    """

    slot_s: float
    used_share: float
    clock_needed_hz: float
    most_refreshes: int
    most_counts: int
    most_scan_lines: int
    highest_fps: float


@dataclass(frozen=True, kw_only=True, slots=True)
class RateBudget:
    """A wall at one frame rate, in one of the ways it may run.

    Attributes
    ----------
    wall_fps
        Frame rate.
    case
        How the wall pulses, with what was assumed; None where it cannot run at this rate.
    refused
        Why it cannot, or what it would need.
    refresh_hz
        Refreshes a second [Hz].
    gray_bits
        Gray depth `log2(full scale)`.
    used_share, lit_share
        Share of the frame that refreshes fill, and share of it that an LED at full drive is lit.
    clock
        What the gray clock carries; None where it is not known or makes the refresh by itself.
    levels
        Gray levels, brightest first.
    """

    wall_fps: Fraction
    case: LightCase | None = None
    refused: str | None = None
    refresh_hz: float | None = None
    gray_bits: float | None = None
    used_share: float | None = None
    lit_share: float | None = None
    clock: ClockBudget | None = None
    levels: tuple[LevelBudget, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Dimming:
    """What a brightness setting costs in counts when it dims by PWM; by LED current it costs none.

    Attributes
    ----------
    brightness
        Setting, 0..1.
    counts_at_white, counts_at_18
        Counts that white and an 18 % signal keep.
    bits_lost
        Gray depth lost.
    """

    brightness: float
    counts_at_white: int
    counts_at_18: int
    bits_lost: float


@dataclass(frozen=True, kw_only=True, slots=True)
class WallBudget:
    """What a wall's gray clock is spent on.

    Attributes
    ----------
    wall
        The wall.
    rates
        Each frame rate, in each way the wall may run.
    dimming
        Costs of PWM brightness at the first rate that can be run.
    """

    wall: Wall
    rates: tuple[RateBudget, ...]
    dimming: tuple[Dimming, ...]


def _level(case: LightCase, wall: Wall, signal: float) -> LevelBudget:
    counts = int(case.counts(_light(wall, signal), pwm_share=1.0)[0])
    lit = case.timing.refreshes if counts else 0
    if case.drive == "spread":
        lit = int(lit_refreshes(
            counts, refreshes_per_frame=case.timing.refreshes,
            min_pulse_counts=max(wall.min_pulse_counts),
        ))
    return LevelBudget(
        signal=signal, counts=counts, lit_refreshes=lit,
        effective_refresh_hz=lit / case.timing.cycle_s,
    )


def _light(wall: Wall, signal: float) -> NDArray[np.float64]:
    return wall_light(
        np.array([signal]), transfer=wall.transfer or "bt1886", gamma=wall.gamma,
        peak_nits=wall.peak_nits,
    )


def _clock(wall: Wall, wall_fps: Fraction, case: LightCase) -> ClockBudget | None:
    """What the clock carries, where it is known and the refresh restarts with the frame."""
    if wall.clock_hz is None or not case.locked_to_frame:
        return None
    timing, counts = case.timing, case.counts_per_refresh
    refreshes, lines, frame_s = timing.refreshes, timing.scan_lines, 1 / float(wall_fps)
    room_s = frame_s / (refreshes * lines) - timing.switch_s
    return ClockBudget(
        slot_s=timing.slot_s, used_share=refreshes * lines * timing.slot_s / frame_s,
        clock_needed_hz=clock_for_refreshes_hz(
            wall_fps=wall_fps, refreshes_per_frame=refreshes, scan_lines=lines,
            counts_per_refresh=counts, line_switch_s=timing.switch_s,
        ),
        most_refreshes=_whole(frame_s / (lines * timing.slot_s)),
        most_counts=_whole(room_s * wall.clock_hz),
        most_scan_lines=_whole(frame_s / (refreshes * timing.slot_s)),
        highest_fps=1 / (refreshes * lines * timing.slot_s),
    )


def _whole(number: float) -> int:
    """Whole part; a number that is whole but for rounding counts as it."""
    return int(number * (1 + 1e-12))


def _rate(wall: Wall, wall_fps: Fraction, case: LightCase) -> RateBudget:
    timing = case.timing
    return RateBudget(
        wall_fps=wall_fps, case=case, refresh_hz=timing.refreshes / timing.cycle_s,
        gray_bits=float(np.log2(case.full_scale)), used_share=timing.used_fraction,
        lit_share=timing.refreshes * timing.lit_s / timing.cycle_s,
        clock=_clock(wall, wall_fps, case),
        levels=tuple(_level(case, wall, signal) for signal in BUDGET_LEVELS),
    )


def _different(cases: Sequence[LightCase]) -> list[LightCase]:
    """Cases that differ in a figure of the budget: dealing and the frame's end change none."""
    return list({
        (each.timing.refreshes, each.timing.slot_s): each for each in reversed(cases)
    }.values())[::-1]


def _dimming(wall: Wall, case: LightCase) -> tuple[Dimming, ...]:
    white, gray = np.ones(1), _light(wall, 0.18)
    return tuple(
        Dimming(
            brightness=brightness,
            counts_at_white=int(case.counts(white, pwm_share=brightness)[0]),
            counts_at_18=int(case.counts(gray, pwm_share=brightness)[0]),
            bits_lost=float(np.log2(1 / brightness)),
        )
        for brightness in DIMMED_TO
    )


def wall_budget(wall: Wall, rates: Sequence[Fraction] = BUDGET_RATES) -> WallBudget:
    """What a wall's gray clock is spent on at frame rates.

    With a clock, `F M S (C / clock + switch)` is the share of a second that is used: refreshes,
    counts (gray depth), scan lines and frame rate trade for one another.

    Parameters
    ----------
    wall
        The wall.
    rates
        Frame rates.

    Returns
    -------
    WallBudget
        A rate that the wall cannot run stands with the reason.
    """
    found: list[RateBudget] = []
    for rate in rates:
        try:
            found += [_rate(wall, rate, case) for case in _different(light_cases(wall, rate))]
        except OutOfRangeError as error:
            found.append(RateBudget(wall_fps=rate, refused=error.accepted))
    first = next((each.case for each in found if each.case is not None), None)
    return WallBudget(
        wall=wall, rates=tuple(found), dimming=_dimming(wall, first) if first else ()
    )
