"""Two plans side by side on the screen."""

from collections.abc import Sequence

from dash import html
from dash.development.base_component import Component

from bandcheck.report.plan_compare_text import compare_json, difference_sentence
from bandcheck.report.rounding import rate_words
from bandcheck.shoot.plan import Plan
from bandcheck.verdict.plan_compare import PlanComparison, SetUpChange, plan_comparison
from bandcheck.vision.level import Level
from dashboard.controls.levels import level_word
from dashboard.controls.wide import wide

__all__ = ["compare_view", "compared", "meetings"]

_HEADINGS = ("Set-up", "frames/s", "Setting", "Wanted, before", "Wanted, now", "To look again")


def meetings(plan: Plan) -> int:
    """Meetings of a camera with a surface at a rate in a whole plan."""
    return sum(len(each.cameras) * len(each.surfaces) * len(each.rates) for each in plan.setups)


def compared(plan: Plan, other: Plan, *, other_is: str) -> list[Component]:
    """What differs between a plan and another that is "older" or "newer"."""
    old, new = (plan, other) if other_is == "newer" else (other, plan)
    return compare_view(plan_comparison(old, new))


def compare_view(found: PlanComparison) -> list[Component]:
    """What changed, which settings are void, and who has to look again.

    Parameters
    ----------
    found
        From `plan_comparison`.

    Returns
    -------
    list of Component
        To be put where the answer stands.
    """
    if not found.differences:
        return [html.P("The two plans say the same; every setting stands.")]
    void = sum(each.state == "void" for each in found.changes)
    new = sum(each.state == "new" for each in found.changes)
    deciding = [difference_sentence(each) for each in found.differences if each.decides]
    others = [difference_sentence(each) for each in found.differences if not each.decides]
    parts: list[Component] = [
        html.P(f"{len(found.differences)} values differ; {void} settings are void, and {new} are "
               "new."),
        *_listed("What changed", deciding),
        *_listed("Changed too, without voiding anything", others),
    ]
    if found.changes:
        parts += [html.H3("Settings"), wide(_table(found), "Settings")]
    return [*parts, *_listed("Ramps and turns to look at anew", found.moves)]


def _table(found: PlanComparison) -> Component:
    head = html.Tr([html.Th(each, scope="col") for each in _HEADINGS])
    again = [each["look_again"] for each in compare_json(found)["settings"]]
    rows = [
        _row(each, sides) for each, sides in zip(found.changes, again, strict=True)
    ]
    return html.Table([html.Thead(head), html.Tbody(rows)], className="plan-changes")


def _row(each: SetUpChange, sides: Sequence[str]) -> Component:
    again = "-" if each.state == "gone" else ", ".join(sides) or "both"
    return html.Tr([
        html.Th(each.setup, scope="row"), html.Td(rate_words(each.fps)),
        html.Td(each.state), html.Td(_level(each.was)), html.Td(_level(each.now)),
        html.Td(again),
    ])


def _level(level: Level | None) -> Component | str:
    return "-" if level is None else level_word(level)


def _listed(heading: str, lines: Sequence[str]) -> list[Component]:
    if not lines:
        return []
    return [html.H3(heading), html.Ul([html.Li(line) for line in lines])]
