"""Timing bands of a wall for many exposures and gray levels at once.

`check` asks for one cell, `sweep` and `settings` for many: the same functions, more elements.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.banding import harmonic_sensitivity, visibility_over_phase
from bandcheck.imaging.rolling_shutter import band_cycles_per_row, lines_covered
from bandcheck.light.extremes import light_extremes
from bandcheck.light.pulse_train import PulseTrain, single_level
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.row_sampling import RowSampling
from bandcheck.vision.contrast_sensitivity import picture_height_deg, picture_width_deg
from bandcheck.vision.just_noticeable import displayed_luminance_nits

__all__ = ["BandingCells", "Harmonics", "banding_cells", "level_harmonics"]

FloatArray = NDArray[np.float64]

HIGHEST_ROW_RATES = 0.5
"""Highest harmonic that is kept, in row rates (one over the line time).

Half a row rate holds every band that rows resolve. Above it the same bands come back as aliases,
each time weaker; together they move V by a few percent at the most, where single short pulses make
the light (measured in the tests): project choice.
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Harmonics:
    """The harmonics of one gray level, as rows and viewer meet them; all of shape (H,).

    Attributes
    ----------
    light_hz
        Frequencies [Hz].
    relative
        Coefficients over the mean light.
    sensitivity
        Viewer's weight, flare and grade included.
    cycles_per_row
        Signed band frequency.
    standing
        Whether the harmonic's bands stand still.
    """

    light_hz: FloatArray
    relative: NDArray[np.complex128]
    sensitivity: FloatArray
    cycles_per_row: FloatArray
    standing: NDArray[np.bool_]


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


def _standing(
    number: NDArray[np.int64], repeats: int, case: LightCase, rows: RowSampling
) -> NDArray[np.bool_]:
    """Whether harmonics of the shortened cycle fall on whole multiples of the camera's rate."""
    if not (rows.clock_shared and case.locked_to_frame):
        return np.zeros(number.shape, dtype=np.bool_)
    ratio = rows.wall_fps * repeats / rows.camera_fps
    return np.asarray(number * (ratio.numerator % ratio.denominator) % ratio.denominator == 0)


def level_harmonics(
    train: PulseTrain, *, case: LightCase, rows: RowSampling, luminance_nits: float,
    viewing: Viewing,
) -> Harmonics:
    """Harmonics of a train of one level with the weight of a viewer.

    Parameters
    ----------
    train
        Train of one level in its shortest cycle, not black.
    case, rows
        Wall and camera.
    luminance_nits
        Luminance at which the level is displayed, without flare [cd/m2].
    viewing
        The viewer.

    Returns
    -------
    Harmonics
        Up to half a row rate (global shutter: slot rate).
    """
    highest_hz = HIGHEST_ROW_RATES / (rows.line_time_s or case.timing.slot_s)
    number = np.arange(1, max(16, int(highest_hz * train.cycle_s)) + 1)
    coefficients = fourier_coefficients(train, np.append(0, number))[0]
    light_hz = number / train.cycle_s
    relative = coefficients[1:] / coefficients[0].real
    lines = lines_covered(
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines
    )
    if lines > 1:
        delays = np.arange(lines) * case.timing.slot_s
        relative = relative * np.exp(-2j * np.pi * np.outer(light_hz, delays)).mean(axis=1)
    cycles_per_row = band_cycles_per_row(
        light_hz=light_hz, line_time_s=rows.line_time_s, refresh_hz=case.timing.refresh_hz,
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines,
        direction=rows.direction,
    )
    repeats = round(case.timing.cycle_s / train.cycle_s)
    standing = _standing(number, repeats, case, rows)
    pitch_known = rows.line_time_s > 0 or rows.wall_rows_per_row is not None
    per_degree = rows.rows_px / picture_height_deg(view_heights=viewing.view_heights)
    seen_nits = luminance_nits + viewing.flare_nits
    sensitivity = harmonic_sensitivity(
        cycles_per_degree=cycles_per_row * per_degree if pitch_known else None,
        cycles_tolerance=rows.readout_tolerance,
        standing=standing,
        luminance_nits=seen_nits,
        field_deg=float(picture_width_deg(
            view_heights=viewing.view_heights, picture_aspect=viewing.picture_aspect
        )),
    )
    reach = viewing.grade_contrast * luminance_nits / seen_nits
    return Harmonics(
        light_hz=light_hz, relative=relative, sensitivity=sensitivity * reach,
        cycles_per_row=cycles_per_row, standing=standing,
    )


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
    pitch_known = rows.line_time_s > 0 or rows.wall_rows_per_row is not None
    lowest = highest = np.ones_like(exposure)
    if extremes or not pitch_known:
        lowest, highest = _extremes(train, case, rows, exposure)
    harmonics = level_harmonics(
        train, case=case, rows=rows, luminance_nits=luminance_nits, viewing=viewing
    )
    visibility = visibility_over_phase(
        relative=harmonics.relative, sensitivity=harmonics.sensitivity,
        light_hz=harmonics.light_hz, exposure_s=exposure, tolerance=rows.rate_tolerance,
    )
    if not pitch_known:
        # Every harmonic weighs alike: the filtered light is the light itself, known exactly.
        stray = np.maximum(highest - 1, 1 - lowest) * harmonics.sensitivity[0]
        visibility = np.maximum(visibility, stray) if rows.rate_tolerance > 0 else stray
    return visibility, lowest, highest


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
