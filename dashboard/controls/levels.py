"""Levels of a verdict: a word, a mark and a line that read without colour."""

from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.vision.level import Level

__all__ = ["NOT_READ_OUT", "level_class", "level_word"]

NOT_READ_OUT: dict[str, Any] = {"aria-hidden": "true"}
"""Property of what a screen reader leaves out."""


def level_class(level: Level) -> str:
    """Class that draws the line of a level around something."""
    return f"level level-{level.value}"


def level_word(level: Level) -> Component:
    """Mark and word of a level."""
    return html.Span(
        [
            html.Span(LEVEL_MARKS[level], className="level-mark", **NOT_READ_OUT),
            html.Span(level.value, className="level-word"),
        ],
        className=level_class(level),
    )
