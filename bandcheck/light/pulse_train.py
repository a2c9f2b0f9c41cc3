"""The exact integral of a periodic pulse train over any window.

A cycle holds `refreshes` equally pitched slots; each slot lights once (its pulse as long as its
count) or, in binary code, once for every set bit of its count. What a window catches is the
difference of two running integrals, each found from the slot's index: the cost of a window does
not depend on how many pulses it holds.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require

__all__ = ["PulseTrain", "light_until", "repeated_train", "single_level", "window_light"]

FloatArray = NDArray[np.float64]


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
    cycles = np.floor(time / train.cycle_s)
    within = time - cycles * train.cycle_s
    refresh = np.clip((within / train.refresh_pitch_s).astype(np.int64), 0, train.refreshes - 1)
    into = within - refresh * train.refresh_pitch_s - train.first_pulse_s
    before = np.zeros((len(train.counts), train.refreshes), dtype=np.int64)
    np.cumsum(train.counts[:, :-1], axis=1, out=before[:, 1:])
    shown = train.counts[:, refresh]
    if train.binary_code:
        slot_counts = float(2 ** int(train.counts.max(initial=1)).bit_length() - 1)
        lit = _coded_light(np.clip(into / train.count_s, 0.0, slot_counts), shown) * train.count_s
    else:
        lit = np.clip(into, 0.0, shown * train.count_s)
    whole = cycles * train.light_per_cycle_s.reshape(-1, *(1,) * time.ndim)
    return np.asarray(whole + before[:, refresh] * train.count_s + lit, dtype=np.float64)


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
    opening = require("open_s", open_s, "a finite time") - require(
        "line_delay_s", line_delay_s, "a finite time"
    )
    opening, exposure = np.broadcast_arrays(opening, exposure)
    return light_until(train, opening + exposure) - light_until(train, opening)
