"""What the figures on the page come to: whether they can be used, and a wall's budget."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.report.budget_text import budget_values
from bandcheck.report.rounding import number_text, rate_words
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.wall_budget import wall_budget
from dashboard.controls.wide import wide
from dashboard.fields import OWN
from dashboard.pages.profiles.begun import Begun
from dashboard.pages.profiles.own_question import fits_link, in_shot, using, with_figures
from dashboard.pages.profiles.sheet import Faults
from dashboard.state import search_of

__all__ = ["budget_view", "state_view"]

_TOO_LONG = "Too many figures for a link: download the file, and shorten the lists to use it here."
_HEADINGS = ("Wall rate", "Refreshes", "Refresh", "Gray depth", "Frame used", "Lit at white", "If")
_TABLE = "Refresh and gray depth"
_RULES = {"keep_refresh": "refresh stays", "keep_refreshes_per_frame": "number stays"}


def state_view(
    question: Mapping[str, str], begun: Begun, text: str, faults: Faults | None
) -> list[Component]:
    """Where the figures come from, what is wrong with them, and the way into the shot.

    Parameters
    ----------
    question
        With the figures in it, where they are the user's own.
    begun
        Where they come from.
    text
        Their TOML text.
    faults
        None where they can be used.

    Returns
    -------
    list of Component
        Sentences, and a link.
    """
    choice = OWN if begun.touched else begun.shipped
    used = bool(choice) and in_shot(question, begun.kind, choice)
    where = f" The shot uses this {begun.kind}." if used else ""
    parts: list[Component] = [html.P(f"{begun.words()}{where}", className="profile-origin")]
    if faults is not None:
        return [*parts, *_faulty(faults, used=used)]
    if not fits_link(text):
        return [*parts, html.P(_TOO_LONG, className="profile-wrong")]
    asked = with_figures(question, begun.kind, text) if begun.touched else question
    words = "Back to the shot" if used else f"Use this {begun.kind} in the shot"
    search = search_of(using(asked, begun.kind, choice))
    return [*parts, dcc.Link(words, href=f"/{search}", className="button profile-use")]


def _faulty(faults: Faults, *, used: bool) -> list[Component]:
    count = len(faults.figures) + len(faults.sources)
    parts: list[Component] = []
    if count:
        fields = "one field has" if count == 1 else f"{count} fields have"
        unanswered = " and the shot has no answer" if used else ""
        parts.append(html.P(
            f"Not usable yet: {fields} to be put right{unanswered}. What is wrong stands there.",
            className="profile-wrong",
        ))
    if faults.other:
        parts.append(html.Ul([html.Li(line) for line in faults.other], className="errors"))
    return parts


def budget_view(wall: Wall) -> list[Component]:
    """What a wall's gray clock is spent on, at each frame rate that it can run.

    Parameters
    ----------
    wall
        The wall.

    Returns
    -------
    list of Component
        A table, the figures rounded as on the command line.
    """
    rates: Any = budget_values(wall_budget(wall))["rates"]
    rows = [
        _row(rate_words(Fraction(each["wall_fps"])), case)
        for each in rates for case in each["cases"]
    ]
    headings = _HEADINGS if any(len(row.children) == len(_HEADINGS) for row in rows) \
        else _HEADINGS[:-1]
    head = html.Thead(html.Tr([html.Th(each, scope="col") for each in headings]))
    return [
        html.H3("Refresh and gray depth at each wall rate"),
        wide(html.Table([head, html.Tbody(rows)], className="budget"), _TABLE),
    ]


def _row(rate: str, case: Mapping[str, Any]) -> Component:
    head = html.Th(rate, scope="row")
    if case["refused"] is not None:
        return html.Tr([
            head, html.Td(f"cannot be: {case['refused']}", colSpan=len(_HEADINGS) - 1,
                          className="budget-refused"),
        ])
    cells = (
        str(case["refreshes_per_frame"]),
        f"{number_text(case['refresh_hz'], decimals=0)} Hz",
        f"{number_text(case['gray_bits'], decimals=2)} bit",
        _percent(case["used_share"]), _percent(case["lit_share"]),
    )
    rule = _RULES.get(case["taken"].get("on_rate_change", ""))
    return html.Tr([head, *(html.Td(cell) for cell in (*cells, *([rule] if rule else [])))])


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{number_text(100 * share, decimals=2)} %"
