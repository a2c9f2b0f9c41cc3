"""Map of shutter settings: frame rates down, steps of the camera's dial across."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from bandcheck.report.map_ink import visibility_share
from bandcheck.report.rounding import angle_text
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.vision.level import Level
from dashboard.figures.dial_place import place_on_dial
from dashboard.figures.look import (
    INK_SCALE,
    LEVEL_LINES,
    LOOKS,
    TEXT_PX,
    FloatArray,
    Theme,
    axis,
    cell_ink,
    floats,
    heading,
    ink_bar,
    laid_out,
    level_counts,
    plain,
)
from dashboard.figures.shutter_cells import (
    Words,
    cell_levels,
    cell_values,
    cell_words,
    empty_reason,
    torn_cells,
)

__all__ = ["described", "least_width_px", "shutter_map"]

Ranges = Sequence[Sequence[tuple[float, float]]]

_ROW_PX = 52
_COLUMN_PX = 26
_AROUND_PX = 172
_GAP_PX = 14
_RANGE_UP = 0.49
"""How far over the middle of its row a range is drawn, in rows: in the gap over the cells."""


def least_width_px(columns: int) -> int:
    """Width below which the marks of neighbouring cells would touch [px]."""
    return _COLUMN_PX * columns + 84


def _marks(
    levels: list[list[Level | None]], torn: NDArray[np.bool_], share: FloatArray, theme: Theme
) -> go.Scatter:
    """Mark of every cell, in black or white as its ink asks; what only tears says so."""
    places = [
        (column, row, level) for row, words in enumerate(levels)
        for column, level in enumerate(words) if level is not None
    ]
    return go.Scatter(
        x=[column for column, _, _ in places], y=[row for _, row, _ in places], mode="text",
        text=[
            LEVEL_MARKS[level] + "<br>tear" * bool(torn[row, column])
            for column, row, level in places
        ], hoverinfo="skip", name="marks",
        textfont={"size": 10, "color": [
            cell_ink(share[row, column], theme) for column, row, _ in places
        ]},
    )


def _empty_rows(
    refused: Sequence[str | None], computed: Sequence[bool], columns: int, theme: Theme
) -> go.Scatter:
    words = {
        row: "cannot be run" if why is not None else "not computed yet"
        for row, (why, done) in enumerate(zip(refused, computed, strict=True))
        if why is not None or not done
    }
    return go.Scatter(
        x=[(columns - 1) / 2] * len(words), y=list(words), text=list(words.values()), mode="text",
        textfont={"size": TEXT_PX, "color": LOOKS[theme].faint}, hoverinfo="skip", name="empty",
    )


def _range_traces(ranges: Ranges, angle: FloatArray, theme: Theme) -> list[go.Scatter]:
    """Exact safe ranges over their rows, and a pointer to each, since most are hairlines."""
    x: list[float | None] = []
    y: list[float | None] = []
    said: list[str | None] = []
    for row, found in enumerate(ranges):
        for ends in found:
            low, high = place_on_dial(ends, angle[row]).tolist()
            if np.isnan(low):
                continue
            words = f"safe from {angle_text(ends[0])} to {angle_text(ends[1])}"
            x += [low, high, None]
            y += [row - _RANGE_UP, row - _RANGE_UP, None]
            said += [words, words, None]
    look = LOOKS[theme]
    middle = [
        (low + high) / 2 for low, high in zip(x[::3], x[1::3], strict=True)
        if low is not None and high is not None
    ]
    return [
        go.Scatter(
            x=x, y=y, mode="lines", text=said, hoverinfo="text", name="safe ranges",
            line={"color": look.ink, "width": 3, "dash": "solid"}, connectgaps=False,
            cliponaxis=False,
        ),
        go.Scatter(
            x=middle, y=y[::3], mode="markers", text=said[::3], hoverinfo="text",
            name="middle of ranges",
            marker={"symbol": "triangle-down", "size": 8, "color": look.ink, "line": {"width": 0}},
            cliponaxis=False,
        ),
    ]


def _frames(
    present: tuple[int, int] | None, unknown: NDArray[np.bool_], theme: Theme
) -> list[dict[str, Any]]:
    """Line around the shot's own cell, double so that any ink shows it; dots where unknown."""
    look = LOOKS[theme]
    wanted = [
        (row, column, "unknown", {"color": look.faint, **LEVEL_LINES[Level.UNKNOWN]})
        for row, column in np.argwhere(unknown).tolist()
    ]
    if present is not None:
        wanted += [
            (*present, "present", {"color": colour, "width": width})
            for colour, width in ((look.ink, 6), (look.page, 2))
        ]
    return [
        {"type": "rect", "x0": column - 0.48, "x1": column + 0.48, "y0": row - 0.35,
         "y1": row + 0.35, "name": name, "line": line}
        for row, column, name, line in wanted
    ]


def _categories(
    theme: Theme, names: Sequence[str], *, title: str = "", downwards: bool = False
) -> dict[str, Any]:
    """Axis of columns or rows of equal width."""
    ends = [-0.5, len(names) - 0.5]
    return axis(
        theme, title, range=ends[::-1] if downwards else ends, showgrid=False,
        autotickangles=[0, -90], tickvals=list(range(len(names))),
        ticktext=[plain(each) for each in names],
    )


def shutter_map(
    *, rates: Sequence[str], columns: Sequence[str], angle_deg: Any, exposure: Words,
    visibility: Any, level: Words, worst_signal_pct: Any, safe_ranges_deg: Ranges,
    refused: Sequence[str | None], computed: Sequence[bool], present: tuple[int, int] | None,
    safe_below: float, visible_from: float, columns_in_time: bool, theme: Theme,
) -> go.Figure:
    """Visibility over frame rates and the dial's own steps, columns of equal width.

    Parameters
    ----------
    rates, columns
        Texts of R rates, from the top, and of C steps.
    angle_deg, exposure
        Angle [deg], rising along a row, and exposure as text of each cell; None where a rate does
        not have the step. Shape (R, C).
    visibility, level, worst_signal_pct
        V, word of the level and signal level that is worst [%], shape (R, C); None where not known.
    safe_ranges_deg
        For each rate the exact safe ranges (from, to) [deg].
    refused, computed
        For each rate why it cannot be run, or None; and whether it has been computed.
    present
        Row and column of the shot itself; None: not on the map.
    safe_below, visible_from
        Limits of V.
    columns_in_time
        Whether the dial is marked in times.
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Each cell's `customdata`: rate, angle [deg], exposure, V, level, worst signal level [%].
    """
    limits, angle, value = (safe_below, visible_from), floats(angle_deg), floats(visibility)
    levels = cell_levels(
        visibility=visibility, level=level, refused=refused, computed=computed
    )
    empty = np.array([[each is None for each in row] for row in levels], dtype=np.bool_)
    torn = torn_cells(value, levels, visible_from)
    share = visibility_share(
        np.where(empty, np.nan, value), safe_below=safe_below, visible_from=visible_from
    )
    cells = cell_values(rates, angle, exposure, value, levels, floats(worst_signal_pct))
    said = [
        [cell_words(cell, each, limits, empty_reason(rates[row], refused[row], computed[row]))
         + ", it tears" * bool(tears)
         for cell, each, tears in zip(cells[row], levels[row], torn[row], strict=True)]
        for row in range(len(rates))
    ]
    traces = [
        go.Heatmap(
            z=share, zmin=0, zmax=1, colorscale=INK_SCALE, customdata=cells, text=said,
            hoverinfo="text", xgap=2, ygap=_GAP_PX, name="cells", hoverongaps=True,
            colorbar=ink_bar(theme, safe_below=safe_below, visible_from=visible_from),
        ),
        _marks(levels, torn, share, theme), _empty_rows(refused, computed, len(columns), theme),
        *_range_traces(safe_ranges_deg, angle, theme),
    ]
    across = f"Shutter {'speed' if columns_in_time else 'angle'} on the dial"
    return laid_out(
        traces, theme, height=_ROW_PX * len(rates) + _AROUND_PX,
        margin={"l": 8, "r": 8, "t": 30, "b": 118, "pad": 0},
        shapes=_frames(present, np.isnan(share) & ~empty, theme),
        annotations=[heading(theme, "Frames/s", y=1, xanchor="right", xshift=-8, yshift=8)],
        xaxis=_categories(theme, columns, title=f"{across} ({'s' if columns_in_time else '°'})"),
        yaxis=_categories(theme, rates, downwards=True),
    )


def described(
    *, rates: Sequence[str], columns: Sequence[str], visibility: Any, level: Words,
    refused: Sequence[str | None], computed: Sequence[bool], present: tuple[int, int] | None,
) -> str:
    """One sentence that says what `shutter_map` shows, from the same arrays."""
    levels = cell_levels(visibility=visibility, level=level, refused=refused, computed=computed)
    counted = level_counts(each for row in levels for each in row if each is not None)
    parts = [
        f"Map of {len(rates)} frame rates and {len(columns)} shutter settings: {counted}"
    ]
    if present is not None:
        row, column = present
        here = levels[row][column]
        parts.append(
            f"set now: {rates[row]} frames/s at {columns[column]},"
            f" {'not computed' if here is None else here.value}"
        )
    stopped = [rate for rate, why in zip(rates, refused, strict=True) if why is not None]
    if stopped:
        parts.append(f"cannot be run: {', '.join(stopped)} frames/s")
    waiting = sum(not done for done in computed)
    if waiting:
        parts.append(f"not computed yet: {waiting} of the rates")
    return "; ".join(parts) + "."
