"""Blind search for bands in row means: the strongest line first, until only noise is left."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.harmonic_series import harmonics_joined
from bandcheck.measure.harmonics import HarmonicFit, Source, harmonic_fit
from bandcheck.measure.noise_floor import (
    FALSE_ALARM,
    NoiseFloor,
    noise_floor,
    row_spectrum,
    seen_amplitude,
)
from bandcheck.measure.part_agreement import INCOHERENT, incoherence, unsteadiness

__all__ = ["BLOCK_ROWS", "FEWEST_CYCLES", "FEWEST_ROWS", "FoundLines", "found_lines"]

FloatArray = NDArray[np.float64]

FEWEST_ROWS = 48
"""Fewest row means that are searched: project choice."""

FEWEST_CYCLES = 2.5
"""Fewest bands that can be told from a smooth trend of degree 4: project choice."""

BLOCK_ROWS = 8
"""Rows of a block in a JPEG file (ITU-T T.81)."""

_MOST_SOURCES = 6
_MOST_VETOES = 4
_OVERSAMPLED = 4
_NEAR = 1.5
"""Steps of the spectrum around a line that belong to it."""

_BLOCK_NOISE = 0.03
"""Share of the strongest line that lines of a JPEG file's compression may have: project choice,
three times what quality 85 was seen to make."""

_OUTLIER, _MOST_OUTLIERS = 8.0, 0.02
"""Standard deviations beyond which a row counts for nothing, and the most rows that may: where more
lie so far off they are the picture. Project choice."""



@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FoundLines:
    """Everything periodic in the rows.

    Attributes
    ----------
    fit
        Trend, sources and residual; the first `count` sources are real, the others stand for the
        block grid of a JPEG file and for what was vetoed.
    count
        Number of sources found, the strongest first.
    false_alarm
        For each of them the chance that noise alone makes such a line somewhere.
    floor
        Level of the noise.
    cycles, power
        The spectrum before any line was taken out.
    detectable
        Amplitude above which any band would have been found.
    unsteadiness
        For each of them the factor that its uncertainties take, 1 where the picture agrees.
    vetoed
        Frequencies that stand out but are not the same across the picture.
    """

    fit: HarmonicFit
    count: int
    false_alarm: tuple[float, ...]
    floor: NoiseFloor
    cycles: FloatArray
    power: FloatArray
    detectable: float
    unsteadiness: tuple[float, ...]
    vetoed: tuple[float, ...]


def found_lines(
    light: FloatArray, *, weight: FloatArray, parts: FloatArray | None = None,
    blocks: bool = False,
) -> FoundLines:
    """Sources that stand above the noise.

    Parameters
    ----------
    light
        Row means of light, shape (rows,), at least `FEWEST_ROWS`.
    weight
        Weight of each row.
    parts
        Row means of parts of the picture beside each other, shape (rows, parts).
    blocks
        Whether the picture comes from a JPEG file, whose blocks draw lines of their own.

    Returns
    -------
    FoundLines
        None, one or several sources.
    """
    grid = _block_grid() if blocks else ()
    base = _without_outliers(light, harmonic_fit(light, weight=weight, sources=grid))
    fit, alarms, vetoed = _searched_lines(light, weight, base, parts, grid)
    first = row_spectrum(base.residual, base.weight, oversampled=_OVERSAMPLED)
    floor = noise_floor(fit.residual, fit.weight)
    fit = harmonics_joined(light, fit, count=len(alarms), floor=floor)
    count = len(fit.sources) - len(grid) - len(vetoed)
    fit, count = _ordered(light, fit, count)
    return FoundLines(
        fit=fit, count=count, floor=floor, cycles=first[0], power=first[1],
        false_alarm=tuple(
            alarms[min(alarms, key=lambda each: abs(each - own.cycles_per_row))]
            for own in fit.sources[:count]
        ),
        unsteadiness=tuple(
            unsteadiness(fit, each, parts, float(floor(fit.sources[each].cycles_per_row)))
            for each in range(count)
        ),
        detectable=_detectable(fit, count, floor, blocks=blocks), vetoed=vetoed,
    )


def _searched_lines(
    light: FloatArray, weight: FloatArray, base: HarmonicFit, parts: FloatArray | None,
    grid: tuple[Source, ...],
) -> tuple[HarmonicFit, dict[float, float], tuple[float, ...]]:
    """Fit with all lines that are real, the chance of each by its frequency, and what was vetoed.

    A line is tried by fitting it and asking how it stands above what is left without it: so a
    strong one never counts as noise.
    """
    fit, lines, aside = base, list[Source](), list(grid)
    alarms: dict[float, float] = {}
    while len(lines) < _MOST_SOURCES and len(aside) < len(grid) + _MOST_VETOES:
        taken = _taken(lines, aside, rows=len(light), blocks=bool(grid))
        for cycles, power in _candidates(fit, taken):
            tried = _without_outliers(light, harmonic_fit(
                light, weight=weight, sources=(*lines, Source(cycles_per_row=cycles), *aside)
            ))
            floor = noise_floor(tried.residual, tried.weight)
            alarm = float(np.exp(min(0.0, float(floor.alarm(cycles, power)))))
            if alarm <= FALSE_ALARM:
                break
        else:
            break
        fitted = tried.sources[len(lines)]
        if incoherence(fit, parts, fitted.cycles_per_row) > INCOHERENT:
            # it stays in the fit, so that it does not pull at the lines beside it
            aside.append(fitted)
            fit = harmonic_fit(light, weight=tried.weight, sources=(*lines, *aside))
            continue
        size = [float(np.abs(each[0])) for each in tried.amplitudes[: len(lines) + 1]]
        if grid and size[-1] < _BLOCK_NOISE * max(size):
            break
        fit = tried
        lines = list(fit.sources[: len(lines) + 1])
        alarms[lines[-1].cycles_per_row] = alarm
    return fit, alarms, tuple(each.cycles_per_row for each in aside[len(grid) :])


def _block_grid() -> tuple[Source, ...]:
    grid = 1 / BLOCK_ROWS
    return tuple(
        Source(cycles_per_row=order * grid, free=False) for order in range(1, BLOCK_ROWS // 2)
    )


def _taken(
    lines: Sequence[Source], aside: Sequence[Source], *, rows: int, blocks: bool
) -> list[float]:
    """Frequencies that are explained: lines, the block grid, and lines mixed with the grid.

    Rounding of the coefficients of a block repeats with the blocks and changes with the bands, so
    that it draws lines at `k / 8 +/- h d`.
    """
    taken = [each.cycles_per_row for each in (*lines, *aside)]
    if blocks:
        # a slope of the picture spreads the grid's own lines
        grid = np.arange(1, BLOCK_ROWS // 2 + 1) / BLOCK_ROWS
        taken += np.add.outer(grid, np.array([-2, -1, 1, 2]) * _NEAR / rows).ravel().tolist()
        mixed = np.add.outer(
            np.arange(BLOCK_ROWS) / BLOCK_ROWS,
            np.outer((1, -1, 2, -2), [each.cycles_per_row for each in lines]).ravel(),
        )
        taken += np.abs(mixed - np.round(mixed)).ravel().tolist()
    return taken


def _searched(cycles: FloatArray, rows: int, taken: Sequence[float]) -> NDArray[np.bool_]:
    """Which frequencies are looked at."""
    searched = (cycles >= FEWEST_CYCLES / rows) & (cycles <= 0.5 - _NEAR / rows)
    for each in taken:
        searched &= np.abs(cycles - each) > _NEAR / rows
    return np.asarray(searched)


def _candidates(fit: HarmonicFit, taken: Sequence[float]) -> list[tuple[float, float]]:
    """Frequency and power of lines that are worth a try.

    The strongest of those that stand above the noise as it seems so far, or the one that comes
    nearest to it; and the highest one above a noise that falls with the frequency, in case a line
    near the lower end has passed for noise.
    """
    floor = noise_floor(fit.residual, fit.weight)
    cycles, power = row_spectrum(fit.residual, fit.weight, oversampled=_OVERSAMPLED)
    searched = _searched(cycles, len(fit.trend), taken)
    alarm = np.where(searched, floor.alarm(cycles, power), np.inf)
    real = alarm < np.log(FALSE_ALARM)
    first = np.where(real, power, -np.inf) if real.any() else -alarm
    found = []
    for rated in (first, np.where(searched, power * cycles, -np.inf)):
        best = _top(np.where(searched, power, 0.0), int(rated.argmax()))
        found.append((float(cycles[best]), float(power[best])))
    return found


def _top(power: FloatArray, start: int) -> int:
    """Place of the top of the hill that a place lies on: the line that its flank belongs to."""
    reach = 2 * _OVERSAMPLED
    while True:
        first = max(0, start - reach)
        best = first + int(power[first : start + reach + 1].argmax())
        if power[best] <= power[start]:
            return start
        start = best


def _without_outliers(light: FloatArray, fit: HarmonicFit) -> HarmonicFit:
    """The fit without rows that lie far off it: captions, hot rows."""
    own = np.abs(fit.residual[fit.weight > 0])
    limit = _OUTLIER * 1.4826 * float(np.median(own)) if own.size else 0.0
    off = (np.abs(fit.residual) > limit) & (fit.weight > 0)
    if limit == 0 or not off.any() or off.sum() > _MOST_OUTLIERS * len(light):
        return fit
    return harmonic_fit(light, weight=np.where(off, 0.0, fit.weight), sources=fit.sources)


def _ordered(light: FloatArray, fit: HarmonicFit, count: int) -> tuple[HarmonicFit, int]:
    """The fit with its strongest source first."""
    strength = [-float(np.abs(each).max()) for each in fit.amplitudes[:count]]
    order = np.argsort(strength, kind="stable")
    if (order == np.arange(count)).all():
        return fit, count
    sources = [fit.sources[each] for each in order]
    return harmonic_fit(
        light, weight=fit.weight, sources=(*sources, *fit.sources[count:])
    ), count


def _detectable(fit: HarmonicFit, count: int, floor: NoiseFloor, *, blocks: bool) -> float:
    """Largest amplitude that may have gone unseen, over the frequencies looked at."""
    rows = len(fit.trend)
    cycles = np.arange(1, (rows - 1) // 2 + 1) / rows
    cycles = cycles[_searched(cycles, rows, ())]
    seen = float(seen_amplitude(cycles, floor=floor, weight=fit.weight).max())
    strongest = max((float(np.abs(each).max()) for each in fit.amplitudes[:count]), default=0.0)
    return max(seen, _BLOCK_NOISE * strongest) if blocks else seen
