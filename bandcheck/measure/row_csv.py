"""Row means in a text file: one number a line, or columns with commas between."""

import csv
import io
import math
import re

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_faults import plain_name

__all__ = ["MOST_ROWS", "csv_rows", "is_text"]

MOST_ROWS = 200_000
"""Most rows that are read: above any sensor's."""

_LIGHT = re.compile(r"light(_(red|green|blue))?$|mean", re.IGNORECASE)
_LIKE_LIGHT = re.compile(r"luma|level|value|signal|intensity|gr[ae]y|red|green|blue", re.IGNORECASE)
_ROW = re.compile(r"row|line|y|index|#|n", re.IGNORECASE)
_MOST_COLUMNS = 64
_LARGEST = 1e15
"""Largest number that is read: above any code or light, and far from where sums overflow."""


def is_text(content: bytes) -> bool:
    """Whether a file may be a table in text: no byte that text does not hold."""
    return bool(content.strip()) and not re.search(rb"[\0-\x08\x0e-\x1f]", content[:4096])


def csv_rows(content: bytes, *, name: str) -> NDArray[np.float64]:
    """Row means of a text file.

    Parameters
    ----------
    content
        Lines of numbers with commas, semicolons, tabs or spaces between, with or without a line
        of names. Of several columns those whose name says light (such as `light_red`) are
        averaged; without names the last one counts. A column of row numbers must go up by 1.
    name
        The file's name, for messages.

    Returns
    -------
    ndarray
        Row means as they stand there, shape (rows,).

    Raises
    ------
    ProfileError
        No table of numbers, or numbers that no row can have.
    """
    file = plain_name(name)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ProfileError(file, ["no picture, and as a CSV of row means not UTF-8 text"]) from None
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    if len(lines) > MOST_ROWS + 1:
        raise ProfileError(file, [f"{len(lines)} lines; at most {MOST_ROWS} row means are read"])
    mark = next((each for each in (",", ";", "\t") if lines and each in lines[0]), None)
    table = [_cells(line, mark) for line in lines]
    names = [] if not table or all(_number(each) is not None for each in table[0]) else table.pop(0)
    if not table or len(table[0]) > _MOST_COLUMNS:
        raise ProfileError(file, ["no picture, and no CSV of row means: a number on each line"])
    values = _values(table, file, first=1 + bool(names))
    _refuse_numbering(values, names, file)
    light = values[:, _light_columns(names, values.shape[1])].mean(axis=1)
    if (light < 0).any():
        line = int((light < 0).argmax())
        raise ProfileError(file, [f"row {line}: {light[line]:g}; light is 0 or more"])
    return np.asarray(light)


def _cells(line: str, mark: str | None) -> list[str]:
    if mark is None:
        return line.split()
    return [each.strip() for each in next(csv.reader(io.StringIO(line), delimiter=mark))]


def _number(cell: str) -> float | None:
    try:
        value = float(cell)
    except ValueError:
        return None
    return None if "_" in cell else value


def _values(table: list[list[str]], file: str, *, first: int) -> NDArray[np.float64]:
    """The table as numbers; a fault names its line, counted without empty ones."""
    width = len(table[0])
    values = np.empty((len(table), width))
    for place, row in enumerate(table):
        if len(row) != width:
            what = f"{len(row)} columns where the first line has {width}"
            raise ProfileError(file, [f"line {place + first}: {what}"])
        for column, cell in enumerate(row):
            value = _number(cell)
            if value is None or not abs(value) <= _LARGEST:
                shown = plain_name(cell[:40])
                what = "is no finite number" if value is None or not math.isfinite(value) else (
                    f"is beyond {_LARGEST:g}, and no row is as bright"
                )
                raise ProfileError(file, [f"line {place + first}: '{shown}' {what}"])
            values[place, column] = value
    return values


def _light_columns(names: list[str], width: int) -> list[int]:
    for words in (_LIGHT, _LIKE_LIGHT):
        named = [place for place, each in enumerate(names[:width]) if words.match(each)]
        if named:
            return named
    return [width - 1]


def _refuse_numbering(values: NDArray[np.float64], names: list[str], file: str) -> None:
    """Refuse row numbers that leave rows out: bands would come out too narrow."""
    numbered = values.shape[1] > 1 and (
        not names or _ROW.fullmatch(names[0]) is not None
    )
    if not numbered or len(values) < 2:
        return
    steps = np.diff(values[:, 0])
    if (steps != 1).any() and (names or (steps == np.round(steps)).all()):
        line = int((steps != 1).argmax())
        told = f"{values[line, 0]:g} is followed by {values[line + 1, 0]:g}"
        raise ProfileError(file, [f"row numbers: {told}; every row is wanted, one after the other"])
