"""What the quick screen looks like before anything is answered."""

from collections.abc import Mapping
from typing import Any, Final

from dash import dcc, html
from dash.development.base_component import Component

from dashboard import ids
from dashboard.controls.shot_line import apart_box, shot_fields
from dashboard.state import asked

__all__ = ["USUAL_RATES", "layout"]

USUAL_RATES: Final = ("24", "25", "30", "48", "50", "60")
"""Rates that are a touch away [frames/s]."""

_GROUP: dict[str, Any] = {"aria-label": "Usual rates"}
_LIVE: dict[str, Any] = {"aria-live": "polite"}


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the quick screen.

    Parameters
    ----------
    question
        Texts that the fields begin with.

    Returns
    -------
    list of Component
        What stood before, what it changes to, and room for the answer.
    """
    return [
        html.H1("A change on set", className="only-read-out"),
        html.Section(
            [
                html.H2("Before", className="only-read-out"),
                html.Div(id=ids.SET_BEFORE, className="before", **_LIVE),
                shot_fields("What stood before", question, beside=[_card_file()],
                            opened=asked(question).shot is None),
            ],
            className="stood",
        ),
        html.Section([html.H2("Goes to"), _asked(question)], className="goes"),
        html.Section(
            [html.H2("Answer", className="only-read-out"), html.Div(id=ids.SET_ANSWER, **_LIVE)],
            className="answered",
        ),
        html.Div(id=ids.SET_MORE, className="follows"),
    ]


def _asked(question: Mapping[str, str]) -> Component:
    rate, shutter = apart_box("to_fps", question), apart_box("to_shutter", question)
    rate.children[1].inputmode = "decimal"
    shutter.children[1].placeholder = "as it comes"
    buttons = html.Div(
        [html.Button(each, id=ids.rate(each), className="rate") for each in USUAL_RATES],
        role="group", className="rates", **_GROUP,
    )
    return html.Div([html.Div([rate, shutter], className="two"), buttons])


def _card_file() -> Component:
    """Where a card's file takes the place of choosing."""
    return html.Div(
        [
            html.Button("Read a card's file", id=ids.SET_CARD),
            html.P("The JSON file of a card: it holds the whole shot.", className="note"),
            html.Div(id=ids.SET_CARD_TOLD, className="field-error", role="alert"),
            dcc.Store(id=ids.SET_CARD_SENT),
        ],
        className="card-file",
    )
