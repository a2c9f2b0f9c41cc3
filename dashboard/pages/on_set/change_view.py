"""A change on the day on the screen: the answer first and large, then all that follows from it."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.change_lines import (
    CLOSING,
    Line,
    answer_sentences,
    camera_lines,
    card_sentence,
    near_heading,
    near_lines,
    range_cells,
    wall_lines,
)
from bandcheck.report.change_sides import setting_phrase, side_figure, side_rows
from bandcheck.report.rounding import number_text, stops_text
from bandcheck.verdict.change import ChangeOnTheDay
from bandcheck.verdict.settings import Settings
from bandcheck.verdict.trial import Side
from bandcheck.vision.level import Level
from dashboard import ids
from dashboard.controls.levels import level_class, level_word
from dashboard.controls.wide import wide

__all__ = ["answer_view", "dial_to_take", "more_view"]

_RANGES = 3
_SLACK_DEG = 1e-9
_RANGE_HEADINGS = ("Safe shutter", "V", "Exposure", "Camera")
_BANDS = "the screen \"Shot\" with {rate} as the wall's rate"


def answer_view(change: ChangeOnTheDay) -> Component:
    """The verdict on the new setting: word, mark, number, and what to dial instead."""
    side = change.new.side
    parts: list[Component] = [
        html.P(setting_phrase(change), className="answer-setting"),
        html.P(level_word(change.level), className="answer-word"),
        html.P(
            "no figure" if side is None else [side_figure(side), html.Small(_limits(side))],
            className="answer-figure",
        ),
        html.P(stops_text(change.stops), className="answer-stops"),
        *(html.P(each, className="answer-said") for each in answer_sentences(change)),
    ]
    dialled = None if change.near is None else dial_to_take(change.near)
    if dialled is not None and change.level is not Level.SAFE:
        said = dialled if "/" in dialled else f"{dialled}°"
        parts.append(html.Button(f"Take {said}", id=ids.dial(dialled), className="dial main"))
    return html.Div(parts, className=f"answer {level_class(change.level)}")


def _limits(side: Side) -> str:
    viewing = side.shot.viewing
    safe, visible = (
        number_text(each, decimals=2) for each in (viewing.safe_below, viewing.visible_from)
    )
    return f" safe below {safe}, visible from {visible}"


def dial_to_take(near: Settings) -> str | None:
    """What to type for the nearest safe setting that the camera's dial has.

    Parameters
    ----------
    near
        Safe settings near the wanted one.

    Returns
    -------
    str or None
        An angle, or a time where the angle has no end; None where no such setting is safe.
    """
    angle_deg = next((each.dial_deg for each in near.ranges if each.dial_deg is not None), None)
    if angle_deg is None:
        return None
    for each in near.dial:
        if abs(float(each.angle_deg) - angle_deg) < _SLACK_DEG:
            in_time = near.shot.shutter_set_as == "time"
            return _shutter_text(each.angle_deg, each.exposure_s, in_time=in_time)
    return f"{angle_deg:.12g}"


def _shutter_text(angle_deg: Fraction, exposure_s: Fraction, *, in_time: bool) -> str:
    """A shutter setting exactly as it can be typed."""
    time = f"{exposure_s.numerator}/{exposure_s.denominator}"
    if in_time:
        return time
    decimal = Decimal(angle_deg.numerator) / Decimal(angle_deg.denominator)
    return format(decimal, "f") if Fraction(decimal) == angle_deg else time


def more_view(change: ChangeOnTheDay) -> list[Component]:
    """What follows from the answer: old against new, camera, wall, safe settings, the card."""
    near = change.near
    parts = [
        html.Section([html.H2("Before and now"), _sides(change)]),
        html.Section([html.H2("Camera, if nobody touches it"), _lines(camera_lines(change))]),
        html.Section([html.H2("Wall"), _lines(wall_lines(change, bands=_BANDS))]),
    ]
    if near is not None:
        told: list[Component] = [_lines(near_lines(near))]
        if near.ranges:
            told = [wide(_ranges(near), "Safe shutter settings")]
        parts.append(html.Section([html.H2(near_heading(change, near)), *told]))
    return [
        *parts, html.Section([html.H2("Card"), html.P(card_sentence(change))]),
        html.P(CLOSING, className="note"),
    ]


def _sides(change: ChangeOnTheDay) -> Component:
    head = html.Tr([html.Td(), *(
        html.Th(each, scope="col") for each in ("before", "now")
    )])
    rows = [
        html.Tr([
            html.Th(name.strip(), scope="row", className="under" if name[0] == " " else ""),
            html.Td(before), html.Td(now),
        ])
        for name, before, now in side_rows(change)
    ]
    table = html.Table([html.Thead(head), html.Tbody(rows)], className="sides")
    return wide(table, "Before and now")


def _lines(lines: Sequence[Line]) -> Component:
    """Lines as paragraphs; those of a list as a list."""
    parts: list[Any] = [
        html.P(each.text, className=f"line line-{each.place}")
        for each in lines if each.place != "listed"
    ]
    listed = [html.Li(each.text) for each in lines if each.place == "listed"]
    return html.Div([*parts, html.Ul(listed)] if listed else parts)


def _ranges(near: Settings) -> Component:
    head = html.Tr([html.Th(each, scope="col") for each in _RANGE_HEADINGS])
    rows = [
        html.Tr([html.Th(width, scope="row"), *(html.Td(each) for each in cells)])
        for width, *cells in map(range_cells, near.ranges[:_RANGES])
    ]
    return html.Table([html.Thead(head), html.Tbody(rows)], className="ranges")
