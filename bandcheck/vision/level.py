"""The four words of a verdict, their order, and the form in which every hazard reports."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal, Self

from bandcheck.errors import OutOfRangeError

__all__ = ["Finding", "Hazard", "Level", "worst_level"]

Hazard = Literal["banding", "tearing", "flicker", "moire", "grid", "lamp", "comfort"]


class Level(StrEnum):
    """A verdict; compares by how bad it is: safe < marginal < unknown < visible.

    Unknown stands above marginal because what could not be graded may be visible. The members
    are text, so that they can be printed and stored as they are, but never compare as text
    ("marginal" < "safe" in the alphabet).
    """

    SAFE = "safe"
    MARGINAL = "marginal"
    UNKNOWN = "unknown"
    VISIBLE = "visible"

    @property
    def severity(self) -> int:
        """How bad, 0 (safe) to 3 (visible): what arrays of grades hold."""
        return _ORDER.index(self.value)

    @classmethod
    def of_severity(cls, severity: int) -> Self:
        """Level that an array of grades holds as this number, 0 to 3."""
        if not 0 <= severity < len(_ORDER):
            raise OutOfRangeError("severity", severity, f"from 0 to {len(_ORDER) - 1}")
        return cls(_ORDER[severity])

    def __lt__(self, other: str) -> bool:
        return self.severity < Level(other).severity

    def __le__(self, other: str) -> bool:
        return self.severity <= Level(other).severity

    def __gt__(self, other: str) -> bool:
        return self.severity > Level(other).severity

    def __ge__(self, other: str) -> bool:
        return self.severity >= Level(other).severity


_ORDER = tuple(level.value for level in Level)


def worst_level(levels: Iterable[Level]) -> Level:
    """Worst of some levels.

    Parameters
    ----------
    levels
        Any number of levels, in any order.

    Returns
    -------
    Level
        The worst in the order visible, unknown, marginal, safe. Of none at all: unknown, for
        where nothing was graded nothing is known to be safe.
    """
    return max(levels, default=Level.UNKNOWN)


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """What one hazard has to say, in numbers; the words are put to it elsewhere.

    Attributes
    ----------
    hazard
        Which hazard speaks.
    level
        Its verdict.
    value, limit
        The figure that decided and what it was held against, both in `unit`; None: not to be had.
    unit
        Unit of both; empty for a plain number such as a visibility.
    reason
        Code of the reason, lower case with underscores; the sentence is made from it.
    figures
        Further figures by name, the unit at the end of each name as everywhere.
    """

    hazard: Hazard
    level: Level
    value: float | None
    limit: float | None
    unit: str
    reason: str
    figures: Mapping[str, float] = field(default_factory=dict)
