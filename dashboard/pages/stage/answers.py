"""Answers of the main screen: from the question that is answered to what stands on the screen."""

from base64 import b64encode
from collections.abc import Callable
from typing import Any

import plotly.graph_objects as go
from dash import html, no_update
from dash.development.base_component import Component

from bandcheck.errors import OutOfRangeError
from bandcheck.report.change_wording import needed_for_moire
from bandcheck.report.frame_picture import RAMP_SIGNALS, frame_picture
from bandcheck.report.frame_wording import frame_text
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.assess import assess
from bandcheck.verdict.exposure_grades import shot_tearing
from bandcheck.verdict.moire_scene import moire_missing
from bandcheck.verdict.recorded_frame import recorded_frame
from dashboard.controls.verdict import verdict_view
from dashboard.fields import FIELDS
from dashboard.figures.look import Theme
from dashboard.pages.stage.drawn import (
    Drawn,
    gray_levels,
    in_time,
    map_of_focus,
    picture_s,
    tear,
)
from dashboard.state import Question, asked, in_words, search_of

__all__ = [
    "Answer", "focus_figure", "frames", "phase_range", "ripple_figure", "tear_figure",
    "timeline_figure", "verdict",
]

Answer = dict[str, Any] | None
"""The question whose verdict is on the screen, as its address; None: there is none."""

Shown = tuple[Any, dict[str, str], str]
"""A figure, the style that shows or hides it, and the sentence that says the same."""

HIDDEN: dict[str, str] = {"display": "none"}
_GAINS = ((1.0, "True contrast"), (10.0, "Contrast x 10"))


def verdict(question: Question | None) -> tuple[list[Component], Answer]:
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


def _shown(
    answer: Answer, question: Question | None, draw: Callable[[Shot], Drawn]
) -> Shown:
    """Figure of the question's shot, or nothing with the reason for it."""
    read = asked(question or {})
    if answer is None or read.shot is None:
        return no_update, HIDDEN, ""
    try:
        figure, told = draw(read.shot)
    except OutOfRangeError as error:
        return no_update, HIDDEN, f"Not drawn: {error.accepted}."
    return figure, as_high(figure), told


def as_high(figure: go.Figure) -> dict[str, str]:
    """Style of a box as high as the figure in it."""
    return {"height": f"{figure.layout.height}px"}


def frames(answer: Answer, view: str, question: Question | None) -> list[Component]:
    """Simulated frame at true contrast and at ten times the contrast.

    Parameters
    ----------
    answer
        The question that is answered.
    view
        "whole" for the frame at delivery size, anything else for a crop pixel for pixel.
    question
        The question.

    Returns
    -------
    list of Component
        Two pictures with what is to be seen in them, or nothing.
    """
    read = asked(question or {})
    if answer is None or read.shot is None:
        return []
    try:
        frame = recorded_frame(read.shot, signals=RAMP_SIGNALS)
    except OutOfRangeError as error:
        return [html.P(f"Not drawn: {error.accepted}.", className="told")]
    said = " ".join(frame_text(frame).split())
    return [
        html.Figure([
            html.Img(
                src=_data_address(frame_picture(frame, whole=view == "whole", gain=gain)),
                alt=f"Simulated frame, {words.lower()}. {said}",
            ),
            html.Figcaption(f"{words}, simulated"),
        ])
        for gain, words in _GAINS
    ]


def _data_address(png: bytes) -> str:
    return f"data:image/png;base64,{b64encode(png).decode()}"


def ripple_figure(answer: Answer, theme: Theme, question: Question | None) -> Shown:
    """V and ripple against gray level."""
    return _shown(answer, question, lambda shot: gray_levels(shot, theme))


def timeline_figure(
    answer: Answer, span: str, theme: Theme, question: Question | None
) -> Shown:
    """Pulses, row windows and picture changes in time."""
    return _shown(answer, question, lambda shot: in_time(shot, span, theme))


def focus_figure(answer: Answer, kind: str, theme: Theme, question: Question | None) -> Shown:
    """Map of moire, or what has to be known before there can be one."""
    read = asked(question or {})
    if answer is None or read.shot is None:
        return no_update, HIDDEN, ""
    missing = moire_missing(read.shot)
    if missing:
        return no_update, HIDDEN, f"Needed first: {in_words(needed_for_moire(missing))}."
    return _shown(
        answer, question,
        lambda shot: map_of_focus(shot, "focal" if kind == "focal" else "focus", theme),
    )


def phase_range(answer: Answer, question: Question | None) -> tuple[Any, Any]:
    """Longest phase of the slider [ms], and where it stands: the phase given, or the best."""
    shot = asked(question or {}).shot
    if answer is None or shot is None:
        return no_update, no_update
    best = shot.phase_s if shot.phase_s is not None else shot_tearing(shot).phase_best_s
    return 1e3 * picture_s(shot), 1e3 * (best or 0.0)


def tear_figure(
    answer: Answer, phase_ms: Any, theme: Theme, question: Question | None
) -> Shown:
    """Mixed rows and clean phases at the phase of the slider."""
    try:
        phase_s = float(phase_ms) / 1e3
    except (TypeError, ValueError):
        phase_s = 0.0
    return _shown(answer, question, lambda shot: tear(shot, phase_s, theme))
