"""Traces of the timeline: boxes, bars and uprights over a time in ms."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import ArrayLike

from bandcheck.report.rounding import number_text
from dashboard.figures.look import LOOKS, TEXT_PX, FloatArray, Theme, floats

__all__ = ["lit_trace", "moments", "row_trace", "slot_traces", "spread_boxes"]

_BAR_PX = 11
_MOST_NUMBERED = 6


def _ms(times_s: ArrayLike) -> FloatArray:
    return 1e3 * floats(times_s)


def _boxes(start: FloatArray, end: FloatArray, height: FloatArray) -> tuple[list[Any], list[Any]]:
    """Outlines of boxes that stand on 0, one after the other with a gap in the line between."""
    gap, ground = np.full(start.size, np.nan), np.zeros(start.size)
    x = np.column_stack([start, start, end, end, start, gap]).ravel()
    y = np.column_stack([ground, height, height, ground, ground, gap]).ravel()
    return x.tolist(), y.tolist()


def _upright(times: FloatArray) -> tuple[list[Any], list[Any]]:
    gap = np.full(times.size, np.nan)
    return (
        np.column_stack([times, times, gap]).ravel().tolist(),
        np.tile([0.0, 1.0, np.nan], times.size).tolist(),
    )


def lit_trace(
    name: str, lit: tuple[ArrayLike, ArrayLike, ArrayLike], theme: Theme
) -> go.Scatter:
    """Box for every pulse or block, as high as the share of it that is lit."""
    x, y = _boxes(_ms(lit[0]), _ms(lit[1]), floats(lit[2]))
    return go.Scatter(
        x=x, y=y, mode="lines", fill="toself", name=name, showlegend=False,
        fillcolor=LOOKS[theme].ink, line={"color": LOOKS[theme].ink, "width": 1}, hoverinfo="skip",
    )


def slot_traces(
    line: ArrayLike, start_s: ArrayLike, end_s: ArrayLike, theme: Theme
) -> list[go.Scatter]:
    """Box for every slot, with the number of its line where there is room."""
    number, start, end = np.asarray(line), _ms(start_s), _ms(end_s)
    x, y = _boxes(start, end, np.ones(start.size))
    look = LOOKS[theme]
    return [
        go.Scatter(
            x=x, y=y, mode="lines", name="scan slots", showlegend=False,
            line={"color": look.faint, "width": 1}, hoverinfo="skip",
        ),
        go.Scatter(
            x=(start + end) / 2, y=np.full(start.size, 0.5), name="scan lines",
            mode="text" if start.size <= _MOST_NUMBERED else "markers",
            text=[str(each) for each in number.tolist()], hovertext=[
                f"slot of scan line {each}, {number_text(at, decimals=5)} ms"
                for each, at in zip(number.tolist(), start, strict=True)
            ],
            hoverinfo="text", showlegend=False, marker={"size": 4, "color": look.faint},
            textfont={"size": TEXT_PX - 1, "color": look.ink},
        ),
    ]


def row_trace(
    row: ArrayLike, frame: ArrayLike, open_s: ArrayLike, close_s: ArrayLike, theme: Theme
) -> go.Scatter:
    """Bar from opening to closing for every row of every frame; rows in equal steps."""
    rows, frames = np.asarray(row), np.asarray(frame)
    opens, closes = _ms(open_s), _ms(close_s)
    gap = np.full(opens.shape, np.nan)
    x = np.stack([opens, closes, gap], axis=-1).ravel()
    y = np.broadcast_to(np.arange(rows.size)[:, np.newaxis], (*opens.shape, 3)).ravel()
    said = [
        text for place, number in enumerate(frames.tolist()) for each, name in enumerate(rows)
        for text in [
            f"row {name}, camera frame {number}<br>open"
            f" {number_text(opens[place, each], decimals=4)} to"
            f" {number_text(closes[place, each], decimals=4)} ms"
        ] * 3
    ]
    return go.Scatter(
        x=x, y=y, mode="lines", name="row open", text=said, hoverinfo="text",
        line={"color": LOOKS[theme].accent, "width": _BAR_PX}, connectgaps=False,
    )


def moments(
    *, change_s: ArrayLike, wall_frame_s: ArrayLike, camera_frame_s: ArrayLike, theme: Theme
) -> list[go.Scatter]:
    """Lines through the whole figure."""
    look = LOOKS[theme]
    kinds: Sequence[tuple[str, ArrayLike, dict[str, Any]]] = (
        ("wall frame starts", wall_frame_s, {"color": look.faint, "width": 1, "dash": "dot"}),
        ("camera frame starts", camera_frame_s, {"color": look.faint, "width": 1, "dash": "dash"}),
        ("picture changes", change_s, {"color": look.ink, "width": 2, "dash": "solid"}),
    )
    traces = []
    for name, times_s, line in kinds:
        times = _ms(times_s)
        x, y = _upright(times)
        traces.append(go.Scatter(
            x=x, y=y, yaxis="y9", mode="lines", name=name, line=line, hoverinfo="text",
            text=np.repeat([f"{name}, {number_text(each, decimals=4)} ms" for each in times], 3),
            showlegend=bool(times.size),
        ))
    return traces


def spread_boxes(
    change_s: ArrayLike, change_spread_s: float, theme: Theme
) -> list[dict[str, Any]]:
    """Time that each change of the picture takes, hatched by its two edges."""
    if change_spread_s == 0:
        return []
    return [
        {"type": "rect", "x0": begin, "x1": begin + 1e3 * change_spread_s, "y0": 0, "y1": 1,
         "yref": "paper", "fillcolor": LOOKS[theme].ink, "opacity": 0.18, "line": {"width": 0},
         "layer": "below", "name": "change under way"}
        for begin in _ms(change_s).tolist()
    ]
