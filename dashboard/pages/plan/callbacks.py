"""What happens on the plan's screen.

A plan is computed a set-up at a time, so that it can be read, left and edited meanwhile: the
browser asks for the next part once one has come, and whatever comes for an older text is left out.
"""

from base64 import b64encode
from collections.abc import Mapping
from typing import Any

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, ctx, html, no_update
from dash.development.base_component import Component

from bandcheck.errors import ProfileError
from bandcheck.report.card import CARD_ENDINGS
from bandcheck.report.plan_card import plan_card_file
from bandcheck.shoot.plan import Plan
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.plan_card import plan_card
from bandcheck.verdict.plan_results import Cell, SetUpAgreement
from dashboard import ids
from dashboard.fields import FIELDS
from dashboard.pages.card.asked_card import asked_card
from dashboard.pages.plan.asked_plan import asked_plan, read_plan
from dashboard.pages.plan.cell_view import cell_view
from dashboard.pages.plan.compare_view import compared, meetings
from dashboard.pages.plan.layout import CARD_FIELDS, plan_room
from dashboard.pages.plan.matrix import matrix_row, moves
from dashboard.pages.plan.parts import part_agreement, part_count
from dashboard.pages.plan.shot_links import shot_links
from dashboard.state import Question, plan_in_address

__all__ = ["register"]

Task = dict[str, Any]

_MOST_COMPARED = 2000
_WAITING = "Choose a plan, upload one or write one: then the set-ups stand here."
_NOT_IN_LINK = ("The link does not hold this plan: it is too long for one. Download its text before"
                " you leave this screen.")


def read(question: Question | None, before: Task | None) -> dict[str, Any]:
    """What is wrong with the text, or an empty matrix of its plan; nothing where it is the same."""
    told = question or {}
    found = asked_plan(told)
    if isinstance(before, dict) and before.get("key") == found.key:
        return dict.fromkeys(("faults", "shown", "read"), no_update)
    shown = plan_room(found.plan)
    if found.plan is None and not found.faults:
        shown.append(html.P(_WAITING, className="waiting"))
    parts = 0 if found.plan is None else part_count(found.plan)
    return {
        "faults": _told(found.faults, told), "shown": shown,
        "read": {"key": found.key, "parts": parts},
    }


def _told(faults: tuple[str, ...], question: Mapping[str, str]) -> list[Component]:
    told: list[Component] = []
    if faults:
        one = "One fault:" if len(faults) == 1 else f"{len(faults)} faults:"
        told += [html.P(one), html.Ul([html.Li(line) for line in faults], className="errors")]
    if not plan_in_address(question):
        told.append(html.P(_NOT_IN_LINK))
    return told


def part(task: Task | None, question: Question | None) -> dict[str, Any] | None:
    """The part of the plan that is next.

    Parameters
    ----------
    task
        `run`, the number of the text in this browser; `key` of the text; `step`.
    question
        The question.

    Returns
    -------
    dict or None
        `run` and `step` again, `of` how many; the `row` of a set-up with what is said of its
        `cells`, `moves` for a list below, and `progress` in words.
    """
    found = asked_plan(question or {})
    if found.plan is None or not isinstance(task, dict) or task.get("key") != found.key:
        return None
    plan, step = found.plan, task.get("step")
    if not isinstance(step, int) or not 0 <= step < part_count(plan):
        return None
    agreement = part_agreement(plan, step)
    setup = agreement.setups[0] if agreement.setups else None
    return {
        "run": task.get("run"), "step": step, "of": part_count(plan),
        "row": None if setup is None else matrix_row(plan, setup, part=step),
        "cells": {} if setup is None else _cells(setup, step),
        "moves": moves(agreement), "progress": _progress(plan, step),
    }


def _cells(setup: SetUpAgreement, step: int) -> dict[str, Any]:
    return {
        f"{step} {rate_text(cell.fps)}": {
            "view": cell_view(setup, cell),
            "picked": {"part": step, "at": rate_text(cell.fps), "dials": _dials(cell)},
        }
        for cell in setup.cells
    }


def _dials(cell: Cell) -> dict[str, str]:
    """Angle to dial of each camera, exactly as it can be typed."""
    if cell.chosen is None:
        return {}
    return {each.camera: f"{float(each.angle_deg):.12g}" for each in cell.chosen.dials}


def _progress(plan: Plan, step: int) -> str:
    known, total = min(step + 1, len(plan.setups)), len(plan.setups)
    if step + 1 >= part_count(plan):
        return f"All {total} set-ups computed." if total > 1 else "The set-up is computed."
    turns = "" if known < total or not plan.interleaves else "; cameras that take turns follow"
    return f"{known} of {total} set-ups computed{turns}."


def links(picked: Task | None, question: Question | None) -> list[Component]:
    """Links to the shots of the tapped cell."""
    found = asked_plan(question or {})
    return [] if found.plan is None else shot_links(found.plan, picked, question or {})


def comparison(
    other: dict[str, Any] | None, other_is: str, _pressed: int | None, _read: Task | None,
    question: Question | None,
) -> list[Component]:
    """The plan against another one."""
    if not isinstance(other, dict) or not isinstance(other.get("text"), str):
        return []
    if ctx.triggered_id == ids.PLAN_READ:
        return [html.P("The plan has changed: press \"Compare\".", className="note")]
    found = asked_plan(question or {})
    if found.plan is None:
        return [html.P("Compared once the plan above is without fault.", className="note")]
    try:
        against = read_plan(other["text"])
    except ProfileError as error:
        return [html.P("Faults of the other plan:"),
                html.Ul([html.Li(line) for line in error.faults], className="errors")]
    if meetings(found.plan) + meetings(against) > _MOST_COMPARED:
        return [html.P("Too large to compare on a screen: bandcheck plan --compare does it.")]
    return compared(found.plan, against, other_is=other_is)


def card(
    _pressed: int | None, ending: str, question: Question | None
) -> tuple[Any, str]:
    """File of the card of the plan, and what became of it."""
    told = question or {}
    found = asked_plan(told)
    if found.plan is None:
        return no_update, "No card: the plan has to be chosen, and without fault."
    if ending not in CARD_ENDINGS:
        return no_update, "No card: choose a form of the list."
    asked = asked_card(told)
    wrong = [f"{FIELDS[name].label}: {asked.errors[name]}" for name in CARD_FIELDS
             if name in asked.errors]
    if wrong:
        return no_update, f"No card. {'; '.join(wrong)}."
    figures = plan_card(found.plan, date=asked.date, version=asked.version)
    content = plan_card_file(figures, ending=ending, paper=asked.paper)
    file = {"filename": f"plan-card{ending}", "content": b64encode(content).decode(),
            "base64": True}
    return file, f"Made: plan-card{ending}, {figures.level.value} as it is to be dialled."


def register(app: Dash) -> None:
    """Add what happens on the plan's screen to an app."""
    question = State(ids.QUESTION, "data")
    app.callback(
        {
            "faults": Output(ids.PLAN_FAULTS, "children"),
            "shown": Output(ids.PLAN_SHOWN, "children"), "read": Output(ids.PLAN_READ, "data"),
        },
        Input(ids.QUESTION, "data"), State(ids.PLAN_READ, "data"),
    )(read)
    app.callback(Output(ids.PLAN_ROW, "data"), Input(ids.PLAN_TASK, "data"), question)(part)
    app.callback(
        Output(ids.PLAN_LINKS, "children"), Input(ids.PLAN_PICKED, "data"), question,
        prevent_initial_call=True,
    )(links)
    app.callback(
        Output(ids.PLAN_COMPARED, "children"), Input(ids.PLAN_OTHER, "data"),
        Input(ids.PLAN_OTHER_IS, "value"), Input(ids.PLAN_COMPARE, "n_clicks"),
        Input(ids.PLAN_READ, "data"), question, prevent_initial_call=True,
    )(comparison)
    app.callback(
        [Output(ids.PLAN_FILE, "data", allow_duplicate=True),
         Output(ids.PLAN_CARD_TOLD, "children")],
        Input(ids.PLAN_CARD_MAKE, "n_clicks"), State(ids.PLAN_CARD_FORM, "value"), question,
        prevent_initial_call=True,
        running=[(Output(ids.PLAN_CARD_MAKE, "disabled"), True, False)],
    )(card)
    _register_browser(app)


def _register_browser(app: Dash) -> None:
    """What the browser does alone: functions of assets/plan.js."""
    def told(name: str, *places: Any, initial: bool = False) -> None:
        app.clientside_callback(
            ClientsideFunction("plan", name), *places, prevent_initial_call=not initial
        )

    text, choice = ids.field("plan_toml"), ids.field("plan")
    told(
        "settle", Output(text, "value"), Output(choice, "value"), Output(ids.PLAN_BEFORE, "data"),
        Output(ids.PLAN_BACK, "hidden"), Output(ids.PLAN_TOLD, "children"),
        Input(text, "value"), Input(choice, "value"), Input(ids.PLAN_SENT, "data"),
        Input(ids.PLAN_BACK, "n_clicks"), State(ids.PLAN_SHIPPED, "data"),
        State(ids.PLAN_BEFORE, "data"),
    )
    told("start", Output(ids.PLAN_TASK, "data"), Input(ids.PLAN_READ, "data"), initial=True)
    told(
        "add", Output(ids.PLAN_BODY, "children"), Output(ids.PLAN_MOVES, "children"),
        Output(ids.PLAN_CELLS, "data"), Output(ids.PLAN_PROGRESS, "children"),
        Input(ids.PLAN_ROW, "data"), State(ids.PLAN_BODY, "children"),
        State(ids.PLAN_MOVES, "children"), State(ids.PLAN_CELLS, "data"),
        State(ids.PLAN_TASK, "data"),
    )
    told(
        "tap", Output(ids.PLAN_DETAIL, "children"), Output(ids.PLAN_PICKED, "data"),
        Input({"cell": ALL, "at": ALL}, "n_clicks"), State(ids.PLAN_CELLS, "data"),
    )
    told("choose", Output(ids.PLAN_SENT, "data"), Input(ids.PLAN_UPLOAD, "n_clicks"))
    told("chooseOther", Output(ids.PLAN_OTHER_SENT, "data"),
         Input(ids.PLAN_OTHER_UPLOAD, "n_clicks"))
    told(
        "other", Output(ids.PLAN_OTHER, "data"), Output(ids.PLAN_OTHER_TOLD, "children"),
        Input(ids.PLAN_OTHER_CHOICE, "value"), Input(ids.PLAN_OTHER_SENT, "data"),
        State(ids.PLAN_SHIPPED, "data"),
    )
    told("save", Output(ids.PLAN_FILE, "data"), Input(ids.PLAN_SAVE, "n_clicks"),
         State(text, "value"))
