"""A change on the day as text of 80 columns, for somebody on set in the dark: the answer first."""

import textwrap
from collections.abc import Iterable

from bandcheck.report.change_lines import (
    CLOSING,
    Line,
    answer_sentences,
    camera_lines,
    card_sentence,
    near_heading,
    near_lines,
    range_cells,
    wall_lines,
)
from bandcheck.report.change_sides import setting_phrase, side_rows
from bandcheck.report.wording import level_label
from bandcheck.verdict.change import ChangeOnTheDay
from bandcheck.verdict.settings import SafeRange

__all__ = ["change_text"]

_WIDTH = 80

_INDENTS = {"said": ("  ", "    "), "under": ("      ", "      "), "listed": ("  - ", "    ")}


def _wrapped(text: str, first: str = "  ", indent: str = "    ") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=indent)


def _section(heading: str, lines: Iterable[Line]) -> list[str]:
    told = [text for each in lines for text in _wrapped(each.text, *_INDENTS[each.place])]
    return ["", heading, *told]


def _side_by_side(change: ChangeOnTheDay) -> list[str]:
    rows = (("", "before", "now"), *side_rows(change))
    return [f"{name:<22}{before:<24}{after}" for name, before, after in rows]


def _answer(change: ChangeOnTheDay) -> list[str]:
    lines = _wrapped(f"{setting_phrase(change)}:  {level_label(change.level)}", "", "  ")
    return [*lines, *(line for each in answer_sentences(change) for line in _wrapped(each))]


def _range(each: SafeRange) -> str:
    width, value, stops, dial = range_cells(each)
    return f"  {width:<24}{value:<9}{stops:<22}{dial}"


def change_text(change: ChangeOnTheDay, *, of_card: bool = False) -> str:
    """A change for people: the new setting's verdict first, then all that follows from it.

    Parameters
    ----------
    change
        From `change_on_the_day`.
    of_card
        Whether the old setting was read from a card.

    Returns
    -------
    str
        Lines of at most 80 columns, readable without colour.
    """
    shot, near = change.old.shot, change.near
    lines = [
        *_answer(change), *_wrapped(f"{shot.wall.name}  x  {shot.camera.name}", "", "  "), "",
        *_side_by_side(change), *_section("Camera", camera_lines(change)),
        *_section("Wall", wall_lines(change)),
    ]
    if near is not None:
        lines += _section(near_heading(change, near), near_lines(near))
        lines += [_range(each) for each in near.ranges[:3]]
    lines += ["", "Card", *_wrapped(card_sentence(change, of_card=of_card), "  ", "  ")]
    return "\n".join([*lines, "", *_wrapped(CLOSING, "", "  ")])
