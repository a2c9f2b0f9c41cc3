"""A measured picture's rows, spectrum and fit, drawn under each other."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bandcheck.report.measure_text import figure_text
from bandcheck.report.picture_sheet import Sheet
from bandcheck.report.rounding import number_text
from bandcheck.verdict.agreement import PictureBands, Reading

__all__ = ["measure_picture"]

FloatArray = NDArray[np.float64]

_WIDTH, _HEIGHT, _GAP = 960, 260, 90
_SHADE = 225
_MOST_POINTS = 1920
_DECADES, _HEADROOM = 7.0, 0.4


def _title(bands: PictureBands, readings: Sequence[Reading]) -> tuple[str, ...]:
    left, top, width, height = bands.region
    told = [
        f"every {figure_text(each.source.period_rows, 'rows')}, contrast"
        f" {figure_text(each.source.contrast, '%', scale=100)}" for each in readings
    ]
    limit = number_text(100 * bands.detectable, decimals=3)
    return (
        f"Measured: {bands.name}, region {left},{top},{width},{height}",
        f"Bands {'; '.join(told)}" if told else
        f"No periodic bands found; anything above {limit} % would have been seen",
    )


def _line(sheet: Sheet, x: FloatArray, y: FloatArray, *, top: int, width: int) -> None:
    """Draw a curve in a panel; x and y as shares of it, y upwards."""
    step = max(1, len(x) // _MOST_POINTS)
    across, down = _WIDTH * x[::step], top + _HEIGHT * (1 - np.clip(y[::step], 0, 1))
    points = list(zip(across.tolist(), down.tolist(), strict=True))
    if len(points) > 1:
        sheet.line(*points, width=width)


def _shaded(field: NDArray[np.uint8], x: FloatArray, low: FloatArray, high: FloatArray) -> None:
    """Shade a panel between two curves, for data that a line of its own would hide the fit in."""
    columns = np.clip((x * (_WIDTH - 1)).astype(int), 0, _WIDTH - 1)
    ends = [_HEIGHT * (1 - np.clip(each, 0, 1)) for each in (high, low)]
    for column, first, last in zip(columns, *ends, strict=True):
        field[int(first) : max(int(last), int(first)) + 2, column : column + 2] = 150


def measure_picture(bands: PictureBands, readings: Sequence[Reading]) -> bytes:
    """Row profile with the fit over it, and the spectrum with the noise and the limit.

    Parameters
    ----------
    bands
        What the picture shows.
    readings
        Its figures.

    Returns
    -------
    bytes
        PNG.
    """
    used = bands.weight > 0
    rows = np.flatnonzero(used)
    spread = float(np.quantile(np.abs(bands.light[used]), 0.999)) if rows.size else 1.0
    reach = 1.15 * max(spread, float(np.abs(bands.fitted).max()), 1e-9)
    place = rows / max(len(bands.light) - 1, 1)
    field = np.full((2 * _HEIGHT + _GAP, _WIDTH, 3), 255, dtype=np.uint8)
    upper = field[:_HEIGHT]
    own = 0.5 + bands.light[used] / reach / 2
    _shaded(upper, place, own, own)
    top = float(np.log10(max(bands.power.max(), 1e-290))) + _HEADROOM
    bottom = top - _DECADES
    logs = [
        (np.log10(np.maximum(each, 1e-300)) - bottom) / _DECADES
        for each in (bands.power, bands.noise, bands.real_from)
    ]
    across = bands.cycles / 0.5
    _shaded(field[_HEIGHT + _GAP :], across, np.zeros(len(across)), logs[0])
    field[_HEIGHT : _HEIGHT + _GAP] = 255
    sheet = Sheet(
        title=_title(bands, readings), field=(_WIDTH, 2 * _HEIGHT + _GAP), left=110, below=100
    )
    sheet.cells(field)
    _line(sheet, np.linspace(0, 1, len(bands.fitted)), 0.5 + bands.fitted / reach / 2, top=0,
          width=2)
    lower = _HEIGHT + _GAP
    _line(sheet, across, logs[1], top=lower, width=2)
    _line(sheet, across, logs[2], top=lower, width=1)
    _axes(sheet, bands, reach, (bottom, top))
    return sheet.png()


def _axes(
    sheet: Sheet, bands: PictureBands, reach: float, powers: tuple[float, float]
) -> None:
    """Frames, ticks and words; `powers` are the logarithms at the ends of the lower panel."""
    bottom, top = powers
    lower = _HEIGHT + _GAP
    sheet.line((0, _HEIGHT), (_WIDTH, _HEIGHT), width=2)
    sheet.line((0, lower), (_WIDTH, lower), width=2)
    first = bands.region[1] if bands.along == "rows" else bands.region[0]
    last = first + len(bands.light) - 1
    for share in (0, 0.25, 0.5, 0.75, 1):
        row = round(first + share * (last - first))
        anchor = "la" if share == 0 else "ra" if share == 1 else "ma"
        sheet.text(str(row), x=sheet.left + share * _WIDTH, y=sheet.top + _HEIGHT + 6,
                   anchor=anchor, size=16)
    sheet.text("Row; gray: light over its trend, line: fit", x=sheet.left + _WIDTH / 2,
               y=sheet.top + _HEIGHT + 28, anchor="ma")
    sheet.upright(
        [(_HEIGHT * (0.5 - each / 2.3),
          f"{number_text(100 * each * reach / 1.15, decimals=2)} %") for each in (-1, 0, 1)]
        + [(lower + _HEIGHT * (top - each) / _DECADES, f"1e{each}")
           for each in range(math.ceil(bottom), math.floor(top) + 1)],
        "Power                         Light against trend",
    )
    ticks = [(share * _WIDTH, number_text(share / 2, decimals=2)) for share in
             (0, 0.2, 0.4, 0.6, 0.8, 1)]
    sheet.across(ticks, "Bands in a row of the picture; lines: noise, and from where on a band is"
                        " real")
