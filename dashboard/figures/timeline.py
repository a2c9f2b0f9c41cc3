"""The wall's light, the camera's rows and the changes of the picture on one axis of time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import ArrayLike

from bandcheck.report.rounding import number_text
from dashboard.figures.look import (
    LOOKS,
    TEXT_PX,
    Theme,
    axis,
    floats,
    heading,
    laid_out,
)
from dashboard.figures.time_traces import (
    lit_trace,
    moments,
    row_trace,
    slot_traces,
    spread_boxes,
)

__all__ = ["described", "timeline"]

Lit = Mapping[str, tuple[ArrayLike, ArrayLike, ArrayLike]]

_LANE_PX, _SLOT_PX, _ROW_PX = 46, 22, 22
_HEAD_PX, _LOW_HEAD_PX = 40, 20
_BELOW_PX = 128
_TOP_PX = 8
_LEGEND_DOWN_PX = 46
_MOST_SLOTS = 100


def _slot_words(line: ArrayLike) -> str:
    number = np.asarray(line)
    shown = ", ".join(str(each) for each in np.unique(number).tolist())
    return f"Slots of scan lines {shown}" + ": zoom in" * (number.size > _MOST_SLOTS)


def _lit_words(name: str, line: int, refreshes_each: int, top: float) -> str:
    colour = "" if name == "white" else f", {name}"
    if refreshes_each == 0:
        return f"Light of scan line {line}{colour}"
    many = "one refresh" if refreshes_each == 1 else f"{refreshes_each} refreshes"
    return (
        f"Light of scan line {line}{colour}: each bar {many},<br>"
        f"full height lit {number_text(100 * top, decimals=2)} % of the time"
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lane:
    """One strip of the figure under its words; heights in px."""

    head_px: int
    body_px: int
    words: str
    axis: dict[str, Any]
    traces: list[go.Scatter]
    rows: bool = False


def _stacked(lanes: Sequence[_Lane], field_px: int, theme: Theme) -> dict[str, Any]:
    """Axes and words of lanes one under the other; the axis of rows is the first one."""
    axes: dict[str, Any] = {}
    words, at = [], field_px
    for number, lane in enumerate(lanes, start=2):
        key, top = "" if lane.rows else str(number), at - lane.head_px
        at = top - lane.body_px
        shared: dict[str, Any] = {"showgrid": False} if lane.rows else {"visible": False}
        for trace in lane.traces:
            trace.yaxis = f"y{key}"
        axes[f"yaxis{key}"] = axis(
            theme, domain=[at / field_px, top / field_px], **shared, **lane.axis
        )
        words.append(heading(theme, lane.words, y=top / field_px, bgcolor=LOOKS[theme].page))
    return {**axes, "annotations": words}


def _lit_lanes(
    lit: Lit, *, line: int, refreshes_each: Mapping[str, int], theme: Theme
) -> list[_Lane]:
    full = {name: float(floats(each[2]).max(initial=0)) or 1.0 for name, each in lit.items()}
    return [
        _Lane(
            head_px=_HEAD_PX, body_px=_LANE_PX, axis={"range": [0, full[name]]},
            words=_lit_words(name, line, refreshes_each[name], full[name]),
            traces=[lit_trace(name, each, theme)],
        )
        for name, each in lit.items()
    ]


def _row_lane(row: ArrayLike, trace: go.Scatter) -> _Lane:
    rows = np.asarray(row)
    return _Lane(
        head_px=_LOW_HEAD_PX, body_px=_ROW_PX * rows.size, words="Camera rows while they are open",
        traces=[trace], rows=True, axis={
            "range": [rows.size - 0.5, -0.5], "tickvals": list(range(rows.size)),
            "ticktext": [str(each) for each in rows.tolist()],
        },
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
    lanes = _lit_lanes(lit, line=line, refreshes_each=refreshes_each, theme=theme)
    if np.size(slot_line):
        lanes.append(_Lane(
            head_px=_LOW_HEAD_PX, body_px=_SLOT_PX, words=_slot_words(slot_line),
            axis={"range": [0, 1.02]},
            traces=slot_traces(slot_line, slot_start_s, slot_end_s, theme),
        ))
    lanes.append(_row_lane(row, row_trace(row, frame, open_s, close_s, theme)))
    field = sum(lane.head_px + lane.body_px for lane in lanes)
    uprights = moments(
        change_s=change_s, wall_frame_s=wall_frame_s, camera_frame_s=camera_frame_s, theme=theme
    )
    return laid_out(
        [*(trace for lane in lanes for trace in lane.traces), *uprights], theme,
        **_stacked(lanes, field, theme), height=field + _BELOW_PX + _TOP_PX,
        shapes=spread_boxes(change_s, change_spread_s, theme), dragmode="zoom", showlegend=True,
        margin={"l": 8, "r": 12, "t": _TOP_PX, "b": _BELOW_PX, "pad": 0},
        yaxis9=axis(theme, domain=[0, 1], range=[0, 1], visible=False),
        xaxis=axis(
            theme, "Time from the start of a wall frame (ms)", fixedrange=False, showgrid=False,
            range=[1e3 * from_s, 1e3 * to_s], nticks=7, exponentformat="none",
        ),
        legend={
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
        f" changes of the picture: {np.size(change_s)}."
    )
