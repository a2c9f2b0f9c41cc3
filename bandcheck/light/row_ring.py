"""The light that rows of a rolling shutter catch, on a ring of rows that fill whole cycles.

Rows open one line time apart. Where a whole number of them fills the cycle of the light, all rows
of all frames form a ring, and what a viewer makes of them is a filter round that ring: harmonics
above half a row rate come back as aliases of themselves, as they do in the camera. Where rows see
different scan lines, bands recur as well, after another number of harmonics (`samples_of_lines`).
"""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.light.extremes import pulse_edges
from bandcheck.light.pulse_train import PulseTrain

__all__ = ["light_kinks", "ring_cycles", "samples_of_lines"]

FloatArray = NDArray[np.float64]

_LARGEST_MISFIT = 5e-5
"""Share by which a line time may be off so that fewer cycles close the ring."""

_ROUNDING = 1e-3
"""Share by which a line time may be off so that the ring has a round number of rows.

No readout is known to a thousandth; it moves V by less than 0.2 % in nine settings of ten, and by
up to 4 % next to a null (measured on shipped walls): project choice.
"""

_ROUND = 3600
"""Tenths of a degree in a frame: rows that share factors with it have exposures in common."""

_SMALL_PRIMES = (2, 3, 5, 7, 11, 13)
"""Prime factors of which a Fourier transform makes little work."""

_ALIAS_MISFIT = 0.02
"""Cycles a row, and waves of the scan, by which an alias may be off whose harmonic lies beyond all
samples: V to 0.5 % even next to a null (measured in the tests): project choice."""

_LONGEST_RINGS = (1.5, 5.0)
"""Samples of a ring against the fewest that are wanted, for harmonics to recur; the second where
the first has none, as where the readout all but keeps pace with the scan: project choice."""

_CELLS = 24
"""Work of the exposures on a ring against one of its Fourier transforms, roughly."""


@lru_cache(maxsize=256)
def ring_cycles(*, cycle_s: float, line_time_s: float, most: int, rows_in: int = 1) -> (
    tuple[int, int]
):
    """Cycles after which rows and light meet again, and the rows in them.

    The line time is taken to be such that the rows fit exactly; that moves it by at most half a
    row in the ring or a thousandth. Within that the number of rows is a round one, for which
    Fourier transforms are fast and exposures in tenths of a degree fall on few places between rows.

    Parameters
    ----------
    cycle_s, line_time_s
        Cycle of the light and line time [s].
    most
        Most cycles to put together: the ring closes there whatever the misfit.
    rows_in
        Number of which the rows are to be a multiple.

    Returns
    -------
    cycles, rows : int
        Both >= 1.
    """
    number = np.arange(1, most + 1)
    wanted = number * (cycle_s / line_time_s)
    rows = np.maximum(rows_in, rows_in * np.round(wanted / rows_in))
    fits = np.abs(rows / wanted - 1) < _LARGEST_MISFIT
    chosen = int(fits.argmax()) if fits.any() else most - 1
    return int(number[chosen]), _round_number(
        int(rows[chosen]), wanted=float(wanted[chosen]), multiple_of=rows_in
    )


def _round_number(rows: int, *, wanted: float, multiple_of: int) -> int:
    """Number of rows near one that has small prime factors, and many of those of 3600.

    Parameters
    ----------
    rows, wanted
        Nearest number, and what it stands for.
    multiple_of
        Number of which it stays a multiple.

    Returns
    -------
    int
        Of the best the nearest.
    """
    reach = int(wanted * _ROUNDING / multiple_of) + 1
    near = rows + multiple_of * np.arange(-reach, reach + 1)
    near = near[(near > 0) & (np.abs(near - wanted) <= wanted * _ROUNDING)]
    if near.size == 0:
        return rows
    order = np.lexsort((np.abs(near - wanted), -np.gcd(near, _ROUND), _large_factor(near)))
    return int(near[order[0]])


def _large_factor(numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """What small prime factors leave of numbers."""
    left = numbers.copy()
    for prime in _SMALL_PRIMES:
        while (divides := left % prime == 0).any():
            left[divides] //= prime
    return left


@lru_cache(maxsize=256)
def samples_of_lines(
    *, least: float, rows: float, waves: float, lines_per_row: float, multiple_of: int = 1
) -> int:
    """Samples of a cycle after which the bands of harmonics recur on rows that see different lines.

    Harmonic h draws bands of `d = h / rows - w lines_per_row` cycles a row, w being the nearest
    whole number to `h waves`. With R samples in the cycle, harmonic h + R is met as an alias of h:
    in truth as well, if R is such that both have the same d and w moves by a whole number.

    Parameters
    ----------
    least
        Fewest samples.
    rows
        Rows that open in a cycle; infinite for a global shutter.
    waves
        Waves of the scan in one harmonic: time of a scan over the cycle.
    lines_per_row
        Scans that one row moves through, signed: wall rows in a row over scan lines.
    multiple_of
        Number of which the samples are to be a multiple.

    Returns
    -------
    int
        At least `least`: of those whose aliases are off by little, or else by the least, the one
        that makes the least work.
    """
    first = -(-int(np.ceil(least)) // multiple_of)
    for longest in _LONGEST_RINGS:
        last = int(first * longest) + _ROUND // 9
        number = np.arange(first, last + 1) * multiple_of
        wave = np.round(number * waves)
        bands = number / rows - wave * lines_per_row
        misfit = np.maximum(np.abs(bands - np.round(bands)), np.abs(number * waves - wave))
        fits = number[misfit <= _ALIAS_MISFIT]
        if fits.size:
            break
    else:
        fits = number[misfit <= misfit.min() + _ALIAS_MISFIT]
    transforms = (_ROUND // np.gcd(fits, _ROUND)) * np.minimum(1 + _large_factor(fits) / 20, 4)
    return int(fits[(fits * (_CELLS + transforms)).argmin()])


def light_kinks(
    train: PulseTrain, *, shift_s: ArrayLike, rows: int, phases: int,
    delays_s: tuple[float, ...] = (0.0,), first: bool = False,
) -> FloatArray:
    """Second differences, from row to row, of the running integral of a train of one level.

    The running integral G is a sum of ramps that begin or end at the edges of pulses. Sampled at
    rows one step apart, a ramp has a second difference at two rows only, so that all of G is in
    two numbers for each edge: exact, whatever lies between the rows.

    Parameters
    ----------
    train
        Train of one level whose cycle is the ring.
    shift_s
        How much later than the rows G is wanted [s], any shape.
    rows
        Rows in the ring.
    phases
        Phases of the first row, evenly spread over one step.
    delays_s
        Delays [s] of the scan lines whose mean is wanted.
    first
        Whether the first of the phases is enough.

    Returns
    -------
    ndarray
        Differences [s], shape (*shift shape, phases, rows), each row's G shifted by the phase.
    """
    starts, ends = pulse_edges(train)
    step_s = train.cycle_s / rows
    edge = np.add.outer(delays_s, np.concatenate([starts, ends])).ravel()
    bends = np.repeat([step_s, -step_s], [starts.size, ends.size]) / len(delays_s)
    bends = np.tile(bends, len(delays_s))
    phase = np.arange(1 if first else phases)[:, np.newaxis] / phases
    shift = np.asarray(shift_s, dtype=np.float64)[..., np.newaxis]
    place = np.mod(edge - shift, train.cycle_s)[..., np.newaxis, :] / step_s - phase
    before = np.floor(place)
    late = bends * (place - before)
    row = np.mod(before.astype(np.int64) + 1, rows)
    ring = np.arange(row[..., 0].size).reshape(*row.shape[:-1], 1) * rows
    next_row = np.where(row == rows - 1, 0, row + 1)
    kinks = np.bincount(
        np.concatenate([(row + ring).ravel(), (next_row + ring).ravel()]),
        weights=np.concatenate([(bends - late).ravel(), late.ravel()]),
        minlength=row[..., 0].size * rows,
    )
    return np.asarray(kinks.reshape(*row.shape[:-1], rows), dtype=np.float64)
