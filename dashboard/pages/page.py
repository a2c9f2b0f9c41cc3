"""What every screen has."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from dash import Dash

__all__ = ["Page"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Page:
    """One screen.

    Attributes
    ----------
    path, title
        Its address, and what the link to it says.
    name
        Class of its outermost box.
    layout
        From the question in the address to the components of the screen.
    register
        Adds its callbacks to an app.
    """

    path: str
    title: str
    name: str
    layout: Callable[[Mapping[str, str]], Any]
    register: Callable[[Dash], None]
