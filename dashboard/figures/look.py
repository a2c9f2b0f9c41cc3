"""What all figures share: ink and paper of both themes, the kinds of line, axes and texts."""

import html
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from bandcheck.levels.transfer import srgb_light
from bandcheck.report.map_ink import ink, visibility_share
from bandcheck.report.rounding import number_text
from bandcheck.vision.level import Level

__all__ = [
    "GRAPH_CONFIG", "INK_SCALE", "LEVEL_LINES", "LOOKS", "TEXT_PX", "FloatArray", "Look", "Theme",
    "axis", "cell_ink", "contrast", "floats", "heading", "ink_bar", "laid_out", "level_counts",
    "plain", "reading_ink",
]

FloatArray = NDArray[np.float64]
Theme = Literal["dark", "light"]

GRAPH_CONFIG: Final[dict[str, Any]] = {
    "displaylogo": False, "displayModeBar": False, "responsive": True, "showSendToCloud": False,
}
"""Configuration of every graph: no bar of tools, and none that sends a figure elsewhere."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """Colours of a theme, the same as on the page around a figure.

    Attributes
    ----------
    page, sheet
        Papers that a figure may lie on, and that of what is laid over it.
    ink, faint, accent
        Text and lines; second ones; what is about the shot itself.
    rule
        Lines that only guide the eye.
    """

    page: str
    sheet: str
    ink: str
    faint: str
    accent: str
    rule: str


LOOKS: Final[Mapping[Theme, Look]] = {
    "dark": Look(
        page="#16130f", sheet="#1e1a15", ink="#f1e9dc", faint="#b9ad9b", accent="#d9a7c7",
        rule="#4a4236",
    ),
    "light": Look(
        page="#f7f3ea", sheet="#fffdf7", ink="#221c16", faint="#5f5546", accent="#7a2e5f",
        rule="#b8ab96",
    ),
}

FONT: Final = 'system-ui, "Segoe UI", Roboto, "Noto Sans", "DejaVu Sans", sans-serif'
TEXT_PX: Final = 13

LEVEL_LINES: Final[Mapping[Level, Mapping[str, Any]]] = {
    Level.SAFE: {"dash": "solid", "width": 2},
    Level.MARGINAL: {"dash": "dash", "width": 2},
    Level.VISIBLE: {"dash": "dashdot", "width": 4},
    Level.UNKNOWN: {"dash": "dot", "width": 2},
}
"""Line that tells each level without colour."""

_SCALE_STEPS = 32


def _hex(rgb: Iterable[int]) -> str:
    return "#" + "".join(f"{int(each):02x}" for each in rgb)


INK_SCALE: Final[Sequence[tuple[float, str]]] = tuple(
    (float(share), _hex(ink(share))) for share in np.linspace(0, 1, _SCALE_STEPS + 1)
)
"""Colours of visibility, of `map_ink.ink`: one hue, lightness in even steps."""


def plain(text: str) -> str:
    """Text with nothing in it that a figure would take for markup."""
    return html.escape(" ".join(text.split()), quote=False)


def floats(values: Any) -> FloatArray:
    """Numbers of any shape as an array; None becomes NaN."""
    return np.array(values, dtype=np.float64)


def _luminance(colour: str) -> float:
    signal = np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return float(srgb_light(signal) @ [0.2126, 0.7152, 0.0722])


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours "#rrggbb", 1..21: WCAG 2.2, relative luminance."""
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def reading_ink(paper: str) -> str:
    """Black or white, whichever reads better; on any colour it is 4.5 : 1 or more."""
    return max(("#000000", "#ffffff"), key=lambda each: contrast(each, paper))


def cell_ink(share: float, theme: Theme) -> str:
    """Ink of a mark on a cell of a map, by the cell's place on the scale; NaN: bare paper."""
    return LOOKS[theme].ink if np.isnan(share) else reading_ink(_hex(ink(share)))


def axis(theme: Theme, title: str = "", **more: Any) -> dict[str, Any]:
    """An axis in the house's look.

    Parameters
    ----------
    theme
        Dark or light.
    title
        What it shows, and the unit.
    more
        Further properties.
    """
    look = LOOKS[theme]
    return {
        "title": {"text": title, "standoff": 8, "font": {"color": look.ink, "size": TEXT_PX}},
        "tickfont": {"color": look.faint, "size": TEXT_PX - 1}, "gridcolor": look.rule,
        "linecolor": look.rule, "zeroline": False, "automargin": True, "fixedrange": True, **more,
    }


def heading(theme: Theme, text: str, *, y: float, **more: Any) -> dict[str, Any]:
    """Words over a part of a figure, from its left edge; y from the lower edge, 0..1."""
    return {
        "text": text, "x": 0, "y": y, "xref": "paper", "yref": "paper", "xanchor": "left",
        "yanchor": "bottom", "align": "left", "showarrow": False,
        "font": {"color": LOOKS[theme].ink, "size": TEXT_PX}, **more,
    }


def ink_bar(theme: Theme, *, safe_below: float, visible_from: float) -> dict[str, Any]:
    """Key of the ink of visibility, under a figure, with both limits named."""
    look, limits = LOOKS[theme], (safe_below, visible_from)
    shares = visibility_share(limits, safe_below=safe_below, visible_from=visible_from)
    words = [
        f"{word} {number_text(limit, decimals=2)}"
        for word, limit in zip(("safe <", "visible ≥"), limits, strict=True)
    ]
    return {
        "orientation": "h", "thickness": 10, "len": 1, "outlinewidth": 0, "ticks": "outside",
        "x": 0.5, "xanchor": "center", "y": 0, "yref": "container", "yanchor": "bottom",
        "tickmode": "array", "tickvals": [0.02, *shares], "ticktext": ["V", *words], "ypad": 6,
        "tickfont": {"color": look.faint, "size": TEXT_PX - 1}, "tickcolor": look.ink,
        "tickangle": 0,
    }


def level_counts(levels: Iterable[Level]) -> str:
    """How many there are of each level, in words."""
    listed = list(levels)
    found = [(listed.count(level), level.value) for level in Level]
    return ", ".join(f"{count} {word}" for count, word in found if count) or "none"


def laid_out(traces: Sequence[Any], theme: Theme, *, height: int, **more: Any) -> go.Figure:
    """Figure in the house's look: clear paper, one font, no title, still.

    Parameters
    ----------
    traces
        What is drawn, from below.
    theme
        Dark or light.
    height
        Height [px]; the width is the page's.
    more
        Further properties of the layout.
    """
    look = LOOKS[theme]
    # All at once: a figure that is changed afterwards takes plotly three times as long.
    return go.Figure(data=list(traces), layout={
        "template": None, "height": height, "autosize": True, "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)", "margin": {"l": 8, "r": 8, "t": 28, "b": 8, "pad": 0},
        "font": {"family": FONT, "size": TEXT_PX, "color": look.ink}, "showlegend": False,
        "dragmode": False, "hoverlabel": {
            "bgcolor": look.sheet, "bordercolor": look.faint,
            "font": {"family": FONT, "size": TEXT_PX, "color": look.ink}, "align": "left",
        }, **more,
    })
