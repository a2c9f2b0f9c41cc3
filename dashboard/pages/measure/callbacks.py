"""What happens on the screen that measures."""

import math
from collections.abc import Mapping
from typing import Any

from dash import ClientsideFunction, Dash, Input, Output, State, html, no_update
from dash.development.base_component import Component

from bandcheck.errors import OutOfRangeError
from bandcheck.measure.saved_profile import camera_with_readout
from bandcheck.verdict.agreement import Measured
from dashboard import ids
from dashboard.controls.form import offered
from dashboard.fields import OWN
from dashboard.pages.measure import places
from dashboard.pages.measure.asked_measure import (
    OWN_FIELDS,
    asked_measure,
    camera_of,
    measured_with,
    own_camera_lost,
)
from dashboard.pages.measure.posted_file import add_address
from dashboard.state import Question, search_of, toml_key

__all__ = ["register", "with_readout"]


def told(question: Question | None) -> dict[str, Any]:
    """What is wrong with the fields; what to measure with where nothing is."""
    read = asked_measure(question or {})
    return {
        "wrong": {name: read.errors.get(name, "") for name in OWN_FIELDS},
        "asked": None if read.errors else {"search": measured_with(question or {})},
    }


def with_readout(question: Question, found: object) -> Question | str:
    """Question whose camera has the readout that was measured, or why there is none.

    Parameters
    ----------
    question
        Texts as typed; its date is noted.
    found
        What the browser kept of the measurement, of which nothing is taken for granted.

    Returns
    -------
    dict or str
        The camera is then one of the user's own, as `bandcheck measure --save-to` writes it.
    """
    readout, rows = _measured(found)
    if readout is None:
        return "No readout is measured yet: a known light gives one."
    camera = camera_of(question)
    if camera is None:
        return "Choose the camera whose profile the readout goes into."
    if rows != camera.rows_px:
        return f"The readout is for {rows} rows; the profile reads {camera.rows_px}."
    read = asked_measure(question)
    if read.errors.get("measured_on") or not read.date:
        return "Give the date of the measurement, such as 2026-03-02."
    try:
        text = camera_with_readout(camera, readout, date=read.date)
    except OutOfRangeError as error:
        return str(error)
    return {**question, "camera": OWN, toml_key("camera"): text}


def _measured(found: object) -> tuple[Measured | None, object]:
    told = found if isinstance(found, Mapping) else {}
    figures = [told.get(key) for key in ("readout_s", "uncertainty_s")]
    if not all(
        isinstance(each, int | float) and math.isfinite(each) and 0 <= each <= 1 for each in figures
    ) or not figures[0]:
        return None, None
    return Measured(value=float(figures[0]), uncertainty=float(figures[1] or 0)), (
        told.get("rows_read")
    )


def taken(_clicks: int | None, found: object, question: Question | None) -> dict[str, Any]:
    """The readout in the question's camera, and where to go with it."""
    before = question or {}
    after = with_readout(before, found)
    if isinstance(after, str):
        same = dict.fromkeys(("question", "search", "choice", "options"), no_update)
        return {**same, "told": html.P(after, className="field-error")}
    told = _taken_view(after, lost=own_camera_lost(before))
    return {
        "question": after, "search": search_of(after), "choice": OWN,
        "options": offered("camera", after), "told": told,
    }


def _taken_view(question: Question, *, lost: bool) -> list[Component]:
    search = search_of(question)
    parts: list[Any] = [
        "The shot's camera is now your own, with the readout that was measured: ",
        html.A("check the setting with it", href=f"/{search}"), " or ",
        html.A("see and download its profile", href=f"/profiles{search}"), ".",
    ]
    if lost:
        parts.append(" It took the place of the camera figures that this link held before.")
    return [html.P(parts)]


def register(app: Dash) -> None:
    """Add what happens on this screen to an app, and the address that takes files."""
    add_address(app.server)
    app.callback(
        {
            "wrong": {name: Output(ids.refused(name), "children") for name in OWN_FIELDS},
            "asked": Output(places.ASKED, "data"),
        },
        Input(ids.QUESTION, "data"),
    )(told)
    app.clientside_callback(  # the functions stand in assets/measure.js
        ClientsideFunction("measure", "choose"),
        Output(places.CHOOSE, "title"), Input(places.CHOOSE, "n_clicks"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("measure", "measure"),
        Output(places.PROGRESS, "children"),
        [Input(places.ASKED, "data"), Input(places.FILE, "data"), Input(ids.THEME, "data")],
    )
    app.clientside_callback(
        ClientsideFunction("measure", "find"),
        Output(ids.field("region"), "value"), Input(places.FIND, "n_clicks"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("measure", "nothingToTake"),
        Output(places.TAKE, "disabled"), Input(places.FOUND, "data"),
    )
    app.callback(
        {
            "question": Output(ids.QUESTION, "data", allow_duplicate=True),
            "search": Output(ids.SEARCH, "data", allow_duplicate=True),
            "choice": Output(ids.field("camera"), "value"),
            "options": Output(ids.field("camera"), "options"),
            "told": Output(places.TAKEN, "children"),
        },
        [Input(places.TAKE, "n_clicks"), State(places.FOUND, "data"), State(ids.QUESTION, "data")],
        prevent_initial_call=True,
    )(taken)
