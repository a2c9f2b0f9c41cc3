"""The exposures that suit several shots at once, found as far from the wanted one as it takes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.plan_work import Ledger, Question, Work
from bandcheck.verdict.safe_ranges import Range, common_ranges

__all__ = [
    "MOST_TOLD", "Member", "agreed_ranges", "narrowed", "nearest_first", "with_wanted",
]

MOST_TOLD = 8
"""Ranges that are told, those nearest to the wanted setting; as many as `settings` tells."""

_ABOUT_WANTED = 1 / 360
"""Share of a frame to each side of the wanted setting that is looked through for its range."""


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
        whole = (0.0, min(each.longest for each in members))
        found = yield from _agreed_within(members, whole, ledger)
    return tuple(sorted(nearest_first(found, wanted)[:MOST_TOLD]))


def _agreed_within(
    members: Sequence[Member], ends: Range, ledger: Ledger
) -> Work[list[Range]]:
    """Everything between two ends that is safe for every member; their windows are known."""
    sparse = sorted(
        (ledger.window(each.shot).sparseness, place) for place, each in enumerate(members)
    )
    # few nulls first: they leave the least to look through
    return (yield from narrowed([members[place] for _, place in sparse], [ends], ledger))


def narrowed(
    members: Sequence[Member], within: Sequence[Range], ledger: Ledger
) -> Work[list[Range]]:
    """Everything inside ranges that is safe for every member, looked through one after the other.

    Parameters
    ----------
    members
        The shots, in the order in which they are looked at: no more is looked through for one
        than the ones before it have left.
    within
        Where to look, on the scale of the members.
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.

    Returns
    -------
    list of Range
        On the scale of the members, rising.
    """
    found = list(within)
    for member in members:
        if found:
            question = member.question(found)
            yield [question]
            found = member.scaled(ledger.within(question))
    return found


def with_wanted(
    members: Sequence[Member], found: Sequence[Range], ledger: Ledger
) -> Work[tuple[Range, ...]]:
    """Ranges with the one about the wanted setting, which is known to be safe.

    Where a lamp is safe at all longer exposures, its one long range has its middle far from the
    wanted setting, and the search that goes by middles may leave it out.

    Parameters
    ----------
    members, ledger
        As for `agreed_ranges`, which has been asked.
    found
        What it has answered.
    """
    wanted = float(members[0].shot.exposure_s) * members[0].scale
    if any(low <= wanted * (1 + 1e-9) and wanted * (1 - 1e-9) <= high for low, high in found):
        return tuple(found)
    room = _ABOUT_WANTED * min(each.longest for each in members)
    ends = (max(0.0, wanted - room), min(wanted + room, min(each.longest for each in members)))
    about = yield from _agreed_within(
        sorted(members, key=lambda each: repr(each.shot)), ends, ledger
    )
    return tuple(sorted(nearest_first([*about, *found], wanted)[:MOST_TOLD]))
