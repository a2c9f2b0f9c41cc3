"""The exact integral of a periodic pulse train over any window.

A cycle holds `refreshes` equally pitched slots; each slot lights once (its pulse as long as its
count) or, in binary code, once for every set bit of its count. What a window catches is the
difference of two running integrals, each found from the slot's index: the cost of a window does
not depend on how many pulses it holds.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require

__all__ = ["PulseTrain", "light_until", "repeated_train", "single_level", "window_light"]

FloatArray = NDArray[np.float64]

_TIMES_AT_ONCE = 1 << 14
"""Times worked through in one go: what is made on the way stays in a core's cache."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PulseTrain:
    """Pulses of one scan line, for one or more gray levels.

    Attributes
    ----------
    cycle_s
        Period of the whole pattern [s].
    refresh_pitch_s
        From the start of one refresh to the next [s]; what the cycle holds beyond
        `refreshes * refresh_pitch_s` stays dark.
    first_pulse_s
        From the start of a refresh to the first light of scan line 0 [s].
    count_s
        Light that one count gives [s].
    counts
        Counts of each refresh, int64, shape (levels, refreshes).
    binary_code
        Whether a count is shown as bit planes 1, 2, 4, … in rising order.
    """

    cycle_s: float
    refresh_pitch_s: float
    first_pulse_s: float
    count_s: float
    counts: NDArray[np.int64]
    binary_code: bool = False

    @property
    def refreshes(self) -> int:
        """Refreshes in a cycle."""
        return int(self.counts.shape[1])

    @property
    def light_per_cycle_s(self) -> FloatArray:
        """Light of one cycle [s of a fully lit LED], shape (levels,)."""
        return np.asarray(self.counts.sum(axis=1) * self.count_s, dtype=np.float64)

    @property
    def evenly_pitched(self) -> bool:
        """Whether refreshes follow each other without a gap at the end of the cycle."""
        return abs(self.cycle_s - self.refreshes * self.refresh_pitch_s) <= 1e-12 * self.cycle_s


def _shortest_repeat(counts: NDArray[np.int64]) -> int:
    """Length of the shortest pattern that, repeated, gives the whole row of counts."""
    refreshes = len(counts)
    for length in range(1, refreshes // 2 + 1):
        if refreshes % length == 0 and np.array_equal(counts[length:], counts[:-length]):
            return length
    return refreshes


def repeated_train(train: PulseTrain, cycles: int) -> PulseTrain:
    """Same train with so many of its cycles taken for one."""
    return PulseTrain(
        cycle_s=train.cycle_s * cycles,
        refresh_pitch_s=train.refresh_pitch_s,
        first_pulse_s=train.first_pulse_s,
        count_s=train.count_s,
        counts=np.tile(train.counts, (1, cycles)),
        binary_code=train.binary_code,
    )


def single_level(train: PulseTrain) -> Iterator[PulseTrain]:
    """Trains of the single levels in turn, each in its shortest cycle.

    A gray value that all refreshes share alike repeats long before the frame ends; everything
    that is exact about the short cycle is exact about the frame.

    Parameters
    ----------
    train
        Train of any number of levels.

    Yields
    ------
    PulseTrain
        One level each.
    """
    for counts in train.counts:
        length = _shortest_repeat(counts) if train.evenly_pitched else len(counts)
        share = length / len(counts)
        yield PulseTrain(
            cycle_s=train.cycle_s * share,
            refresh_pitch_s=train.refresh_pitch_s,
            first_pulse_s=train.first_pulse_s,
            count_s=train.count_s,
            counts=counts[np.newaxis, :length],
            binary_code=train.binary_code,
        )


def _coded_light(position: FloatArray, counts: NDArray[np.int64]) -> FloatArray:
    """Counts lit up to a position [counts] in a slot that shows bit planes in rising order.

    Plane j runs from 2^j - 1 to 2^(j+1) - 1: the planes before it have given `counts mod 2^j`.
    """
    plane = np.maximum(np.frexp(position + 1.0)[1] - 1, 0).astype(np.int64)
    start = np.left_shift(1, plane)
    lit = np.bitwise_and(np.right_shift(counts, plane), 1)
    light = np.bitwise_and(counts, start - 1) + lit * (position - (start - 1))
    return np.asarray(light, dtype=np.float64)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Slots:
    """Counts of a cycle in slots of one refresh pitch, each begun with its own pulse.

    `shown` and `before` are the light of each slot and of those before it [refresh pitches], shape
    (levels, slots), with the dark slots that the cycle may hold beyond its refreshes; `counts` are
    the counts where a slot shows bit planes.
    """

    shown: FloatArray
    before: FloatArray
    counts: NDArray[np.int64] | None


def _slots(train: PulseTrain) -> _Slots:
    beyond = int(np.ceil(train.cycle_s / train.refresh_pitch_s)) + 1 - train.refreshes
    counts = np.pad(train.counts, ((0, 0), (0, max(1, beyond))))
    shown = np.asarray(counts * (train.count_s / train.refresh_pitch_s), dtype=np.float64)
    before = np.zeros_like(shown)
    np.cumsum(shown[:, :-1], axis=1, out=before[:, 1:])
    return _Slots(shown=shown, before=before, counts=counts if train.binary_code else None)


def _until(train: PulseTrain, slots: _Slots, pulse_s: FloatArray) -> FloatArray:
    """Running integral [refresh pitches] up to times after a first pulse, shape (levels, times)."""
    place = pulse_s * (1 / train.cycle_s)
    cycles = np.floor(place)
    place -= cycles
    place *= train.cycle_s / train.refresh_pitch_s
    whole = np.floor(place)
    place -= whole
    slot = whole.astype(np.intp)
    light = np.empty((len(train.counts), place.size))
    share = train.count_s / train.refresh_pitch_s
    for level, until in enumerate(light):
        if slots.counts is None:
            np.take(slots.shown[level], slot, out=until, mode="clip")
            np.minimum(until, place, out=until)
        else:
            shown = slots.counts[level][slot]
            every = float(2 ** int(train.counts.max(initial=1)).bit_length() - 1)
            until[:] = _coded_light(np.minimum(place / share, every), shown) * share
        until += np.take(slots.before[level], slot, out=whole, mode="clip")
        until += np.multiply(cycles, slots.before[level, -1], out=whole)
    return light


def light_until(train: PulseTrain, time_s: ArrayLike) -> FloatArray:
    """Running integral G of the train of scan line 0 from time 0.

    Parameters
    ----------
    train
        Train of L levels.
    time_s
        Times [s], any sign, any shape.

    Returns
    -------
    ndarray
        Light [s of a fully lit LED], shape (L, *time shape).
    """
    time = np.asarray(time_s, dtype=np.float64)
    flat, slots = time.ravel(), _slots(train)
    light = np.empty((len(train.counts), flat.size))
    for first in range(0, flat.size, _TIMES_AT_ONCE):
        block = slice(first, first + _TIMES_AT_ONCE)
        light[:, block] = _until(train, slots, flat[block] - train.first_pulse_s)
    light *= train.refresh_pitch_s
    return light.reshape(len(light), *time.shape)


def window_light(
    train: PulseTrain, *, open_s: ArrayLike, exposure_s: ArrayLike, line_delay_s: ArrayLike = 0.0
) -> FloatArray:
    """Light that windows catch of the train: `E = G(open + exposure) - G(open)`.

    Exact to rounding; no stepping through time, no sampling of the waveform.

    Parameters
    ----------
    train
        Train of L levels.
    open_s
        Opening of each window [s], any sign.
    exposure_s
        Length of each window [s], >= 0.
    line_delay_s
        How much later than line 0 the window's scan line lights [s]: line times slot.

    Returns
    -------
    ndarray
        Light [s of a fully lit LED], shape (L, *broadcast shape of the windows).

    Raises
    ------
    OutOfRangeError
        A window that is not finite, or shorter than nothing.
    """
    exposure = require("exposure_s", exposure_s, "a time of 0 s or more", at_least=0)
    opening = require("open_s", open_s, "a finite time")
    delay = require("line_delay_s", line_delay_s, "a finite time")
    shape = np.broadcast_shapes(opening.shape, exposure.shape, delay.shape)
    # What is one number for all windows stays one: nothing as long as the result is made of it.
    opening, exposure, delay = (
        each.ravel() if each.size == 1 else np.broadcast_to(each, shape).ravel()
        for each in (opening, exposure, delay)
    )
    slots, windows = _slots(train), math.prod(shape)
    light = np.empty((len(train.counts), windows))
    for first in range(0, windows, _TIMES_AT_ONCE):
        block = slice(first, first + _TIMES_AT_ONCE)
        opened, length, later = (
            each if each.size == 1 else each[block] for each in (opening, exposure, delay)
        )
        pulse_s = np.broadcast_to(
            opened - (later + train.first_pulse_s), light[0, block].shape
        )
        caught = _until(train, slots, pulse_s + length)
        caught -= _until(train, slots, pulse_s)
        np.multiply(caught, train.refresh_pitch_s, out=light[:, block])
    return light.reshape(len(light), *shape)
