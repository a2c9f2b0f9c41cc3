"""The screen that asks what is to be seen."""

from collections.abc import Mapping
from typing import Any

import dash_bootstrap_components as dbc
from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.report.identify_text import QUESTIONS
from bandcheck.verdict.fault_signs import OBSERVATIONS, Observation
from dashboard import ids
from dashboard.controls.verdict import cautions
from dashboard.pages.seen.observations import observations_of, seen_text

__all__ = ["layout"]

_WORDS: Mapping[Observation, str] = {
    "seen_by_eye": "Seen by eye", "rolls_or_pulses": "Rolls or pulses",
    "moves_with_camera": "Stays in the frame when the camera moves",
    "stays_on_same_leds": "Stays on the same LEDs",
    "changes_with_shutter": "Changes with the shutter",
    "vanishes_with_focus": "Vanishes with focus",
    "remains_with_wall_black": "Remains with the wall black",
    "only_while_picture_moves": "Only while the picture moves",
    "steps_in_ramp": "Steps in a ramp",
}
_LIVE: dict[str, Any] = {"aria-live": "polite"}
_CHOICES = [{"value": "yes", "label": "yes"}, {"value": "no", "label": "no"},
            {"value": "", "label": "not looked at"}]


def layout(question: Mapping[str, str]) -> list[Component]:
    """Components of the screen.

    Parameters
    ----------
    question
        Its "seen" is what was answered before.

    Returns
    -------
    list of Component
        The next test first, then all that may be looked at.
    """
    seen = observations_of(question.get("seen", ""))
    answers = {key: "yes" if value else "no" for key, value in seen.items()}
    return [
        html.H1("What am I seeing?"),
        html.P("Answer what you can see on set. After a few answers one fault is left."),
        dcc.Input(id=ids.field("seen"), type="hidden", value=seen_text(answers)),
        html.Div(
            [
                html.Section(html.Div(id=ids.SEEN_ANSWER, **_LIVE), className="seen-answer"),
                html.Section(
                    [html.H2("What was looked at"),
                     *(_observation(key, answers.get(key, "")) for key in OBSERVATIONS)],
                    className="seen-all",
                ),
            ],
            className="answers",
        ),
        cautions(),
    ]


def _observation(key: Observation, answer: str) -> Component:
    return html.Fieldset(
        [
            html.Legend(_WORDS[key], className="field-label"),
            html.P(QUESTIONS[key], className="note"),
            dbc.RadioItems(
                id=ids.observed(key), options=_CHOICES, value=answer, inline=True,
                class_name="choices",
            ),
        ],
        className="observation",
    )
