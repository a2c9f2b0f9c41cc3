"""Map of moire: distance of the wall across, distance focused on or focal length up."""

from typing import Any, Literal

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from bandcheck.report.map_ink import visibility_share
from bandcheck.report.rounding import number_text
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.vision.level import Level
from dashboard.figures.look import (
    INK_SCALE,
    LEVEL_LINES,
    LOOKS,
    FloatArray,
    Theme,
    axis,
    cell_ink,
    floats,
    heading,
    ink_bar,
    laid_out,
    level_counts,
)

__all__ = ["described", "focus_map"]

Kind = Literal["focus", "focal"]

_HEIGHT_PX = 520
_STEPS = (1, 2, 5)
_MM_PER_M = 1e3
_SIGNS_ACROSS = 12
_HOVER = "wall at %{{x:.2f}} m<br>{}<br>V %{{customdata:.3f}}, %{{text}}<extra></extra>"


def _scale(kind: Kind) -> tuple[str, float]:
    """Name of the upright axis, and millimetres in its unit."""
    return ("Focused on (m)", _MM_PER_M) if kind == "focus" else ("Focal length (mm)", 1.0)


def _even_in_log(values: FloatArray) -> dict[str, Any]:
    """Ends and round values of an axis that is even in its logarithm."""
    low, high = values[[0, -1]]
    found = [
        step * 10.0**decade for decade in range(-3, 6) for step in _STEPS
        if low <= step * 10.0**decade <= high
    ]
    return {
        "tickvals": found, "ticktext": [number_text(each, decimals=3) for each in found],
        "range": np.log10([low, high]).tolist(),
    }


def _shown_levels(severity: Any, worst: FloatArray) -> list[list[Level]]:
    """Level of each cell; without a V no cell is better than unknown."""
    return [
        [
            max(Level.of_severity(int(each)), Level.UNKNOWN) if np.isnan(value)
            else Level.of_severity(int(each))
            for each, value in zip(row, values, strict=True)
        ]
        for row, values in zip(np.asarray(severity), worst, strict=True)
    ]


def _rings(
    distance: FloatArray, other: FloatArray, cells: NDArray[np.bool_], level: Level, theme: Theme
) -> list[go.Contour]:
    """Line of a level around its cells, on a line of paper so that it shows on any ink."""
    look = LOOKS[theme]
    return [
        go.Contour(
            x=distance, y=other, z=cells.astype(np.int8), name=level.value, showscale=False,
            hoverinfo="skip", line={"smoothing": 0, **line},
            contours={"start": 0.5, "end": 0.5, "size": 1, "coloring": "none"},
        )
        for line in (
            {"color": look.page, "width": 5}, {"color": look.ink, **LEVEL_LINES[level]},
        ) if cells.any()
    ]


def _here(x: float, y: float, theme: Theme) -> list[go.Scatter]:
    look = LOOKS[theme]
    return [
        go.Scatter(
            x=[x], y=[y], mode="markers", name="the shot", hoverinfo="skip", cliponaxis=False,
            marker={
                "symbol": "cross-thin", "size": size,
                "line": {"color": colour, "width": width}, "color": colour,
            },
        )
        for colour, size, width in ((look.page, 24, 7), (look.ink, 20, 3))
    ]


def _signs(
    distance: FloatArray, other: FloatArray, levels: list[list[Level]], share: FloatArray,
    theme: Theme,
) -> go.Scatter:
    """Signs of the marks strewn over what is safe or not known, so that it reads without ink."""
    row_step, column_step = (max(1, each.size // _SIGNS_ACROSS) for each in (other, distance))
    places = [
        (row, column, levels[row][column])
        for row in range(row_step // 2, other.size, row_step)
        for column in range(column_step // 2, distance.size, column_step)
        if levels[row][column] in (Level.SAFE, Level.UNKNOWN)
    ]
    return go.Scatter(
        x=[distance[column] for _, column, _ in places],
        y=[other[row] for row, *_ in places], mode="text", name="signs", hoverinfo="skip",
        text=[LEVEL_MARKS[level].strip("( )") for *_, level in places],
        textfont={"size": 11, "color": [
            cell_ink(share[row, column], theme) for row, column, _ in places
        ]},
    )


def focus_map(
    *, distance_mm: Any, other_mm: Any, moire: Any, grid: Any, severity: Any,
    here: tuple[float, float], kind: Kind, safe_below: float, visible_from: float, theme: Theme,
) -> go.Figure:
    """Visibility of moire and LED grid, the worse of the two, with what is safe outlined.

    Parameters
    ----------
    distance_mm, other_mm
        Axes [mm], rising, shapes (D,) and (O,).
    moire, grid
        V, shape (O, D); NaN where no lens can be so.
    severity
        Worst grade of both as a number, shape (O, D).
    here
        Distance and second value of the shot itself [mm].
    kind
        Whether the second axis is the distance focused on or the focal length.
    safe_below, visible_from
        Limits of V.
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Axes even in their logarithm, in metres but for focal lengths; cells hold the place on the
        scale of ink and, as `customdata`, V.
    """
    title, unit = _scale(kind)
    distance, other = floats(distance_mm) / _MM_PER_M, floats(other_mm) / unit
    worst = np.maximum(floats(moire), floats(grid))
    levels = _shown_levels(severity, worst)
    grades = np.array([[level.severity for level in row] for row in levels])
    unknown = (grades == Level.UNKNOWN.severity) & ~np.isnan(worst)
    share = visibility_share(worst, safe_below=safe_below, visible_from=visible_from)
    traces = [
        go.Heatmap(
            x=distance, y=other, z=share, zmin=0, zmax=1, colorscale=INK_SCALE, customdata=worst,
            text=[[level.value for level in row] for row in levels], name="V",
            hovertemplate=_HOVER.format(title.replace(" (", " %{y:.2f} ").removesuffix(")")),
            colorbar=ink_bar(theme, safe_below=safe_below, visible_from=visible_from),
        ),
        *_rings(distance, other, grades == Level.SAFE.severity, Level.SAFE, theme),
        *_rings(distance, other, unknown, Level.UNKNOWN, theme),
        _signs(distance, other, levels, share, theme),
        *_here(here[0] / _MM_PER_M, here[1] / unit, theme),
    ]
    return laid_out(
        traces, theme, height=_HEIGHT_PX, margin={"l": 8, "r": 12, "t": 28, "b": 104, "pad": 0},
        annotations=[heading(theme, title, y=1.005)],
        xaxis=axis(
            theme, "Distance of the wall (m)", type="log", showgrid=False, **_even_in_log(distance)
        ),
        yaxis=axis(theme, type="log", showgrid=False, **_even_in_log(other)),
    )


def described(
    *, distance_mm: Any, other_mm: Any, moire: Any, grid: Any, severity: Any,
    here: tuple[float, float], kind: Kind,
) -> str:
    """One sentence that says what `focus_map` shows, from the same arrays."""
    title, unit = _scale(kind)
    words, name = title.removesuffix(")").lower().split(" (")
    worst = np.maximum(floats(moire), floats(grid))
    levels = _shown_levels(severity, worst)
    row, column = (
        int(np.abs(np.log(floats(axis_mm) / at)).argmin())
        for axis_mm, at in ((other_mm, here[1]), (distance_mm, here[0]))
    )
    shot = (
        f"wall at {number_text(here[0] / _MM_PER_M, decimals=2)} m, {words}"
        f" {number_text(here[1] / unit, decimals=2)} {name}"
    )
    return (
        f"Map of moire: {level_counts(level for each in levels for level in each)} cells;"
        f" at the shot's own place, {shot}: {levels[row][column].value}."
    )
