"""What a wall's gray clock is spent on: refresh, gray depth, scan lines and frame rate."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from bandcheck.errors import OutOfRangeError
from bandcheck.levels.transfer import wall_light
from bandcheck.light.led_drive import lit_refreshes
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.light_cases import LightCase, light_cases

__all__ = [
    "BUDGET_LEVELS", "BUDGET_RATES", "Dimming", "LevelBudget", "RateBudget", "WallBudget",
    "wall_budget",
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
class RateBudget:
    """A wall at one frame rate, in one of the ways it may run.

    Attributes
    ----------
    wall_fps
        Frame rate.
    case
        How the wall pulses, with what was assumed; None where it cannot run at this rate.
    refused
        Why it cannot.
    refresh_hz
        Refreshes a second [Hz].
    gray_bits
        Gray depth `log2(full scale)`.
    used_share, lit_share
        Share of the frame that refreshes fill, and share of it that an LED at full drive is lit.
    clock_needed_hz, largest_refreshes
        With a known clock: the slowest that carries this, and the most refreshes of this many
        counts that the clock carries in a frame; None without one.
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
    clock_needed_hz: float | None = None
    largest_refreshes: int | None = None
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


def _light(wall: Wall, signal: float) -> np.ndarray:
    return wall_light(
        np.array([signal]), transfer=wall.transfer or "bt1886", gamma=wall.gamma,
        peak_nits=wall.peak_nits,
    )


def _rate(wall: Wall, wall_fps: Fraction, case: LightCase) -> RateBudget:
    timing = case.timing
    needed, most = None, None
    if wall.clock_hz is not None:
        room_s = timing.cycle_s / (timing.refreshes * timing.scan_lines) - timing.switch_s
        needed = case.counts_per_refresh / room_s
        most = int(timing.cycle_s / (timing.scan_lines * timing.slot_s) * (1 + 1e-12))
    return RateBudget(
        wall_fps=wall_fps, case=case, refresh_hz=timing.refreshes / timing.cycle_s,
        gray_bits=float(np.log2(case.full_scale)), used_share=timing.used_fraction,
        lit_share=timing.refreshes * timing.lit_s / timing.cycle_s,
        clock_needed_hz=needed, largest_refreshes=most,
        levels=tuple(_level(case, wall, signal) for signal in BUDGET_LEVELS),
    )


def _dimming(wall: Wall, case: LightCase) -> tuple[Dimming, ...]:
    white, gray = np.ones(1), _light(wall, 0.18)
    return tuple(
        Dimming(
            brightness=brightness,
            counts_at_white=int(case.counts(white, pwm_share=brightness)[0]),
            counts_at_18=int(case.counts(gray, pwm_share=brightness)[0]),
            bits_lost=float(-np.log2(brightness)),
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
            found += [_rate(wall, rate, case) for case in light_cases(wall, rate)]
        except OutOfRangeError as error:
            found.append(RateBudget(wall_fps=rate, refused=str(error)))
    first = next((each.case for each in found if each.case is not None), None)
    return WallBudget(
        wall=wall, rates=tuple(found), dimming=_dimming(wall, first) if first else ()
    )
