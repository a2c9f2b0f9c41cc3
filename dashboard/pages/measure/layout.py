"""What the screen that measures looks like before a file is chosen."""

from collections.abc import Mapping
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from dashboard.controls.form import field_box
from dashboard.controls.shot_line import apart_box, shot_fields
from dashboard.controls.verdict import cautions
from dashboard.pages.measure import places

__all__ = ["layout"]

_KNOWN = ("source_hz", "readout_ms", "from_shot")
_READ = ("region", "along", "transfer")
_MORE = ("gamma", "readout_error_ms", "rows_read", "rows_kept", "row_scale")
_LIVE: dict[str, Any] = {"aria-live": "polite"}


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the screen.

    Parameters
    ----------
    question
        Texts that the fields begin with.

    Returns
    -------
    list of Component
        The file, what is known, and room for the answer.
    """
    return [
        html.H1("Measure a frame", className="only-read-out"),
        *(dcc.Store(id=each) for each in (places.ASKED, places.FILE, places.FOUND)),
        _question(question),
        html.Div(
            [
                html.Section(
                    [html.H2("Answer"), html.P(id=places.PROGRESS, className="progress",
                                               role="status"),
                     html.Div(id=places.ANSWER, className="measure-answer", **_LIVE),
                     _take(question)],
                ),
                html.Section(
                    [html.H2("The frame"),
                     html.Div(id=places.STAGE, className="measure-stage"),
                     html.P("Drag over the frame to take a region, or type it above.",
                            className="note"),
                     html.Button("Find the region", id=places.FIND)],
                ),
            ],
            className="answers",
        ),
        html.Div(id=places.FIGURES, className="answers beside"),
        cautions(),
    ]


def _question(question: Mapping[str, str]) -> Component:
    return html.Section(
        [
            html.H2("Which frame, and what is known?"),
            html.Div(
                [
                    html.Button("Choose a frame", id=places.CHOOSE, className="main"),
                    html.Span("or drop it here: PNG, JPEG, TIFF of 8 or 16 bit, or a CSV of row"
                              " means, up to 64 MB", className="note"),
                    html.Div(id=places.TOLD, className="field-error", role="alert"),
                ],
                className="measure-drop",
            ),
            html.P(
                "It goes to the machine that serves this screen, is measured and forgotten. The"
                " link holds the fields, not the frame; metadata is ignored.", className="note",
            ),
            html.Div([apart_box(name, question) for name in _KNOWN], className="fields"),
            html.Div([apart_box(name, question) for name in _READ], className="fields"),
            html.Details(
                [html.Summary("Rows of picture and sensor, gamma"),
                 html.Div([apart_box(name, question) for name in _MORE], className="fields")],
                className="more",
            ),
            shot_fields("The shot", question, opened=not question.get("camera"), beside=[
                html.Div([field_box("lamp", question)], className="fields"),
            ]),
        ],
        className="question",
    )


def _take(question: Mapping[str, str]) -> Component:
    """Where the measured readout goes into the camera's profile."""
    return html.Div(
        [
            html.H3("Into the camera's profile"),
            html.Div([apart_box("measured_on", question)], className="fields"),
            html.Button("Take it into the profile", id=places.TAKE, disabled=True),
            html.Div(id=places.TAKEN, **_LIVE),
        ],
        className="measure-take",
    )
