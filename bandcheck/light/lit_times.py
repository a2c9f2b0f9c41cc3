"""The single pulses of a train, and the slots of scan lines, between two moments.

What a running integral needs no list for, a picture does: every pulse, or, where there are too many
to draw, blocks of whole refreshes that hold the same light.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import require
from bandcheck.light.pulse_train import PulseTrain, window_light
from bandcheck.light.scan_timing import ScanTiming

__all__ = ["LitTimes", "ScanSlots", "lit_times", "scan_slots"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

_MOST_ITEMS = 100_000
_ACCEPTED_MOST = f"from 1 to {_MOST_ITEMS} things to draw"


@dataclass(frozen=True, kw_only=True, slots=True)
class LitTimes:
    """When a scan line is lit.

    Attributes
    ----------
    start_s, end_s
        Each pulse or block that touches the window, whole [s], shape (P,), rising.
    share
        Share of that time for which the line is lit, shape (P,): 1 for a pulse.
    refreshes_each
        Refreshes that a block holds; 0 where every entry is a single pulse.
    """

    start_s: FloatArray
    end_s: FloatArray
    share: FloatArray
    refreshes_each: int


@dataclass(frozen=True, kw_only=True, slots=True)
class ScanSlots:
    """Slots of a few scan lines in every refresh that touches the window.

    Attributes
    ----------
    line
        Scan line of each slot, shape (N,).
    start_s, light_s, end_s
        Start of each slot, where its light may begin, and its end [s], shape (N,).
    """

    line: IntArray
    start_s: FloatArray
    light_s: FloatArray
    end_s: FloatArray


@dataclass(frozen=True, kw_only=True, slots=True)
class _Refreshes:
    """Refreshes of a wall, counted through all cycles."""

    cycle_s: float
    number: int
    pitch_s: float

    def at(self, time_s: float) -> int:
        """The one that a moment falls into; the dark end of a cycle belongs to the last."""
        cycle = int(np.floor(time_s / self.cycle_s))
        within = int((time_s - cycle * self.cycle_s) / self.pitch_s)
        return cycle * self.number + min(max(within, 0), self.number - 1)

    def start_s(self, refresh: IntArray) -> FloatArray:
        """Their starts [s]."""
        cycle, within = np.divmod(refresh, self.number)
        return np.asarray(cycle * self.cycle_s + within * self.pitch_s)


def _of(train: PulseTrain) -> _Refreshes:
    return _Refreshes(
        cycle_s=train.cycle_s, number=train.refreshes, pitch_s=train.refresh_pitch_s
    )


def _pulses_each(train: PulseTrain) -> IntArray:
    """Pulses in each refresh of the cycle, shape (refreshes,)."""
    counts = train.counts[0]
    return np.asarray(np.bitwise_count(counts) if train.binary_code else counts > 0, np.int64)


def _pulses_between(train: PulseTrain, first: int, last: int) -> int:
    """Pulses in the refreshes from one to another, both included."""
    before = np.concatenate([[0], np.cumsum(_pulses_each(train))])

    def until(refresh: int) -> int:
        cycle, within = divmod(refresh, train.refreshes)
        return int(cycle * before[-1] + before[within])

    return until(last + 1) - until(first)


def _single_pulses(
    train: PulseTrain, first: int, last: int, delay_s: float
) -> tuple[FloatArray, FloatArray]:
    """Starts and ends of the pulses of some refreshes; bit planes one by one."""
    cycle = np.arange(first // train.refreshes, last // train.refreshes + 1)
    lit = np.flatnonzero(train.counts[0])  # a dark picture lights few of very many
    refresh = (cycle[:, np.newaxis] * train.refreshes + lit).ravel()
    refresh = refresh[(refresh >= first) & (refresh <= last)]
    counts = train.counts[0][np.mod(refresh, train.refreshes)]
    begin = _of(train).start_s(refresh) + train.first_pulse_s + delay_s
    if not train.binary_code:
        return begin, begin + counts * train.count_s
    plane = np.arange(int(train.counts.max(initial=1)).bit_length())
    shown = np.right_shift(counts[:, np.newaxis], plane) & 1 == 1
    start = begin[:, np.newaxis] + (2**plane - 1) * train.count_s
    return start[shown], (start + 2**plane * train.count_s)[shown]


def _blocks(
    train: PulseTrain, first: int, last: int, *, delay_s: float, most: int
) -> LitTimes:
    """Refreshes from one to another, so many to a block that few enough are left."""
    refreshes = _of(train)
    each = -(-(last + 1 - first) // most)
    head = np.arange(first, last + 1, each)
    start = refreshes.start_s(head)
    end = refreshes.start_s(head + each - 1) + train.refresh_pitch_s
    light = window_light(train, open_s=start, exposure_s=end - start, line_delay_s=delay_s)[0]
    return LitTimes(start_s=start, end_s=end, share=light / (end - start), refreshes_each=each)


def lit_times(
    train: PulseTrain, *, from_s: float, to_s: float, most: int, line_delay_s: float = 0.0
) -> LitTimes:
    """Pulses of a scan line that touch a window; blocks of refreshes where they are too many.

    A pulse of line s in refresh k begins `s slot + switch` after it and lasts its counts; in binary
    code every set bit is a pulse of its own. A block is so many whole refreshes that no more than
    `most` blocks are left, with the exact share of its time for which the line is lit: the light
    of a drawing is the light of the wall either way.

    Parameters
    ----------
    train
        Train of one level.
    from_s, to_s
        Window [s], of any sign, not empty.
    most
        Pulses or blocks at the most, 1..100 000.
    line_delay_s
        How much later than line 0 the line lights [s]: line times slot.

    Returns
    -------
    LitTimes
        Pulses or blocks; neither is cut at the window's rims.

    Raises
    ------
    OutOfRangeError
        An empty window, or a number of things to draw that is out of range.
    """
    require("to_s", to_s, "a time after from_s", above=float(require("from_s", from_s, "a time")))
    require("most", most, _ACCEPTED_MOST, at_least=1, at_most=_MOST_ITEMS)
    first, last = _of(train).at(from_s), _of(train).at(to_s)
    # The refreshes at either rim may hold pulses that lie outside the window.
    rim = 2 * int(_pulses_each(train).max())
    if _pulses_between(train, first, last) <= most + rim:
        start, end = _single_pulses(train, first, last, line_delay_s)
        seen = (end > from_s) & (start < to_s)
        pulses = np.count_nonzero(seen)
        if pulses <= most:
            return LitTimes(
                start_s=start[seen], end_s=end[seen], share=np.ones(pulses), refreshes_each=0
            )
    return _blocks(train, first, last, delay_s=line_delay_s, most=most)


def scan_slots(
    timing: ScanTiming, *, lines: IntArray, from_s: float, to_s: float, most: int
) -> ScanSlots | None:
    """Slots of some scan lines that touch a window, or None where they are too many to draw.

    Parameters
    ----------
    timing
        From `scan_timing`.
    lines
        Scan lines, rising, shape (lines,).
    from_s, to_s
        Window [s].
    most
        Slots at the most.

    Returns
    -------
    ScanSlots or None
        Slots in the order of time, not cut at the window's rims.
    """
    refreshes = _Refreshes(
        cycle_s=timing.cycle_s, number=timing.refreshes, pitch_s=timing.refresh_pitch_s
    )
    first, last = refreshes.at(from_s), refreshes.at(to_s)
    if (last + 1 - first) * len(lines) > most + 2 * len(lines):
        return None
    begin = refreshes.start_s(np.arange(first, last + 1))
    start = (begin[:, np.newaxis] + lines * timing.slot_s).ravel()
    seen = (start + timing.slot_s > from_s) & (start < to_s)
    if np.count_nonzero(seen) > most:
        return None
    return ScanSlots(
        line=np.tile(lines, last + 1 - first)[seen], start_s=start[seen],
        light_s=start[seen] + timing.switch_s, end_s=start[seen] + timing.slot_s,
    )
