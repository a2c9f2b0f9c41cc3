"""The tear: mixed rows in an upright frame, and the clean phases along one picture."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go

from bandcheck.report.rounding import number_text
from dashboard.figures.look import LOOKS, TEXT_PX, Theme, axis, heading, laid_out

__all__ = ["clean_windows_ms", "described", "phase_bar"]

Rows = Sequence[tuple[int, int]]

_HEIGHT_PX = 300
_FRAME, _PHASES = (0.0, 0.26), (0.4, 1.0)
_BAND = (0.42, 0.78)
_MOST_NAMED = 2


def clean_windows_ms(
    *, from_s: float | None, to_s: float | None, repeats_every_s: float | None, picture_s: float
) -> list[tuple[float, float]]:
    """Clean phases inside one picture.

    Parameters
    ----------
    from_s, to_s, repeats_every_s
        One range of clean phases and the time after which it comes again [s]; None: there is none.
    picture_s
        Time from one picture to the next [s].

    Returns
    -------
    list of tuple
        From and to [ms], rising, cut at either end of the picture.
    """
    if from_s is None or to_s is None or repeats_every_s is None:
        return []
    first = int(np.floor(-to_s / repeats_every_s))
    last = int(np.ceil((picture_s - from_s) / repeats_every_s))
    shifted = [
        (max(0.0, from_s + n * repeats_every_s), min(picture_s, to_s + n * repeats_every_s))
        for n in range(first, last + 1)
    ]
    # A sliver at either end is what the next picture repeats, but for rounding.
    return [(1e3 * low, 1e3 * high) for low, high in shifted if high - low > 1e-9 * picture_s
            or (from_s == to_s and 0 <= low == high < picture_s)]


def _frame(rows_px: int, mixed_rows: Rows | None, theme: Theme) -> list[go.Bar]:
    """Frame as an upright bar; hatched where rows hold two pictures."""
    look = LOOKS[theme]
    outline = go.Bar(
        x=[0], y=[rows_px], base=[0], width=[1], name="frame", hoverinfo="skip",
        marker={"color": "rgba(0,0,0,0)", "line": {"color": look.ink, "width": 2}},
    )
    mixed = list(mixed_rows or ())
    hatched = go.Bar(
        x=[0] * len(mixed), y=[last - first + 1 for first, last in mixed],
        base=[first for first, _ in mixed], width=[1] * len(mixed), name="mixed rows",
        text=[f"rows {first} to {last} hold two pictures" for first, last in mixed],
        hoverinfo="text", textposition="none",
        marker={
            "color": "rgba(0,0,0,0)", "line": {"color": look.ink, "width": 1.5},
            "pattern": {
                "shape": "/", "fgcolor": look.ink, "bgcolor": "rgba(0,0,0,0)", "size": 9,
                "solidity": 0.3,
            },
        },
    )
    return [outline, hatched]


def _windows(
    windows: Sequence[tuple[float, float]], best_ms: float | None, theme: Theme
) -> list[go.Scatter]:
    """Clean phases as open boxes with a solid line, and the best one as a stroke."""
    look = LOOKS[theme]
    low, high = _BAND
    x = [each for begin, end in windows for each in (begin, begin, end, end, begin, None)]
    y = [each for _ in windows for each in (low, high, high, low, low, None)]
    said = [
        f"clean from {number_text(begin, decimals=3)} to {number_text(end, decimals=3)} ms"
        for begin, end in windows
    ]
    traces = [
        go.Scatter(
            x=x, y=y, xaxis="x2", yaxis="y2", mode="lines", fill="toself", name="clean phases",
            fillcolor=look.rule, line={"color": look.ink, "width": 2, "dash": "solid"},
            hoverinfo="skip",
        ),
        go.Scatter(
            x=[(begin + end) / 2 for begin, end in windows], y=[sum(_BAND) / 2] * len(windows),
            xaxis="x2", yaxis="y2", text=["clean"] * len(windows), hovertext=said, name="clean",
            mode="text" if len(windows) <= _MOST_NAMED else "markers", hoverinfo="text",
            textfont={"size": TEXT_PX - 1, "color": look.ink},
            marker={"size": 5, "color": look.ink},
        ),
    ]
    if best_ms is not None:
        traces.append(go.Scatter(
            x=[best_ms], y=[high], xaxis="x2", yaxis="y2", mode="markers", name="best phase",
            text=[f"best {number_text(best_ms, decimals=3)} ms"], hoverinfo="text",
            marker={"symbol": "triangle-down", "size": 12, "color": look.ink}, cliponaxis=False,
        ))
    return traces


def _present(phase_ms: float | None, theme: Theme) -> list[go.Scatter]:
    if phase_ms is None:
        return []
    look = LOOKS[theme]
    return [go.Scatter(
        x=[phase_ms, phase_ms], y=[0.15, _BAND[0]], xaxis="x2", yaxis="y2", mode="lines+markers",
        name="phase now", line={"color": look.accent, "width": 4, "dash": "solid"},
        marker={"symbol": ["circle", "triangle-up"], "size": 12, "color": look.accent},
        text=[f"phase now {number_text(phase_ms, decimals=3)} ms"] * 2, hoverinfo="text",
        cliponaxis=False,
    )]


def _phase_now_ms(phase_s: float | None, picture_s: float) -> float | None:
    """Phase folded into one picture [ms]."""
    return None if phase_s is None else 1e3 * float(np.mod(phase_s, picture_s) % picture_s)


def _notes(
    mixed_rows: Rows | None, possible_clean: bool | None, *, windows: int,
    phase_ms: float | None, picture_ms: float, theme: Theme,
) -> list[dict[str, Any]]:
    look = LOOKS[theme]
    frame = "Rows not known" if mixed_rows is None else "No mixed row" if not mixed_rows else (
        "Mixed rows"
    )
    clean = (
        "Clean phases" if windows else "Any phase is clean" if possible_clean
        else "Not known which phase is clean" if possible_clean is None else "No phase is clean"
    )
    notes = [
        heading(theme, frame, y=1.02), heading(theme, clean, y=1.02, x=_PHASES[0]),
    ]
    if phase_ms is not None:
        share = phase_ms / picture_ms
        notes.append({
            "xanchor": "left" if share < 0.2 else "right" if share > 0.8 else "center",
            "text": f"now {number_text(phase_ms, decimals=2)} ms", "x": phase_ms, "y": 0.1,
            "xref": "x2", "yref": "y2", "yanchor": "top", "showarrow": False,
            "font": {"color": look.accent, "size": TEXT_PX}, "bgcolor": look.page,
        })
    return notes


def phase_bar(
    *, rows_px: int, mixed_rows: Rows | None, possible_clean: bool | None,
    clean_from_s: float | None, clean_to_s: float | None, best_s: float | None,
    repeats_every_s: float | None, phase_s: float | None, picture_s: float, theme: Theme,
) -> go.Figure:
    """Where a frame is torn at a phase, and which phases are clean.

    Parameters
    ----------
    rows_px
        Rows of the sensor.
    mixed_rows
        First and last row of each run that holds two pictures; None: not known.
    possible_clean
        Whether some phase is clean; None: not known.
    clean_from_s, clean_to_s, best_s, repeats_every_s
        Clean phases, the best of them, and after what time they come again [s]; None: there are
        none, or any is good.
    phase_s
        Phase of the shot [s]; None: not known.
    picture_s
        Time from one picture on the wall to the next [s].
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Rows from the top on the left, phases in ms on the right.
    """
    windows = clean_windows_ms(
        from_s=clean_from_s, to_s=clean_to_s, repeats_every_s=repeats_every_s, picture_s=picture_s
    )
    now = _phase_now_ms(phase_s, picture_s)
    best = _phase_now_ms(best_s, picture_s)
    traces = [
        *_frame(rows_px, mixed_rows, theme), *_windows(windows, best, theme),
        *_present(now, theme),
    ]
    return laid_out(
        traces, theme, height=_HEIGHT_PX, barmode="overlay",
        margin={"l": 8, "r": 14, "t": 28, "b": 8, "pad": 0},
        annotations=_notes(
            mixed_rows, possible_clean, windows=len(windows), phase_ms=now,
            picture_ms=1e3 * picture_s, theme=theme,
        ),
        xaxis=axis(theme, domain=_FRAME, visible=False, range=[-0.52, 0.52]),
        yaxis=axis(
            theme, range=[rows_px * 1.005, -0.005 * rows_px], showgrid=False, showline=False,
            tickvals=sorted({0, rows_px // 2, rows_px}),
        ),
        xaxis2=axis(
            theme, "Phase (ms)", domain=_PHASES, anchor="y2", showgrid=False,
            range=[0, 1e3 * picture_s], nticks=5, ticks="outside",
        ),
        yaxis2=axis(theme, anchor="x2", visible=False, range=[-0.1, 1]),
    )


def described(
    *, rows_px: int, mixed_rows: Rows | None, possible_clean: bool | None,
    clean_from_s: float | None, clean_to_s: float | None, repeats_every_s: float | None,
    phase_s: float | None, picture_s: float,
) -> str:
    """One sentence that says what `phase_bar` shows, from the same values."""
    windows = clean_windows_ms(
        from_s=clean_from_s, to_s=clean_to_s, repeats_every_s=repeats_every_s, picture_s=picture_s
    )
    clean = ", ".join(
        f"{number_text(low, decimals=3)} to {number_text(high, decimals=3)} ms"
        for low, high in windows
    )
    phases = (
        f"clean phases {clean}" if windows else "any phase is clean" if possible_clean
        else "which phase is clean is not known" if possible_clean is None
        else "no phase is clean"
    )
    rows = (
        "which rows are mixed is not known" if mixed_rows is None
        else "no mixed row" if not mixed_rows
        else "mixed rows " + ", ".join(f"{first} to {last}" for first, last in mixed_rows)
    )
    now = _phase_now_ms(phase_s, picture_s)
    told = "not known" if now is None else f"{number_text(now, decimals=3)} ms"
    return f"Frame of {rows_px} rows: {rows}; phase now {told}, {phases}."
