"""The gray levels of a verdict as a table."""

from dash import html
from dash.development.base_component import Component

from bandcheck.report.rounding import number_text, visibility_text
from bandcheck.verdict.assess import Assessment
from dashboard.controls.wide import wide

__all__ = ["gray_level_table"]

_HEADINGS = ("Gray level", "Ripple, worst", "V", "Refresh that lights", "Counts")


def gray_level_table(assessment: Assessment) -> Component:
    """Ripple and visibility of every gray level of a verdict."""
    viewing = assessment.shot.viewing
    limits = (viewing.safe_below, viewing.visible_from)
    rows = [
        html.Tr(
            [
                html.Th(f"{number_text(100 * each.signal, decimals=1)} %", scope="row"),
                html.Td(f"{number_text(100 * each.ripple, decimals=2)} %"),
                html.Td(visibility_text(each.visibility, limits=limits)),
                html.Td(f"{number_text(each.effective_refresh_hz, decimals=0)} Hz"),
                html.Td(str(each.counts)),
            ],
            className="decides" if each.decides else "shown",
        )
        for each in assessment.banding.levels
    ]
    head = html.Thead(html.Tr([html.Th(each, scope="col") for each in _HEADINGS]))
    return html.Details([
        html.Summary("Gray levels"),
        wide(html.Table([head, html.Tbody(rows)], className="levels"), "Gray levels"),
        html.P("Pale rows are shown, but not among the levels that decide.", className="note"),
    ], className="listed")
