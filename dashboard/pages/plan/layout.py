"""What the plan's screen looks like before anything is computed."""

import json
from collections.abc import Mapping
from typing import Any

import dash_bootstrap_components as dbc
from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.report.card import CARD_ENDINGS
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.profile_faults import LARGEST_BYTES
from bandcheck.vision.level import Level
from dashboard import ids
from dashboard.controls.form import field_box
from dashboard.controls.levels import level_word
from dashboard.controls.verdict import cautions
from dashboard.fields import FIELDS, OWN
from dashboard.pages.plan.asked_plan import plan_text_of, shipped_texts
from dashboard.pages.plan.matrix import matrix

__all__ = ["CARD_FIELDS", "layout", "plan_room"]

CARD_FIELDS = ("date", "card_version", "paper")
"""Fields of the question that are printed on the card of a plan."""

_TYPING_MS = 700
_LIVE: dict[str, Any] = {"aria-live": "polite"}


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the plan's screen.

    Parameters
    ----------
    question
        Its plan is the one that is shown.

    Returns
    -------
    list of Component
        The plan's text, then room for the matrix, the comparison and the card.
    """
    stores = (ids.PLAN_SENT, ids.PLAN_BEFORE, ids.PLAN_READ, ids.PLAN_TASK, ids.PLAN_ROW,
              ids.PLAN_CELLS, ids.PLAN_PICKED, ids.PLAN_OTHER_SENT, ids.PLAN_OTHER)
    return [
        html.H1("Shoot plan", className="only-read-out"),
        *(dcc.Store(id=each) for each in stores),
        dcc.Store(id=ids.PLAN_SHIPPED, data=dict(shipped_texts())), dcc.Download(id=ids.PLAN_FILE),
        _question(question),
        html.Section(html.Div(plan_room(None), id=ids.PLAN_SHOWN),
                     className="answers plan-answers"),
        html.Div([_compare(), _card(question)], className="answers beside"),
        cautions(),
    ]


def _dom_id(name: str) -> str:
    return json.dumps(ids.field(name), sort_keys=True, separators=(",", ":"))


def _question(question: Mapping[str, str]) -> Component:
    text, chosen = plan_text_of(question), question.get("plan", "")
    if text and text != shipped_texts().get(chosen):
        chosen = OWN
    field = FIELDS["plan"]
    choice = html.Div(
        [
            html.Label(field.label, htmlFor=_dom_id("plan"), className="field-label"),
            dbc.Select(
                id=ids.field("plan"), value=chosen, placeholder="choose one",
                options=[*_shipped(), {"value": OWN, "label": "your own text"}],
            ),
            html.Div(field.explanation, className="field-help"),
        ],
        className="field",
    )
    files = html.Div(
        [
            html.Button("Upload a plan", id=ids.PLAN_UPLOAD),
            html.Button("Download the text", id=ids.PLAN_SAVE),
            html.Button("Bring back the text before", id=ids.PLAN_BACK, hidden=True),
        ],
        className="plan-files",
    )
    return html.Section(
        [
            html.H2("The plan"), html.Div([choice, files], className="plan-choose"),
            html.Div(id=ids.PLAN_TOLD, className="field-error", role="alert"),
            html.Details(
                [html.Summary("Text of the plan"), _text(text)], open=chosen == OWN,
                className="plan-edit",
            ),
            html.Div(id=ids.PLAN_FAULTS, className="plan-faults", **_LIVE),
        ],
        className="question",
    )


def _text(text: str) -> Component:
    return html.Div(
        [
            html.Label("TOML, as bandcheck plan reads it", htmlFor=_dom_id("plan_toml"),
                       className="field-label"),
            dbc.Textarea(
                id=ids.field("plan_toml"), value=text, debounce=_TYPING_MS, rows=18,
                spellCheck=False, wrap="off", maxLength=LARGEST_BYTES, className="plan-text",
            ),
        ],
        className="field",
    )


def _shipped() -> list[dict[str, str]]:
    return [{"value": name, "label": f"{name} (shipped)"} for name in shipped_texts()]


def plan_room(plan: Plan | None) -> list[Component]:
    """Matrix of a plan before anything is computed, and room for all that follows.

    Parameters
    ----------
    plan
        The plan; None: nothing is to be seen, but what still comes of an older plan has a place.

    Returns
    -------
    list of Component
        `ids.PLAN_BODY` and what belongs to it.
    """
    if plan is None:
        parts = [
            html.P(id=ids.PLAN_PROGRESS), html.Table(html.Tbody(id=ids.PLAN_BODY, children=[])),
            html.Div(id=ids.PLAN_DETAIL), html.Div(id=ids.PLAN_LINKS),
            html.Ul(id=ids.PLAN_MOVES, children=[]),
        ]
        return [html.Div(parts, hidden=True)]
    return [
        html.H2(plan.name), *([html.P(plan.note, className="note")] if plan.note else []),
        html.P(f"0 of {len(plan.setups)} set-ups computed.", id=ids.PLAN_PROGRESS,
               className="progress", role="status"),
        matrix(plan),
        html.P([level_word(each) for each in Level], className="key"),
        html.Div(
            html.P("Tap a cell: which settings suit all, who is in the way, and what opens one."),
            id=ids.PLAN_DETAIL, className="plan-detail", tabIndex="-1",
        ),
        html.Div(id=ids.PLAN_LINKS),
        html.Ul(id=ids.PLAN_MOVES, className="findings", children=[]),
        html.P("Timing alone; moire hangs on lens and place: the main screen shows it.",
               className="note"),
    ]


def _compare() -> Component:
    return html.Section(
        [
            html.H2("Against another plan"),
            html.Div(
                [
                    html.Label("The other plan", htmlFor=ids.PLAN_OTHER_CHOICE,
                               className="field-label"),
                    dbc.Select(id=ids.PLAN_OTHER_CHOICE, value="", placeholder="choose one",
                               options=_shipped()),
                ],
                className="field",
            ),
            dbc.RadioItems(
                id=ids.PLAN_OTHER_IS, value="older", inline=True, class_name="choices",
                options=[{"value": "older", "label": "the other is older"},
                         {"value": "newer", "label": "the other is newer"}],
            ),
            html.Div(
                [html.Button("Upload the other", id=ids.PLAN_OTHER_UPLOAD),
                 html.Button("Compare", id=ids.PLAN_COMPARE, className="main")],
                className="plan-files",
            ),
            html.P(id=ids.PLAN_OTHER_TOLD, className="note", role="status"),
            html.Div(id=ids.PLAN_COMPARED, **_LIVE),
        ],
        className="plan-compare",
    )


def _card(question: Mapping[str, str]) -> Component:
    forms = [{"value": each, "label": each[1:].upper()} for each in CARD_ENDINGS]
    form = html.Div(
        [
            html.Label("Form", htmlFor=ids.PLAN_CARD_FORM, className="field-label"),
            dbc.Select(id=ids.PLAN_CARD_FORM, value=".pdf", options=forms),
        ],
        className="field",
    )
    return html.Section(
        [
            html.H2("Card of the plan"),
            html.P("A front page and a strip for each set-up, to print and sign. It is computed "
                   "anew and takes as long as the matrix."),
            html.Div([*(field_box(name, question) for name in CARD_FIELDS), form],
                     className="fields"),
            html.Div(html.Button("Make the card", id=ids.PLAN_CARD_MAKE, className="main"),
                     className="plan-files"),
            html.P(id=ids.PLAN_CARD_TOLD, className="progress", role="status"),
        ],
        className="plan-card",
    )
