"""A shot in one sentence with its fields behind it, for screens that are about something else."""

from collections.abc import Mapping, Sequence
from typing import Any

from dash import html
from dash.development.base_component import Component

from bandcheck.report.rounding import angle_text, exposure_text, rate_words
from bandcheck.shoot.shot import Shot
from dashboard import ids
from dashboard.controls.form import field_box, field_boxes
from dashboard.fields import FIELDS
from dashboard.state import Asked

__all__ = ["apart_box", "not_whole", "shot_fields", "shot_sentence", "slips"]

_SHOT_FIELDS = ("wall", "camera", "fps", "shutter")


def apart_box(name: str, question: Mapping[str, str]) -> Component:
    """Box of a field that says nothing about the shot, as `field_box` makes it.

    What is wrong with such a field is known to its screen alone, which says it at `ids.refused`.
    """
    box = field_box(name, question)
    box.children[-1].id = ids.refused(name)
    return box


def shot_fields(
    title: str, question: Mapping[str, str], *, opened: bool, beside: Sequence[Component] = ()
) -> Component:
    """Fields of the shot, folded away unless something is missing.

    Parameters
    ----------
    title
        What the fold says.
    question
        Texts as typed.
    opened
        Whether the fields can be seen at once.
    beside
        What else stands under the fold.

    Returns
    -------
    Component
        The fold.
    """
    return html.Details(
        [
            html.Summary(title),
            html.Div(field_boxes(_SHOT_FIELDS, question), className="fields"), *beside,
        ],
        open=opened, className="more shot-fields",
    )


def shot_sentence(shot: Shot) -> str:
    """Who films what, and how it is set."""
    angle, time = angle_text(shot.angle_deg), exposure_text(shot.exposure_s)
    first, second = (angle, time) if shot.shutter_set_as == "angle" else (time, angle)
    lit = f", with {', '.join(lamp.name for lamp in shot.lamps)}" if shot.lamps else ""
    return (
        f"{shot.wall.name} filmed by {shot.camera.name} at {rate_words(shot.fps)} frames/s,"
        f" {first} ({second}){lit}"
    )


def not_whole(read: Asked, then: str) -> list[Component]:
    """What has to be given or mended first; nothing is answered for a question that is not whole.

    Parameters
    ----------
    read
        A question without a shot.
    then
        What is there once it is whole.

    Returns
    -------
    list of Component
        What is wrong field by field, or else what is missing.
    """
    if read.errors:
        return slips("Something in the shot cannot be:", read.errors)
    named = " and ".join(f"a {FIELDS[name].label.lower()}" for name in read.missing)
    return [html.P(f"Choose {named}: {then}", className="waiting")]


def slips(first: str, errors: Mapping[str, str]) -> list[Component]:
    """What is wrong, field by field."""
    lines: list[Any] = [
        html.Li([html.B(f"{FIELDS[name].label}: "), line]) for name, line in errors.items()
    ]
    return [html.P(first), html.Ul(lines, className="errors")]
