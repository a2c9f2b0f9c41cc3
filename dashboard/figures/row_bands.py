"""Light of the rows of a measured picture, with the bands that were fitted over it."""

import itertools
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from bandcheck.report.rounding import number_text
from dashboard.figures.look import LOOKS, FloatArray, Theme, axis, floats, heading, laid_out

__all__ = ["described", "row_bands", "thinned"]

_HEIGHT_PX = 300
_MOST_POINTS = 6000
_AIR = 1.15


def thinned(x: FloatArray, y: FloatArray, *, most: int = _MOST_POINTS) -> tuple[Any, Any]:
    """Curve with no more points than a screen shows: of each stretch its lowest and highest.

    Parameters
    ----------
    x, y
        The curve, shape (N,); NaN is a gap.
    most
        Points from which on some are left out.

    Returns
    -------
    x, y
        All of them where there are few; else in their order, with every extreme among them.
    """
    if len(x) <= most:
        return x, y
    edges = np.linspace(0, len(x), most // 2 + 1).astype(int)
    filled = np.where(np.isnan(y), 0.0, y)
    places = [
        first + extreme(filled[first:last])
        for first, last in itertools.pairwise(edges) for extreme in (np.argmin, np.argmax)
    ]
    kept = np.unique(places)
    return x[kept], y[kept]


def row_bands(
    *, row: Any, light_pct: Any, fitted_pct: Any, used: NDArray[np.bool_], word: str, theme: Theme
) -> go.Figure:
    """Light against its trend at every row, and what the bands make of it.

    Parameters
    ----------
    row
        Row of the picture, shape (R,).
    light_pct, fitted_pct
        Light of the row over its trend, less 1 [%], and the fit of all sources [%], shape (R,).
    used
        Rows that count, shape (R,).
    word
        "Row" or "Column".
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Measured light as dots, the fit as a line; rows that do not count are left out.
    """
    look, place, fit = LOOKS[theme], floats(row), floats(fitted_pct)
    light = np.where(used, floats(light_pct), np.nan)
    spread = float(np.nanquantile(np.abs(light), 0.999)) if used.any() else 1.0
    reach = _AIR * max(spread, float(np.abs(fit).max(initial=0)), 1e-6)
    shown, curve = thinned(place, light), thinned(place, fit)
    return laid_out(
        [
            go.Scatter(
                x=shown[0], y=shown[1], mode="markers", name="light", cliponaxis=True,
                marker={"size": 3, "color": look.faint, "opacity": 0.7},
                hovertemplate=f"{word.lower()} %{{x}}: %{{y:.3f}} %<extra></extra>",
            ),
            go.Scatter(
                x=curve[0], y=curve[1], mode="lines", name="fit", hoverinfo="skip",
                line={"color": look.accent, "width": 2},
            ),
        ],
        theme, height=_HEIGHT_PX,
        annotations=[heading(theme, "Light against its trend (%); dots: measured, line: fit",
                             y=1.01)],
        xaxis=axis(theme, word, showgrid=False),
        yaxis=axis(theme, range=[-reach, reach], nticks=5),
    )


def described(
    *, row: Any, light_pct: Any, fitted_pct: Any, used: NDArray[np.bool_], word: str
) -> str:
    """One sentence that says what `row_bands` shows, from the same arrays."""
    place, fit = floats(row), floats(fitted_pct)
    light = floats(light_pct)[used]
    reach = float(np.ptp(light)) if light.size else 0.0
    swing = float(np.ptp(fit)) if fit.size else 0.0
    bands = f"the bands fitted swing by {number_text(swing, decimals=2)} %" if swing else "no bands"
    return (
        f"{word}s {place.min():.0f} to {place.max():.0f}, {light.size} of them used: light varies"
        f" by {number_text(reach, decimals=2)} %, {bands}."
    )
