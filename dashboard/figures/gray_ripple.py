"""Visibility and ripple against gray level, with the limits and the lowest safe level."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from bandcheck.report.rounding import number_text, visibility_text
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.vision.level import Level
from dashboard.figures.look import (
    LEVEL_LINES,
    LOOKS,
    TEXT_PX,
    FloatArray,
    Theme,
    axis,
    floats,
    heading,
    laid_out,
)

__all__ = ["described", "graded_levels", "gray_ripple"]

_HEIGHT_PX = 400
_SIGNAL_TICKS = (1, 2, 5, 10, 20, 50, 100)
_NEAR_BELOW, _FAR_BELOW = 10.0, 100.0
_RIM, _MARK_ROOM = 0.03, 0.22
"""Decades by which a run reaches past its ends, and room that a mark takes on a phone."""

_UPPER, _STRIP, _LOWER = (0.44, 1.0), (0.325, 0.4), (0.0, 0.25)
"""From the lower edge: V, the marks of its levels, ripple."""


def graded_levels(
    visibility: Any, *, safe_below: float, visible_from: float
) -> list[Level]:
    """Level of each V; unknown where there is none."""
    return [
        Level.UNKNOWN if np.isnan(value) else Level.SAFE if value < safe_below
        else Level.MARGINAL if value < visible_from else Level.VISIBLE
        for value in floats(visibility)
    ]


def _points(
    *, signal: FloatArray, value: FloatArray, ripple: FloatArray, decides: NDArray[np.bool_],
    levels: Sequence[Level], limits: tuple[float, float], theme: Theme,
) -> list[go.Scatter]:
    """Line of V with a mark at each level; what lies under the axis is drawn on its edge."""
    look, floor = LOOKS[theme], _floor(value, limits[0])
    said = [
        f"{number_text(each, decimals=2)} % signal: V {visibility_text(v, limits=limits)}"
        f" {LEVEL_MARKS[level]} {level.value}<br>"
        + ("ripple not known" if np.isnan(r) else f"ripple {number_text(r, decimals=2)} %")
        + ("" if d else "<br>shown only, does not decide")
        for each, v, r, level, d in zip(signal, value, ripple, levels, decides, strict=True)
    ]
    points = {
        "symbol": np.where(decides, "circle", "circle-open").tolist(), "color": look.ink,
        "size": np.where(decides, 10, 6).tolist(), "opacity": 1,
    }
    under, lost = value < floor, np.isnan(value)
    edge = np.where(lost, limits[1], floor)
    return [
        go.Scatter(
            x=signal, y=np.where(under, np.nan, value), mode="lines+markers", name="V",
            hovertext=said, hoverinfo="text", line={"color": look.ink, "width": 2},
            marker=points, cliponaxis=False,
        ),
        go.Scatter(
            x=signal[under | lost], y=edge[under | lost], customdata=value[under | lost],
            mode="markers", name="off the scale", hoverinfo="text", cliponaxis=False,
            hovertext=np.array(said)[under | lost].tolist(),
            marker={"size": 10, "color": look.ink, "symbol": [
                "triangle-down" if low else "diamond-open" for low in under[under | lost]
            ]},
        ),
        go.Scatter(
            x=signal, y=ripple, mode="lines+markers", name="ripple", yaxis="y2", hovertext=said,
            hoverinfo="text", line={"color": look.ink, "width": 2}, cliponaxis=False,
            marker=points,
        ),
    ]


def _level_runs(signal: FloatArray, levels: Sequence[Level], theme: Theme) -> list[go.Scatter]:
    """Line of its level under each run of neighbours that are alike, and its mark where it fits.

    What lies between a better level and a worse one was not looked at and goes to the worse.
    """
    if not levels:
        return []
    look, log = LOOKS[theme], np.log10(signal)
    first = [
        place for place, level in enumerate(levels) if place == 0 or level != levels[place - 1]
    ]
    turns = [log[min((place - 1, place), key=lambda each: levels[each])] for place in first[1:]]
    edges = [log[0] - _RIM, *turns, log[-1] + _RIM]
    runs = list(zip(edges, edges[1:], [levels[place] for place in first], strict=False))
    marked = [
        ((low + high) / 2, level) for low, high, level in runs
        if high - low >= _MARK_ROOM or level is Level.UNKNOWN
    ]
    return [
        *(go.Scatter(
            x=10 ** np.array([low, high]), y=[-0.8] * 2, yaxis="y3", mode="lines", name="levels",
            hoverinfo="text", hovertext=[level.value] * 2, cliponaxis=False,
            line={"color": look.ink, **LEVEL_LINES[level]},
        ) for low, high, level in runs),
        go.Scatter(
            x=10 ** np.array([middle for middle, _ in marked]), y=[0.3] * len(marked), yaxis="y3",
            text=[LEVEL_MARKS[level] for _, level in marked], mode="text", name="marks",
            hoverinfo="skip", textfont={"color": look.ink, "size": 11}, cliponaxis=False,
        ),
    ]


def _limit_lines(limits: tuple[float, float], theme: Theme) -> tuple[list[Any], list[Any]]:
    """Lines at both limits of V, and their words."""
    look, shapes, notes = LOOKS[theme], [], []
    for limit, word, level in zip(
        limits, ("safe below", "visible from"), (Level.SAFE, Level.VISIBLE), strict=True
    ):
        shapes.append({
            "type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": limit, "y1": limit,
            "layer": "below", "name": word,
            "line": {"color": look.faint, **LEVEL_LINES[level], "width": 1.5},
        })
        notes.append({
            "text": f"{word} {number_text(limit, decimals=2)}", "xref": "paper", "x": 1,
            "y": float(np.log10(limit)), "xanchor": "right", "yanchor": "bottom",
            "showarrow": False, "font": {"color": look.faint, "size": TEXT_PX - 1},
        })
    return shapes, notes


def _lowest(lowest_safe_pct: float | None, theme: Theme) -> tuple[list[Any], list[Any]]:
    """Upright line at the lowest safe level, and its words."""
    look = LOOKS[theme]
    place: dict[str, Any] = {"x": 1, "xanchor": "right", "y": 1.01}
    if lowest_safe_pct is None:
        return [], [heading(theme, "not safe at white", **place)]
    return [{
        "type": "line", "x0": lowest_safe_pct, "x1": lowest_safe_pct, "yref": "paper", "y0": 0,
        "y1": 1, "layer": "below", "name": "lowest safe level",
        "line": {"color": look.accent, "width": 2},
    }], [heading(
        theme, f"safe from {number_text(lowest_safe_pct, decimals=2)} % up",
        font={"color": look.accent, "size": TEXT_PX}, **place,
    )]


def _floor(value: FloatArray, safe_below: float) -> float:
    """Lower end of the axis of V: a decade under what is safe, or two where one cuts values off."""
    near = safe_below / _NEAR_BELOW
    return safe_below / _FAR_BELOW if (value < near).any() else near


def _visibility_range(value: FloatArray, limits: tuple[float, float]) -> list[float]:
    """Ends of the axis of V, as powers of ten; all that is above its floor is on it."""
    top = np.nanmax([4 * limits[1], *(2.5 * value)])
    return [float(np.log10(_floor(value, limits[0]))), float(np.log10(top))]


def gray_ripple(
    *, signal_pct: Any, visibility: Any, ripple_pct: Any, decides: Sequence[bool],
    lowest_safe_pct: float | None, safe_below: float, visible_from: float, theme: Theme,
) -> go.Figure:
    """V (its axis even in the logarithm) and ripple at gray levels.

    Parameters
    ----------
    signal_pct
        Signal levels [%], shape (L,).
    visibility, ripple_pct
        V and ripple peak to peak over mean [%], shape (L,); NaN or None where not known.
    decides
        Whether the verdict is over each level.
    lowest_safe_pct
        Signal from which up the setting is safe [%]; None: white is not.
    safe_below, visible_from
        Limits of V.
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Filled points decide, open ones are shown beside them.
    """
    limits, order = (safe_below, visible_from), np.argsort(floats(signal_pct), kind="stable")
    signal, value, ripple = (
        floats(each)[order] for each in (signal_pct, visibility, ripple_pct)
    )
    lines, words = _limit_lines(limits, theme)
    lowest, lowest_words = _lowest(lowest_safe_pct, theme)
    levels = graded_levels(value, safe_below=safe_below, visible_from=visible_from)
    traces = [
        *_points(
            signal=signal, value=value, ripple=ripple, levels=levels, limits=limits, theme=theme,
            decides=np.array(decides, dtype=bool)[order],
        ),
        *_level_runs(signal, levels, theme),
    ]
    return laid_out(
        traces, theme, height=_HEIGHT_PX, shapes=[*lines, *lowest],
        annotations=[
            *words, *lowest_words, heading(theme, "Visibility V", y=1.01),
            heading(theme, "Ripple (%)", y=_LOWER[1] + 0.01),
        ],
        xaxis=axis(
            theme, "Signal level (%), filled points decide", type="log", anchor="y2",
            showgrid=False, tickvals=_SIGNAL_TICKS, ticktext=[str(each) for each in _SIGNAL_TICKS],
            range=np.log10([min(0.8, 0.8 * signal.min(initial=1)), 125]).tolist(),
        ),
        yaxis=axis(
            theme, type="log", domain=_UPPER, showgrid=False, dtick=1,
            range=_visibility_range(value, limits),
        ),
        yaxis2=axis(
            theme, domain=_LOWER, rangemode="tozero", nticks=4,
        ),
        yaxis3=axis(theme, domain=_STRIP, visible=False, range=[-1, 1]),
    )


def described(
    *, signal_pct: Any, visibility: Any, lowest_safe_pct: float | None, safe_below: float,
    visible_from: float,
) -> str:
    """One sentence that says what `gray_ripple` shows, from the same arrays."""
    limits = (safe_below, visible_from)
    levels = graded_levels(visibility, safe_below=safe_below, visible_from=visible_from)
    each = ", ".join(
        f"{number_text(signal, decimals=2)} % V {visibility_text(value, limits=limits)}"
        f" {level.value}"
        for signal, value, level in zip(
            floats(signal_pct), floats(visibility), levels, strict=True
        )
    )
    lowest = (
        "not safe at white" if lowest_safe_pct is None
        else f"safe from {number_text(lowest_safe_pct, decimals=2)} % signal up"
    )
    return f"Visibility by gray level: {each}; {lowest}."
