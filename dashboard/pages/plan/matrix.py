"""Set-ups against frame rates: every cell a level, a range, and more once it is tapped."""

from collections.abc import Sequence
from fractions import Fraction

from dash import html
from dash.development.base_component import Component

from bandcheck.report.plan_moves_text import ramp_sentences, turns_sentences
from bandcheck.report.plan_wording import range_text
from bandcheck.report.rounding import rate_words
from bandcheck.shoot.plan import Plan, SetUp
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.plan_agreement import PlanAgreement
from bandcheck.verdict.plan_results import Cell, SetUpAgreement
from bandcheck.vision.level import Level
from dashboard import ids
from dashboard.controls.levels import NOT_READ_OUT, level_class, level_word
from dashboard.controls.wide import wide

__all__ = ["matrix", "matrix_row", "moves", "plan_rates"]

_LEGEND = ("Columns: camera rate in frames/s. A cell says how the wanted shutter is graded, then "
           "the largest range that is safe for everything there.")


def plan_rates(plan: Plan) -> tuple[Fraction, ...]:
    """Every rate of a plan, rising [frames/s]."""
    return tuple(sorted({fps for setup in plan.setups for fps in setup.rates}))


def matrix(plan: Plan) -> Component:
    """Table of a plan before anything is computed.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    Component
        A row for each set-up, a column for each rate.
    """
    rates = plan_rates(plan)
    head = html.Tr([
        html.Th("Set-up", scope="col"),
        *(html.Th([rate_words(fps), html.Span(" frames/s", className="only-read-out")],
                  scope="col") for fps in rates),
    ])
    body = [
        html.Tr([_named(setup), *(
            html.Td("…" if fps in setup.rates else _not_planned()) for fps in rates
        )])
        for setup in plan.setups
    ]
    table = html.Table(
        [html.Thead(head), html.Tbody(body, id=ids.PLAN_BODY)], className="plan-matrix"
    )
    return html.Div([html.P(_LEGEND, className="note"), wide(table, "Set-ups and rates")])


def matrix_row(plan: Plan, found: SetUpAgreement, *, part: int) -> Component:
    """Row of a set-up that was computed.

    Parameters
    ----------
    plan
        The whole plan.
    found
        What suits everything in the set-up.
    part
        Place of the set-up in the plan.

    Returns
    -------
    Component
        The row; its buttons are `ids.plan_cell`.
    """
    cells = {each.fps: each for each in found.cells}
    return html.Tr([_named(plan.setup(found.name)), *(
        html.Td(_cell(cells[fps], found.name, part) if fps in cells else _not_planned())
        for fps in plan_rates(plan)
    )])


def _named(setup: SetUp) -> Component:
    return html.Th(
        [setup.name, html.Small(f"camera{'s' if len(setup.cameras) > 1 else ''} "
                                f"{', '.join(setup.cameras)}")],
        scope="row",
    )


def _not_planned() -> list[Component]:
    return [html.Span("·", **NOT_READ_OUT), html.Span("not planned", className="only-read-out")]


def _cell(cell: Cell, setup: str, part: int) -> Component:
    return html.Button(
        [
            level_word(cell.level),
            html.Span(_largest(cell), className="plan-range"),
            html.Span(f", {setup} at {rate_words(cell.fps)} frames/s", className="only-read-out"),
        ],
        id=ids.plan_cell(part, rate_text(cell.fps)),
        className=f"plan-cell {level_class(cell.level)}",
    )


def _largest(cell: Cell) -> str:
    if cell.refused:
        return "cannot be run"
    if not cell.common_deg:
        return "nothing suits all"
    return range_text(max(cell.common_deg, key=lambda ends: ends[1] - ends[0]))


def moves(found: PlanAgreement) -> list[Component]:
    """Ramps, and cameras that take turns, each with its level and in sentences."""
    told: list[tuple[Level, str, Sequence[str]]] = [
        *((each.level, each.name, ramp_sentences(each)) for each in found.ramps),
        *((each.level, f"{each.name}, {rate_words(each.fps)} frames/s", turns_sentences(each))
          for each in found.turns),
    ]
    return [
        html.Li(
            [html.H3([level_word(level), html.Span(name, className="hazard")]),
             *(html.P(line) for line in lines)],
            className=f"finding finding-{level.value}",
        )
        for level, name, lines in told
    ]
