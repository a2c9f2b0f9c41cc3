"""Maps as pictures: visibility over shutter angle and rate, and over lens and distance."""

from collections.abc import Sequence
from fractions import Fraction
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from bandcheck.report.map_ink import HATCH, hatched, ink, visibility_share
from bandcheck.report.picture_sheet import Sheet
from bandcheck.report.rounding import number_text, rate_words
from bandcheck.verdict.moire_map import MoireMap
from bandcheck.verdict.sweep import Sweep
from bandcheck.vision.level import Level

__all__ = ["moire_map_picture", "sweep_heat_map"]

FloatArray = NDArray[np.float64]
Flags = NDArray[np.bool_]
_Cell = TypeVar("_Cell", np.float64, np.bool_)

MOST_COLUMNS = 300
"""Columns of a heat map; more angles share columns, so that lines in them can be seen."""

_FIELD_PX = 1200
_TALLEST_PX = 1600
_SAFE, _VISIBLE, _UNKNOWN = (
    level.severity for level in (Level.SAFE, Level.VISIBLE, Level.UNKNOWN)
)
_TICK_STEPS_DEG = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 45, 90)


def _bins(angles: int) -> NDArray[np.int64]:
    """First angle of each column."""
    return np.unique(np.linspace(0, angles, min(angles, MOST_COLUMNS), endpoint=False).astype(int))


def _spread(cells: NDArray[_Cell], *, height: int, width: int) -> NDArray[_Cell]:
    """Cells blown up to pixels, those in a row and column as evenly as whole pixels allow."""
    rows = np.arange(height) * cells.shape[0] // height
    columns = np.arange(width) * cells.shape[1] // width
    return cells[np.ix_(rows, columns)]


def _angle_ticks(result: Sweep, first: NDArray[np.int64], width: int) -> list[tuple[float, str]]:
    """Where angles are written: round ones where there are many, else all."""
    step = width / len(first)
    angles = np.array([float(angle) for angle in result.angles_deg])
    column = np.searchsorted(first, np.arange(len(angles)), side="right") - 1
    places = (column + 0.5) * step
    wanted = np.arange(len(angles))
    if len(angles) > 12:
        span = angles[-1] - angles[0]
        apart = next((each for each in _TICK_STEPS_DEG if span / each <= 13), 90)
        near = np.abs(angles / apart - np.rint(angles / apart)) * apart < 1e-6
        wanted = wanted[near] if near.sum() >= 2 else wanted[:: max(1, len(angles) // 12)]
    return [(float(places[each]), number_text(angles[each], decimals=3)) for each in wanted]


def _angle_label(angles: int, columns: int) -> str:
    shared = -(-angles // columns)
    told = f"; up to {shared} angles share a column, which shows the worst of them"
    return "Shutter angle [deg]" + (told if shared > 1 else "")


def sweep_heat_map(
    result: Sweep, *, title: Sequence[str], safe_below: float, visible_from: float
) -> bytes:
    """Picture of a sweep: worst visibility of every rate and angle.

    Many angles share columns: each shows its worst and, since safe angles may be few and close,
    whether one of them is safe.

    Parameters
    ----------
    result
        The sweep.
    title
        Lines above it.
    safe_below, visible_from
        Limits of visibility.

    Returns
    -------
    bytes
        PNG.
    """
    first = _bins(len(result.angles_deg))
    rates = len(result.rates)
    width = max(1, _FIELD_PX // len(first)) * len(first)
    tall = max(6, min(64, _TALLEST_PX // rates)) * rates
    worst = np.maximum.reduceat(result.worst_visibility, first, axis=1)
    severity = np.maximum.reduceat(result.severity, first, axis=1)
    some = np.logical_or.reduceat(result.severity == _SAFE, first, axis=1)
    pixels = ink(_spread(
        visibility_share(worst, safe_below=safe_below, visible_from=visible_from),
        height=tall, width=width,
    ))
    lower = (np.arange(tall) * rates % tall >= tall // 2)[:, np.newaxis]
    torn = (severity == _VISIBLE) & (worst < visible_from)
    some_safe = some & (severity != _SAFE)
    kinds: dict[str, tuple[Flags, Flags]] = {
        "torn": (torn, ~lower if some_safe.any() else np.ones_like(lower)),
        Level.UNKNOWN.value: ((severity == _UNKNOWN) | np.isnan(worst), np.ones_like(lower)),
        Level.SAFE.value: (severity == _SAFE, np.ones_like(lower)),
        "some safe": (some_safe, lower),
    }
    shown = [kind for kind in HATCH if kind == Level.SAFE.value or kinds[kind][0].any()]
    for kind in shown:
        cells, part = kinds[kind]
        hatched(pixels, _spread(cells, height=tall, width=width) & part, kind)
    sheet = Sheet(title=title, field=(width, tall), left=110, below=240)
    sheet.cells(pixels)
    for row in range(1, rates):
        sheet.line((0, row * tall / rates), (width, row * tall / rates), width=1)
    sheet.across(
        _angle_ticks(result, first, width), _angle_label(len(result.angles_deg), len(first))
    )
    sheet.upright(
        [((row + 0.5) * tall / rates, rate_words(rate)) for row, rate in enumerate(result.rates)],
        "Frames/s",
    )
    sheet.key(y=104, safe_below=safe_below, visible_from=visible_from,
              marks=[(kind, HATCH[kind]) for kind in shown])
    return sheet.png()


def _log_ticks(axis: FloatArray, *, length: int, scale: float) -> list[tuple[float, str]]:
    """Round values 1, 2, 3, 5, 7 of each decade along an axis that is even in its logarithm."""
    low, high = np.log(axis[[0, -1]])
    ticks = []
    for decade in range(-3, 7):
        for step in (1, 2, 3, 5, 7):
            value = Fraction(step) * Fraction(10) ** decade
            share = (np.log(float(value) * scale) - low) / (high - low)
            if 0 <= share <= 1:
                ticks.append((float(share) * length, number_text(value, decimals=3)))
    return ticks


def _outline(sheet: Sheet, inside: Flags, cell: int) -> None:
    """Line around cells."""
    for row, column in np.argwhere(inside[:, 1:] != inside[:, :-1]):
        x = (column + 1) * cell
        sheet.line((x, row * cell), (x, (row + 1) * cell))
    for row, column in np.argwhere(inside[1:] != inside[:-1]):
        y = (row + 1) * cell
        sheet.line((column * cell, y), ((column + 1) * cell, y))


def _here(sheet: Sheet, x: float, y: float) -> None:
    """Cross at the shot's own place, dark on light so that it shows anywhere."""
    for width, light in ((7, True), (3, False)):
        sheet.line((x - 15, y), (x + 15, y), width=width, light=light)
        sheet.line((x, y - 15), (x, y + 15), width=width, light=light)


def moire_map_picture(
    result: MoireMap, *, title: Sequence[str], safe_below: float, visible_from: float
) -> bytes:
    """Picture of a map of moire and grid; its own place is marked, safe parts are outlined.

    Parameters
    ----------
    result
        The map.
    title
        Lines above it.
    safe_below, visible_from
        Limits of visibility.

    Returns
    -------
    bytes
        PNG.
    """
    rows, columns = result.severity.shape
    cell = max(1, 840 // columns)
    size = (cell * columns, cell * rows)
    worst = np.maximum(result.moire, result.grid)[::-1]
    severity = result.severity[::-1]
    pixels = ink(_spread(
        visibility_share(worst, safe_below=safe_below, visible_from=visible_from),
        height=size[1], width=size[0],
    ))
    kinds = {Level.SAFE.value: severity == _SAFE,
             Level.UNKNOWN.value: (severity == _UNKNOWN) & ~np.isnan(worst)}
    shown = [kind for kind, cells in kinds.items() if kind == Level.SAFE.value or cells.any()]
    for kind in shown:
        hatched(pixels, _spread(kinds[kind], height=size[1], width=size[0]), kind)
    sheet = Sheet(title=title, field=size, left=120, below=200)
    sheet.cells(pixels)
    _outline(sheet, severity == _SAFE, cell)
    other = result.kind == "focus"
    ends = [np.log(axis[[0, -1]]) for axis in (result.distance_mm, result.other_mm)]
    x, y = (
        float((np.log(value) - low) / (high - low))
        for value, (low, high) in zip(result.here, ends, strict=True)
    )
    if 0 <= x <= 1 and 0 <= y <= 1:
        _here(sheet, x * size[0], (1 - y) * size[1])
    sheet.across(_log_ticks(result.distance_mm, length=size[0], scale=1e3),
                 "Distance of the wall [m]; the cross is the shot as asked")
    upright = _log_ticks(result.other_mm, length=size[1], scale=1e3 if other else 1)
    sheet.upright([(size[1] - place, text) for place, text in upright],
                  "Distance focused on [m]" if other else "Focal length [mm]")
    sheet.key(y=104, safe_below=safe_below, visible_from=visible_from,
              marks=[(kind, HATCH[kind]) for kind in shown])
    return sheet.png()
