"""A card as CSV: one line for each thing it says, with a blank column for what is measured."""

import csv
from collections.abc import Iterator
from io import StringIO

from bandcheck.report.card_map import map_columns, map_rows
from bandcheck.report.card_rows import RateRow, rate_rows
from bandcheck.report.card_sections import ROLES, input_lines, sections
from bandcheck.verdict.card_figures import CardFigures

__all__ = ["card_csv", "harmless", "rate_items"]

_HEADINGS = ("part", "rate", "item", "value", "source", "measured")

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\u2212", "\uff1d", "\uff0b", "\uff0d",
                     "\uff20")

_Row = tuple[str, str, str, str, str]


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text
        A cell.

    Returns
    -------
    str
        The same, or with an apostrophe before it, on one line.
    """
    line = " ".join(text.split())
    return f"'{line}" if line.startswith(_STARTS_A_FORMULA) else line


def rate_items(row: RateRow) -> Iterator[tuple[str, str]]:
    """Everything that is told of one rate, each with what it is."""
    if row.refused:
        yield "cannot be run", row.refused
        return
    yield "dial", row.dial
    yield "dial, as time or angle", row.dial_note
    yield "verdict", row.level.value
    yield "verdict, why", row.level_note
    yield "wanted", row.wanted
    yield "shutter may be", row.allowed
    yield "shutter may be off by", row.room
    yield "phase without tear", row.phase
    yield "phase, note", row.phase_note
    yield "largest angle without tear", row.clean_angle
    yield "lowest wall level", row.lowest
    yield "lowest wall level, code at 8, 10, 12 bit", row.codes
    yield "roll a test for", row.roll
    for each in row.reasons:
        yield "why a setting is not safe", each
    for each in row.also:
        yield "also safe", each


def _rows(figures: CardFigures) -> Iterator[_Row]:
    shot = figures.shot
    yield "card", "", "wall", shot.wall.name, ""
    yield "card", "", "camera", shot.camera.name, ""
    for lamp in shot.lamps:
        yield "card", "", "lamp", lamp.name, ""
    yield "card", "", "version", figures.version, ""
    yield "card", "", "date", figures.date, ""
    yield "card", "", "inputs SHA-256", figures.input_hash, ""
    for row in rate_rows(figures):
        for item, value in rate_items(row):
            yield "rate", row.fps, item, value, ""
    columns = map_columns(figures)
    for line in map_rows(figures):
        for column, cell in zip(columns, line.cells, strict=True):
            shown = "not to be had at this rate" if cell is None else (
                f"{cell.level.value}, {'' if cell.text == 'tear' else 'V '}{cell.text}"
            )
            yield "if another shutter is asked for", line.fps, column, shown, ""
    for each in input_lines(figures):
        yield "input", "", f"{each.about}: {each.what}", each.value, each.source
    for section in sections(figures):
        for text in section.lines:
            yield section.title, "", "", text, ""
    for role in ROLES:
        yield "agreed", "", f"{role}: name, signature, date", "", ""


def card_csv(figures: CardFigures) -> str:
    """A card as CSV text.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    str
        A heading and a line for each thing; no cell starts a formula.
    """
    content = StringIO()
    writer = csv.writer(content, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    for row in _rows(figures):
        writer.writerow([harmless(each) for each in (*row, "")])
    return content.getvalue()
