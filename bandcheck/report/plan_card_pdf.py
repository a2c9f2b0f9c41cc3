"""The card of a plan to print: a front page, a strip for each set-up, and the signatures."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from bandcheck.report.card_blocks import (
    head_pieces,
    heading,
    input_pieces,
    section_pieces,
    signature_piece,
)
from bandcheck.report.card_marks import badge, text_at
from bandcheck.report.card_page import Draw, Paper, Piece, Sheet
from bandcheck.report.card_rows import RateRow
from bandcheck.report.card_sections import InputLine, Section
from bandcheck.report.card_table import rate_heading, rate_pieces
from bandcheck.report.card_type import BOLD, PLAIN, fitted, printable, text_width, wrapped
from bandcheck.report.plan_card_rows import (
    PLAN_TITLE,
    Strip,
    plan_inputs,
    plan_sections,
    plan_strips,
)
from bandcheck.verdict.plan_card import PlanCard

__all__ = ["plan_card_pdf"]

_ROW = 17.0
_SHARES = (0.0, 0.30, 0.40, 0.56, 0.72)


def _marks(card: PlanCard) -> tuple[str, ...]:
    return (
        f"version {card.version or '________'}", f"date {card.date or '______________'}",
        f"inputs {card.input_hash[:12]}",
    )


def _stands_for(card: PlanCard) -> tuple[tuple[str, str], ...]:
    plan = card.plan
    named = (
        ("surfaces", {name: each.wall.name for name, each in plan.surfaces.items()}),
        ("cameras", {name: each.camera.name for name, each in plan.cameras.items()}),
        ("lamps", {name: each.lamp.name for name, each in plan.lamps.items()}),
    )
    rows = (
        (label, ", ".join(f"{name} ({profile})" for name, profile in devices.items()))
        for label, devices in named if devices
    )
    return (("shoot", plan.name), *rows)


def _front_head(width: float) -> Piece:
    headings = ("set-up", "frames/s", "dial this", "verdict", "shutter may be")

    def draw(canvas: Any, left: float, top: float) -> None:
        for text, share in zip(headings, _SHARES, strict=True):
            text_at(canvas, text, left=left + share * width, base=top - 8, size=7.4)

    return Piece(height=11.0, draw=draw, stays_with_next=True)


def _front_row(name: str, row: RateRow, width: float, *, first: bool) -> Piece:
    def cell(canvas: Any, text: str, place: int, left: float, top: float, font: str) -> None:
        end = 1.0 if place + 1 == len(_SHARES) else _SHARES[place + 1]
        room = (end - _SHARES[place]) * width - 5
        shown, size = fitted(text, font=font, size=9.2, width=room, smallest=6.0)
        text_at(canvas, shown, left=left + _SHARES[place] * width, base=top - 11.5, font=font,
                size=size)

    def draw(canvas: Any, left: float, top: float) -> None:
        if first:
            cell(canvas, name, 0, left, top, BOLD)
        cell(canvas, row.fps, 1, left, top, BOLD)
        if row.refused:
            cell(canvas, "cannot be run", 2, left, top, PLAIN)
            return
        cell(canvas, row.dial, 2, left, top, BOLD)
        badge(canvas, row.level, left=left + _SHARES[3] * width, top=top - 2, width=82.0,
              height=13.0)
        told = row.allowed if row.dial != "none" else row.room
        note = f", {row.level_note}" if row.level_note else ""
        cell(canvas, f"{told}{note}", 4, left, top, PLAIN)

    return Piece(height=_ROW, draw=draw)


def _front(strips: Sequence[Strip], width: float) -> Iterator[Piece]:
    for strip in strips:
        for number, row in enumerate(strip.rows):
            yield _front_row(strip.name, row, width, first=number == 0)


def _note(text: str, width: float) -> Piece:
    lines = wrapped(text, font=PLAIN, size=8.0, width=width)

    def draw(canvas: Any, left: float, top: float) -> None:
        for number, line in enumerate(lines):
            text_at(canvas, line, left=left, base=top - 8 - 9.6 * number, size=8.0)

    return Piece(height=9.6 * len(lines) + 3, draw=draw, stays_with_next=True)


def _strip(strip: Strip, width: float, *, page: float) -> list[Piece]:
    """A set-up's strip, kept on one page where a page holds it."""
    pieces = list(_strip_pieces(strip, width))
    if sum(piece.height for piece in pieces) > page:
        return pieces
    return [*(replace(piece, stays_with_next=True) for piece in pieces[:-1]), *pieces[-1:]]


def _strip_pieces(strip: Strip, width: float) -> Iterator[Piece]:
    name, _ = fitted(strip.name, font=BOLD, size=8.6, width=width, smallest=8.6)
    yield heading(name, width, above=10.0)
    yield _note(strip.seen, width)
    yield rate_heading(width)
    yield from rate_pieces(strip.rows, width)
    if strip.lines:
        yield from section_pieces(
            [Section(title="To be known", lines=strip.lines)], width
        )


def _halves(lines: Sequence[InputLine]) -> tuple[Sequence[InputLine], Sequence[InputLine]]:
    """Inputs in two halves, so parted that a device stays whole."""
    starts = [place for place in range(1, len(lines))
              if lines[place].about != lines[place - 1].about]
    middle = min(starts, key=lambda place: abs(2 * place - len(lines)), default=len(lines))
    return lines[:middle], lines[middle:]


def _foot(card: PlanCard, width: float) -> Any:
    def foot(page: int, pages: int) -> Draw:
        def draw(canvas: Any, left: float, base: float) -> None:
            text_at(canvas, f"inputs SHA-256 {card.input_hash}", left=left, base=base, size=6.6)
            text = f"page {page} of {pages}" + (f", signed on page {pages}" if page < pages else "")
            wide = text_width(text, font=PLAIN, size=7.4)
            text_at(canvas, text, left=left + width - wide, base=base, size=7.4)

        return draw

    return foot


def plan_card_pdf(card: PlanCard, *, paper: Paper = "a4") -> bytes:
    """The card of a plan to print.

    Parameters
    ----------
    card
        The card.
    paper
        "a4" or "letter".

    Returns
    -------
    bytes
        PDF; the same bytes for the same card.
    """
    sheet = Sheet(paper)
    width, strips = sheet.room_across, plan_strips(card)
    sheet.below(head_pieces(
        title=PLAN_TITLE, stands_for=_stands_for(card), marks=_marks(card), width=width
    ))
    head = _front_head(width)
    sheet.below([head, *_front(strips, width)], again=head)
    column = sheet.column_width()
    sheet.beside([list(section_pieces([part], column)) for part in plan_sections(card)])
    for strip in strips:
        sheet.below(_strip(strip, width, page=0.9 * sheet.height))
    sheet.beside([list(input_pieces(half, column)) for half in _halves(plan_inputs(card))])
    sheet.below([signature_piece(width)])
    return sheet.pdf(
        title=printable(f"{PLAN_TITLE}: {card.plan.name}"), foot=_foot(card, width)
    )
