"""What happens on the main screen: which answer follows from what."""

from typing import Any

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, ctx, no_update

from bandcheck.verdict.card_shutters import dial_shows_times
from dashboard import ids
from dashboard.pages.stage import answers, instead
from dashboard.state import Question, asked

__all__ = ["register"]


def taken(
    _clicks: list[int | None], click: dict[str, Any] | None, question: Question | None
) -> tuple[Any, Any]:
    """Rate and shutter of the button that was pressed, or of the cell that was tapped."""
    pressed: Any = ctx.triggered_id
    if pressed == ids.MAP_GRAPH:
        shot = asked(question or {}).shot
        return instead.tapped(click, in_time=shot is not None and dial_shows_times(shot.camera))
    if not ctx.triggered or not ctx.triggered[0]["value"]:
        return no_update, no_update
    return no_update, pressed["take"]


def used_phase(_clicks: int | None, phase_ms: Any) -> Any:
    """Phase of the slider, for the field of the question."""
    try:
        return f"{float(phase_ms):.3f}"
    except (TypeError, ValueError):
        return no_update


def _graph(name: str, told: str) -> list[Output]:
    return [Output(name, "figure"), Output(name, "style"), Output(told, "children")]


def register(app: Dash) -> None:
    """Add what happens on the main screen to an app."""
    question = State(ids.QUESTION, "data")
    app.callback(
        [Output(ids.VERDICT, "children"), Output(ids.ANSWER, "data")],
        Input(ids.QUESTION, "data"),
    )(answers.verdict)
    app.callback(
        [Output(ids.field("fps"), "value"), Output(ids.field("shutter"), "value")],
        Input({"take": ALL, "place": ALL}, "n_clicks"), Input(ids.MAP_GRAPH, "clickData"),
        question, prevent_initial_call=True,
    )(taken)
    _register_looks(app)
    _register_tear(app)
    _register_instead(app)


def _register_looks(app: Dash) -> None:
    answer, question = Input(ids.ANSWER, "data"), State(ids.QUESTION, "data")
    theme = Input(ids.THEME, "data")
    app.callback(
        Output(ids.FRAME, "children"), answer, Input(ids.FRAME_VIEW, "value"), question
    )(answers.frames)
    app.callback(
        _graph(ids.RIPPLE, ids.RIPPLE_TOLD), answer, theme, question
    )(answers.ripple_figure)
    app.callback(
        _graph(ids.TIMELINE, ids.TIMELINE_TOLD), answer, Input(ids.TIMELINE_SPAN, "value"), theme,
        question,
    )(answers.timeline_figure)
    app.callback(
        _graph(ids.FOCUS_MAP, ids.FOCUS_TOLD), answer, Input(ids.FOCUS_KIND, "value"), theme,
        question,
    )(answers.focus_figure)


def _register_tear(app: Dash) -> None:
    answer, question = Input(ids.ANSWER, "data"), State(ids.QUESTION, "data")
    app.callback(
        [Output(ids.PHASE, "max"), Output(ids.PHASE, "value")], answer, question
    )(answers.phase_range)
    app.callback(
        _graph(ids.TEAR, ids.TEAR_TOLD), answer, Input(ids.PHASE, "value"),
        Input(ids.THEME, "data"), question,
    )(answers.tear_figure)
    app.callback(
        Output(ids.field("phase_ms"), "value"), Input(ids.PHASE_USE, "n_clicks"),
        State(ids.PHASE, "value"), prevent_initial_call=True,
    )(used_phase)


def _register_instead(app: Dash) -> None:
    answer, question = Input(ids.ANSWER, "data"), State(ids.QUESTION, "data")
    app.callback(
        [Output(ids.RANGES, "children"), Output(ids.SAFE_RANGES, "data")], answer, question
    )(instead.ranges)
    app.callback(Output(ids.MAP_LEVEL, "options"), answer, question)(instead.level_choices)
    app.clientside_callback(  # the two functions stand in assets/screen.js
        ClientsideFunction("screen", "startMap"),
        Output(ids.MAP_TASK, "data"), answer, Input(ids.MAP_LEVEL, "value"),
    )
    app.callback(Output(ids.MAP_ROW, "data"), Input(ids.MAP_TASK, "data"), question)(
        instead.map_step
    )
    app.clientside_callback(
        ClientsideFunction("screen", "addRow"),
        Output(ids.MAP_ROWS, "data"), Input(ids.MAP_ROW, "data"), State(ids.MAP_ROWS, "data"),
        State(ids.MAP_TASK, "data"),
    )
    app.callback(
        [*_graph(ids.MAP_GRAPH, ids.MAP_TOLD), Output(ids.MAP_PROGRESS, "children")],
        Input(ids.MAP_ROWS, "data"), Input(ids.SAFE_RANGES, "data"), Input(ids.THEME, "data"),
        question,
    )(instead.map_figure)
