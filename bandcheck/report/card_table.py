"""The two tables of a printed card: what to dial at each rate, and the map."""

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import Any, NamedTuple

from bandcheck.report.card_map import MapRow
from bandcheck.report.card_marks import badge, cell_frame, text_at
from bandcheck.report.card_page import Piece
from bandcheck.report.card_rows import RateRow
from bandcheck.report.card_type import BOLD, PLAIN, fitted, printable, text_width, wrapped

__all__ = ["map_pieces", "rate_heading", "rate_pieces"]

_ROW_HEIGHT = 31.0
_ALSO_HEIGHT = 9.5
_MAP_HEIGHT = 13.2
_FPS_ACROSS = 40.0
_GAP = 5.0
_RATE_ROOM = 42.0


class _Column(NamedTuple):
    heading: str
    share: float


_COLUMNS = (
    _Column("frames/s", 0.088), _Column("dial this", 0.140), _Column("verdict", 0.135),
    _Column("shutter may be", 0.146), _Column("phase without tear", 0.148),
    _Column("largest angle, no tear", 0.074),
    _Column("lowest wall level, 8·10·12 bit", 0.096),
    _Column("roll test", 0.063), _Column("measured", 0.110),
)


def _edges(width: float) -> list[float]:
    return [0.0, *accumulate(column.share * width for column in _COLUMNS)]


def rate_heading(width: float) -> Piece:
    """Headings of the table of rates.

    Parameters
    ----------
    width
        Width of the table [pt].
    """
    edges = _edges(width)
    headings = [
        wrapped(column.heading, font=PLAIN, size=7.4, width=end - start - _GAP)
        for column, start, end in zip(_COLUMNS, edges[:-1], edges[1:], strict=True)
    ]
    height = 8.6 * max(map(len, headings)) + 5

    def draw(canvas: Any, left: float, top: float) -> None:
        for lines, start in zip(headings, edges[:-1], strict=True):
            for number, line in enumerate(lines, start=1):
                base = top - height + 5 + 8.6 * (len(lines) - number)
                text_at(canvas, line, left=left + start, base=base, size=7.4)
        _rule(canvas, left, top - height + 1.2, width, 0.9)

    return Piece(height=height, draw=draw, stays_with_next=True)


def _rule(canvas: Any, left: float, y: float, width: float, weight: float) -> None:
    canvas.saveState()
    canvas.setLineWidth(weight)
    canvas.setStrokeGray(0)
    canvas.line(left, y, left + width, y)
    canvas.restoreState()


def rate_pieces(rows: Sequence[RateRow], width: float) -> Iterator[Piece]:
    """A piece for each rate.

    Parameters
    ----------
    rows
        The rates in words.
    width
        Width of the table [pt].
    """
    for row in rows:
        yield _refused_piece(row, width) if row.refused else _rate_piece(row, width)


def _refused_piece(row: RateRow, width: float) -> Piece:
    edges = _edges(width)
    lines = wrapped(
        f"cannot be run: {row.refused}", font=PLAIN, size=7.6, width=width - edges[1]
    )
    height = max(24.0, 9.4 * len(lines) + 9)

    def draw(canvas: Any, left: float, top: float) -> None:
        _rate(canvas, row, left, top)
        for number, line in enumerate(lines):
            text_at(canvas, line, left=left + edges[1], base=top - 12 - 9.4 * number, size=7.6)
        _rule(canvas, left, top - height + 2, width, 0.35)

    return Piece(height=height, draw=draw)


def _rate(canvas: Any, row: RateRow, left: float, top: float) -> None:
    text, size = fitted(row.fps, font=BOLD, size=17.0, width=_RATE_ROOM)
    text_at(canvas, text, left=left, base=top - 18, font=BOLD, size=size)


def _rate_piece(row: RateRow, width: float) -> Piece:
    edges = _edges(width)
    also = _also_line(row, width - edges[1])
    height = _ROW_HEIGHT + (_ALSO_HEIGHT if also else 0.0)

    def draw(canvas: Any, left: float, top: float) -> None:
        _rate(canvas, row, left, top)
        for place, (main, note, size) in enumerate((
            (row.dial, row.dial_note, 17.0), ("", row.level_note, 9.0),
            (row.allowed, row.room, 9.4), (row.phase, row.phase_note, 9.4),
            (row.clean_angle, "", 9.4), (row.lowest, row.codes, 9.4), (row.roll, "", 9.4),
        ), start=1):
            room = edges[place + 1] - edges[place] - _GAP
            if place == 2:
                badge(canvas, row.level, left=left + edges[2], top=top - 3.5, width=room - 4,
                      height=15.5)
            text, fit = fitted(main, font=BOLD, size=size, width=room, smallest=5.5)
            text_at(canvas, text, left=left + edges[place], base=top - 17, font=BOLD, size=fit)
            text, fit = fitted(note, font=PLAIN, size=7.4, width=room, smallest=5.5)
            text_at(canvas, text, left=left + edges[place], base=top - 26.5, size=fit)
        _blank_box(canvas, left + edges[8], top - 4, width - edges[8], _ROW_HEIGHT - 8)
        if also:
            text_at(canvas, also, left=left + edges[1], base=top - 35.5, size=7.4)
        _rule(canvas, left, top - height + 1, width, 0.35)

    return Piece(height=height, draw=draw)


def _also_line(row: RateRow, width: float) -> str:
    """What was wanted, and as many of the other safe ranges as fit on a line."""
    line = printable(row.wanted)
    for place, each in enumerate(row.also):
        joint = ".  Also safe: " if place == 0 else ", "
        longer = f"{line}{joint}{printable(each)}"
        if text_width(longer, font=PLAIN, size=7.4) > width:
            break
        line = longer
    return fitted(line, font=PLAIN, size=7.4, width=width, smallest=7.4)[0]


def _blank_box(canvas: Any, left: float, top: float, width: float, height: float) -> None:
    canvas.saveState()
    canvas.setLineWidth(0.5)
    canvas.setStrokeGray(0.35)
    canvas.rect(left, top - height, width, height)
    canvas.restoreState()


def map_pieces(
    columns: Sequence[str], rows: Sequence[MapRow], width: float
) -> Iterator[Piece]:
    """The map: a piece for its headings and one for each rate.

    Parameters
    ----------
    columns
        Headings.
    rows
        The rates in words.
    width
        Width of the map [pt].
    """
    if not columns:
        return
    across = (width - _FPS_ACROSS) / len(columns)

    def head(canvas: Any, left: float, top: float) -> None:
        text_at(canvas, "frames/s", left=left, base=top - 9, size=7.4)
        for place, column in enumerate(columns):
            text, size = fitted(column, font=BOLD, size=8.6, width=across - 3)
            wide = text_width(text, font=BOLD, size=size)
            at = left + _FPS_ACROSS + place * across
            text_at(canvas, text, left=at + (across - 3 - wide) / 2, base=top - 9, font=BOLD,
                    size=size)

    yield Piece(height=12.5, draw=head, stays_with_next=True)
    for row in rows:
        yield _map_piece(row, across)


def _map_piece(row: MapRow, across: float) -> Piece:
    def draw(canvas: Any, left: float, top: float) -> None:
        text, size = fitted(row.fps, font=BOLD, size=9.0, width=_FPS_ACROSS - 4)
        text_at(canvas, text, left=left, base=top - 9.6, font=BOLD, size=size)
        for place, cell in enumerate(row.cells):
            at = left + _FPS_ACROSS + place * across
            if cell is None:
                text_at(canvas, "—", left=at + across / 2 - 4, base=top - 9, size=7.4)
                continue
            cell_frame(canvas, cell.level, cell.text, left=at, top=top - 1, width=across - 3,
                       height=_MAP_HEIGHT - 2.5)

    return Piece(height=_MAP_HEIGHT, draw=draw)
