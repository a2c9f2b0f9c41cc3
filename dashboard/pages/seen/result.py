"""What observations come to, on the screen."""

from collections.abc import Iterable
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.identify_text import (
    FAULT_NAMES,
    QUESTIONS,
    REASONS,
    REMEDIES,
    SHOWS,
    WHY_IT_TELLS,
    answer_text,
    command_line,
    fault_list,
)
from bandcheck.verdict.fault_signs import FAULTS, Fault
from bandcheck.verdict.identify import Contradiction, FaultTest, Identification
from dashboard import ids

__all__ = ["result_view"]

_FEW = 3


def result_view(found: Identification) -> list[Component]:
    """The fault where only one is left, else what may be it and the test that tells most.

    Parameters
    ----------
    found
        From `identify`.

    Returns
    -------
    list of Component
        To be put where the answer stands.
    """
    if found.contradiction is not None:
        return _contradictory(found, found.contradiction)
    if found.found is not None:
        return [*_fault(found.found), *_not(found)]
    left = f"{len(found.possible)} of {len(FAULTS)} faults may be it"
    listed = html.Ul([html.Li(_possible(fault, few=len(found.possible) <= _FEW))
                      for fault in found.possible], className="possible")
    return [
        html.H2("Look at this next"), *_next(found.tests[0]),
        html.H2(left), listed, *_not(found),
    ]


def _fault(fault: Fault) -> list[Component]:
    parts: list[Component] = [
        html.H2(FAULT_NAMES[fault], className="found"), html.P(SHOWS[fault]),
        html.H3("What to do"), html.P(REMEDIES[fault]),
    ]
    command = command_line(fault)
    return [*parts, html.P(html.Code(command))] if command else parts


def _next(test: FaultTest) -> list[Component]:
    key = test.observation
    return [
        html.P(QUESTIONS[key], className="next-test"),
        html.Div(
            [html.Button(answer.capitalize(), id=ids.told(key, answer), className="main")
             for answer in ("yes", "no")],
            className="tell",
        ),
        html.P(WHY_IT_TELLS[key], className="note"),
        html.P(f"Yes leaves {len(test.if_yes)}, no leaves {len(test.if_no)}.", className="note"),
    ]


def _possible(fault: Fault, *, few: bool) -> list[Any]:
    parts: list[Any] = [html.B(FAULT_NAMES[fault]), f": {SHOWS[fault]}"]
    return [*parts, html.P(REMEDIES[fault], className="note")] if few else parts


def _not(found: Identification) -> Iterable[Component]:
    lines = [
        html.Li([html.B(FAULT_NAMES[each.fault]), f": {REASONS[each.sign.reason]} ",
                 html.Span(f"({answer_text(found.seen, each.observation)})", className="note")])
        for each in found.ruled_out
    ]
    if lines:
        yield html.Details([html.Summary(f"It is not ({len(lines)})"), html.Ul(lines)])


def _contradictory(found: Identification, clash: Contradiction) -> list[Component]:
    lines = []
    for each in clash.observations:
        left = clash.without[each]
        without = fault_list(left) if left else "still no single fault"
        lines.append(html.Li([
            html.B(answer_text(found.seen, each)), f": {QUESTIONS[each]} ",
            html.Span(f"Without this answer: {without}.", className="note"),
        ]))
    return [
        html.H2("No single fault explains all of this"),
        html.P("Look again at these, one at a time. Or there are two faults at once: then answer"
               " for one of them alone."),
        html.Ul(lines, className="clash"),
    ]
