"""Harmonic least squares: several sources of light and a smooth trend, all at once.

Row means are modelled as `trend(r) (1 + sum over sources s and harmonics h of a cos(2 pi h f_s u) +
b sin(2 pi h f_s u))`, u the row from the middle. The trend is a polynomial of degree 4: fall-off
towards the edges and a slope of what was filmed; it multiplies the bands as a lens does.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

__all__ = ["TREND_DEGREE", "HarmonicFit", "Source", "harmonic_fit"]

FloatArray = NDArray[np.float64]

TREND_DEGREE = 4
"""Fall-off by the fourth power of the cosine is a polynomial of degree 4 to 0.01 % (derived)."""

_MOST_STEPS = 12
_SETTLED = 1e-9
_LARGEST_STEP = 0.3
_FARTHEST = 0.8
_RIDGE = 1e-12
"""Keeps the equations solvable where two sources cannot be told apart."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """One source of light, by the bands it draws.

    Attributes
    ----------
    cycles_per_row
        Frequency of its bands.
    orders
        Its harmonics, 1 first.
    free
        Whether the frequency is fitted or fixed.
    """

    cycles_per_row: float
    orders: tuple[int, ...] = (1,)
    free: bool = True


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class HarmonicFit:
    """Row means explained.

    Attributes
    ----------
    sources
        The sources, with their fitted frequencies.
    amplitudes
        For each source the complex amplitudes `a - i b` of its harmonics at the middle row.
    trend
        Light without bands, shape (rows,).
    bands
        Relative light of all bands, shape (rows,).
    residual
        Relative light that is left, shape (rows,).
    weight
        Weight of each row.
    inverse
        Inverse of the normal matrix, shape (P, P): for each free source its frequency, then for
        each harmonic a and b; after the sources the trend's coefficients.
    """

    sources: tuple[Source, ...]
    amplitudes: tuple[NDArray[np.complex128], ...]
    trend: FloatArray
    bands: FloatArray
    residual: FloatArray
    weight: FloatArray
    inverse: FloatArray

    @property
    def middle(self) -> float:
        """Row that phases count from."""
        return (len(self.trend) - 1) / 2

    def columns(self, source: int) -> slice:
        """Where a source's parameters stand in `inverse`."""
        first = sum(_size(each) for each in self.sources[:source])
        return slice(first, first + _size(self.sources[source]))


def _size(source: Source) -> int:
    return source.free + 2 * len(source.orders)


def harmonic_fit(
    light: FloatArray, *, weight: FloatArray, sources: Sequence[Source] = ()
) -> HarmonicFit:
    """Trend and sources that leave the least, by Gauss and Newton's steps.

    Parameters
    ----------
    light
        Row means of light, above 0 where they have weight, shape (rows,).
    weight
        Weight of each row, 0 where it is to be left out.
    sources
        Sources with frequencies to begin from, right to a third of a cycle over all rows.

    Returns
    -------
    HarmonicFit
        The fit.
    """
    rows = len(light)
    away = np.arange(rows, dtype=np.float64) - (rows - 1) / 2
    shapes = np.asarray(
        legendre.legvander(2 * away / max(rows - 1, 1), TREND_DEGREE), dtype=np.float64
    )
    relative = np.where(weight > 0, light, 1.0)
    coefficients = _solved(shapes, weight * relative, weight=weight)
    frequency = np.array([each.cycles_per_row for each in sources])
    waves = [np.zeros(2 * len(each.orders)) for each in sources]
    for step in range(_MOST_STEPS):
        trend = shapes @ coefficients
        columns, bands = _columns(away, sources, frequency, waves)
        residual = relative / trend - 1 - bands
        slopes = np.column_stack([*columns, shapes * ((1 + bands) / trend)[:, np.newaxis]])
        change = _solved(slopes, weight * residual, weight=weight)
        moved = _applied(change, sources, frequency, waves, hold=step == 0, rows=rows)
        coefficients = coefficients + change[len(change) - shapes.shape[1]:]
        if step and moved * rows < _SETTLED:
            break
    trend = shapes @ coefficients
    columns, bands = _columns(away, sources, frequency, waves)
    slopes = np.column_stack([*columns, shapes * ((1 + bands) / trend)[:, np.newaxis]])
    return HarmonicFit(
        sources=tuple(
            Source(cycles_per_row=float(each), orders=own.orders, free=own.free)
            for each, own in zip(frequency, sources, strict=True)
        ),
        amplitudes=tuple(each[::2] - 1j * each[1::2] for each in waves),
        trend=trend, bands=bands, weight=weight,
        residual=np.where(weight > 0, relative / trend - 1 - bands, 0.0),
        inverse=_inverse(slopes, weight),
    )


def _columns(
    away: FloatArray, sources: Sequence[Source], frequency: FloatArray, waves: list[FloatArray]
) -> tuple[list[FloatArray], FloatArray]:
    """How the bands change with each parameter of the sources, and the bands."""
    columns: list[FloatArray] = []
    bands = np.zeros(len(away))
    for source, cycles, wave in zip(sources, frequency, waves, strict=True):
        turn = np.zeros(len(away))
        pairs = []
        for place, order in enumerate(source.orders):
            angle = 2 * np.pi * order * cycles * away
            cosine, sine = np.cos(angle), np.sin(angle)
            a, b = wave[2 * place], wave[2 * place + 1]
            bands += a * cosine + b * sine
            turn += 2 * np.pi * order * away * (b * cosine - a * sine)
            pairs += [cosine, sine]
        columns += [turn, *pairs] if source.free else pairs
    return columns, bands


def _applied(
    change: FloatArray, sources: Sequence[Source], frequency: FloatArray,
    waves: list[FloatArray], *, hold: bool, rows: int,
) -> float:
    """Add a step to frequencies and waves; the largest step of a frequency."""
    first, moved = 0, 0.0
    for place, source in enumerate(sources):
        if source.free:
            # without waves yet, nothing says where the frequency should go
            limit = 0.0 if hold else _LARGEST_STEP / rows
            step = float(np.clip(change[first], -limit, limit))
            start, farthest = source.cycles_per_row, _FARTHEST / rows
            step = float(np.clip(frequency[place] + step, start - farthest, start + farthest)
                         - frequency[place])
            frequency[place] += step
            moved = max(moved, abs(step))
            first += 1
        size = 2 * len(source.orders)
        waves[place] = waves[place] + change[first : first + size]
        first += size
    return moved


def _normal(slopes: FloatArray, weight: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Normal matrix with ones on its diagonal, and the scale of each parameter.

    A parameter that changes nothing (the frequency of a wave that is not there yet) is held.
    """
    scale = np.sqrt(weight @ slopes**2) + 1e-300
    scaled = slopes / scale
    normal = scaled.T @ (weight[:, np.newaxis] * scaled)
    np.fill_diagonal(normal, 1 + _RIDGE)
    return normal, scale


def _solved(slopes: FloatArray, weighted: FloatArray, *, weight: FloatArray) -> FloatArray:
    normal, scale = _normal(slopes, weight)
    return np.asarray(np.linalg.solve(normal, (slopes / scale).T @ weighted) / scale)


def _inverse(slopes: FloatArray, weight: FloatArray) -> FloatArray:
    normal, scale = _normal(slopes, weight)
    return np.asarray(np.linalg.inv(normal) / np.outer(scale, scale))
