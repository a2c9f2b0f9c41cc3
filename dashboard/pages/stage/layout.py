"""What the main screen looks like before anything is answered."""

from collections.abc import Mapping, Sequence
from typing import Any

import dash_bootstrap_components as dbc
from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.vision.level import Level
from dashboard import ids
from dashboard.controls.form import field_box, field_boxes
from dashboard.controls.levels import level_word
from dashboard.figures.look import GRAPH_CONFIG

__all__ = ["layout"]

_CONFIG: Any = GRAPH_CONFIG
_MORE: Sequence[tuple[str, tuple[str, ...]]] = (
    ("Rates and genlock", ("wall_fps", "genlock", "content_fps", "phase_ms", "change_spread_ms")),
    ("Picture and wall", ("levels", "brightness_pct", "panel_rotation")),
    ("Lens and place", ("focal_mm", "f_number", "distance_m", "focus_m", "yaw_deg", "tilt_deg",
                        "roll_deg", "squeeze")),
    ("Viewer and grade", ("view_heights", "flare_nits", "push_stops", "grade_contrast",
                          "safe_below", "visible_from")),
)


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the main screen.

    Parameters
    ----------
    question
        Texts that the fields begin with.

    Returns
    -------
    list of Component
        The question first, then room for the three answers.
    """
    return [
        html.H1("Wall on camera", className="only-read-out"),
        dcc.Store(id=ids.ANSWER),
        _question(question),
        html.Div([_safe(), _instead(question), _look()], className="answers"),
        html.Div([_tear(), _moire()], className="answers beside"),
    ]


def _question(question: Mapping[str, str]) -> Component:
    sentence = html.Div(
        [
            field_box("wall", question), _joint("filmed by"), field_box("camera", question),
            _joint("at"), field_box("fps", question), _joint("with"),
            field_box("shutter", question),
        ],
        className="sentence",
    )
    more = [
        html.Details(
            [html.Summary(title), html.Div(field_boxes(names, question), className="fields")],
            className="more", open=any(question.get(name) for name in names),
        )
        for title, names in _MORE
    ]
    lamps = html.Details(
        [html.Summary("Lamps in shot"), html.Div(field_box("lamp", question), className="fields")],
        className="more", open=bool(question.get("lamp")),
    )
    return html.Section(
        [html.H2("The shot"), sentence, html.Div([lamps, *more], className="mores")],
        className="question",
    )


def _joint(words: str) -> Component:
    return html.Span(words, className="joint")


def _graph(name: str, told: str) -> list[Component]:
    """A graph, and the sentence that says the same to whoever cannot see it."""
    return [
        dcc.Graph(id=name, config=_CONFIG, className="graph", style={"display": "none"}),
        html.P(id=told, className="told"),
    ]


def _safe() -> Component:
    return html.Section(
        [
            html.H2("Is this setting safe?"),
            html.Div(id=ids.VERDICT, **_live()),
        ],
        className="safe",
    )


def _live() -> dict[str, Any]:
    """Properties of a place whose changes a screen reader says."""
    return {"aria-live": "polite"}


def _instead(question: Mapping[str, str]) -> Component:
    level = html.Div(
        [
            html.Label("Gray level of the map", htmlFor=ids.MAP_LEVEL, className="field-label"),
            dbc.Select(id=ids.MAP_LEVEL, value="worst",
                       options=[{"value": "worst", "label": "the worst of those that decide"}]),
        ],
        className="field",
    )
    return html.Section(
        [
            html.H2("What may I set instead?"),
            html.Div(id=ids.RANGES, **_live()),
            html.Div([field_box("rates", question), level], className="fields"),
            dcc.Store(id=ids.SAFE_RANGES), dcc.Store(id=ids.MAP_TASK),
            dcc.Store(id=ids.MAP_ROW), dcc.Store(id=ids.MAP_ROWS),
            html.P(id=ids.MAP_PROGRESS, className="progress", role="status"),
            *_graph(ids.MAP_GRAPH, ids.MAP_TOLD),
            html.P([level_word(each) for each in Level], className="key"),
        ],
        className="instead",
    )


def _look() -> Component:
    views = dbc.RadioItems(
        id=ids.FRAME_VIEW, value="whole", inline=True, class_name="choices",
        options=[{"value": "whole", "label": "whole frame"},
                 {"value": "crop", "label": "crop, pixel for pixel"}],
    )
    spans = dbc.RadioItems(
        id=ids.TIMELINE_SPAN, value="frame", inline=True, class_name="choices",
        options=[{"value": "frame", "label": "a camera frame"},
                 {"value": "refresh", "label": "a few refreshes"},
                 {"value": "slot", "label": "a few scan slots"}],
    )
    return html.Section(
        [
            html.H2("What will it look like?"),
            html.H3("The frame as recorded, simulated"), views,
            html.Div(id=ids.FRAME, className="frames"),
            html.H3("Gray level against bands"), *_graph(ids.RIPPLE, ids.RIPPLE_TOLD),
            html.H3("Pulses, rows and picture changes in time"), spans,
            *_graph(ids.TIMELINE, ids.TIMELINE_TOLD),
        ],
        className="looks",
    )


def _tear() -> Component:
    return html.Section(
        [
            html.H2("Where does it tear?"),
            html.Div(
                [
                    html.Label("Genlock phase, ms after the wall frame starts",
                               htmlFor=ids.PHASE, className="field-label"),
                    dbc.Input(id=ids.PHASE, type="range", min=0, max=1, step="any", value=0,
                              debounce=80, class_name="slider"),
                    html.Button("Ask for this phase", id=ids.PHASE_USE),
                ],
                className="field",
            ),
            *_graph(ids.TEAR, ids.TEAR_TOLD),
        ],
        className="tears",
    )


def _moire() -> Component:
    return html.Section(
        [
            html.H2("Is there moire?"),
            dbc.RadioItems(
                id=ids.FOCUS_KIND, value="focus", inline=True, class_name="choices",
                options=[{"value": "focus", "label": "distance and focus"},
                         {"value": "focal", "label": "distance and focal length"}],
            ),
            *_graph(ids.FOCUS_MAP, ids.FOCUS_TOLD),
        ],
        className="moires",
    )
