"""What may I set instead: exact ranges, and the map that grows a rate at a time."""

from typing import Any

from dash import no_update

from bandcheck.report.rounding import number_text, rate_words
from bandcheck.verdict.settings import Settings, safe_settings
from dashboard.controls.ranges import ranges_view
from dashboard.figures.look import Theme
from dashboard.pages.stage.answers import HIDDEN, as_high
from dashboard.pages.stage.drawn import map_of_shutters
from dashboard.pages.stage.shutter_rows import (
    map_columns,
    map_levels,
    map_order,
    map_rates,
    map_row,
)
from dashboard.state import Question, asked

__all__ = ["level_choices", "map_figure", "map_step", "ranges", "tapped"]

Task = dict[str, Any]


def ranges(answer: Task | None, question: Question | None) -> tuple[Any, Any]:
    """Safe settings of the question as a table, and as plain values for the map."""
    read = asked(question or {})
    if answer is None or read.shot is None:
        return [], None
    found = safe_settings(read.shot)
    return ranges_view(found), safe_exposures(found)


def safe_exposures(found: Settings) -> dict[str, Any]:
    """Safe ranges of a rate as exposures that a browser can hold."""
    turn = 360 * float(found.shot.fps)
    return {
        "fps": rate_words(found.shot.fps),
        "exposure_s": [[each.from_deg / turn, each.to_deg / turn] for each in found.ranges],
    }


def level_choices(answer: Task | None, question: Question | None) -> Any:
    """Gray levels that the map can be drawn at."""
    read = asked(question or {})
    if answer is None or read.shot is None:
        return no_update
    every = [{"value": "worst", "label": "the worst of those that decide"}]
    return every + [
        {"value": f"{100 * each:g}", "label": f"{number_text(100 * each, decimals=1)} % signal"}
        for each in read.shot.levels
    ]


def map_step(task: Task | None, question: Question | None) -> dict[str, Any] | None:
    """The rate of the map that is next.

    Parameters
    ----------
    task
        `run`, the number of the question in this browser; `step`; `level` of the map.
    question
        The question.

    Returns
    -------
    dict or None
        `run` and `step` again, `fps` of all rates, `place` among them and the `row` itself.
    """
    read = asked(question or {})
    if task is None or read.shot is None or read.given is None:
        return None
    rates = map_rates(read)
    step = int(task["step"])
    if not 0 <= step < len(rates):
        return None
    place = map_order(rates, read.shot.fps)[step]
    row = map_row(
        map_columns(read.given, rates), index=place, fps=rates[place],
        levels=map_levels(read.shot, str(task["level"])),
    )
    return {
        "run": task["run"], "step": step, "place": place, "row": row,
        "fps": [rate_words(rate) for rate in rates],
    }


def map_figure(
    rows: dict[str, Any] | None, safe: dict[str, Any] | None, theme: Theme,
    question: Question | None,
) -> tuple[Any, dict[str, str], str, str]:
    """The map as far as it is computed, what it says in words, and how far it is."""
    read = asked(question or {})
    if rows is None or read.shot is None or not any(rows["rows"]):
        return no_update, HIDDEN, "", ""
    figure, told = map_of_shutters(read.shot, rows, safe, theme)
    known, total = sum(row is not None for row in rows["rows"]), len(rows["rows"])
    progress = f"Map: {known} of {total} rates computed." if known < total else ""
    return figure, as_high(figure), told, progress


def tapped(click: dict[str, Any] | None, *, in_time: bool) -> tuple[Any, Any]:
    """Rate and shutter of the cell that was tapped, as the dial says it."""
    try:
        rate, angle, exposure = (click or {})["points"][0]["customdata"][:3]
        return str(rate), str(exposure) if in_time else f"{float(angle):.12g}"
    except (KeyError, IndexError, TypeError, ValueError):  # a place without a setting
        return no_update, no_update

