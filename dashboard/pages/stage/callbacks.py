"""What happens on the main screen."""

from typing import Any

from dash import ALL, Dash, Input, Output, ctx, html, no_update
from dash.development.base_component import Component

from bandcheck.verdict.assess import assess
from dashboard import ids
from dashboard.controls.verdict import verdict_view
from dashboard.fields import FIELDS
from dashboard.state import Question, asked, search_of

__all__ = ["register"]


def answer(question: Question | None) -> tuple[list[Component], dict[str, Any] | None]:
    """Verdict on the question, or what is still needed; and the question that it answers."""
    read = asked(question or {})
    if read.shot is None:
        return _not_answered(read.missing, dict(read.errors)), None
    return verdict_view(assess(read.shot)), {"search": search_of(question or {})}


def _not_answered(missing: tuple[str, ...], errors: dict[str, str]) -> list[Component]:
    """What stands where the verdict would: nothing is answered for a question that is not whole."""
    if errors:
        lines = [html.Li([html.B(f"{FIELDS[name].label}: "), line])
                 for name, line in errors.items()]
        return [html.P("No answer: something in the question cannot be."),
                html.Ul(lines, className="errors")]
    named = " and ".join(f"a {FIELDS[name].label.lower()}" for name in missing)
    return [html.P(f"Choose {named}: then the verdict stands here.", className="waiting")]


def taken(_clicks: list[int | None]) -> Any:
    """Shutter of the button that was pressed."""
    if not ctx.triggered or not ctx.triggered[0]["value"]:
        return no_update
    pressed: Any = ctx.triggered_id
    return pressed["take"]


def register(app: Dash) -> None:
    """Add what happens on the main screen to an app."""
    app.callback(
        [Output(ids.VERDICT, "children"), Output(ids.ANSWER, "data")],
        Input(ids.QUESTION, "data"),
    )(answer)
    app.callback(
        Output(ids.field("shutter"), "value"),
        Input({"take": ALL, "place": ALL}, "n_clicks"), prevent_initial_call=True,
    )(taken)
