"""What is said of a set-up at a rate once its cell is tapped."""

from collections.abc import Iterator
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.plan_wording import (
    ROLE_WORDS,
    devices_text,
    mend_sentence,
    range_text,
    ranges_text,
    times_text,
)
from bandcheck.report.rounding import angle_text, rate_words, stops_text, visibility_text
from bandcheck.verdict.plan_results import Cell, Chosen, Pair, SetUpAgreement
from dashboard.controls.levels import level_word
from dashboard.controls.wide import wide

__all__ = ["cell_view"]

_HEADINGS = ("Camera", "Surface", "Wanted shutter", "V", "Picture changes")


def cell_view(found: SetUpAgreement, cell: Cell) -> list[Component]:
    """Everything about a cell.

    Parameters
    ----------
    found
        The set-up that it belongs to.
    cell
        The set-up at one rate.

    Returns
    -------
    list of Component
        What suits all, who is in the way, what opens a setting, and one shutter for all rates.
    """
    head = html.H3(f"{found.name}, {rate_words(cell.fps)} frames/s")
    if cell.refused:
        return [head, html.P([level_word(cell.level), f" Cannot be run: {cell.refused}."])]
    return [
        head, html.P([level_word(cell.level), f" {_wanted(cell)} as wanted."]),
        *_settings(cell), wide(_pairs(cell), "Cameras and surfaces"), *_all_rates(found),
    ]


def _wanted(cell: Cell) -> str:
    return angle_text(cell.pairs[0].shot.angle_deg)


def _limits(cell: Cell) -> tuple[float, float]:
    viewing = cell.pairs[0].shot.viewing
    return viewing.safe_below, viewing.visible_from


def _settings(cell: Cell) -> Iterator[Component]:
    """What may be dialled, or who is in the way and what opens a setting."""
    if cell.chosen is None:
        yield html.P(f"Nothing suits all. In the way: {devices_text(cell.blocked_by)}.")
        yield from _mends(cell)
        return
    yield html.P(f"Safe for all: {ranges_text(cell.common_deg)}.")
    yield html.P(_dial(cell, cell.chosen))


def _dial(cell: Cell, chosen: Chosen) -> str:
    dials = ", ".join(f"{each.camera} {angle_text(each.angle_deg)}" for each in chosen.dials)
    value = visibility_text(chosen.visibility, limits=_limits(cell))
    told = (f"To dial: {dials}; graded {chosen.level.value}, V {value}, "
            f"{stops_text(chosen.stops_from_wanted)} than wanted.")
    if chosen.stops_from_wanted == 0:
        told = f"To dial: {dials}; graded {chosen.level.value}, V {value}."
    between = [each.camera for each in chosen.dials if not each.inside]
    if between:
        return (f"{told} Only {range_text(chosen.allowed_deg)} is safe, between the clicks of "
                f"{', '.join(between)}.")
    return f"{told} It may be {range_text(chosen.allowed_deg)}."


def _mends(cell: Cell) -> Iterator[Component]:
    if not cell.mends:
        yield html.P("No two changes to lamps, refreshes or shutters open a setting.")
        return
    wanted_deg = float(cell.pairs[0].shot.angle_deg)
    yield html.P("The smallest changes that open a setting:")
    yield html.Ul([
        html.Li(mend_sentence(each, wanted_deg=wanted_deg)) for each in cell.mends
    ], className="fixes")


def _pairs(cell: Cell) -> Component:
    rows = [html.Tr(list(_pair(each))) for each in cell.pairs]
    head = html.Tr([html.Th(each, scope="col") for each in _HEADINGS])
    return html.Table([html.Thead(head), html.Tbody(rows)], className="plan-pairs")


def _pair(pair: Pair) -> Iterator[Component]:
    wanted, viewing = pair.wanted, pair.shot.viewing
    limits = (viewing.safe_below, viewing.visible_from)
    role = ROLE_WORDS[pair.role]
    values: list[Any] = [
        html.Div(f"{'bands' if source == 'wall' else source} "
                 f"{visibility_text(value, limits=limits)}")
        for source, value in wanted.visibility.items()
    ]
    yield html.Th(pair.camera, scope="row")
    yield html.Td(f"{pair.surface} ({role})" if role else pair.surface)
    yield html.Td([level_word(wanted.level), f" {angle_text(pair.shot.angle_deg)}"])
    yield html.Td(values or "-")
    yield html.Td("-" if wanted.tear is None else wanted.tear[0].value)


def _all_rates(found: SetUpAgreement) -> Iterator[Component]:
    if len(found.cells) < 2:
        return
    one = f"One angle for all its rates: {ranges_text(found.common_deg)}"
    if not found.common_deg:
        one += f"; in the way: {devices_text(found.blocked_by)}"
    yield html.P(f"{one}.")
    if found.common_s:
        yield html.P(f"One time for all its rates: {times_text(found.common_s)}.")
