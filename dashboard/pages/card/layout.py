"""What the card's screen looks like before a card is made."""

from collections.abc import Mapping
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.report.card import CARD_ENDINGS
from dashboard import ids
from dashboard.controls.shot_line import apart_box, shot_fields
from dashboard.state import asked

__all__ = ["layout"]

_FIELDS = ("card_rates", "date", "card_version", "paper")
_FORMS: Mapping[str, str] = {
    ".pdf": "PDF, to print and sign", ".png": "PNG, a picture of it",
    ".html": "HTML, for a phone", ".csv": "CSV, for a spreadsheet",
    ".json": "JSON, for the set screen",
}
_LIVE: dict[str, Any] = {"aria-live": "polite"}
_PAPER: dict[str, Any] = {"role": "region", "aria-label": "Picture of the card"}


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the card's screen.

    Parameters
    ----------
    question
        Texts that the fields begin with.

    Returns
    -------
    list of Component
        What the card is of, what is printed on it, and room for the card.
    """
    return [
        html.H1("Safe-settings card", className="only-read-out"),
        dcc.Store(id=ids.CARD_ASKED), dcc.Store(id=ids.CARD_FILES),
        dcc.Store(id=ids.CARD_OF), dcc.Download(id=ids.CARD_DOWNLOAD),
        html.Section(
            [
                html.H2("A card for"),
                html.Div(id=ids.CARD_TOLD, className="card-of", **_LIVE),
                shot_fields("The shot", question, opened=asked(question).shot is None),
                html.Div([apart_box(name, question) for name in _FIELDS], className="fields"),
                _make(),
            ],
            className="question",
        ),
        _made(),
    ]


def _make() -> Component:
    return html.Div(
        [
            html.Button("Make the card", id=ids.CARD_MAKE, className="main"),
            html.Button("Stop", id=ids.CARD_STOP, hidden=True),
            html.P(id=ids.CARD_PROGRESS, className="progress", role="status"),
        ],
        className="make",
    )


def _made() -> Component:
    """Room for the card, hidden until there is one."""
    forms = [
        html.Button(_FORMS[ending], id=ids.card_form(ending), className="form")
        for ending in CARD_ENDINGS
    ]
    return html.Section(
        [
            html.H2("The card"),
            html.Div([
                *forms, html.Button("See it larger", id=ids.CARD_LARGER, className="larger"),
            ], className="forms"),
            html.Div(html.Img(id=ids.CARD_PICTURE, alt=""), className="paper", tabIndex="0",
                     **_PAPER),
        ],
        id=ids.CARD_MADE, className="made", hidden=True,
    )
