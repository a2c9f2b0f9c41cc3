"""The wall's light, the camera's rows and the changes of the picture on one axis of time."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import ArrayLike

from bandcheck.report.rounding import number_text
from dashboard.figures.look import (
    LOOKS,
    TEXT_PX,
    FloatArray,
    Theme,
    axis,
    floats,
    heading,
    laid_out,
)

__all__ = ["described", "timeline"]

Lit = Mapping[str, tuple[ArrayLike, ArrayLike, ArrayLike]]

_LANE_PX, _SLOT_PX, _ROW_PX = 46, 22, 22
_HEAD_PX = 40
_BELOW_PX = 128
_TOP_PX = 8
_BAR_PX = 11
_LEGEND_DOWN_PX = 46
_MOST_NUMBERED, _MOST_SLOTS = 6, 100


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


def _lit_trace(
    name: str, lit: tuple[ArrayLike, ArrayLike, ArrayLike], *, yaxis: str, theme: Theme
) -> go.Scatter:
    x, y = _boxes(_ms(lit[0]), _ms(lit[1]), floats(lit[2]))
    return go.Scatter(
        x=x, y=y, yaxis=yaxis, mode="lines", fill="toself", name=name, showlegend=False,
        fillcolor=LOOKS[theme].ink, line={"color": LOOKS[theme].ink, "width": 1}, hoverinfo="skip",
    )


def _slot_traces(
    line: ArrayLike, start_s: ArrayLike, end_s: ArrayLike, *, yaxis: str, theme: Theme
) -> list[go.Scatter]:
    number, start, end = np.asarray(line), _ms(start_s), _ms(end_s)
    x, y = _boxes(start, end, np.ones(start.size))
    look = LOOKS[theme]
    return [
        go.Scatter(
            x=x, y=y, yaxis=yaxis, mode="lines", name="scan slots", showlegend=False,
            line={"color": look.faint, "width": 1}, hoverinfo="skip",
        ),
        go.Scatter(
            x=(start + end) / 2, y=np.full(start.size, 0.5), yaxis=yaxis, name="scan lines",
            mode="text" if start.size <= _MOST_NUMBERED else "markers",
            text=[str(each) for each in number.tolist()], hovertext=[
                f"slot of scan line {each}, {number_text(at, decimals=5)} ms"
                for each, at in zip(number.tolist(), start, strict=True)
            ],
            hoverinfo="text", showlegend=False, marker={"size": 4, "color": look.faint},
            textfont={"size": TEXT_PX - 1, "color": look.ink},
        ),
    ]


def _slot_words(line: ArrayLike) -> str:
    number = np.asarray(line)
    shown = ", ".join(str(each) for each in np.unique(number).tolist())
    return f"Slots of scan lines {shown}" + (
        ": zoom in to tell them apart" if number.size > _MOST_SLOTS else ""
    )


def _row_trace(
    row: ArrayLike, frame: ArrayLike, open_s: ArrayLike, close_s: ArrayLike, *, theme: Theme
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
        x=x, y=y, yaxis="y", mode="lines", name="row open", text=said, hoverinfo="text",
        line={"color": LOOKS[theme].accent, "width": _BAR_PX}, connectgaps=False,
    )


def _moments(
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


def _spread_boxes(
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


def _lit_words(name: str, line: int, refreshes_each: int, top: float) -> str:
    colour = "" if name == "white" else f", {name}"
    if refreshes_each == 0:
        return f"Light of scan line {line}{colour}"
    many = "one refresh" if refreshes_each == 1 else f"{refreshes_each} refreshes"
    return (
        f"Light of scan line {line}{colour}: each bar {many},<br>"
        f"full height lit {number_text(100 * top, decimals=2)} % of the time"
    )


def timeline(
    *, from_s: float, to_s: float, line: int, lit: Lit, refreshes_each: Mapping[str, int],
    slot_line: ArrayLike, slot_start_s: ArrayLike, slot_end_s: ArrayLike, row: ArrayLike,
    frame: ArrayLike, open_s: ArrayLike, close_s: ArrayLike, change_s: ArrayLike,
    change_spread_s: float, wall_frame_s: ArrayLike, camera_frame_s: ArrayLike, theme: Theme,
) -> go.Figure:
    """Light of a scan line over the windows of camera rows, between two moments.

    Parameters
    ----------
    from_s, to_s
        Window [s].
    line
        Scan line whose light is drawn.
    lit
        Colour to starts [s], ends [s] and lit shares of pulses or blocks, shape (P,) each.
    refreshes_each
        Colour to refreshes in a block; 0 for single pulses.
    slot_line, slot_start_s, slot_end_s
        Scan line, start and end of slots [s], shape (N,); empty where they are left out.
    row, frame
        Camera rows from the top, shape (N,), and numbers of camera frames, shape (F,).
    open_s, close_s
        When each row of each frame is open [s], shape (F, N).
    change_s, change_spread_s
        When the wall's picture changes, shape (C,), and how long that takes [s].
    wall_frame_s, camera_frame_s
        Starts of frames [s].
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Can be zoomed along the time; times in ms, unrounded.
    """
    rows, slots = np.asarray(row), np.asarray(slot_line).size > 0
    lanes = [
        (_HEAD_PX, _LANE_PX, name) for name in lit
    ] + [(_HEAD_PX // 2, _SLOT_PX, "")] * slots + [(_HEAD_PX // 2, _ROW_PX * rows.size, "rows")]
    field = sum(head + body for head, body, _ in lanes)
    traces, axes, words, at = [], {}, [], float(field)
    for number, (head, body, name) in enumerate(lanes, start=2):
        top, key = at - head, f"y{number}"
        at = top - body
        span = [at / field, top / field]
        if name == "rows":
            axes["yaxis"] = axis(
                theme, domain=span, range=[rows.size - 0.5, -0.5], showgrid=False,
                tickvals=list(range(rows.size)), ticktext=[str(each) for each in rows.tolist()],
            )
            traces.append(_row_trace(row, frame, open_s, close_s, theme=theme))
            words.append(heading(theme, "Camera rows while they are open", y=span[1]))
        elif name:
            full = float(floats(lit[name][2]).max(initial=0)) or 1.0
            axes[f"yaxis{number}"] = axis(theme, domain=span, range=[0, full], visible=False)
            traces.append(_lit_trace(name, lit[name], yaxis=key, theme=theme))
            words.append(heading(
                theme, _lit_words(name, line, refreshes_each[name], full), y=span[1]
            ))
        else:
            axes[f"yaxis{number}"] = axis(theme, domain=span, range=[0, 1.02], visible=False)
            traces += _slot_traces(slot_line, slot_start_s, slot_end_s, yaxis=key, theme=theme)
            words.append(heading(theme, _slot_words(slot_line), y=span[1]))
    moments = _moments(
        change_s=change_s, wall_frame_s=wall_frame_s, camera_frame_s=camera_frame_s, theme=theme
    )
    return laid_out(
        go.Figure([*traces, *moments]), theme, height=field + _BELOW_PX + _TOP_PX, **axes,
        annotations=[{**each, "bgcolor": LOOKS[theme].page} for each in words],
        shapes=_spread_boxes(change_s, change_spread_s, theme),
        margin={"l": 8, "r": 12, "t": _TOP_PX, "b": _BELOW_PX, "pad": 0}, dragmode="zoom",
        yaxis9=axis(theme, domain=[0, 1], range=[0, 1], visible=False),
        xaxis=axis(
            theme, "Time from the start of a wall frame (ms)", fixedrange=False, showgrid=False,
            range=[1e3 * from_s, 1e3 * to_s], nticks=7, exponentformat="none",
        ),
        showlegend=True, legend={
            "orientation": "h", "x": 0, "y": -_LEGEND_DOWN_PX / field, "yanchor": "top",
            "font": {"size": TEXT_PX - 1, "color": LOOKS[theme].ink}, "itemclick": False,
            "itemdoubleclick": False, "bgcolor": "rgba(0,0,0,0)",
        },
    )


def described(
    *, from_s: float, to_s: float, line: int, lit: Lit, refreshes_each: Mapping[str, int],
    row: ArrayLike, open_s: ArrayLike, close_s: ArrayLike, change_s: ArrayLike,
) -> str:
    """One sentence that says what `timeline` shows, from the same arrays."""
    shown = []
    for name, (start, *_) in lit.items():
        colour = "" if name == "white" else f"{name} "
        many = refreshes_each[name]
        what = "pulses" if many == 0 else f"blocks of {many} refreshes"
        shown.append(f"{np.size(start)} {colour}{what}")
    opens, closes, rows = floats(open_s), floats(close_s), np.asarray(row)
    first = ""
    if opens.size:
        first = (
            f"; row {rows[0]} open from {number_text(1e3 * opens[0, 0], decimals=3)} to"
            f" {number_text(1e3 * closes[0, 0], decimals=3)} ms"
        )
    return (
        f"Timeline from {number_text(1e3 * from_s, decimals=4)} to"
        f" {number_text(1e3 * to_s, decimals=4)} ms: {', '.join(shown)} of scan line {line},"
        f" {opens.size} windows of {rows.size} camera rows{first};"
        f" {np.size(change_s)} changes of the picture."
    )
