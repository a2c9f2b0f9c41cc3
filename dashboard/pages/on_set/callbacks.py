"""What happens on the quick screen."""

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, ctx, html, no_update
from dash.development.base_component import Component

from dashboard import ids
from dashboard.controls.shot_line import not_whole, shot_sentence, slips
from dashboard.fields import FIELDS
from dashboard.pages.on_set.asked_change import asked_change
from dashboard.pages.on_set.card_question import CardError, card_question
from dashboard.pages.on_set.change_view import answer_view, more_view
from dashboard.state import Question, asked, search_of

__all__ = ["register"]

_OWN_FIELDS = tuple(name for name, each in FIELDS.items() if each.part == "change")
_CANNOT_BE = "No answer: what is asked for cannot be."
_WAITING = "Say the new rate or the new shutter: then the answer stands here."


def answer(question: Question | None) -> dict[str, Any]:
    """What stood before, the answer to the change, and what is wrong with what was typed."""
    told = question or {}
    read = asked(told)
    if read.shot is None:
        return _parts(not_whole(read, "then the change can be answered."), before=[
            html.P("Which shot changes?", className="waiting"),
        ])
    before: list[Component] = [html.P(shot_sentence(read.shot))]
    found = asked_change(read.shot, told)
    if found.change is not None:
        return _parts([answer_view(found.change)], before=before, more=more_view(found.change))
    return _parts(_not_answered(found.errors), before=before, errors=found.errors)


def _not_answered(errors: Mapping[str, str]) -> list[Component]:
    """What stands where the answer would; what has a place beside its field is not said twice."""
    elsewhere = {name: line for name, line in errors.items() if name not in _OWN_FIELDS}
    if elsewhere:
        return slips("No answer:", elsewhere)
    return [html.P(_CANNOT_BE if errors else _WAITING, className="waiting")]


def _parts(
    shown: list[Component], *, before: list[Component], more: list[Component] | None = None,
    errors: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    wrong = errors or {}
    return {
        "before": before, "answer": shown, "more": more or [],
        "wrong": {name: wrong.get(name, "") for name in _OWN_FIELDS},
    }


def rate_taken(_clicks: list[int | None]) -> Any:
    """Rate of the button that was pressed."""
    return _pressed("rate")


def shutter_taken(_clicks: list[int | None]) -> Any:
    """Shutter of the button that was pressed."""
    return _pressed("dial")


def _pressed(kind: str) -> Any:
    if not ctx.triggered or not ctx.triggered[0]["value"]:  # a button that has just appeared
        return no_update
    pressed: Any = ctx.triggered_id
    return pressed[kind]


def chosen_rate(question: Question | None) -> list[str]:
    """Class of every rate's button: that of the new rate is marked."""
    typed = (question or {}).get("to_fps", "").strip()
    return [
        "rate chosen" if each["id"]["rate"] == typed else "rate" for each in ctx.outputs_list
    ]


def card_taken(sent: object, question: Question | None, pathname: str | None) -> tuple[Any, str]:
    """Address of a card's question, or what is wrong with its file."""
    if not isinstance(sent, dict):
        return no_update, ""
    if sent.get("refused"):
        return no_update, str(sent["refused"])[:200]
    try:
        search = search_of(card_question(sent.get("text"), question or {}))
    except CardError as error:
        return no_update, str(error)
    # An address that is like the one before would not be gone to, though fields were changed since:
    # the time makes it another; it is no part of a question and goes from the address by itself.
    return f"{pathname or '/'}{search}&{urlencode({'chosen': sent.get('chosen')})}", ""


def register(app: Dash) -> None:
    """Add what happens on the quick screen to an app."""
    app.callback(
        {
            "before": Output(ids.SET_BEFORE, "children"),
            "answer": Output(ids.SET_ANSWER, "children"),
            "more": Output(ids.SET_MORE, "children"),
            "wrong": {name: Output(ids.refused(name), "children") for name in _OWN_FIELDS},
        },
        Input(ids.QUESTION, "data"),
    )(answer)
    app.callback(
        Output(ids.field("to_fps"), "value"), Input({"rate": ALL}, "n_clicks"),
        prevent_initial_call=True,
    )(rate_taken)
    app.callback(
        Output(ids.field("to_shutter"), "value"), Input({"dial": ALL}, "n_clicks"),
        prevent_initial_call=True,
    )(shutter_taken)
    app.callback(
        Output({"rate": ALL}, "className"), Input(ids.QUESTION, "data"),
    )(chosen_rate)
    app.clientside_callback(  # the function stands in assets/card_file.js
        ClientsideFunction("cardFile", "choose"),
        Output(ids.SET_CARD_SENT, "data"), Input(ids.SET_CARD, "n_clicks"),
        prevent_initial_call=True,
    )
    app.callback(
        [Output(ids.ADDRESS, "href"), Output(ids.SET_CARD_TOLD, "children")],
        [
            Input(ids.SET_CARD_SENT, "data"), State(ids.QUESTION, "data"),
            State(ids.ADDRESS, "pathname"),
        ],
        prevent_initial_call=True,
    )(card_taken)
