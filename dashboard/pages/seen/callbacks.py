"""What happens on the screen that asks what is to be seen."""

from typing import Any

from dash import ALL, Dash, Input, Output, State, ctx, no_update
from dash.development.base_component import Component

from bandcheck.verdict.identify import identify
from dashboard import ids
from dashboard.pages.seen.observations import observations_of, seen_text
from dashboard.pages.seen.result import result_view
from dashboard.state import Question

__all__ = ["register"]


def kept(answers: list[str | None]) -> str:
    """Answers as the text of the question."""
    places = ctx.inputs_list[0]
    return seen_text({
        place["id"]["observed"]: answer for place, answer in zip(places, answers, strict=True)
    })


def result(question: Question | None) -> list[Component]:
    """What the answers come to."""
    return result_view(identify(observations_of((question or {}).get("seen", ""))))


def answered(_clicks: list[int | None], answers: list[str | None]) -> list[Any]:
    """Answers with that of the button that was pressed."""
    pressed: Any = ctx.triggered_id
    if not pressed or not ctx.triggered[0]["value"]:
        return [no_update] * len(answers)
    return [
        pressed["as"] if place["id"]["observed"] == pressed["told"] else no_update
        for place in ctx.states_list[0]
    ]


def register(app: Dash) -> None:
    """Add what happens on this screen to an app."""
    app.callback(
        Output(ids.field("seen"), "value"), [Input({"observed": ALL}, "value")],
        prevent_initial_call=True,
    )(kept)
    app.callback(Output(ids.SEEN_ANSWER, "children"), Input(ids.QUESTION, "data"))(result)
    app.callback(
        Output({"observed": ALL}, "value"),
        [Input({"told": ALL, "as": ALL}, "n_clicks")], [State({"observed": ALL}, "value")],
        prevent_initial_call=True,
    )(answered)
