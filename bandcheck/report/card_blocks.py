"""What stands around the tables of a printed card: head, sections, inputs and signatures."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from bandcheck.report.card_marks import text_at
from bandcheck.report.card_page import Piece
from bandcheck.report.card_sections import ROLES, InputLine, Section
from bandcheck.report.card_type import BOLD, PLAIN, fitted, printable, text_width, wrapped

__all__ = ["head_pieces", "heading", "input_pieces", "section_pieces", "signature_piece"]

_BODY, _LEADING = 7.4, 9.0
_INDENT = 7.0


def _line(canvas: Any, left: float, y: float, width: float, weight: float = 0.5) -> None:
    canvas.saveState()
    canvas.setStrokeGray(0)
    canvas.setLineWidth(weight)
    canvas.line(left, y, left + width, y)
    canvas.restoreState()


def head_pieces(
    *, title: str, stands_for: Sequence[tuple[str, str]], marks: Sequence[str], width: float
) -> Iterator[Piece]:
    """Title with version and date at its right, and what the card stands for.

    Parameters
    ----------
    title
        Title.
    stands_for
        Label and name of wall, camera and lamps.
    marks
        Lines at the right: version, date, hash.
    width
        Width [pt].
    """
    rows = [
        (label, line, number == 0)
        for label, name in stands_for
        for number, line in enumerate(wrapped(name, font=BOLD, size=9.2, width=width * 0.66 - 42))
    ]
    height = max(26 + 11.4 * len(rows), 12 + 10.5 * len(marks))

    def draw(canvas: Any, left: float, top: float) -> None:
        text_at(canvas, title, left=left, base=top - 14, font=BOLD, size=17)
        for number, (label, line, first) in enumerate(rows):
            base = top - 29 - 11.4 * number
            if first:
                text_at(canvas, label, left=left, base=base, size=7.8)
            text_at(canvas, line, left=left + 42, base=base, font=BOLD, size=9.2)
        for number, mark in enumerate(marks):
            text, size = fitted(mark, font=PLAIN, size=8.2, width=width * 0.32)
            wide = text_width(text, font=PLAIN, size=size)
            text_at(canvas, text, left=left + width - wide, base=top - 9 - 10.5 * number, size=size)
        _line(canvas, left, top - height + 1, width, 1.8)

    yield Piece(height=height + 3, draw=draw)


def heading(text: str, width: float, *, above: float = 4.0, note: str = "") -> Piece:
    """Heading of a part with a thin rule.

    Parameters
    ----------
    text
        Heading.
    width
        Length of the rule [pt].
    above
        Space above it [pt].
    note
        What stands at its right.
    """
    def draw(canvas: Any, left: float, top: float) -> None:
        text_at(canvas, text, left=left, base=top - above - 8, font=BOLD, size=8.6)
        if note:
            wide = text_width(note, font=PLAIN, size=7.4)
            text_at(canvas, note, left=left + width - wide, base=top - above - 8, size=7.4)
        _line(canvas, left, top - above - 11, width)

    return Piece(height=above + 12.5, draw=draw, stays_with_next=True)


def section_pieces(parts: Iterable[Section], width: float) -> Iterator[Piece]:
    """Headings and their lines.

    Parameters
    ----------
    parts
        The sections.
    width
        Width of the column [pt].
    """
    for part in parts:
        yield heading(part.title, width)
        for line in part.lines:
            yield _paragraph(line, width)


def _paragraph(text: str, width: float) -> Piece:
    lines = wrapped(text, font=PLAIN, size=_BODY, width=width - _INDENT)

    def draw(canvas: Any, left: float, top: float) -> None:
        text_at(canvas, "–", left=left, base=top - 7.2, size=_BODY)
        for number, line in enumerate(lines):
            text_at(canvas, line, left=left + _INDENT, base=top - 7.2 - _LEADING * number,
                    size=_BODY)

    return Piece(height=_LEADING * len(lines) + 0.8, draw=draw)


def input_pieces(lines: Sequence[InputLine], width: float) -> Iterator[Piece]:
    """Inputs with their sources and a blank to write a measured value into.

    Parameters
    ----------
    lines
        The inputs.
    width
        Width of the column [pt].
    """
    starts = (0.0, 0.31, 0.54, 0.83)

    def head(canvas: Any, left: float, top: float) -> None:
        text_at(canvas, "Inputs and where they come from", left=left, base=top - 13, font=BOLD,
                size=8.6)
        text_at(canvas, "measured", left=left + starts[3] * width, base=top - 13, size=7.0)
        _line(canvas, left, top - 16, width)

    yield Piece(height=18.0, draw=head, stays_with_next=True)
    for about, group in groupby(lines, key=lambda line: line.about):
        for place, line in enumerate(group):
            label = line.what if place else f"{about}: {line.what}"
            yield _input((label, line.value, line.source), starts, width, together=place < 3)


def _input(
    texts: Sequence[str], starts: Sequence[float], width: float, *, together: bool
) -> Piece:
    cells = []
    for place, text in enumerate(texts):
        room = (starts[place + 1] - starts[place]) * width - 3
        # A little smaller keeps a line whole; what needs more than that is broken.
        size = 7.2 if text_width(printable(text), font=PLAIN, size=6.6) > room else min(
            7.2, fitted(text, font=PLAIN, size=7.2, width=room, smallest=6.6)[1]
        )
        cells.append((wrapped(text, font=PLAIN, size=size, width=room), size))
    deep = max(len(lines) for lines, _ in cells)

    def draw(canvas: Any, left: float, top: float) -> None:
        for place, (lines, size) in enumerate(cells):
            for number, line in enumerate(lines):
                text_at(canvas, line, left=left + starts[place] * width,
                        base=top - 7 - 8.9 * number, size=size)
        _line(canvas, left + starts[3] * width, top + 0.7 - 8.9 * deep, (1 - starts[3]) * width,
              0.35)

    return Piece(height=8.9 * deep, draw=draw, stays_with_next=together)


def signature_piece(width: float) -> Piece:
    """Lines for the two who agree.

    Parameters
    ----------
    width
        Width [pt].
    """
    half = (width - 16) / 2

    def draw(canvas: Any, left: float, top: float) -> None:
        _line(canvas, left, top - 4, width, 1.8)
        text_at(canvas, printable("Agreed: tested as told above, and set as told above"), left=left,
                base=top - 14.5, size=7.8)
        for place, role in enumerate(ROLES):
            at = left + place * (half + 16)
            _line(canvas, at, top - 39, half, 0.6)
            text_at(canvas, role, left=at, base=top - 47, font=BOLD, size=8.0)
            text_at(canvas, "name, signature, date", left=at + half - 78, base=top - 47, size=7.2)

    return Piece(height=50.0, draw=draw)
