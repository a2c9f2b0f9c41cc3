"""How many refreshes a wall shows at a frame rate, and what a gray clock can carry."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from bandcheck.errors import OutOfRangeError

__all__ = ["clock_for_refreshes_hz", "refresh_from_clock_hz", "refreshes_at_rate"]


def refreshes_at_rate(
    *, wall_fps: Fraction, refreshes_per_frame: int | None = None, refresh_hz: float | None = None,
    rated_fps: Fraction | None = None, allowed: Sequence[int] = (),
    rule: Literal["keep_refresh", "keep_refreshes_per_frame"] = "keep_refreshes_per_frame",
) -> int:
    """Refreshes per frame M at a frame rate.

    A number per frame holds at every rate. A rated refresh gives `floor(refresh / rated rate)`
    at its rated rate and, at others, what the rule says: "keep_refresh" fits as many whole
    refreshes into the frame as the rated refresh has room for. A list of what the wall can do
    binds either: the nearest number below is taken.

    Parameters
    ----------
    wall_fps
        Frame rate of the wall.
    refreshes_per_frame
        Refreshes per frame as set; None: see `refresh_hz`.
    refresh_hz, rated_fps
        Rated refresh [Hz] and the frame rate it was rated at.
    allowed
        Numbers the wall can do; empty: any.
    rule
        What the wall does when the frame rate is not the rated one.

    Returns
    -------
    int
        Refreshes per frame, >= 1.

    Raises
    ------
    OutOfRangeError
        Less than one refresh a frame, or no number allowed that is small enough.
    """
    if refreshes_per_frame is not None:
        wanted = refreshes_per_frame
    elif refresh_hz is not None and rated_fps is not None:
        rate = wall_fps if rule == "keep_refresh" else rated_fps
        wanted = int(Fraction(refresh_hz) / rate)
    else:
        raise OutOfRangeError(
            "refreshes_per_frame", None, "a number, or refresh_hz together with rated_fps"
        )
    legal = [number for number in allowed if number <= wanted] if allowed else [wanted]
    if not legal or max(legal) < 1:
        least = f"{min(allowed)} refreshes" if allowed else "one refresh"
        raise OutOfRangeError(
            "refreshes_per_frame", wanted, f"a refresh that gives at least {least} a frame"
        )
    return max(legal)


def refresh_from_clock_hz(
    *, clock_hz: float, counts_per_refresh: int, dead_counts: int = 0, scan_lines: int
) -> float:
    """Refresh rate `clock / ((C + dead) S)` that a gray clock carries [Hz].

    Macroblock, MBI5051/5052/5053 Application Note V1.00 (2012), section 6, equation 1.

    Parameters
    ----------
    clock_hz
        Gray clock [Hz].
    counts_per_refresh, dead_counts
        Counts of one segment, and clocks without light beside them.
    scan_lines
        Lines lit in turn.

    Returns
    -------
    float
        Refresh rate [Hz].
    """
    return clock_hz / ((counts_per_refresh + dead_counts) * scan_lines)


def clock_for_refreshes_hz(
    *, wall_fps: Fraction, refreshes_per_frame: int, scan_lines: int, counts_per_refresh: int,
    line_switch_s: float = 0.0,
) -> float:
    """Slowest gray clock that fits the refreshes into a frame [Hz].

    `C / (1 / (F M S) - switch)`: the sum behind table 9-2 of the Texas Instruments TLC6984 data
    sheet SLVSG10D.

    Parameters
    ----------
    wall_fps, refreshes_per_frame, scan_lines, counts_per_refresh
        F, M, S and C.
    line_switch_s
        Dark time at each line switch [s].

    Returns
    -------
    float
        Clock [Hz].

    Raises
    ------
    OutOfRangeError
        Switching alone fills the frame.
    """
    slot_s = 1 / (float(wall_fps) * refreshes_per_frame * scan_lines)
    if line_switch_s >= slot_s:
        raise OutOfRangeError(
            "line_switch_us", line_switch_s * 1e6, f"less than a slot of {slot_s * 1e6:.4g} us"
        )
    return counts_per_refresh / (slot_s - line_switch_s)
