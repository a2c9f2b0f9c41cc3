"""Names of everything on the screens that a callback asks or changes."""

from typing import Final

__all__ = [
    "ADDRESS", "ANSWER", "CONTENT", "FOCUS_KIND", "FOCUS_MAP", "FOCUS_TOLD", "FRAME", "FRAME_VIEW",
    "MAP_GRAPH", "MAP_LEVEL", "MAP_PROGRESS", "MAP_ROWS", "MAP_TOLD", "NAVIGATION", "PHASE",
    "QUESTION", "RANGES", "RIPPLE", "RIPPLE_TOLD", "SEARCH", "SHEET", "TEAR", "TEAR_TOLD", "THEME",
    "THEME_SWITCH", "TIMELINE", "TIMELINE_LEVEL", "TIMELINE_SPAN", "TIMELINE_TOLD", "VERDICT", "Id",
    "field", "link", "take", "wrong",
]

Id = dict[str, str]
"""Name of one of several alike, so that a callback can ask for all that are on the page."""

ADDRESS: Final = "address"
"""The page's address, with the whole question in it."""

CONTENT: Final = "content"
"""Where the page of the address is put."""

NAVIGATION: Final = "navigation"
"""Links to the pages; each carries the question along."""

SHEET: Final = "sheet"
"""The whole screen, which bears the theme."""

THEME: Final = "theme"
"""Dark or light, kept by the browser."""

THEME_SWITCH: Final = "theme-switch"

QUESTION: Final = "question"
"""The question as typed, on every page."""

ANSWER: Final = "answer"
"""The question whose verdict is on the screen: what takes longer starts after it."""


SEARCH: Final = "search"
"""The question as it stands in the address."""

VERDICT: Final = "verdict"
MAP_LEVEL: Final = "map-level"
MAP_ROWS: Final = "map-rows"
"""Rates of the map that are computed, for one question."""

MAP_PROGRESS: Final = "map-progress"
MAP_GRAPH: Final = "map-graph"
MAP_TOLD: Final = "map-told"
RANGES: Final = "ranges"
FRAME: Final = "frame"
FRAME_VIEW: Final = "frame-view"
TIMELINE: Final = "timeline"
TIMELINE_SPAN: Final = "timeline-span"
TIMELINE_LEVEL: Final = "timeline-level"
TIMELINE_TOLD: Final = "timeline-told"
RIPPLE: Final = "ripple"
RIPPLE_TOLD: Final = "ripple-told"
FOCUS_MAP: Final = "focus-map"
FOCUS_KIND: Final = "focus-kind"
FOCUS_TOLD: Final = "focus-told"
TEAR: Final = "tear"
TEAR_TOLD: Final = "tear-told"
PHASE: Final = "phase"
"""Slider of the genlock phase."""


def field(name: str) -> Id:
    """Where a field of the question is typed or chosen."""
    return {"ask": name}


def wrong(name: str) -> Id:
    """Where what is wrong with a field is said."""
    return {"wrong": name}


def link(page: str) -> Id:
    """Link to a page."""
    return {"page": page}


def take(shutter: str, place: str) -> Id:
    """Button that takes a shutter setting; the place tells two of the same setting apart."""
    return {"take": shutter, "place": place}
