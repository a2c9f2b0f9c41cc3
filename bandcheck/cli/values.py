"""What may be typed after an option: `shoot.written` as kinds of parameter that click knows."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

import click

from bandcheck.cli.failures import option_name
from bandcheck.shoot import written
from bandcheck.shoot.written import Written

__all__ = [
    "ANGLE", "ANGLES", "CONTENT_RATE", "FILE", "LEVELS", "PROFILE", "RATE", "RATES", "REGION",
    "SPEED", "Typed", "exact", "number", "whole",
]

_Value = TypeVar("_Value")


class Typed(click.ParamType, Generic[_Value]):  # type: ignore[type-arg]  # generic since click 8.5
    """A kind of value that may be typed after an option; parameters as `Written` has them."""

    def __init__(self, name: str, accepted: str, read: Callable[[str], _Value]) -> None:
        self.name = name
        self.accepted = accepted
        self.kind = Written(name, accepted, read)

    @classmethod
    def of(cls, kind: Written[_Value]) -> "Typed[_Value]":
        """Kind of parameter that takes what is written so."""
        return cls(kind.name, kind.accepted, kind.read)

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> _Value | Any:
        """Value of the text typed; a default passes as it is.

        Raises
        ------
        OutOfRangeError
            The text is not accepted; names the option.
        """
        if not isinstance(value, str):
            return value
        return self.kind.value(value, argument=option_name(param))


def exact(name: str, **bounds: Any) -> Typed[Any]:
    """Kind of value that is an exact number inside bounds; see `shoot.written.exact`."""
    return Typed.of(written.exact(name, **bounds))


def number(name: str, **bounds: Any) -> Typed[float]:
    """Kind of value that is a number inside bounds; see `shoot.written.number`."""
    return Typed.of(written.number(name, **bounds))


def whole(name: str, *, at_least: int, at_most: int) -> Typed[int]:
    """Kind of value that is a whole number from one bound to another, both included."""
    return Typed.of(written.whole(name, at_least=at_least, at_most=at_most))


FILE = Typed("FILE", "the name of a file", str)
"""A file, as typed."""

PROFILE = Typed("NAME|FILE", "a shipped profile's name or a file", str)
"""A profile, as typed."""

RATE = Typed.of(written.RATE)
CONTENT_RATE = Typed.of(written.CONTENT_RATE)
RATES = Typed.of(written.RATES)
ANGLE = Typed.of(written.ANGLE)
SPEED = Typed.of(written.SPEED)
LEVELS = Typed.of(written.LEVELS)
ANGLES = Typed.of(written.ANGLES)
REGION = Typed.of(written.REGION)
