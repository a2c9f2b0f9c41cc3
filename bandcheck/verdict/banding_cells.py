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
from bandcheck.light.pulse_train import PulseTrain, repeated_train, single_level
from bandcheck.light.row_ring import ring_cycles
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.light_harmonics import level_harmonics, standing_pattern, viewer_weight
from bandcheck.verdict.row_sampling import RowSampling
from bandcheck.vision.just_noticeable import displayed_luminance_nits

__all__ = ["BandingCells", "banding_cells"]

FloatArray = NDArray[np.float64]

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
    extremes: bool = True,
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
            train = case.train(counts, min_pulse_counts=shortest)
            for level, single in enumerate(single_level(train)):
                if counts[level] == 0:
                    continue
                _merge(
                    cells, level, (case_index, colour_index),
                    _level_cells(
                        single, case, rows, float(shown_nits[level]), viewing, exposure, extremes
                    ),
                )
    return cells


def _level_cells(
    train: PulseTrain, case: LightCase, rows: RowSampling, luminance_nits: float,
    viewing: Viewing, exposure: FloatArray, extremes: bool,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """V, least and most relative light of one level of one case and colour, shape (A,)."""
    lowest = highest = np.ones_like(exposure)
    pitch_known = rows.line_time_s > 0 or rows.wall_rows_per_row is not None
    if extremes or not pitch_known:
        lowest, highest = _extremes(train, case, rows, exposure)
    if not pitch_known:
        visibility = _without_pitch(lowest, highest, luminance_nits, viewing)
    elif rows.wall_rows_per_row is None:
        visibility = _one_line(train, case, rows, luminance_nits, viewing, exposure)
    else:
        visibility = np.zeros_like(exposure)
    if rows.wall_rows_per_row is not None or rows.rate_tolerance > 0:
        harmonics = level_harmonics(
            train, case=case, rows=rows, luminance_nits=luminance_nits, viewing=viewing
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


def _one_line(
    train: PulseTrain, case: LightCase, rows: RowSampling, luminance_nits: float,
    viewing: Viewing, exposure: FloatArray,
) -> FloatArray:
    """V where every row sees the same scan line, all aliases included, shape (A,)."""
    repeats = round(case.timing.cycle_s / train.cycle_s)
    pattern = standing_pattern(case, rows, repeats)
    if pattern is not None and pattern > 1:
        # Only some harmonics stand still: the ring is a frame, in which they can be told apart.
        train, repeats = repeated_train(train, repeats), 1
    cycles, ring_rows = ring_cycles(
        cycle_s=train.cycle_s, line_time_s=rows.line_time_s, most=repeats, rows_in=pattern or 1
    )
    ring = repeated_train(train, cycles)
    number = np.arange(ring_rows // 2 + 1)
    standing = np.zeros(number.shape, dtype=np.bool_) if pattern is None else number % pattern == 0
    sensitivity = viewer_weight(
        cycles_per_row=number / ring_rows, standing=standing, rows_px=rows.rows_px,
        luminance_nits=luminance_nits, viewing=viewing, tolerance=rows.readout_tolerance,
    )
    visibility = row_visibility(
        ring, rows=ring_rows, sensitivity=sensitivity, exposure_s=exposure
    )
    for end in (1 - rows.rate_tolerance, 1 + rows.rate_tolerance):
        if end != 1:
            visibility = np.maximum(visibility, row_visibility(
                ring, rows=ring_rows, sensitivity=sensitivity, exposure_s=exposure * end
            ))
    return visibility


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
