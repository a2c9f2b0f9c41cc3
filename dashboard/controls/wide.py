"""Tables that may be wider than a phone: they scroll in a box of their own, by keyboard too."""

from typing import Any

from dash import html
from dash.development.base_component import Component

__all__ = ["wide"]


def wide(table: Component, name: str) -> Component:
    """A table in a box that scrolls.

    Parameters
    ----------
    table
        The table.
    name
        What a screen reader calls it.

    Returns
    -------
    Component
        The box.
    """
    named: dict[str, Any] = {"aria-label": name}
    return html.Div(table, className="wide", tabIndex="0", role="region", **named)
