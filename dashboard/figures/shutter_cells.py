"""Cells of the map of shutter settings: what each may show, says and gives to a tap."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bandcheck.report.rounding import angle_text, number_text, visibility_text
from bandcheck.report.wording import level_label
from bandcheck.vision.level import Level
from dashboard.figures.look import FloatArray, floats, plain

__all__ = ["Words", "cell_levels", "cell_values", "cell_words", "empty_reason", "torn_cells"]

Words = Sequence[Sequence[str | None]]


def cell_levels(
    *, visibility: Any, level: Words, refused: Sequence[str | None], computed: Sequence[bool]
) -> list[list[Level | None]]:
    """Level that each cell may show.

    Parameters
    ----------
    visibility
        V, shape (R, C); NaN or None where there is none.
    level
        Word of each cell's level, or None where the dial has no such setting.
    refused
        Why each rate cannot be run; None where it can.
    computed
        Whether each rate has been computed.

    Returns
    -------
    list
        None where there is nothing to show; without a V no cell is better than unknown.
    """
    values = floats(visibility)
    return [
        [
            None if word is None or why is not None or not done
            else max(Level(word), Level.UNKNOWN) if np.isnan(value) else Level(word)
            for word, value in zip(words, row, strict=True)
        ]
        for words, row, why, done in zip(level, values, refused, computed, strict=True)
    ]


def torn_cells(
    visibility: FloatArray, levels: list[list[Level | None]], visible_from: float
) -> NDArray[np.bool_]:
    """Cells that are visible though their V is not: no phase of theirs is free of a tear."""
    seen = [[level is Level.VISIBLE for level in row] for row in levels]
    return np.array(seen, dtype=np.bool_).reshape(visibility.shape) & ~(visibility >= visible_from)


def empty_reason(rate: str, refused: str | None, computed: bool) -> str:
    """Why a rate, or one setting of it, has nothing to show."""
    if refused is not None:
        return f"{plain(rate)} frames/s: cannot be run<br>{plain(refused)}"
    if not computed:
        return f"{plain(rate)} frames/s: not computed yet"
    return f"{plain(rate)} frames/s: longer than the frame"


def cell_words(
    cell: list[Any], level: Level | None, limits: tuple[float, float], otherwise: str
) -> str:
    """What is said of a cell when it is pointed at."""
    if level is None:
        return otherwise
    rate, angle, exposure, value, _, signal = cell
    shown = "?" if value is None else visibility_text(value, limits=limits)
    where = "" if signal is None else f", worst at {number_text(signal, decimals=2)} % signal"
    return (
        f"{plain(rate)} frames/s, {angle_text(angle)}, {plain(exposure)}<br>"
        f"{level_label(level)}, V {shown}{where}"
    )


def cell_values(
    rates: Sequence[str], angle: FloatArray, exposure: Words, visibility: FloatArray,
    levels: list[list[Level | None]], worst: FloatArray,
) -> list[list[list[Any]]]:
    """What a tap on each cell takes: rate, angle, exposure, V, level and worst signal level."""
    return [
        [
            [
                rates[row], None if np.isnan(angle[row, column]) else float(angle[row, column]),
                exposure[row][column],
                None if level is None or np.isnan(visibility[row, column])
                else float(visibility[row, column]),
                None if level is None else level.value,
                None if level is None or np.isnan(worst[row, column])
                else float(worst[row, column]),
            ]
            for column, level in enumerate(levels[row])
        ]
        for row in range(len(rates))
    ]
