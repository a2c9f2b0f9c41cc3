"""Bands that a lamp's light draws, for many exposures at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.banding import harmonic_sensitivity, visibility_over_phase
from bandcheck.imaging.rolling_shutter import band_cycles_per_row, roll_cycles_per_frame
from bandcheck.light.lamps import mains_ripple_hz, pulsed_lamp_train
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import ASSUMED_RATE_TOLERANCE, Assumption
from bandcheck.verdict.light_harmonics import HIGHEST_ROW_RATES
from bandcheck.verdict.row_sampling import RowSampling
from bandcheck.vision.contrast_sensitivity import picture_height_deg, picture_width_deg

__all__ = ["LampLight", "lamp_light", "lamp_visibility"]

FloatArray = NDArray[np.float64]

ASSUMED_MAINS_TOLERANCE = 0.001
"""How far public mains stray where no figure is given: 0.05 Hz in 50 Hz, common practice."""

ASSUMED_MODULATION = 1.0
"""Modulation of a lamp on mains that no figure is given for: the most there can be."""

ASSUMED_DUTIES = (0.01, 0.1, 0.25, 0.5, 0.75, 0.9)
"""Duties graded for a pulsed lamp that no figure is given for: project choice."""

_HARMONICS_OF_GLOBAL_SHUTTER = 4096


@dataclass(frozen=True, kw_only=True, slots=True)
class LampLight:
    """Light of a lamp in one way it may pulse; a steady lamp has no harmonics.

    Attributes
    ----------
    light_hz
        Frequencies of the harmonics [Hz], shape (H,).
    relative
        Coefficients over the mean light, shape (H,).
    rate_exact
        The rate as a fraction of a second; None for a steady lamp.
    tolerance
        How far the rate may err against the camera's clock (ratio).
    taken
        What was assumed.
    """

    light_hz: FloatArray
    relative: NDArray[np.complex128]
    rate_exact: Fraction | None
    tolerance: float
    taken: tuple[Assumption, ...] = ()


def _mains(lamp: Lamp) -> LampLight:
    taken = []
    modulation, tolerance = lamp.modulation, lamp.mains_tolerance
    if modulation is None:
        modulation = ASSUMED_MODULATION
        taken.append(Assumption(about=lamp.name, key="modulation", value=modulation))
    if tolerance is None:
        tolerance = ASSUMED_MAINS_TOLERANCE
        taken.append(Assumption(about=lamp.name, key="mains_tolerance_pct", value=tolerance))
    ripple_hz = float(mains_ripple_hz(lamp.mains_hz or 0.0))
    return LampLight(
        light_hz=np.array([ripple_hz]), relative=np.array([modulation / 2 + 0j]),
        rate_exact=Fraction(ripple_hz), tolerance=tolerance, taken=tuple(taken),
    )


def _pulsed(lamp: Lamp, duty: float, highest_hz: float) -> LampLight:
    pulse_hz = lamp.pulse_hz or 0.0
    train = pulsed_lamp_train(pulse_hz=pulse_hz, duty=duty)
    number = np.arange(1, max(16, int(highest_hz / pulse_hz)) + 1)
    coefficients = fourier_coefficients(train, number)[0]
    taken = () if lamp.duty is not None else (
        Assumption(about=lamp.name, key="duty", value=duty),
    )
    return LampLight(
        light_hz=number.astype(np.float64) * pulse_hz, relative=coefficients / duty,
        rate_exact=Fraction(pulse_hz), tolerance=ASSUMED_RATE_TOLERANCE, taken=taken,
    )


def lamp_light(lamp: Lamp, rows: RowSampling) -> tuple[LampLight, ...]:
    """Every way in which a lamp may pulse, as far as its profile leaves it open.

    Parameters
    ----------
    lamp
        The lamp.
    rows
        The camera, which says up to where harmonics count.

    Returns
    -------
    tuple of LampLight
        At least one.
    """
    if lamp.kind == "steady":
        return (LampLight(
            light_hz=np.zeros(0), relative=np.zeros(0, dtype=np.complex128), rate_exact=None,
            tolerance=0.0,
        ),)
    if lamp.kind == "mains":
        return (_mains(lamp),)
    highest_hz = (
        HIGHEST_ROW_RATES / rows.line_time_s
        if rows.line_time_s
        else _HARMONICS_OF_GLOBAL_SHUTTER * (lamp.pulse_hz or 0.0)
    )
    duties = ASSUMED_DUTIES if lamp.duty is None else (lamp.duty,)
    return tuple(_pulsed(lamp, duty, highest_hz) for duty in duties)


def lamp_visibility(
    ways: Sequence[LampLight], *, rows: RowSampling, viewing: Viewing, exposure_s: FloatArray
) -> FloatArray:
    """Visibility of a lamp's bands on what it lights, at white, the worst of its ways.

    A lamp never shares the camera's clock: its bands drift through the frame, but for a rate of
    no tolerance that is a multiple of the frame rate.

    Parameters
    ----------
    ways
        From `lamp_light`.
    rows, viewing
        Camera and viewer.
    exposure_s
        Exposures [s], shape (A,).

    Returns
    -------
    ndarray
        V, shape (A,).
    """
    exposure = np.atleast_1d(np.asarray(exposure_s, dtype=np.float64))
    worst = np.zeros_like(exposure)
    seen_nits = viewing.peak_nits + viewing.flare_nits
    for way in ways:
        if way.rate_exact is None:
            continue
        cycles = band_cycles_per_row(light_hz=way.light_hz, line_time_s=rows.line_time_s)
        roll = roll_cycles_per_frame(light_hz=way.light_hz, camera_fps=float(rows.camera_fps))
        standing = (roll == 0) & (way.tolerance == 0)
        per_degree = rows.rows_px / picture_height_deg(view_heights=viewing.view_heights)
        sensitivity = harmonic_sensitivity(
            cycles_per_degree=cycles * per_degree if rows.line_time_s else None,
            cycles_tolerance=rows.readout_tolerance, standing=standing,
            luminance_nits=seen_nits,
            field_deg=float(picture_width_deg(
                view_heights=viewing.view_heights, picture_aspect=viewing.picture_aspect
            )),
        )
        reach = viewing.grade_contrast * viewing.peak_nits / seen_nits
        worst = np.maximum(worst, visibility_over_phase(
            relative=way.relative, sensitivity=sensitivity * reach, light_hz=way.light_hz,
            exposure_s=exposure, tolerance=way.tolerance,
        ))
    return worst
