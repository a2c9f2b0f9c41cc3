"""What happens on the card's screen.

A card takes a second or more for each rate. Its question is set down first, and the files are made
of that: whatever is typed meanwhile, the card that comes is the one that was asked for.
"""

from base64 import b64encode
from collections.abc import Mapping
from typing import Any, Final

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, ctx, html, no_update
from dash.development.base_component import Component

from bandcheck.errors import OutOfRangeError
from bandcheck.report.rounding import angle_text
from dashboard import ids
from dashboard.controls.shot_line import not_whole, shot_sentence, slips
from dashboard.fields import FIELDS
from dashboard.pages.card.asked_card import (
    AskedCard,
    asked_card,
    card_files,
    figures_of,
    file_stem,
    rates_phrase,
)
from dashboard.state import Question, search_of

__all__ = ["register"]

_OWN_FIELDS = tuple(name for name, each in FIELDS.items() if each.part == "card")
_TYPES: Final[Mapping[str, str]] = {
    ".pdf": "application/pdf", ".png": "image/png", ".html": "text/html", ".csv": "text/csv",
    ".json": "application/json",
}
_AS_TEXT = (".html", ".json")
"""Forms that travel as text, which compresses where base 64 does not."""


_CHANGED = "The card below is of what was asked before. Make it again."


def told(question: Question | None, shown: str | None) -> dict[str, Any]:
    """What the card will be of, or what is missing; and whether the one shown is another."""
    card = asked_card(question or {})
    parts: list[Component] = []
    if card.read.shot is None:
        parts += not_whole(card.read, "then a card can be made.")
    else:
        parts += [html.P(shot_sentence(card.read.shot)), html.P(rates_phrase(card))]
    changed = shown is not None and shown != search_of(question or {})
    if changed:
        parts.append(html.P(_CHANGED, className="changed"))
    return {
        "told": parts, "wrong": {name: card.errors.get(name, "") for name in _OWN_FIELDS},
        "made": "made old" if changed else "made",
    }


def set_down(
    _made: int | None, _stopped: int | None, question: Question | None
) -> dict[str, Any]:
    """The question that a card is to be made of, once it is whole; none where that is stopped."""
    if ctx.triggered_id == ids.CARD_STOP:
        return {"asked": None, "progress": "Stopped.", "stop": True}
    card = asked_card(question or {})
    if card.shot is None:
        return {"asked": None, "progress": _not_made(card), "stop": True}
    # Nobody says how far it has come before all rates are there: this much is known, no more.
    working = f"Computing {rates_phrase(card)}. Leave the page or press stop whenever you like."
    return {"asked": question, "progress": working, "stop": False}


def _not_made(card: AskedCard) -> list[Component]:
    if card.errors:
        return slips("No card:", card.errors)
    return not_whole(card.read, "then a card can be made.")


def made(question: Question | None) -> dict[str, Any]:
    """Files of the card of a question, and what its picture shows in words."""
    nothing = {
        "files": None, "of": None, "progress": no_update, "stop": True, "alt": "", "hidden": True,
    }
    card = asked_card(question or {})
    if question is None or card.shot is None:
        return nothing
    try:
        files = card_files(figures_of(card), paper=card.paper)
    except OutOfRangeError as error:
        line = str(error).removeprefix(f"{error.argument}: ")
        return {**nothing, "progress": f"No card: {line}"}
    shot = card.shot
    return {
        "files": _forms(files, file_stem(card)), "of": search_of(question),
        "progress": f"Made of {rates_phrase(card)}.", "stop": True, "hidden": False,
        "alt": f"Safe-settings card: {shot.wall.name} filmed by {shot.camera.name},"
               f" {rates_phrase(card)}, {angle_text(shot.angle_deg)} wanted. The HTML form says the"
               " same as text.",
    }


def _forms(files: Mapping[str, bytes], stem: str) -> dict[str, dict[str, Any]]:
    """What a browser needs to save each form."""
    return {
        ending: {
            "filename": f"{stem}{ending}", "type": _TYPES[ending],
            "base64": ending not in _AS_TEXT,
            "content": content.decode() if ending in _AS_TEXT else b64encode(content).decode(),
        }
        for ending, content in files.items()
    }


def register(app: Dash) -> None:
    """Add what happens on the card's screen to an app."""
    app.callback(
        {
            "told": Output(ids.CARD_TOLD, "children"),
            "wrong": {name: Output(ids.refused(name), "children") for name in _OWN_FIELDS},
            "made": Output(ids.CARD_MADE, "className"),
        },
        [Input(ids.QUESTION, "data"), Input(ids.CARD_OF, "data")],
    )(told)
    app.callback(
        {
            "asked": Output(ids.CARD_ASKED, "data"),
            "progress": Output(ids.CARD_PROGRESS, "children"),
            "stop": Output(ids.CARD_STOP, "hidden"),
        },
        [Input(ids.CARD_MAKE, "n_clicks"), Input(ids.CARD_STOP, "n_clicks")],
        State(ids.QUESTION, "data"), prevent_initial_call=True,
    )(set_down)
    app.callback(
        {
            "files": Output(ids.CARD_FILES, "data"),
            "of": Output(ids.CARD_OF, "data"),
            "progress": Output(ids.CARD_PROGRESS, "children", allow_duplicate=True),
            "stop": Output(ids.CARD_STOP, "hidden", allow_duplicate=True),
            "alt": Output(ids.CARD_PICTURE, "alt"),
            "hidden": Output(ids.CARD_MADE, "hidden"),
        },
        Input(ids.CARD_ASKED, "data"), prevent_initial_call=True,
    )(made)
    _register_browser(app)


def _register_browser(app: Dash) -> None:
    """What the browser does alone, with the files that it has: functions of assets/card.js."""
    app.clientside_callback(
        ClientsideFunction("card", "picture"),
        Output(ids.CARD_PICTURE, "src"), Input(ids.CARD_FILES, "data"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("card", "saved"),
        Output(ids.CARD_DOWNLOAD, "data"), Input({"card": ALL}, "n_clicks"),
        State(ids.CARD_FILES, "data"), prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("card", "larger"),
        [Output(ids.CARD_PICTURE, "className"), Output(ids.CARD_LARGER, "children")],
        Input(ids.CARD_LARGER, "n_clicks"), prevent_initial_call=True,
    )
