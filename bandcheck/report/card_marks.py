"""Verdicts in print: a word, a mark and a line style each, so that none hangs on colour."""

from typing import Any

from bandcheck.report.card_type import BOLD, PLAIN, text_width
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.vision.level import Level

__all__ = ["badge", "cell_frame", "text_at"]

_DASHES = {Level.MARGINAL: (4.0, 2.0), Level.UNKNOWN: (0.8, 1.8)}
_WEIGHT = {Level.SAFE: 1.3, Level.MARGINAL: 1.1, Level.UNKNOWN: 1.1, Level.VISIBLE: 1.3}


def text_at(
    canvas: Any, text: str, *, left: float, base: float, font: str = PLAIN, size: float = 8.0,
    gray: float = 0.0,
) -> None:
    """Print one printable line.

    Parameters
    ----------
    canvas
        Where.
    left, base
        Its left edge and its base line [pt].
    font, size, gray
        How; gray is 0 for black.
    """
    canvas.setFillGray(gray)
    canvas.setFont(font, size)
    canvas.drawString(left, base, text)


def _frame(
    canvas: Any, level: Level, *, left: float, bottom: float, width: float, height: float
) -> None:
    """Box whose line tells the level; visible is filled."""
    canvas.saveState()
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    canvas.setLineWidth(_WEIGHT[level])
    canvas.setDash(*_DASHES[level]) if level in _DASHES else canvas.setDash()
    canvas.rect(left, bottom, width, height, stroke=1, fill=int(level is Level.VISIBLE))
    canvas.restoreState()


def _mark(canvas: Any, level: Level, *, x: float, y: float, size: float) -> None:
    """Mark of a level in a ring about a point."""
    gray = 1.0 if level is Level.VISIBLE else 0.0
    canvas.saveState()
    canvas.setLineWidth(size / 10)
    canvas.setStrokeGray(gray)
    canvas.circle(x, y, size / 2, stroke=1, fill=0)
    canvas.restoreState()
    sign = LEVEL_MARKS[level].strip("( )")
    letters = size * 0.86
    wide = text_width(sign, font=BOLD, size=letters)
    text_at(canvas, sign, left=x - wide / 2, base=y - letters * 0.36, font=BOLD, size=letters,
            gray=gray)


def badge(
    canvas: Any, level: Level, *, left: float, top: float, width: float, height: float = 17.0
) -> None:
    """A level as a word with its mark in a frame.

    Parameters
    ----------
    canvas
        Where.
    level
        The level.
    left, top, width, height
        The frame [pt].
    """
    bottom = top - height
    _frame(canvas, level, left=left, bottom=bottom, width=width, height=height)
    word, size = level.value.upper(), height * 0.5
    while text_width(word, font=BOLD, size=size) > width - height - 3:
        size -= 0.25
    _mark(canvas, level, x=left + height * 0.52, y=bottom + height / 2, size=height * 0.66)
    text_at(
        canvas, word, left=left + height, base=bottom + height / 2 - size * 0.36, font=BOLD,
        size=size, gray=1.0 if level is Level.VISIBLE else 0.0,
    )


def cell_frame(
    canvas: Any, level: Level, text: str, *, left: float, top: float, width: float, height: float
) -> None:
    """A number in the frame of its level.

    Parameters
    ----------
    canvas
        Where.
    level, text
        What.
    left, top, width, height
        The frame [pt].
    """
    _frame(canvas, level, left=left, bottom=top - height, width=width, height=height)
    font = PLAIN if level in (Level.MARGINAL, Level.UNKNOWN) else BOLD
    size = height * 0.6
    wide = text_width(text, font=font, size=size)
    text_at(
        canvas, text, left=left + (width - wide) / 2, base=top - height / 2 - size * 0.36,
        font=font, size=size, gray=1.0 if level is Level.VISIBLE else 0.0,
    )
