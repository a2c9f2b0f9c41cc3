"""What the screen for profiles looks like."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

import dash_bootstrap_components as dbc
from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.shoot.profile_keys import Key
from bandcheck.shoot.profiles import KINDS, KindName
from dashboard import ids
from dashboard.controls.form import shipped_titles
from dashboard.fields import OWN
from dashboard.pages.profiles.begun import Begun, opened
from dashboard.pages.profiles.groups import choices_of, groups_of, taken_words, unit_of
from dashboard.pages.profiles.own_question import question_told
from dashboard.pages.profiles.sheet import LONGEST_TYPED, NOT_CHOSEN, Sheet, shape_of
from dashboard.state import toml_key

__all__ = ["EMPTY", "layout", "sheet_view", "starts", "told_lines"]

EMPTY = "empty"
"""Choice to begin from a sheet without figures."""

_SOURCE_HELP = "Where the figure comes from, such as \"maker's sheet\", \"measured\" and the date,"
_SOURCE_HELP += ' "common practice" or "assumed".'
_POLITE: dict[str, Any] = {"aria-live": "polite"}
_MOST_LINES = 8


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the screen.

    Parameters
    ----------
    question
        Its wall is shown first.

    Returns
    -------
    list of Component
        What to begin from, the figures, and what they come to.
    """
    asked = question_told(dict(question))
    sheet, begun, told = opened(asked, "wall")
    return [
        html.H1("Profiles", className="only-read-out"),
        dcc.Store(id=ids.PROFILE_SENT), dcc.Store(id=ids.PROFILE_BEFORE),
        dcc.Download(id=ids.PROFILE_FILE),
        _begin(asked),
        html.Div(told_lines(told), id=ids.PROFILE_TOLD, className="profile-told", **_POLITE),
        html.Div(
            [
                html.Section(
                    [html.H2("What it comes to"),
                     html.Div(id=ids.PROFILE_STATE, **_POLITE), html.Div(id=ids.PROFILE_BUDGET)],
                    className="profile-comes-to",
                ),
                html.Section(
                    [html.H2("The figures"),
                     html.Div(sheet_view(sheet, begun), id=ids.PROFILE_SHEET)],
                    className="profile-figures",
                ),
            ],
            className="profile-columns",
        ),
    ]


def _begin(question: Mapping[str, str]) -> Component:
    kinds = dbc.RadioItems(
        id=ids.PROFILE_KIND, value="wall", inline=True, class_name="choices",
        options=[{"value": kind, "label": kind.capitalize()} for kind in KINDS],
    )
    start = html.Div(
        [
            html.Label("Begin from", htmlFor=ids.PROFILE_START, className="field-label"),
            dbc.Select(id=ids.PROFILE_START, value="", placeholder="choose one",
                       options=starts(question, "wall")),
        ],
        className="field profile-start",
    )
    files = html.Div(
        [
            html.Button("Upload a TOML file", id=ids.PROFILE_UPLOAD),
            html.Button("Download as TOML", id=ids.PROFILE_DOWNLOAD),
            html.Button("Bring back the figures before", id=ids.PROFILE_BACK, hidden=True),
        ],
        className="profile-files",
    )
    return html.Section(
        [html.H2("A profile of"), kinds, start, files], className="question profile-begin"
    )


def starts(question: Mapping[str, str], kind: KindName) -> list[dict[str, str]]:
    """What the figures may be begun from, as options of a list."""
    own = [{"value": OWN, "label": "your own figures"}] if question.get(toml_key(kind)) else []
    shipped = [{"value": name, "label": title} for name, title in shipped_titles(kind).items()]
    return [*own, *shipped, {"value": EMPTY, "label": "an empty sheet"}]


def told_lines(lines: Sequence[str]) -> list[Component]:
    """What is wrong with a file, a line each."""
    shown = [html.Li(line) for line in lines[:_MOST_LINES]]
    if len(lines) > _MOST_LINES:
        shown.append(html.Li(f"and {len(lines) - _MOST_LINES} more"))
    return [html.Ul(shown, className="errors")] if shown else []


def sheet_view(sheet: Sheet, begun: Begun) -> list[Component]:
    """Figures of a sheet by group, each with its source, and what they were begun from."""
    groups = [
        html.Fieldset(
            [html.Legend(title), *(_row(key, sheet) for key in keys)], className="profile-group"
        )
        for title, keys in groups_of(sheet.kind)
    ]
    return [dcc.Store(id=ids.PROFILE_BEGUN, data=begun.data()), *groups]


def _row(key: Key, sheet: Sheet) -> Component:
    words = key.name.removesuffix(f"_{key.name.rpartition('_')[2]}") if unit_of(key, sheet.kind) \
        else key.name
    words = words.replace("_", " ")
    needed = "Needed. " if key.required else ""
    figure = _box(
        words, unit_of(key, sheet.kind), _control(key, sheet), place=ids.figure(key.name),
        wrong=ids.figure_wrong(key.name), help_text=f"{needed}{_meaning(key)} ({key.name})",
    )
    source = _box(
        [html.Span(words, className="only-read-out"), html.Span(" comes from")], "",
        _input(ids.figure_source(key.name), sheet.sources.get(key.name, ""), "not stated"),
        place=ids.figure_source(key.name), wrong=ids.source_wrong(key.name),
        help_text=_SOURCE_HELP,
    )
    return html.Div([figure, source], className="profile-row")


def _meaning(key: Key) -> str:
    accepted = key.accepted[:1].upper() + key.accepted[1:]
    return f"{key.meaning[:1].upper()}{key.meaning[1:]}. {accepted}."


def _box(
    words: Any, unit: str, control: Any, *, place: ids.Id, wrong: ids.Id, help_text: str
) -> Component:
    unit_words = [html.Span(f" {unit}", className="field-unit")] if unit else []
    head = [*(words if isinstance(words, list) else [words]), *unit_words]
    name = next(iter(place.items()))
    return html.Div(
        [
            html.Label(
                head, className="field-label",
                htmlFor=json.dumps(place, sort_keys=True, separators=(",", ":")),
            ),
            control,
            html.Div(help_text, className="field-help", id=f"help-{name[0]}-{name[1]}"),
            html.Div(id=wrong, className="field-error"),
        ],
        className="field",
    )


def _control(key: Key, sheet: Sheet) -> Any:
    text = sheet.figures.get(key.name, "")
    if shape_of(key) != "choice":
        return _input(ids.figure(key.name), text, taken_words(key, sheet.kind))
    offered = [{"value": word, "label": word.replace("_", " ")} for word in choices_of(key)]
    if text not in choices_of(key) and text:
        offered.append({"value": text, "label": f"{text[:60]} (not accepted)"})
    none = {"value": NOT_CHOSEN, "label": taken_words(key, sheet.kind)}
    return dbc.Select(
        id=ids.figure(key.name), value=text or NOT_CHOSEN, options=[none, *offered]
    )


def _input(place: ids.Id, text: str, empty: str) -> Any:
    return dbc.Input(
        id=place, type="text", value=text, placeholder=empty, autocomplete="off",
        maxlength=LONGEST_TYPED + 1,
    )
