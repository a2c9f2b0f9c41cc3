"""How values are written: each kind reads text or refuses it in plain words.

A number is digits with a decimal point, perhaps an exponent; "nan", "inf", digit groups and
decimal commas are refused. Where exactness matters (rates, shutters) the text becomes a fraction.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Generic, TypeVar

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.rates import exact_number, frame_rate
from bandcheck.timing.shutter import shutter_angle, shutter_speed

__all__ = [
    "ANGLE", "ANGLES", "CARD_DATE", "CARD_VERSION", "CONTENT_RATE", "LEVELS", "RATE", "RATES",
    "REGION", "SPEED", "Written", "exact", "number", "whole",
]

_Value = TypeVar("_Value")

_LONGEST = 2000
_MOST_ANGLES = 100_000
_LONGEST_VERSION = 40


@dataclass(frozen=True, slots=True)
class Written(Generic[_Value]):
    """A kind of value, made from a function that reads it.

    Attributes
    ----------
    name
        Placeholder in a help text.
    accepted
        What is accepted, in words.
    read
        From text to value; raises ValueError where the text says nothing that is accepted.
    """

    name: str
    accepted: str
    read: Callable[[str], _Value]

    def value(self, text: str, *, argument: str) -> _Value:
        """Value of a text.

        Parameters
        ----------
        text
            As typed.
        argument
            Option or field, for the message.

        Returns
        -------
        value
            Of the kind.

        Raises
        ------
        OutOfRangeError
            The text is not accepted; names the argument.
        """
        try:
            if len(text) > _LONGEST:
                raise ValueError(text)
            return self.read(text)
        except (ValueError, ZeroDivisionError, OverflowError) as error:
            raise OutOfRangeError(argument, text, self.accepted) from error


def _decimal(text: str) -> Fraction:
    text = text.strip()
    if "/" in text:  # 1/50 is a speed; as a number of milliseconds it would be a slip
        raise ValueError(text)
    sign = -1 if text.startswith("-") else 1
    digits = text[1:] if text.startswith(("+", "-")) else text
    return sign * exact_number(digits, argument="number", accepted="digits")


def _bounded(
    above: float | None, at_least: float | None, at_most: float | None, below: float | None
) -> tuple[str, Callable[[Fraction], bool]]:
    """Words for an interval and the test for it."""
    sides: list[tuple[str, float | None, Callable[[Fraction, float], bool]]] = [
        ("above", above, lambda value, bound: value > bound),
        ("from", at_least, lambda value, bound: value >= bound),
        ("to" if at_least is not None else "at most", at_most, lambda value, bound: value <= bound),
        ("below", below, lambda value, bound: value < bound),
    ]
    given = [(words, bound, holds) for words, bound, holds in sides if bound is not None]
    phrases = [f"{words} {bound:g}" for words, bound, _ in given]
    joint = " " if at_least is not None and at_most is not None else " and "
    text = f" {joint.join(phrases)}" if phrases else ""
    return text, lambda value: all(holds(value, bound) for _, bound, holds in given)


def exact(
    name: str, *, above: float | None = None, at_least: float | None = None,
    at_most: float | None = None, below: float | None = None, unit: str = "",
) -> Written[Fraction]:
    """Kind of value that is an exact number inside bounds.

    Parameters
    ----------
    name
        Placeholder in the help.
    above, at_least, at_most, below
        Bounds; None leaves a side open.
    unit
        Unit in words, for the message.

    Returns
    -------
    Written
        Reads text into a fraction.
    """
    words, inside = _bounded(above, at_least, at_most, below)

    def read(text: str) -> Fraction:
        value = _decimal(text)
        if not inside(value):
            raise ValueError(text)
        return value

    return Written(name, f"a number{words}{f' {unit}' if unit else ''}", read)


def number(
    name: str, *, above: float | None = None, at_least: float | None = None,
    at_most: float | None = None, below: float | None = None, unit: str = "",
) -> Written[float]:
    """Kind of value that is a number inside bounds; parameters as for `exact`."""
    fraction = exact(
        name, above=above, at_least=at_least, at_most=at_most, below=below, unit=unit
    )
    return Written(name, fraction.accepted, lambda text: float(fraction.read(text)))


def whole(name: str, *, at_least: int, at_most: int) -> Written[int]:
    """Kind of value that is a whole number from one bound to another, both included."""

    def read(text: str) -> int:
        value = _decimal(text)
        if value.denominator != 1 or not at_least <= value <= at_most:
            raise ValueError(text)
        return int(value)

    return Written(name, f"a whole number from {at_least} to {at_most}", read)


def _parts(text: str) -> list[str]:
    """Entries of a list; an empty entry is refused by whatever reads it."""
    return [part.strip() for part in text.split(",")]


def _levels(text: str) -> tuple[float, ...]:
    levels = {_decimal(part) for part in _parts(text)}
    if not all(0 < level <= 100 for level in levels):
        raise ValueError(text)
    return tuple(float(level / 100) for level in sorted(levels, reverse=True))


def _angles(text: str) -> tuple[Fraction, ...]:
    if ":" not in text:
        return tuple(sorted({shutter_angle(part) for part in _parts(text)}))
    first, last, step = (_decimal(part.strip()) for part in text.split(":"))
    if not (0 < first <= last <= 360 and step > 0) or (last - first) / step >= _MOST_ANGLES:
        raise ValueError(text)
    return tuple(first + step * index for index in range(int((last - first) / step) + 1))


def _content_rate(text: str) -> Fraction:
    still = "/" not in text and _decimal(text) == 0
    return Fraction(0) if still else frame_rate(text)


def _region(text: str) -> tuple[int, int, int, int]:
    x, y, width, height = (_decimal(part) for part in _parts(text))
    corner_and_size = (x, y, width, height)
    if any(each.denominator != 1 for each in corner_and_size):
        raise ValueError(text)
    if min(x, y) < 0 or min(width, height) < 1 or max(corner_and_size) > 10**6:
        raise ValueError(text)
    return int(x), int(y), int(width), int(height)


_A_RATE = "a frame rate above 0 and up to 100000, such as 24, 23.976 or 24000/1001"

RATE = Written("RATE", _A_RATE, frame_rate)
"""A frame rate [frames/s], as a fraction."""

CONTENT_RATE = Written("RATE", f"{_A_RATE}; 0 for a still picture", _content_rate)
"""A frame rate [frames/s] that may be 0, as a fraction."""

RATES = Written(
    "LIST", "frame rates as for --fps with commas between, such as 23.976,24,25",
    lambda text: tuple(dict.fromkeys(frame_rate(part) for part in _parts(text))),
)
"""Frame rates [frames/s] as fractions, in the order typed, each once."""

ANGLE = Written("DEG", "an angle above 0 and up to 360 deg, such as 172.8", shutter_angle)
"""A shutter angle [deg], as a fraction."""

SPEED = Written("TIME", "a shutter speed above 0 s, such as 1/50", shutter_speed)
"""A shutter speed as the time it stands for [s], as a fraction."""

LEVELS = Written(
    "LIST", "signal levels in % above 0 and up to 100 with commas between, such as 100,50,18",
    _levels,
)
"""Signal levels 0..1, brightest first, each once."""

ANGLES = Written(
    "FROM:TO:STEP",
    "from:to:step in degrees such as 1:360:0.1, or a list such as 144,172.8,180; each angle above "
    f"0 and up to 360, at most {_MOST_ANGLES} of them",
    _angles,
)
"""Shutter angles [deg] as fractions, rising, each once."""

REGION = Written(
    "X,Y,W,H", "left,top,width,height in whole pixels, width and height at least 1", _region
)
"""A part of a picture [px]: left, top, width, height."""


def _date(text: str) -> str:
    if len(text) != len("2026-03-02"):
        raise ValueError(text)
    return date.fromisoformat(text).isoformat()


def _version(text: str) -> str:
    if not text.strip() or not text.isprintable() or len(text) > _LONGEST_VERSION:
        raise ValueError(text)
    return text.strip()


CARD_DATE = Written("YYYY-MM-DD", "a date as year-month-day, such as 2026-03-02", _date)
"""A calendar date, as it is printed."""

CARD_VERSION = Written("TEXT", f"1 to {_LONGEST_VERSION} letters on one line", _version)
"""Version of a card, as it is printed."""
