"""The light that rows of a rolling shutter catch, on a ring of rows that fill whole cycles.

Rows open one line time apart. Where a whole number of them fills the cycle of the light, all rows
of all frames form a ring, and what a viewer makes of them is a filter round that ring: harmonics
above half a row rate come back as aliases of themselves, as they do in the camera.
"""

import numpy as np
from numpy.typing import NDArray

from bandcheck.light.extremes import pulse_edges
from bandcheck.light.pulse_train import PulseTrain

__all__ = ["light_kinks", "ring_cycles"]

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
    large_factor = near.copy()
    for prime in _SMALL_PRIMES:
        while (divides := large_factor % prime == 0).any():
            large_factor[divides] //= prime
    order = np.lexsort((np.abs(near - wanted), -np.gcd(near, _ROUND), large_factor))
    return int(near[order[0]])


def light_kinks(train: PulseTrain, *, shift_s: float, rows: int, phases: int) -> FloatArray:
    """Second differences, from row to row, of the running integral of a train of one level.

    The running integral G is a sum of ramps that begin or end at the edges of pulses. Sampled at
    rows one step apart, a ramp has a second difference at two rows only, so that all of G is in
    two numbers for each edge: exact, whatever lies between the rows.

    Parameters
    ----------
    train
        Train of one level whose cycle is the ring.
    shift_s
        How much later than the rows G is wanted [s].
    rows
        Rows in the ring.
    phases
        Phases of the first row, evenly spread over one step.

    Returns
    -------
    ndarray
        Differences [s], shape (phases, rows), each row's G shifted by the phase.
    """
    starts, ends = pulse_edges(train)
    step_s = train.cycle_s / rows
    edge = np.concatenate([starts, ends]) - shift_s
    phase = np.arange(phases)[:, np.newaxis]
    place = np.mod(edge, train.cycle_s) / step_s - phase / phases
    before = np.floor(place)
    into = place - before
    bends = np.concatenate([np.full(starts.size, step_s), np.full(ends.size, -step_s)])
    first = np.mod(before.astype(np.int64) + 1, rows) + rows * phase
    second = np.mod(before.astype(np.int64) + 2, rows) + rows * phase
    kinks = np.bincount(
        np.concatenate([first.ravel(), second.ravel()]),
        weights=np.concatenate([(bends * (1 - into)).ravel(), (bends * into).ravel()]),
        minlength=rows * phases,
    )
    return np.asarray(kinks.reshape(phases, rows), dtype=np.float64)
