"""The harmonics of a wall's light, as rows and viewer meet them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.banding import harmonic_sensitivity
from bandcheck.imaging.rolling_shutter import band_cycles_per_row, lines_covered
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.row_sampling import RowSampling
from bandcheck.vision.contrast_sensitivity import picture_height_deg, picture_width_deg

__all__ = [
    "HIGHEST_ROW_RATES", "Harmonics", "bands_of_lines", "level_harmonics", "softening_of_lines",
    "standing_harmonics", "standing_pattern", "viewer_weight",
]

FloatArray = NDArray[np.float64]

HIGHEST_ROW_RATES = 2.5
"""Highest harmonic that is kept, in row rates (one over the line time).

Half a row rate holds every band that rows resolve; above it the same bands come back as aliases,
each time weaker. V leaves no harmonic out (`verdict.met_light`); this is for what is added where a
rate may err, and for flicker from frame to frame: project choice. No rate inside the tolerance has
a V that is more than a hundredth above what is told for all of it (tests).
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


def standing_pattern(case: LightCase, rows: RowSampling, repeats: int) -> int | None:
    """Every how many harmonics of a cycle one falls on a whole multiple of the camera's rate.

    Parameters
    ----------
    case, rows
        Wall and camera.
    repeats
        How often the cycle fits the wall's own.

    Returns
    -------
    int or None
        1: the bands of all harmonics stand still; None: those of none do.
    """
    if not (rows.clock_shared and case.locked_to_frame):
        return None
    return (rows.wall_fps * repeats / rows.camera_fps).denominator


def viewer_weight(
    *, cycles_per_row: FloatArray | None, standing: NDArray[np.bool_], rows_px: int,
    luminance_nits: float, viewing: Viewing, tolerance: float = 0.0,
) -> FloatArray:
    """Weight with which a viewer meets bands: sensitivity, flare and grade.

    Parameters
    ----------
    cycles_per_row
        Frequencies of the bands, any sign; None: not known.
    standing
        Whether the bands stand still, the same shape.
    rows_px
        Rows of the picture.
    luminance_nits
        Luminance at which the level is displayed, without flare [cd/m2].
    viewing
        The viewer.
    tolerance
        How far the frequencies may err (ratio).

    Returns
    -------
    ndarray
        Visibility of a relative amplitude of 1.
    """
    per_degree = rows_px / picture_height_deg(view_heights=viewing.view_heights)
    seen_nits = luminance_nits + viewing.flare_nits
    sensitivity = harmonic_sensitivity(
        cycles_per_degree=None if cycles_per_row is None else cycles_per_row * per_degree,
        cycles_tolerance=tolerance, standing=standing, luminance_nits=seen_nits,
        field_deg=float(picture_width_deg(
            view_heights=viewing.view_heights, picture_aspect=viewing.picture_aspect
        )),
    )
    return np.asarray(sensitivity * (viewing.grade_contrast * luminance_nits / seen_nits))


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
        Up to two and a half row rates (global shutter: slot rates).
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
    pattern = standing_pattern(case, rows, round(case.timing.cycle_s / train.cycle_s))
    standing = standing_harmonics(number.size + 1, pattern)[1:]
    cycles_per_row, sensitivity = bands_of_lines(
        light_hz, case=case, rows=rows, standing=standing, luminance_nits=luminance_nits,
        viewing=viewing,
    )
    return Harmonics(
        light_hz=light_hz, relative=relative * softening_of_lines(light_hz, case=case, rows=rows),
        cycles_per_row=cycles_per_row, standing=standing, sensitivity=sensitivity,
    )


def standing_harmonics(number: int, pattern: int | None) -> NDArray[np.bool_]:
    """Which of the harmonics from 0 up draw bands that stand still; pattern: `standing_pattern`."""
    if pattern is None:
        return np.zeros(number, dtype=np.bool_)
    return np.asarray(np.arange(number) % pattern == 0)


def softening_of_lines(
    light_hz: FloatArray, *, case: LightCase, rows: RowSampling
) -> FloatArray:
    """What defocus leaves of harmonics that move from scan line to scan line, 0..1."""
    if rows.softening is None:
        return np.ones(light_hz.shape)
    wave = np.round(light_hz / case.timing.refresh_hz).astype(np.int64)
    return np.asarray(np.array(rows.softening)[np.mod(wave, case.timing.scan_lines)])


def bands_of_lines(
    light_hz: FloatArray, *, case: LightCase, rows: RowSampling, standing: NDArray[np.bool_],
    luminance_nits: float, viewing: Viewing,
) -> tuple[FloatArray, FloatArray]:
    """Band frequency of harmonics on rows that see different lines, and a viewer's weight of it.

    Parameters
    ----------
    light_hz
        Frequencies of the harmonics [Hz].
    case, rows, viewing
        Wall, camera and viewer.
    standing
        Whether each harmonic's bands stand still.
    luminance_nits
        Luminance at which the level is displayed, without flare [cd/m2].

    Returns
    -------
    cycles_per_row, sensitivity : ndarray
        Signed, -1/2..1/2; and the visibility of a relative amplitude of 1.
    """
    cycles_per_row = band_cycles_per_row(
        light_hz=light_hz, line_time_s=rows.line_time_s, refresh_hz=case.timing.refresh_hz,
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines,
        direction=rows.direction,
    )
    pitch_known = rows.line_time_s > 0 or rows.wall_rows_per_row is not None
    return cycles_per_row, viewer_weight(
        cycles_per_row=cycles_per_row if pitch_known else None, standing=standing,
        rows_px=rows.rows_px, luminance_nits=luminance_nits, viewing=viewing,
        tolerance=rows.readout_tolerance,
    )
