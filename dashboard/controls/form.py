"""Fields of the question: what one looks like, and what becomes of what is typed."""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import Any

import dash_bootstrap_components as dbc
from dash import ALL, Dash, Input, Output, State, ctx, html
from dash.development.base_component import Component

from bandcheck.shoot.profiles import KindName, load_profile, shipped_folder, shipped_names
from dashboard import ids
from dashboard.fields import FIELDS, OWN, Field
from dashboard.state import Question, asked, search_of, toml_key

__all__ = ["field_box", "field_boxes", "offered", "register", "shipped_titles"]

_TYPING_MS = 350
"""How long a pause in typing means that a value is complete."""

_OWN_WORDS = {"wall": "your own figures", "camera": "your own figures", "lamp": "your own lamp"}


def field_boxes(names: Iterable[str], question: Mapping[str, str]) -> list[Component]:
    """Boxes of several fields; see `field_box`."""
    return [field_box(name, question) for name in names]


def field_box(name: str, question: Mapping[str, str]) -> Component:
    """A field with its label, its unit, its explanation and room for what is wrong with it.

    Parameters
    ----------
    name
        Key of `FIELDS`.
    question
        Texts that are shown.

    Returns
    -------
    Component
        Box of the field.
    """
    each = FIELDS[name]
    control = _CONTROLS.get(name, _control)(each, question)
    head: list[Any] = [each.label]
    if each.unit:
        head.append(html.Span(f" {each.unit}", className="field-unit"))
    label = (
        html.Div(head, className="field-label") if name == "lamp"
        else html.Label(head, htmlFor=_dom_id(ids.field(name)), className="field-label")
    )
    return html.Div(
        [
            label, control,
            html.Div(each.explanation, className="field-help", id=f"help-{name}"),
            html.Div(id=ids.wrong(name), className="field-error", role="alert"),
        ],
        className=f"field field-{name}",
    )


def _dom_id(name: ids.Id) -> str:
    """What a name of several is in the page itself."""
    return json.dumps(name, sort_keys=True, separators=(",", ":"))


def _control(each: Field, question: Mapping[str, str]) -> Any:
    value = question.get(each.name, each.usual)
    if each.choices is not None:
        return dbc.Select(
            id=ids.field(each.name), value=value,
            options=[{"value": key, "label": words} for key, words in each.choices.items()],
        )
    return dbc.Input(
        id=ids.field(each.name), type="text", value=value, debounce=_TYPING_MS,
        autocomplete="off", maxlength=2000,
    )


def _profile_choice(each: Field, question: Mapping[str, str]) -> Any:
    kind: Any = each.name
    return dbc.Select(
        id=ids.field(each.name), value=question.get(each.name, ""),
        placeholder="choose one", options=offered(kind, question),
    )


def _lamp_choice(each: Field, question: Mapping[str, str]) -> Any:
    return dbc.Checklist(
        id=ids.field(each.name), options=offered("lamp", question), class_name="choices",
        value=[chosen for chosen in question.get("lamp", "").split(",") if chosen],
    )


def offered(kind: KindName, question: Mapping[str, str]) -> list[dict[str, str]]:
    """Profiles that may be chosen, the user's own first where there is one."""
    own = question.get(toml_key(kind))
    first = [{"value": OWN, "label": f"{_title(own)} ({_OWN_WORDS[kind]})"}] if own else []
    return first + [{"value": name, "label": title} for name, title in shipped_titles(kind).items()]


@cache
def shipped_titles(kind: KindName) -> Mapping[str, str]:
    """Name and title of every shipped profile of a kind; they do not change while this runs."""
    folder = shipped_folder() / f"{kind}s"
    return {name: load_profile(folder / f"{name}.toml").name for name in shipped_names(kind)}


def _title(text: str) -> str:
    """Name in a profile's text, as it stands there, whether the rest can be read or not."""
    for line in text.splitlines():
        key, _, value = line.partition("=")
        if key.strip() == "name":
            return value.strip().strip("\"'")[:60]
    return "without a name"


_CONTROLS: Mapping[str, Callable[[Field, Mapping[str, str]], Any]] = {
    "wall": _profile_choice, "camera": _profile_choice, "lamp": _lamp_choice,
}


def typed_question(
    texts: Sequence[Any], question: Question | None
) -> tuple[Question, str, list[str]]:
    """Question with what stands in the fields of the page, its address, and what is wrong."""
    told: Question = dict(question or {})
    for place, text in zip(ctx.inputs_list[0], texts, strict=True):
        told[place["id"]["ask"]] = ",".join(text) if isinstance(text, list) else str(text or "")
    errors = asked(told).errors
    wrong = [errors.get(place["id"]["wrong"], "") for place in ctx.outputs_list[2]]
    return told, search_of(told), wrong


def register(app: Dash) -> None:
    """Have what is typed kept as the question."""
    app.callback(
        [
            Output(ids.QUESTION, "data"), Output(ids.SEARCH, "data"),
            Output({"wrong": ALL}, "children"),
        ],
        [Input({"ask": ALL}, "value")], State(ids.QUESTION, "data"),
    )(typed_question)
