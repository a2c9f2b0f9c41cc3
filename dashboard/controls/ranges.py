"""Safe shutter settings on the screen: ranges, their margins, and what the wall could do."""

from collections.abc import Sequence
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.rounding import (
    angle_text,
    exposure_text,
    inward_range,
    number_text,
    room_text,
    stops_text,
    visibility_text,
)
from bandcheck.report.wording import HAZARD_NAMES
from bandcheck.verdict.card_shutters import plain_angle_deg
from bandcheck.verdict.settings import SafeRange, Settings
from bandcheck.vision.level import Level
from dashboard import ids
from dashboard.controls.levels import level_word
from dashboard.controls.verdict import change_item
from dashboard.controls.wide import wide

__all__ = ["ranges_view"]

_HEADINGS = ("Safe shutter", "Best", "Room to each side", "V at most", "Exposure", "Gray levels")
_SHOWN = 6


def ranges_view(settings: Settings) -> list[Component]:
    """Safe shutter settings of a shot, nearest to the wanted look first.

    Parameters
    ----------
    settings
        From `safe_settings`.

    Returns
    -------
    list of Component
        A table, or what leaves no room; then what could be done on the side of wall and lamps.
    """
    parts: list[Component] = []
    if settings.ranges:
        parts.append(wide(_table(settings), "Safe shutter settings"))
    else:
        parts += _none(settings)
    for title, changes, place in (
        ("On the wall's side", settings.wall_side, "wall"),
        ("On the lamps' side", settings.lamp_side, "lamp"),
    ):
        if changes and settings.wanted.level is not Level.SAFE:
            parts += [
                html.H3(title),
                html.Ul([change_item(each, f"{place}-{row}") for row, each in enumerate(changes)]),
            ]
    return parts


def _table(settings: Settings) -> Component:
    body = [_row(settings, each, row) for row, each in enumerate(settings.ranges[:_SHOWN])]
    head = html.Thead(html.Tr([
        *(html.Th(each, scope="col") for each in _HEADINGS),
        html.Th(html.Span("Take it", className="only-read-out"), scope="col"),
    ]))
    return html.Table([head, html.Tbody(body)], className="ranges")


def _row(settings: Settings, each: SafeRange, row: int) -> Component:
    shot = settings.shot
    ends = inward_range(each.from_deg, each.to_deg)
    width = f"{ends[0]} to {ends[1]}°" if ends else f"{number_text(each.best_deg, decimals=3)}°"
    dialled = float(plain_angle_deg(
        from_deg=each.from_deg, to_deg=each.to_deg, best_deg=each.best_deg
    )) if each.dial_deg is None else each.dial_deg
    lowest = each.lowest_safe_level
    cells: Sequence[str] = (
        f"{angle_text(dialled)} ({exposure_text(dialled / 360 / float(shot.fps))})"
        + ("" if each.dial_deg is not None else ", not on the dial"),
        room_text(value=dialled, low=each.from_deg, high=each.to_deg),
        visibility_text(
            each.visibility_max, limits=(shot.viewing.safe_below, shot.viewing.visible_from)
        ),
        stops_text(each.stops_from_wanted),
        "-" if lowest is None else f"{number_text(100 * lowest, decimals=0)} % up",
    )
    button = html.Button(
        ["Take", html.Span(f" {angle_text(dialled)}", className="only-read-out")],
        id=ids.take(f"{dialled:.12g}", f"range-{row}"), className="take",
    )
    return html.Tr([
        html.Th(width, scope="row"), *(html.Td(cell) for cell in cells), html.Td(button),
    ])


def _none(settings: Settings) -> list[Component]:
    blocked = ", ".join(HAZARD_NAMES.get(each, each).lower() for each in settings.blocked_by)
    parts: list[Any] = [
        html.P(f"No shutter setting is safe. What leaves no room: {blocked or 'not known'}."),
    ]
    quiet = settings.quietest
    if quiet is not None:
        value = visibility_text(quiet.visibility, limits=())
        parts.append(html.P([
            f"Quietest: {angle_text(quiet.angle_deg)} ({exposure_text(quiet.exposure_s)}), ",
            level_word(quiet.level), f", V {value}.",
        ]))
    return parts
