"""Spectrum of the rows of a measured picture, with the noise and from where on a line is real."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go

from bandcheck.report.rounding import number_text
from dashboard.figures.look import LOOKS, FloatArray, Theme, axis, floats, heading, laid_out
from dashboard.figures.row_bands import thinned

__all__ = ["described", "row_spectrum"]

_HEIGHT_PX = 300
_DECADES = 7.0
_HEADROOM = 0.4
_LEAST = 1e-300


def row_spectrum(
    *, cycles: Any, power: Any, noise: Any, real_from: Any, found: Sequence[float], theme: Theme
) -> go.Figure:
    """Power at each band frequency.

    Parameters
    ----------
    cycles
        Band frequencies [cycles per row], shape (F,).
    power, noise, real_from
        Power, level of the noise, and the power from which on a line is real, shape (F,).
    found
        Frequencies of the sources that were found.
    theme
        Dark or light.

    Returns
    -------
    plotly.graph_objects.Figure
        Its power axis even in the logarithm, over seven decades.
    """
    look, x = LOOKS[theme], floats(cycles)
    logs = [np.log10(np.maximum(floats(each), _LEAST)) for each in (power, noise, real_from)]
    top = float(logs[0].max(initial=-290)) + _HEADROOM

    def line(y: FloatArray, name: str, **style: Any) -> go.Scatter:
        shown = thinned(x, y)
        return go.Scatter(x=shown[0], y=shown[1], mode="lines", name=name, line=style,
                          hovertemplate=f"%{{x:.5f}} bands a row<extra>{name}</extra>")

    marks = [{
        "type": "line", "x0": each, "x1": each, "yref": "paper", "y0": 0, "y1": 1, "name": "found",
        "layer": "below", "line": {"color": look.accent, "width": 2, "dash": "dot"},
    } for each in found]
    return laid_out(
        [
            line(logs[0], "power", color=look.faint, width=1),
            line(logs[1], "noise", color=look.ink, width=2),
            line(logs[2], "real from", color=look.ink, width=2, dash="dash"),
        ],
        theme, height=_HEIGHT_PX, shapes=marks,
        annotations=[heading(theme, "Power; full: noise, dashed: real from, dotted: found",
                             y=1.01)],
        xaxis=axis(theme, "Bands in a row of the picture", range=[0, 0.5], showgrid=False),
        yaxis=axis(theme, range=[top - _DECADES, top], showticklabels=False, nticks=7),
    )


def described(*, cycles: Any, found: Sequence[float]) -> str:
    """One sentence that says what `row_spectrum` shows."""
    looked = f"Spectrum up to {number_text(float(floats(cycles).max()), decimals=2)} bands a row"
    if not len(found):
        return f"{looked}: no line stands above the noise."
    told = ", ".join(f"{number_text(each, decimals=5)}" for each in found)
    return f"{looked}: {'a line' if len(found) == 1 else 'lines'} at {told}."
