"""What was measured, in words and figures, on the screen."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.report.measure_series_text import agreement_text
from bandcheck.report.measure_text import bands_text, figure_text, limit_text, reading_lines
from bandcheck.report.wording import CAUTIONS
from bandcheck.verdict.agreement import PictureBands, Reading
from dashboard.figures import row_bands, row_spectrum
from dashboard.figures.look import GRAPH_CONFIG, Theme
from dashboard.pages.measure.measured_file import MeasuredFile
from dashboard.state import in_words

__all__ = ["answer_of", "found_in", "refused_view", "unwrapped"]

_MOST_POINTS = 600
_ITEM = "  - "


def refused_view() -> dict[str, Any]:
    """Answer without a measurement."""
    return {"told": "", "wrong": {}, "answer": [], "figures": [], "found": None, "picture": None}


def answer_of(measured: MeasuredFile, theme: Theme) -> dict[str, Any]:
    """All that the screen shows of a file.

    Parameters
    ----------
    measured
        What was measured.
    theme
        Of the figures.

    Returns
    -------
    dict
        Components of answer and figures, what may be taken, and what is drawn over the picture.
    """
    bands, readings = measured.bands, measured.readings
    return {
        "told": "", "wrong": {}, "found": found_in(readings), "picture": _picture(bands),
        "answer": [*_head(bands, readings), *_agreement(measured), *_paragraphs(bands, readings)],
        "figures": _figures(bands, readings, theme),
    }


def found_in(readings: Sequence[Reading]) -> dict[str, Any] | None:
    """Readout of the first source, for `with_readout`; None where there is none."""
    first = readings[0] if readings else None
    if first is None or first.readout_s is None:
        return None
    readout = first.readout_s
    return {"readout_s": readout.value, "uncertainty_s": readout.uncertainty,
            "rows_read": first.rows_read}


def _head(bands: PictureBands, readings: Sequence[Reading]) -> list[Component]:
    """The figure that was asked for, large."""
    if not readings:
        word = "No periodic bands found"
        line = f"Anything above {limit_text(bands.detectable)} contrast would have been seen."
    else:
        first = readings[0]
        pitch = f"every {figure_text(first.source.period_rows, 'rows')}"
        contrast = f"contrast {figure_text(first.source.contrast, '%', scale=100)}"
        if first.readout_s is not None:
            word = f"Readout {figure_text(first.readout_s, 'ms', scale=1e3)}"
        elif first.source_hz is not None:
            word = f"Source {figure_text(first.source_hz, 'Hz')}"
        else:
            word = f"Bands {pitch}"
        line = f"Bands {pitch}, {contrast}"
    return [html.Div(
        [html.P(word, className="answer-word"), html.P(line, className="answer-figure")],
        className="measured",
    )]


def _agreement(measured: MeasuredFile) -> list[Component]:
    if measured.agreement is None:
        return []
    return [html.P(each) for each, _ in unwrapped(agreement_text(measured.agreement))]


def _paragraphs(bands: PictureBands, readings: Sequence[Reading]) -> list[Component]:
    """The command's own words, with options called what this screen calls them."""
    parts: list[Component] = []
    notes: list[Component] = []
    begins = [line for each in readings for line in reading_lines(each)]
    for text, item in unwrapped(bands_text(bands, readings)):
        if item:
            notes.append(html.Li(_said(text)))
        elif text != CAUTIONS[0]:  # it stands below, with the others
            parts += [html.P(_said(each)) for each in _apart(text, begins)]
    return [*parts, html.Ul(notes, className="note")] if notes else parts


def _said(text: str) -> str:
    """Words of the screen; what it cannot do is said to be the command's."""
    return in_words(text).replace("--series", "bandcheck measure --series")


def _apart(text: str, begins: Iterable[str]) -> list[str]:
    """A text with those of its sentences apart that each say something of their own."""
    for each in begins:
        text = text.replace(f" {each}", f"\n{each}")
    return text.split("\n")


def unwrapped(text: str) -> list[tuple[str, bool]]:
    """Paragraphs of a text in lines of 80 columns, and whether each is one of a list."""
    found: list[tuple[str, bool]] = []
    for line in text.splitlines():
        if line.startswith(_ITEM):
            found.append((line.removeprefix(_ITEM), True))
        elif line.startswith("  ") and found:
            before, item = found[-1]
            joint = "" if before.endswith("-") and not before.endswith(" -") else " "
            found[-1] = (f"{before}{joint}{line.strip()}", item)
        elif line:
            found.append((line, False))
    return found


def _picture(bands: PictureBands) -> dict[str, Any]:
    """What assets/measure.js draws over the picture: the region, and the fit inside of it."""
    height = max(float(np.abs(bands.fitted).max(initial=0)), 1e-12)
    places = np.linspace(0, len(bands.fitted) - 1, min(_MOST_POINTS, len(bands.fitted))).astype(int)
    return {
        "form": bands.form, "size": list(bands.size), "region": list(bands.region),
        "regionFound": bands.region_found, "along": bands.along,
        "fit": [round(each, 3) for each in (bands.fitted[places] / height).tolist()]
        if bands.sources else [],
    }


def _figures(bands: PictureBands, readings: Sequence[Reading], theme: Theme) -> list[Component]:
    first = bands.region[1] if bands.along == "rows" else bands.region[0]
    word = "Row" if bands.along == "rows" else "Column"
    rows: dict[str, Any] = {
        "row": first + np.arange(len(bands.light)), "light_pct": 100 * bands.light,
        "fitted_pct": 100 * bands.fitted, "used": bands.weight > 0, "word": word,
    }
    spectrum: dict[str, Any] = {
        "cycles": bands.cycles, "power": bands.power, "noise": bands.noise,
        "real_from": bands.real_from,
        "found": [each.source.cycles_per_row.value for each in readings],
    }
    config: Any = GRAPH_CONFIG
    shown = (
        (f"Light of every {word.lower()}", row_bands.row_bands(**rows, theme=theme),
         row_bands.described(**rows)),
        ("Spectrum", row_spectrum.row_spectrum(**spectrum, theme=theme),
         row_spectrum.described(cycles=bands.cycles, found=spectrum["found"])),
    )
    return [
        html.Section([
            html.H2(title),
            dcc.Graph(figure=figure, config=config, className="graph",
                      style={"height": f"{figure.layout.height}px"}),
            html.P(told, className="told"),
        ]) for title, figure, told in shown
    ]
