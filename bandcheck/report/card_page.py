"""Pages of print: pieces placed one below the other or in columns, and drawn once all are placed.

What does not fit goes to the next page, in order; nothing is left out or made smaller.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any, Literal, NamedTuple

__all__ = ["PAPERS", "Paper", "Piece", "Sheet"]

Paper = Literal["a4", "letter"]

PAPERS: dict[Paper, tuple[float, float]] = {
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11.0 * 72),
}
"""Width and height [pt]."""

_SIDE, _TOP, _BOTTOM = 30.0, 22.0, 28.0

Draw = Callable[[Any, float, float], None]
"""Draws on a canvas, given the left and the upper edge [pt]."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Piece:
    """Something that is never broken across pages.

    Attributes
    ----------
    height
        Room that it takes [pt].
    draw
        Draws it.
    stays_with_next
        Whether the piece after it must stand on the same page, as after a heading.
    """

    height: float
    draw: Draw
    stays_with_next: bool = False


class _Placed(NamedTuple):
    piece: Piece
    left: float
    top: float


def _runs(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Pieces that stay together."""
    runs: list[tuple[Piece, ...]] = []
    open_run: list[Piece] = []
    for piece in pieces:
        open_run.append(piece)
        if not piece.stays_with_next:
            runs.append(tuple(open_run))
            open_run = []
    return [*runs, tuple(open_run)] if open_run else runs


def _height(run: Iterable[Piece]) -> float:
    return sum(piece.height for piece in run)


def _dealt(
    runs: Sequence[tuple[Piece, ...]], *, height: float, count: int
) -> list[list[tuple[Piece, ...]]]:
    """As many runs as fit into columns of a height, the first column first."""
    columns: list[list[tuple[Piece, ...]]] = [[]]
    left = height
    for run in runs:
        needed = _height(run)
        if needed > left + 1e-6 and columns[-1]:
            if len(columns) == count:
                break
            columns.append([])
            left = height
        columns[-1].append(run)
        left -= needed
    return columns


class Sheet:
    """Pages that are being filled.

    Parameters
    ----------
    paper
        Size of the paper.
    """

    def __init__(self, paper: Paper) -> None:
        self.width, self.height = PAPERS[paper]
        self._pages: list[list[_Placed]] = [[]]
        self._top = self.height - _TOP

    @property
    def left(self) -> float:
        """Left edge of what is printed [pt]."""
        return _SIDE

    @property
    def room_across(self) -> float:
        """Width of what is printed [pt]."""
        return self.width - 2 * _SIDE

    @property
    def room_below(self) -> float:
        """Height that is left on this page [pt]."""
        return self._top - _BOTTOM

    def _new_page(self) -> None:
        self._pages.append([])
        self._top = self.height - _TOP

    def _put(self, piece: Piece) -> None:
        self._pages[-1].append(_Placed(piece, _SIDE, self._top))
        self._top -= piece.height

    def below(self, pieces: Iterable[Piece], *, again: Piece | None = None) -> None:
        """Place pieces across the page, one below the other.

        Parameters
        ----------
        pieces
            What to place.
        again
            Heading to repeat where they go on on a new page.
        """
        for run in _runs(pieces):
            if _height(run) > self.room_below and self._pages[-1]:
                self._new_page()
                if again is not None and run[0] is not again:
                    self._put(again)
            for piece in run:
                self._put(piece)

    def beside(
        self, groups: Sequence[Sequence[Piece]], *, free_below: float = 0.0, count: int = 2,
        gap: float = 16.0,
    ) -> None:
        """Place pieces in columns of one height, the first column first.

        Parameters
        ----------
        groups
            What to place; each piece as wide as `column_width` says. Where all fit on this page
            without breaking a group across columns, none is broken.
        free_below
            Height to leave free for what comes after [pt].
        count, gap
            Number of columns and the space between them [pt].
        """
        whole = [tuple(group) for group in groups if group]
        height = self._even_height(whole, count)
        columns = _dealt(whole, height=height, count=count)
        if sum(map(len, columns)) == len(whole) and height <= self.room_below - free_below:
            self._put_columns(columns, count, gap)
            return
        runs = _runs(piece for group in whole for piece in group)
        while runs:
            tallest = max(_height(run) for run in runs[:count])
            if tallest > self.room_below and self._pages[-1]:
                self._new_page()
            columns = _dealt(runs, height=self._even_height(runs, count), count=count)
            self._put_columns(columns, count, gap)
            runs = runs[sum(len(column) for column in columns) :]
            if runs:
                self._new_page()

    def column_width(self, *, count: int = 2, gap: float = 16.0) -> float:
        """Width of a column [pt]."""
        return (self.room_across - (count - 1) * gap) / count

    def _even_height(self, runs: Sequence[tuple[Piece, ...]], count: int) -> float:
        """Smallest height at which columns hold all runs, or what is left of the page."""
        low, high = 0.0, self.room_below
        while high - low > 0.5:
            middle = (low + high) / 2
            columns = _dealt(runs, height=middle, count=count)
            whole = sum(len(column) for column in columns) == len(runs)
            fits = all(_height(run) <= middle for run in runs)
            low, high = (low, middle) if whole and fits else (middle, high)
        return high

    def _put_columns(
        self, columns: Sequence[Sequence[tuple[Piece, ...]]], count: int, gap: float
    ) -> None:
        deepest = self._top
        for place, column in enumerate(columns):
            left = _SIDE + place * (self.column_width(count=count, gap=gap) + gap)
            top = self._top
            for piece in (piece for run in column for piece in run):
                self._pages[-1].append(_Placed(piece, left, top))
                top -= piece.height
            deepest = min(deepest, top)
        self._top = deepest

    def pdf(self, *, title: str, foot: Callable[[int, int], Draw]) -> bytes:
        """The pages as a PDF file.

        Parameters
        ----------
        title
            Title of the document.
        foot
            Given the number of a page and of all, what draws its foot.

        Returns
        -------
        bytes
            The same for the same pieces.
        """
        from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

        content = BytesIO()
        canvas = Canvas(content, pagesize=(self.width, self.height), invariant=1)
        canvas.setTitle(title)
        canvas.setCreator("bandcheck")
        canvas.setProducer("bandcheck")
        for number, page in enumerate(self._pages, start=1):
            for placed in page:
                placed.piece.draw(canvas, placed.left, placed.top)
            foot(number, len(self._pages))(canvas, _SIDE, _BOTTOM - 12)
            canvas.showPage()
        canvas.save()
        return content.getvalue()
