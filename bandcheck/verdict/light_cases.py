"""From a shot's wall to the trains of light it may show.

Where a profile leaves open how its wall behaves, every behaviour is a case of its own; the worst
case counts, and what was assumed is listed.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.light.led_drive import (
    counts_for_gray_bits,
    full_scale_counts,
    led_train,
    refresh_counts,
    value_counts,
)
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.refresh_choice import refreshes_at_rate
from bandcheck.light.scan_timing import ScanTiming, scan_timing
from bandcheck.shoot.wall import Dealing, Drive, FrameEnd, RateRule, Wall

__all__ = ["Assumption", "LightCase", "light_cases", "primaries"]

ASSUMED_REFRESH_TOLERANCE = 0.01
"""Error of a free refresh that no figure is given for: project choice."""

ASSUMED_RATE_TOLERANCE = 50e-6
"""Error of a frame clock that no figure is given for: common practice for crystals, upper end."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Assumption:
    """A figure that nobody gave, and the value taken for it.

    Attributes
    ----------
    about
        "wall", "camera" or the name of a lamp.
    key
        Key of the profile.
    value
        Value taken, in SI units or as the profile spells it.
    """

    about: str
    key: str
    value: str | float


@dataclass(frozen=True, kw_only=True, slots=True)
class LightCase:
    """One way in which the wall may pulse at its frame rate.

    Attributes
    ----------
    timing
        Cycle and slots.
    counts_per_refresh
        Counts C of one refresh and line.
    drive, dealing
        How a value is shared over the refreshes.
    locked_to_frame
        Whether the refresh restarts with each frame.
    taken
        What was assumed in this case and not in others.
    """

    timing: ScanTiming
    counts_per_refresh: int
    drive: Drive
    dealing: Dealing
    locked_to_frame: bool
    taken: tuple[Assumption, ...] = ()

    @property
    def full_scale(self) -> int:
        """Counts of full drive."""
        return full_scale_counts(
            counts_per_refresh=self.counts_per_refresh,
            refreshes_per_frame=self.timing.refreshes,
            drive=self.drive,
        )

    def counts(self, light: NDArray[np.float64], *, pwm_share: float) -> NDArray[np.int64]:
        """Counts that show linear light levels, shape of `light`."""
        return value_counts(light, full_scale=self.full_scale, pwm_share=pwm_share)

    def train(self, counts: NDArray[np.int64], *, min_pulse_counts: int) -> PulseTrain:
        """Train of scan line 0 at these counts, shape (levels,)."""
        return led_train(
            timing=self.timing,
            counts=refresh_counts(
                value=counts,
                refreshes_per_frame=self.timing.refreshes,
                drive=self.drive,
                dealing=self.dealing,
                min_pulse_counts=min_pulse_counts,
            ),
            counts_per_refresh=self.counts_per_refresh,
            binary_code=self.drive == "binary_code",
        )


def primaries(wall: Wall) -> dict[str, tuple[float, int]]:
    """Share of full drive and shortest pulse of the colours that pulse differently.

    Parameters
    ----------
    wall
        The wall.

    Returns
    -------
    dict
        Name to (share, counts): "white" alone where red, green and blue are alike.
    """
    each = tuple(zip(wall.white_duty, wall.min_pulse_counts, strict=True))
    if len(set(each)) == 1:
        return {"white": each[0]}
    return dict(zip(("red", "green", "blue"), each, strict=True))


def _rules(wall: Wall, wall_fps: Fraction) -> tuple[RateRule, ...]:
    free = wall.refresh_lock == "free"
    if wall.refreshes_per_frame is not None or wall_fps == wall.rated_fps or free:
        return ("keep_refreshes_per_frame",)
    return (wall.on_rate_change,) if wall.on_rate_change else (
        "keep_refresh", "keep_refreshes_per_frame",
    )


def _dealings(wall: Wall, refreshes: int) -> tuple[Dealing, ...]:
    if wall.drive != "spread" or refreshes & (refreshes - 1) == 0:
        return (wall.dealing or "bit_reversed",)
    return (wall.dealing,) if wall.dealing else ("bit_reversed", "even")


def _frame_ends(wall: Wall) -> tuple[FrameEnd, ...]:
    if wall.clock_hz is None or wall.refresh_lock == "free":
        return ("stretched",)
    return (wall.frame_end,) if wall.frame_end else ("stretched", "dark")


def _counts_per_refresh(wall: Wall, refreshes: int) -> int:
    if wall.counts_per_refresh is not None:
        return wall.counts_per_refresh
    if wall.gray_bits is None:
        raise OutOfRangeError("gray_bits", None, "gray_bits or counts_per_refresh")
    return counts_for_gray_bits(
        gray_bits=wall.gray_bits, refreshes_per_frame=refreshes, drive=wall.drive
    )


def _timing(wall: Wall, wall_fps: Fraction, refreshes: int, frame_end: FrameEnd) -> ScanTiming:
    free_hz = None
    if wall.refresh_lock == "free":
        free_hz = wall.refresh_hz or float(refreshes * wall_fps)
    return scan_timing(
        wall_fps=wall_fps, refreshes_per_frame=refreshes, scan_lines=wall.scan_lines,
        counts_per_refresh=_counts_per_refresh(wall, refreshes), clock_hz=wall.clock_hz,
        line_switch_s=wall.line_switch_s or 0.0, frame_end=frame_end, refresh_hz=free_hz,
    )


def light_cases(wall: Wall, wall_fps: Fraction) -> tuple[LightCase, ...]:
    """Every way in which a wall may pulse at a frame rate, as far as its profile leaves it open.

    Parameters
    ----------
    wall
        The wall.
    wall_fps
        Its frame rate.

    Returns
    -------
    tuple of LightCase
        At least one; those that would be alike stand once.

    Raises
    ------
    OutOfRangeError
        None of the ways is possible at this rate; the first one's reason.
    """
    cases: dict[tuple[object, ...], LightCase] = {}
    refused: list[OutOfRangeError] = []
    rules = _rules(wall, wall_fps)
    for rule, frame_end in product(rules, _frame_ends(wall)):
        try:
            refreshes = refreshes_at_rate(
                wall_fps=wall_fps, refreshes_per_frame=wall.refreshes_per_frame,
                refresh_hz=wall.refresh_hz, rated_fps=wall.rated_fps,
                allowed=wall.refreshes_per_frame_allowed, rule=rule,
            )
            timing = _timing(wall, wall_fps, refreshes, frame_end)
        except OutOfRangeError as error:
            refused.append(error)
            continue
        for dealing in _dealings(wall, refreshes):
            taken = [
                Assumption(about="wall", key=key, value=value)
                for key, value, given, choices in (
                    ("on_rate_change", rule, wall.on_rate_change, len(rules)),
                    ("frame_end", frame_end, wall.frame_end, len(_frame_ends(wall))),
                    ("dealing", dealing, wall.dealing, len(_dealings(wall, refreshes))),
                )
                if given is None and choices > 1
            ]
            cases.setdefault((timing, dealing), LightCase(
                timing=timing, counts_per_refresh=_counts_per_refresh(wall, refreshes),
                drive=wall.drive, dealing=dealing, taken=tuple(taken),
                locked_to_frame=wall.refresh_lock == "frame",
            ))
    if not cases:
        raise refused[0]
    return tuple(cases.values())
