"""Timing bands of a wall for many exposures and gray levels at once.

`check` asks for one cell, `sweep` and `settings` for many: the same functions, more elements.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.banding import visibility_over_phase
from bandcheck.hazards.row_bands import row_visibility
from bandcheck.imaging.rolling_shutter import lines_covered
from bandcheck.light.extremes import light_extremes
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.light_harmonics import level_harmonics, viewer_weight
from bandcheck.verdict.met_light import level_train, met_light
from bandcheck.verdict.row_sampling import RowSampling
from bandcheck.vision.just_noticeable import displayed_luminance_nits

__all__ = ["BandingCells", "banding_cells"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Level:
    """Counts of one gray level in one case and colour, and how bright it is displayed."""

    value: int
    min_pulse_counts: int
    luminance_nits: float


@dataclass(frozen=True, kw_only=True, slots=True)
class BandingCells:
    """Figures for L levels and A exposures, the worst of all cases and colours.

    Attributes
    ----------
    visibility
        V, shape (L, A).
    lowest, highest
        Least and most light over all phases, relative to its mean, shape (L, A); 1 where the
        level is black. They belong to the case and colour with the largest ripple.
    counts
        Counts of the first case and colour, shape (L,).
    worst_case, worst_colour
        Index of the case and of the colour with the largest V, shape (L, A).
    """

    visibility: FloatArray
    lowest: FloatArray
    highest: FloatArray
    counts: NDArray[np.int64]
    worst_case: NDArray[np.int64]
    worst_colour: NDArray[np.int64]

    @property
    def ripple(self) -> FloatArray:
        """Peak to peak over mean, shape (L, A)."""
        return self.highest - self.lowest

    @property
    def modulation(self) -> FloatArray:
        """Flicker modulation index (Emax - Emin) / (Emax + Emin), IEEE 2020-2024, shape (L, A)."""
        return (self.highest - self.lowest) / (self.highest + self.lowest)


def _line_sets(lines: int, timing_lines: int, slot_s: float) -> Iterator[FloatArray]:
    """Delays of the neighbouring scan lines that a row may cover, for each way to lie."""
    yield np.arange(lines, dtype=np.float64) * slot_s
    if lines < timing_lines:
        # Neighbours across the seam of the scan: some of its last lines and some of its first.
        for last in range(1, lines):
            covered = np.arange(timing_lines - last, timing_lines - last + lines, dtype=np.float64)
            yield np.mod(covered, timing_lines) * slot_s


def _extremes(
    train: PulseTrain, case: LightCase, rows: RowSampling, exposure: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Least and most light over its mean, over all phases and all sets of lines, shape (A,)."""
    mean = train.light_per_cycle_s[0] / train.cycle_s * exposure
    lines = lines_covered(
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines
    )
    lowest, highest = np.full(exposure.shape, np.inf), np.zeros(exposure.shape)
    for delays in _line_sets(lines, case.timing.scan_lines, case.timing.slot_s):
        low, high = light_extremes(train, exposure_s=exposure, line_delays_s=delays)
        lowest, highest = np.minimum(lowest, low[0] / mean), np.maximum(highest, high[0] / mean)
    return lowest, highest


def banding_cells(
    *, cases: Sequence[LightCase], colours: Sequence[tuple[float, int]], rows: RowSampling,
    light: FloatArray, brightness: float, viewing: Viewing, exposure_s: FloatArray,
    extremes: bool = True, enough: float = np.inf,
) -> BandingCells:
    """Timing bands of linear light levels at exposures, worst of cases and colours.

    Parameters
    ----------
    cases
        Ways in which the wall may pulse.
    colours
        Share of full drive and shortest pulse of each colour.
    rows
        Camera against wall.
    light
        Linear levels 0..1, shape (L,).
    brightness
        Brightness by PWM, 0..1 (1 where the LED current sets it).
    viewing
        Viewer and thresholds.
    exposure_s
        Exposures [s], shape (A,).
    extremes
        Whether the least and the most light are wanted; they stay 1 otherwise.
    enough
        V from which up it is enough to know that it is no less.

    Returns
    -------
    BandingCells
        Shapes (L, A).
    """
    exposure = np.atleast_1d(np.asarray(exposure_s, dtype=np.float64))
    shape = (len(light), exposure.size)
    cells = BandingCells(
        visibility=np.zeros(shape), lowest=np.ones(shape), highest=np.ones(shape),
        counts=np.zeros(len(light), dtype=np.int64),
        worst_case=np.zeros(shape, dtype=np.int64), worst_colour=np.zeros(shape, dtype=np.int64),
    )
    shown_nits = displayed_luminance_nits(
        linear_level=light, peak_nits=viewing.peak_nits, push_stops=viewing.push_stops
    )
    for case_index, case in enumerate(cases):
        for colour_index, (duty, shortest) in enumerate(colours):
            counts = case.counts(light, pwm_share=brightness * duty)
            if case_index == colour_index == 0:
                cells = replace(cells, counts=counts)
            for level in np.flatnonzero(counts).tolist():
                shown = _Level(
                    value=int(counts[level]), min_pulse_counts=shortest,
                    luminance_nits=float(shown_nits[level]),
                )
                _merge(
                    cells, level, (case_index, colour_index),
                    _level_cells(shown, case, rows, viewing, exposure, extremes, enough),
                )
    return cells


def _level_cells(
    level: _Level, case: LightCase, rows: RowSampling, viewing: Viewing, exposure: FloatArray,
    extremes: bool, enough: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """V, least and most relative light of one level of one case and colour, shape (A,)."""
    lowest = highest = np.ones_like(exposure)
    pitch_known = rows.line_time_s > 0 or rows.wall_rows_per_row is not None
    if extremes or not pitch_known or rows.rate_tolerance > 0:
        train = level_train(case, value=level.value, min_pulse_counts=level.min_pulse_counts)
    if extremes or not pitch_known:
        lowest, highest = _extremes(train, case, rows, exposure)
    if pitch_known:
        light = met_light(
            case, replace(rows, rate_tolerance=0.0), viewing, value=level.value,
            min_pulse_counts=level.min_pulse_counts, luminance_nits=level.luminance_nits,
        )
        ends = {1.0, 1 - rows.rate_tolerance, 1 + rows.rate_tolerance}
        visibility = np.max([
            row_visibility(light, exposure_s=exposure * end, enough=enough) for end in sorted(ends)
        ], axis=0)
    else:
        visibility = _without_pitch(lowest, highest, level.luminance_nits, viewing)
    if rows.rate_tolerance > 0:
        harmonics = level_harmonics(
            train, case=case, rows=rows, luminance_nits=level.luminance_nits, viewing=viewing
        )
        visibility = np.maximum(visibility, visibility_over_phase(
            relative=harmonics.relative, sensitivity=harmonics.sensitivity,
            light_hz=harmonics.light_hz, exposure_s=exposure, tolerance=rows.rate_tolerance,
        ))
    return visibility, lowest, highest


def _without_pitch(
    lowest: FloatArray, highest: FloatArray, luminance_nits: float, viewing: Viewing
) -> FloatArray:
    """V where all harmonics weigh alike: the filtered light is the light itself, times that."""
    weight = viewer_weight(
        cycles_per_row=None, standing=np.ones(1, dtype=np.bool_), rows_px=1,
        luminance_nits=luminance_nits, viewing=viewing,
    )
    return np.asarray(np.maximum(highest - 1, 1 - lowest) * weight[0])


def _merge(
    cells: BandingCells, level: int, which: tuple[int, int],
    figures: tuple[FloatArray, FloatArray, FloatArray],
) -> None:
    visibility, lowest, highest = figures
    worse = visibility > cells.visibility[level]
    cells.visibility[level, worse] = visibility[worse]
    cells.worst_case[level, worse], cells.worst_colour[level, worse] = which
    wider = highest - lowest > cells.highest[level] - cells.lowest[level]
    cells.lowest[level, wider] = lowest[wider]
    cells.highest[level, wider] = highest[wider]
