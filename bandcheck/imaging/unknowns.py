"""What a figure of wall or sensor may be where nobody knows it.

Each list spans the range that is met in practice (project choice, common practice). A hazard is
graded for every combination; the worst counts, and the verdict is open where they disagree.
"""

from collections.abc import Sequence
from typing import Literal, TypeVar

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "UNKNOWN_DELIVERY_FILTER",
    "UNKNOWN_EMITTER_FILL",
    "UNKNOWN_EMITTER_SHAPE",
    "UNKNOWN_LOW_PASS_PX",
    "UNKNOWN_PHOTOSITE_FILL",
    "DeliveryFilter",
    "EmitterShape",
    "Mosaic",
    "possible_numbers",
    "possible_words",
]

EmitterShape = Literal["square", "disc"]
Mosaic = Literal["bayer", "none"]
DeliveryFilter = Literal["box", "sharp"]
Word = TypeVar("Word", bound=str)

UNKNOWN_EMITTER_FILL = (0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7)
"""Lit width of an LED over the pitch: bare dies in a black package to flush lenses."""

UNKNOWN_EMITTER_SHAPE: tuple[EmitterShape, ...] = ("square", "disc")

UNKNOWN_LOW_PASS_PX = (0.0, 0.35, 0.7)
"""Shift of a low-pass filter [photosites]: from none to a strong one."""

UNKNOWN_PHOTOSITE_FILL = (0.7, 0.85, 1.0)
"""Linear fill of a photosite behind its microlens."""

UNKNOWN_DELIVERY_FILTER: tuple[DeliveryFilter, ...] = ("box", "sharp")


def possible_numbers(
    argument: str, value: float | None, unknown: Sequence[float], *, at_most: float,
    zero_is_one: bool = False,
) -> tuple[float, ...]:
    """Values to grade: the one that is known, or the range of what is not.

    Parameters
    ----------
    argument
        Name for the message.
    value
        The figure; None: not known.
    unknown
        One of the lists of this module.
    at_most, zero_is_one
        Largest value, and whether 0 is one.

    Returns
    -------
    tuple of float
        One value, or all of `unknown`.

    Raises
    ------
    OutOfRangeError
        A value out of its range.
    """
    if value is None:
        return tuple(unknown)
    accepted = f"from 0 to {at_most:g}" if zero_is_one else f"above 0, at most {at_most:g}"
    figure = require(argument, value, accepted, at_least=0, at_most=at_most,
                     above=None if zero_is_one else 0)
    return (float(figure),)


def possible_words(
    argument: str, value: Word | None, known: Sequence[Word],
) -> tuple[Word, ...]:
    """Words to grade: the one that is known, or all that there are (as `possible_numbers`)."""
    if value is None:
        return tuple(known)
    if value not in known:
        raise OutOfRangeError(argument, value, f"accepted are {', '.join(known)}")
    return (value,)
