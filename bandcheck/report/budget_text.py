"""What a wall's gray clock is spent on, as text of 80 columns and as plain values."""

import textwrap
from collections.abc import Sequence
from dataclasses import asdict
from itertools import groupby

from bandcheck.report.rounding import at_most_text, number_text, rate_words
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.wall_budget import (
    BUDGET_LEVELS,
    ClockBudget,
    RateBudget,
    WallBudget,
)

__all__ = ["budget_text", "budget_values"]

_WIDTH = 80
_RULES = {
    "keep_refresh": "it keeps refresh", "keep_refreshes_per_frame": "it keeps number",
}
_DIMS = {
    "current": "This wall dims by LED current: its counts stay as they are.",
    "pwm": "This wall dims by PWM: this is what it pays.",
    None: "How this wall dims is not known: PWM is reckoned with.",
}


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    return "".join(
        f"{cell:<{width}}" for cell, width in zip(cells, widths, strict=True)
    ).rstrip()


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{number_text(100 * share, decimals=2)} %"


_RATE_COLUMNS = (
    ("rate", 8), ("refreshes", 10), ("refresh", 9), ("depth", 11), ("frame used", 11),
    ("lit at white", 13), ("if (not known)", 1),
)


def _rate(budget: RateBudget) -> list[str]:
    rate = rate_words(budget.wall_fps)
    if budget.case is None or budget.refresh_hz is None or budget.gray_bits is None:
        return _wrapped(f"{rate:<8}cannot be: {budget.refused}")
    taken = next(
        (_RULES[str(each.value)] for each in budget.case.taken if each.key == "on_rate_change"), ""
    )
    cells = (
        rate, str(budget.case.timing.refreshes),
        f"{number_text(budget.refresh_hz, decimals=0)} Hz",
        f"{number_text(budget.gray_bits, decimals=2)} bit", _percent(budget.used_share),
        _percent(budget.lit_share), taken,
    )
    return ["  " + _row(cells, [width for _, width in _RATE_COLUMNS])]


def _rates(budget: WallBudget) -> list[str]:
    headings, widths = zip(*_RATE_COLUMNS, strict=True)
    lines = ["Wall's budget: refreshes a frame, refresh and gray depth at each frame rate"]
    lines.append("  " + _row(headings, widths))
    return [*lines, *(line for each in budget.rates for line in _rate(each))]


def _levels(budget: WallBudget) -> list[str]:
    runs = [each for each in budget.rates if each.levels]
    if not runs:
        return []
    widths = (11, *(9 for _ in BUDGET_LEVELS))
    signals = [f"{number_text(100 * each, decimals=0)} %" for each in BUDGET_LEVELS]
    lines = [
        "", "Effective refresh by signal level: refreshes a second that light [Hz]",
        "  " + _row(("rate", *signals), widths),
    ]
    for each in runs:
        lit = [number_text(level.effective_refresh_hz, decimals=0) for level in each.levels]
        lines.append("  " + _row((rate_words(each.wall_fps), *lit), widths))
    first = runs[0]
    counts = [str(level.counts) for level in first.levels]
    return [*lines, "  " + _row(("counts", *counts), widths),
            *_wrapped(f"Counts: at {rate_words(first.wall_fps)} frames/s. 0: the level is black.")]


def _identity(each: RateBudget, clock: ClockBudget, clock_hz: float) -> str:
    """`F M S (C / clock + switch)` with its numbers."""
    case = each.case
    if case is None:
        return ""
    timing = case.timing
    switch = number_text(timing.switch_s * 1e6, decimals=3)
    slot = (
        f"{case.counts_per_refresh} / {number_text(clock_hz / 1e6, decimals=3)} MHz"
        f" + {switch} us"
    )
    lines = f"{rate_words(each.wall_fps)} x {timing.refreshes} x {timing.scan_lines}"
    return f"{lines} x ({slot}) = {number_text(clock.used_share, decimals=4)}"


_CLOCK_COLUMNS = (
    ("rate", 9), ("refreshes", 12), ("counts", 10), ("scan lines", 13), ("frames/s", 12),
    ("clock needed", 1),
)


def _clock(budget: WallBudget) -> list[str]:
    wall, told = budget.wall, [each for each in budget.rates if each.clock is not None]
    lines = ["", "What the gray clock carries"]
    if wall.clock_hz is None:
        return [*lines, *_wrapped("The clock is not known, so neither is what it has left:"
                                  " the slots are taken to fill the frame.")]
    if not told:
        return [*lines, *_free_clock(budget, wall.clock_hz)]
    lines += _wrapped("frames/s x refreshes x scan lines x (counts / clock + line switch) <= 1")
    headings, widths = zip(*_CLOCK_COLUMNS, strict=True)
    most = ["", "At most, each with the other three as they are", "  " + _row(headings, widths)]
    for each in told:
        clock = each.clock
        if clock is None:
            continue
        lines.append(f"    {_identity(each, clock, wall.clock_hz)}")
        needed = number_text(clock.clock_needed_hz / 1e6, decimals=2, rounding="ROUND_CEILING")
        most.append("  " + _row((
            rate_words(each.wall_fps), str(clock.most_refreshes), str(clock.most_counts),
            str(clock.most_scan_lines), at_most_text(clock.highest_fps, decimals=2),
            f"{needed} MHz",
        ), widths))
    return [*lines, *most]


def _free_clock(budget: WallBudget, clock_hz: float) -> list[str]:
    """A refresh that runs free of the frame is whatever the clock makes it."""
    first = next((each for each in budget.rates if each.case is not None), None)
    if first is None or first.case is None or first.refresh_hz is None:
        return _wrapped("No frame rate of the list can be run.")
    case = first.case
    return _wrapped(
        f"The refresh runs free: 1 / ({case.timing.scan_lines} lines x"
        f" ({case.counts_per_refresh} / {number_text(clock_hz / 1e6, decimals=3)} MHz +"
        f" {number_text(case.timing.switch_s * 1e6, decimals=3)} us)) ="
        f" {number_text(first.refresh_hz, decimals=1)} Hz."
    )


def _dimming(budget: WallBudget) -> list[str]:
    if not budget.dimming:
        return []
    widths, full = (14, 18, 18, 1), budget.dimming[0]
    lines = [
        "", "Dimming by PWM against dimming by LED current, which costs no counts",
        "  " + _row(("brightness", "counts at white", "counts at 18 %", "depth lost"), widths),
    ]
    lines += [
        "  " + _row((
            _percent(each.brightness), f"{each.counts_at_white} ({full.counts_at_white})",
            f"{each.counts_at_18} ({full.counts_at_18})",
            f"{number_text(each.bits_lost, decimals=1)} bit",
        ), widths)
        for each in budget.dimming
    ]
    control = budget.wall.brightness_control
    return [*lines, *_wrapped(f"In brackets: by current. {_DIMS[control]}")]


def budget_text(budget: WallBudget) -> str:
    """A wall's budget for people.

    Parameters
    ----------
    budget
        From `wall_budget`.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    return "\n".join([
        *_rates(budget), *_levels(budget), *_clock(budget), *_dimming(budget),
    ])


def _rate_values(budget: RateBudget) -> dict[str, object]:
    case = budget.case
    return {
        "refused": budget.refused,
        "refreshes_per_frame": None if case is None else case.timing.refreshes,
        "counts_per_refresh": None if case is None else case.counts_per_refresh,
        "refresh_hz": budget.refresh_hz, "gray_bits": budget.gray_bits,
        "used_share": budget.used_share, "lit_share": budget.lit_share,
        "taken": {} if case is None else {each.key: each.value for each in case.taken},
        "clock": None if budget.clock is None else asdict(budget.clock),
        "levels": [
            {
                "signal_pct": 100 * level.signal, "counts": level.counts,
                "lit_refreshes": level.lit_refreshes,
                "effective_refresh_hz": level.effective_refresh_hz,
            }
            for level in budget.levels
        ],
    }


def budget_values(budget: WallBudget) -> dict[str, object]:
    """A wall's budget as plain values: unrounded, units in the keys.

    Parameters
    ----------
    budget
        From `wall_budget`.

    Returns
    -------
    dict
        For each frame rate the ways in which the wall may run; dimming.
    """
    return {
        "rates": [
            {"wall_fps": rate_text(rate), "cases": [_rate_values(each) for each in cases]}
            for rate, cases in groupby(budget.rates, key=lambda each: each.wall_fps)
        ],
        "dimming": [
            {
                "brightness_pct": 100 * each.brightness, "counts_at_white": each.counts_at_white,
                "counts_at_18_pct": each.counts_at_18, "bits_lost": each.bits_lost,
            }
            for each in budget.dimming
        ],
    }
