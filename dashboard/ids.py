"""Names of everything on the screens that a callback asks or changes."""

from typing import Final

__all__ = [
    "ADDRESS", "ANSWER", "CARD_ASKED", "CARD_DOWNLOAD", "CARD_FILES", "CARD_LARGER", "CARD_MADE",
    "CARD_MAKE", "CARD_OF", "CARD_PICTURE", "CARD_PROGRESS", "CARD_STOP", "CARD_TOLD", "CONTENT",
    "FOCUS_KIND", "FOCUS_MAP", "FOCUS_TOLD", "FRAME", "FRAME_VIEW", "MAP_GRAPH", "MAP_LEVEL",
    "MAP_PROGRESS", "MAP_ROW", "MAP_ROWS", "MAP_TASK", "MAP_TOLD", "NAVIGATION", "PHASE",
    "PHASE_USE", "PLAN_BACK", "PLAN_BEFORE", "PLAN_BODY", "PLAN_CARD_FORM", "PLAN_CARD_MAKE",
    "PLAN_CARD_TOLD", "PLAN_CELLS", "PLAN_COMPARE", "PLAN_COMPARED", "PLAN_DETAIL", "PLAN_FAULTS",
    "PLAN_FILE", "PLAN_LINKS", "PLAN_MOVES", "PLAN_OTHER", "PLAN_OTHER_CHOICE", "PLAN_OTHER_IS",
    "PLAN_OTHER_SENT", "PLAN_OTHER_TOLD", "PLAN_OTHER_UPLOAD", "PLAN_PICKED", "PLAN_PROGRESS",
    "PLAN_READ", "PLAN_ROW", "PLAN_SAVE", "PLAN_SENT", "PLAN_SHIPPED", "PLAN_SHOWN", "PLAN_TASK",
    "PLAN_TOLD", "PLAN_UPLOAD", "PROFILE_BACK", "PROFILE_BEFORE", "PROFILE_BEGUN", "PROFILE_BUDGET",
    "PROFILE_DOWNLOAD", "PROFILE_FILE", "PROFILE_KIND", "PROFILE_SENT", "PROFILE_SHEET",
    "PROFILE_START", "PROFILE_STATE", "PROFILE_TOLD", "PROFILE_UPLOAD", "QUESTION", "RANGES",
    "RIPPLE", "RIPPLE_TOLD", "SAFE_RANGES", "SEARCH", "SEEN_ANSWER", "SET_ANSWER", "SET_BEFORE",
    "SET_CARD", "SET_CARD_SENT", "SET_CARD_TOLD", "SET_MORE", "SHEET", "TEAR", "TEAR_TOLD", "THEME",
    "THEME_SWITCH", "TIMELINE", "TIMELINE_LEVEL", "TIMELINE_SPAN", "TIMELINE_TOLD", "VERDICT", "Id",
    "card_form", "dial", "field", "figure", "figure_source", "figure_wrong", "link", "observed",
    "plan_cell", "rate", "refused", "source_wrong", "take", "told", "wrong",
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

MAP_ROW: Final = "map-row"
"""The rate of the map that was computed last."""

MAP_TASK: Final = "map-task"
"""The rate of the map that is to be computed next; set by assets/screen.js too."""

MAP_PROGRESS: Final = "map-progress"
MAP_GRAPH: Final = "map-graph"
MAP_TOLD: Final = "map-told"
RANGES: Final = "ranges"
SAFE_RANGES: Final = "safe-ranges"
"""Exact safe ranges of the shot's own rate."""

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

PHASE_USE: Final = "phase-use"


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


PROFILE_KIND: Final = "profile-kind"
"""Whether a wall, a camera or a lamp is edited."""

PROFILE_START: Final = "profile-start"
"""What the figures are begun from."""

PROFILE_UPLOAD: Final = "profile-upload"
PROFILE_SENT: Final = "profile-sent"
"""File that was chosen, or its size alone where it is too large; set by assets/profiles.js."""

PROFILE_TOLD: Final = "profile-told"
"""What became of a file."""

PROFILE_BACK: Final = "profile-back"
PROFILE_BEFORE: Final = "profile-before"
"""Figures that others took the place of, to be brought back."""

PROFILE_SHEET: Final = "profile-sheet"
"""The figures with their sources."""

PROFILE_BEGUN: Final = "profile-begun"
"""What the figures on the page were begun from, and whether they were changed since."""

PROFILE_STATE: Final = "profile-state"
PROFILE_BUDGET: Final = "profile-budget"
PROFILE_DOWNLOAD: Final = "profile-download"
PROFILE_FILE: Final = "profile-file"
"""File that is handed to the browser."""


def figure(key: str) -> Id:
    """Where a figure of a profile is typed or chosen."""
    return {"figure": key}


def figure_wrong(key: str) -> Id:
    """Where what is wrong with a figure is said."""
    return {"figure_wrong": key}


def figure_source(key: str) -> Id:
    """Where it is typed what a figure comes from."""
    return {"figure_source": key}


def source_wrong(key: str) -> Id:
    """Where what is wrong with a source is said."""
    return {"source_wrong": key}


SET_BEFORE: Final = "set-before"
"""The setting that stood before, in a sentence."""

SET_ANSWER: Final = "set-answer"
SET_MORE: Final = "set-more"
SET_CARD: Final = "set-card"
"""Button that reads a card's file."""

SET_CARD_SENT: Final = "set-card-sent"
"""What of the file goes to the server."""

SET_CARD_TOLD: Final = "set-card-told"

CARD_TOLD: Final = "card-told"
"""What the card will be of, or what is missing."""

CARD_MAKE: Final = "card-make"
CARD_STOP: Final = "card-stop"
CARD_ASKED: Final = "card-asked"
"""The question that a card is made of."""

CARD_PROGRESS: Final = "card-progress"
CARD_FILES: Final = "card-files"
"""Files of the card that is shown: what is downloaded is what was seen."""

CARD_OF: Final = "card-of"
"""The question of the card that is shown, as in an address."""

CARD_MADE: Final = "card-made"
"""The card that was made, with its buttons."""

CARD_PICTURE: Final = "card-picture"
CARD_LARGER: Final = "card-larger"
CARD_DOWNLOAD: Final = "card-download"


def refused(name: str) -> Id:
    """Where what is wrong with a field is said that says nothing about the shot."""
    return {"refused": name}


def rate(text: str) -> Id:
    """Button of a usual rate."""
    return {"rate": text}


def dial(shutter: str) -> Id:
    """Button that dials a shutter after the change."""
    return {"dial": shutter}


def card_form(ending: str) -> Id:
    """Button that downloads a card in one of its forms."""
    return {"card": ending}


SEEN_ANSWER: Final = "seen-answer"
"""What the observations come to."""


def observed(key: str) -> Id:
    """Choice of the answer to an observation."""
    return {"observed": key}


def told(key: str, answer: str) -> Id:
    """Button that answers the next test."""
    return {"told": key, "as": answer}


PLAN_SHIPPED: Final = "plan-shipped"
"""Texts of the shipped plans, by name."""

PLAN_UPLOAD: Final = "plan-upload"
PLAN_SENT: Final = "plan-sent"
"""Text of a file that was chosen, or why it cannot be read; set by assets/plan.js."""

PLAN_BACK: Final = "plan-back"
PLAN_BEFORE: Final = "plan-before"
"""Text that another took the place of, to be brought back."""

PLAN_TOLD: Final = "plan-told"
"""What became of a file."""

PLAN_SAVE: Final = "plan-save"
PLAN_FILE: Final = "plan-file"
"""File that is handed to the browser."""

PLAN_FAULTS: Final = "plan-faults"
PLAN_SHOWN: Final = "plan-shown"
PLAN_READ: Final = "plan-read"
"""Key of the text that is on the screen, and of how many parts its plan is."""

PLAN_TASK: Final = "plan-task"
"""The part that is to be computed next; set by assets/plan.js too."""

PLAN_ROW: Final = "plan-row"
"""The part that was computed last."""

PLAN_BODY: Final = "plan-body"
PLAN_CELLS: Final = "plan-cells"
"""What is said of each cell once it is tapped."""

PLAN_MOVES: Final = "plan-moves"
PLAN_PROGRESS: Final = "plan-progress"
PLAN_DETAIL: Final = "plan-detail"
PLAN_PICKED: Final = "plan-picked"
"""The cell that was tapped."""

PLAN_LINKS: Final = "plan-links"
PLAN_OTHER_CHOICE: Final = "plan-other-choice"
PLAN_OTHER_UPLOAD: Final = "plan-other-upload"
PLAN_OTHER_SENT: Final = "plan-other-sent"
PLAN_OTHER: Final = "plan-other"
"""Name and text of the plan that is compared with."""

PLAN_OTHER_TOLD: Final = "plan-other-told"
PLAN_OTHER_IS: Final = "plan-other-is"
PLAN_COMPARE: Final = "plan-compare"
PLAN_COMPARED: Final = "plan-compared"
PLAN_CARD_FORM: Final = "plan-card-form"
PLAN_CARD_MAKE: Final = "plan-card-make"
PLAN_CARD_TOLD: Final = "plan-card-told"


def plan_cell(place: int, rate: str) -> Id:
    """Button of a set-up at a rate."""
    return {"cell": str(place), "at": rate}
