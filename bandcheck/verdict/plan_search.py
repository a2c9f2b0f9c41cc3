"""The exposures that suit several shots at once, found as far from the wanted one as it takes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.plan_work import Ledger, Question, Work
from bandcheck.verdict.safe_ranges import Range, common_ranges

__all__ = ["MOST_TOLD", "Member", "agreed_ranges", "nearest_first"]

MOST_TOLD = 8
"""Ranges that are told, those nearest to the wanted setting; as many as `settings` tells."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Member:
    """A shot that has to agree with others.

    Attributes
    ----------
    shot
        The shot with its wanted setting.
    scale
        What an exposure [s] is multiplied with to be compared: 360 times the frame rate for
        angles [deg], 1 for times [s].
    """

    shot: Shot
    scale: float

    @property
    def longest(self) -> float:
        """Longest exposure there is, on the scale."""
        return self.scale / float(self.shot.fps)

    def scaled(self, ranges: Sequence[Range]) -> list[Range]:
        """Ranges of exposure on the scale."""
        return [(low * self.scale, min(self.longest, high * self.scale)) for low, high in ranges]

    def question(self, ranges: Sequence[Range]) -> Question:
        """The question what is safe inside ranges on the scale."""
        return Question("within", self.shot, tuple(
            (low / self.scale, high / self.scale) for low, high in ranges
        ))


def nearest_first(ranges: Sequence[Range], wanted: float) -> list[Range]:
    """Ranges by the distance of their middles from a wanted exposure in stops."""
    return sorted(ranges, key=lambda each: abs(float(np.log2((each[0] + each[1]) / 2 / wanted))))


def agreed_ranges(members: Sequence[Member], ledger: Ledger) -> Work[tuple[Range, ...]]:
    """Ranges of the shutter that are safe for every member, those nearest to the wanted setting.

    Parameters
    ----------
    members
        The shots, at least one; the first one's setting is the wanted one.
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.

    Returns
    -------
    tuple of Range
        On the scale of the members, rising; empty only where every exposure has been ruled out.
    """
    wanted = float(members[0].shot.exposure_s) * members[0].scale
    # One after the other in an order of their own, so that the order of devices never matters.
    members = sorted(members, key=lambda each: repr(each.shot))
    yield [Question("window", each.shot) for each in members]
    windows = [ledger.window(each.shot) for each in members]
    found = common_ranges([
        member.scaled(window.ranges) for member, window in zip(members, windows, strict=True)
    ])
    if not found and not any(each.lacking for each in windows):
        found = [(0.0, min(each.longest for each in members))]
        # Few nulls first: they leave the least to look through.
        for _, place in sorted((each.sparseness, place) for place, each in enumerate(windows)):
            if found:
                question = members[place].question(found)
                yield [question]
                found = members[place].scaled(ledger.within(question))
    return tuple(sorted(nearest_first(found, wanted)[:MOST_TOLD]))
