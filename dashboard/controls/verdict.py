"""A verdict on the screen: the answer first, then why and what to change."""

from collections.abc import Iterable, Sequence
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.change_wording import (
    assumption_sentence,
    change_sentence,
    condition_sentences,
    not_checked_sentence,
)
from bandcheck.report.verdict_text import setting_lines
from bandcheck.report.wording import (
    CAUTIONS,
    HAZARD_NAMES,
    finding_figure,
    finding_sentence,
    lowest_level_sentence,
)
from bandcheck.verdict.assess import Assessment, Fixed
from bandcheck.verdict.remedies import Change
from dashboard import ids
from dashboard.controls.gray_levels import gray_level_table
from dashboard.controls.levels import level_class, level_word
from dashboard.state import in_words

__all__ = ["cautions", "change_item", "verdict_view"]


def verdict_view(assessment: Assessment) -> list[Component]:
    """Everything that a verdict says.

    Parameters
    ----------
    assessment
        The verdict.

    Returns
    -------
    list of Component
        To be put where the answer stands.
    """
    listed = (
        ("On condition of", condition_sentences(assessment)),
        ("Not checked", in_words(not_checked_sentence(assessment) or "").split("; ")),
        ("Hangs most on", (", ".join(assessment.sensitive_to),)),
        ("Assumed, as nobody said", tuple(map(assumption_sentence, assessment.assumptions))),
    )
    return [
        _answer(assessment),
        html.Ul([_finding(assessment, each, place) for place, each
                 in enumerate(assessment.findings)], className="findings"),
        gray_level_table(assessment),
        html.P(lowest_level_sentence(assessment), className="lowest"),
        *(block for title, lines in listed for block in _listed(title, lines)),
        cautions(),
    ]


def cautions() -> Component:
    """What every verdict has to say of itself."""
    return html.Div([html.P(each) for each in CAUTIONS], className="cautions")


def change_item(change: Change, place: str) -> Component:
    """A change in words; one of the camera's shutter can be taken by pressing a button."""
    parts: list[Any] = [html.Span(change_sentence(change))]
    if change.change == "shutter_angle" and isinstance(change.value, float):
        shutter = f"{change.value:.12g}"
        parts.append(html.Button(
            ["Take it", html.Span(f": {shutter} degrees", className="only-read-out")],
            id=ids.take(shutter, place), className="take",
        ))
    return html.Li(parts)


def _answer(assessment: Assessment) -> Component:
    decides = _deciding(assessment)
    names, setting = setting_lines(assessment.shot)[0], setting_lines(assessment.shot)[1:]
    return html.Div(
        [
            html.P(level_word(assessment.overall), className="answer-word"),
            html.P(_figure(assessment, decides), className="answer-figure"),
            html.P([names, html.Br(), " ".join(setting)], className="answer-setting"),
        ],
        className=f"answer {level_class(assessment.overall)}",
    )


def _deciding(assessment: Assessment) -> Fixed:
    """The finding that the verdict comes from: the first of the worst."""
    counted = [each for each in assessment.findings if each.finding.hazard != "comfort"]
    return next(
        (each for each in counted if each.finding.level is assessment.overall), counted[0]
    )


def _figure(assessment: Assessment, fixed: Fixed) -> str:
    viewing = assessment.shot.viewing
    figure = finding_figure(
        fixed.finding, safe_below=viewing.safe_below, visible_from=viewing.visible_from
    )
    return f"{HAZARD_NAMES[fixed.finding.hazard]}: {figure or 'no figure'}"


def _finding(assessment: Assessment, fixed: Fixed, place: int) -> Component:
    finding, viewing = fixed.finding, assessment.shot.viewing
    figure = finding_figure(
        finding, safe_below=viewing.safe_below, visible_from=viewing.visible_from
    )
    head = html.H3([
        level_word(finding.level), html.Span(HAZARD_NAMES[finding.hazard], className="hazard"),
    ])
    parts: list[Component] = [head]
    if figure:
        parts.append(html.P(figure, className="figure"))
    parts.append(html.P(finding_sentence(assessment, fixed)))
    if fixed.fixes:
        parts.append(html.Ul(
            [change_item(each, f"{place}-{row}") for row, each in enumerate(fixed.fixes)],
            className="fixes",
        ))
    return html.Li(parts, className=f"finding finding-{finding.level.value}")


def _listed(title: str, lines: Sequence[str]) -> Iterable[Component]:
    said = [line for line in lines if line]
    if said:
        yield html.Details([
            html.Summary(f"{title} ({len(said)})"), html.Ul([html.Li(line) for line in said]),
        ], className="listed", open=title == "On condition of")
