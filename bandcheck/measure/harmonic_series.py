"""Which lines of a spectrum belong to one source: its harmonics."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.harmonics import HarmonicFit, Source, harmonic_fit
from bandcheck.measure.noise_floor import NoiseFloor

__all__ = ["harmonics_joined"]

FloatArray = NDArray[np.float64]

_LARGEST_ORDER = 8
_AGREED = 3.5
"""Standard deviations within which a line stands at a multiple of another one."""

_SAME_CYCLES = 0.05
"""Cycles over all rows within which they count as the same in any case: lines that were not fitted
move a frequency by more than the noise does. Project choice."""

_LARGEST_HARMONIC = 1.5
"""How much stronger than its fundamental a harmonic may be: project choice."""


def harmonics_joined(
    light: FloatArray, fit: HarmonicFit, *, count: int, floor: NoiseFloor
) -> HarmonicFit:
    """The fit with lines at multiples of another line's frequency joined to it.

    Parameters
    ----------
    light
        Row means, shape (rows,).
    fit
        Its first `count` sources are single lines; the others are left as they are.
    count
        Number of lines.
    floor
        Level of the noise.

    Returns
    -------
    HarmonicFit
        Fitted anew where lines were joined.
    """
    taken: set[int] = set()
    joined: list[Source] = []
    for low in sorted(range(count), key=lambda each: fit.sources[each].cycles_per_row):
        if low in taken:
            continue
        members = {1: low}
        for high in range(count):
            order = _order(fit, low, high, floor) if high not in taken and high != low else 0
            if order:
                members.setdefault(order, high)
        taken |= set(members.values())
        joined.append(replace(fit.sources[low], orders=tuple(sorted(members))))
    if len(joined) == count:
        return fit
    return harmonic_fit(light, weight=fit.weight, sources=(*joined, *fit.sources[count:]))


def _frequency_sd(fit: HarmonicFit, source: int, floor: NoiseFloor) -> float:
    place = fit.columns(source).start
    cycles = fit.sources[source].cycles_per_row
    return float(np.sqrt(floor.variance(cycles) * fit.inverse[place, place]))


def _order(fit: HarmonicFit, low: int, high: int, floor: NoiseFloor) -> int:
    """Which harmonic of one line another one is, 0 if none."""
    base, other = fit.sources[low].cycles_per_row, fit.sources[high].cycles_per_row
    size = np.abs([fit.amplitudes[each][0] for each in (low, high)])
    if size[1] > _LARGEST_HARMONIC * size[0]:
        return 0
    for order in range(2, _LARGEST_ORDER + 1):
        multiple = order * base
        error = np.hypot(
            order * _frequency_sd(fit, low, floor), _frequency_sd(fit, high, floor)
        )
        room = max(_AGREED * error, _SAME_CYCLES / len(fit.trend))
        if multiple < 0.5 and abs(multiple - other) < room:
            return order
    return 0
