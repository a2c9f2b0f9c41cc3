"""A measured contrast against the one that the model predicts for the same setting."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.band_search import FEWEST_ROWS, found_lines
from bandcheck.measure.harmonics import Source, harmonic_fit
from bandcheck.measure.picture_bands import wave_extremes
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.agreement import Agreement, Measured, PictureBands, Reading, agreement
from bandcheck.verdict.recorded_frame import recorded_frame
from bandcheck.verdict.row_sampling import row_sampling

__all__ = ["predicted_agreement"]

FloatArray = NDArray[np.float64]

_NOTHING = 1e-7
"""Relative light below which predicted rows are all alike."""


def predicted_agreement(shot: Shot, bands: PictureBands, reading: Reading | None) -> Agreement:
    """Whether the bands of a picture are those that the model gives for its setting.

    The predicted rows, of a flat picture of the first level, are measured as the picture's are:
    the same harmonics are fitted. Where the refresh is not locked the exposure, which then holds
    more or fewer refreshes, is looked at over the tolerance of the rates.

    Parameters
    ----------
    shot
        What was filmed, and how.
    bands
        What the picture shows.
    reading
        The source that is taken for the wall; None: no bands were found.

    Returns
    -------
    Agreement
        Measured and predicted figures.
    """
    sampling = row_sampling(shot)
    orders = (1,) if reading is None else reading.source.orders
    longest = 1 / shot.fps
    contrasts, cycles = [], None
    tolerance = Fraction(sampling.rate_tolerance)
    for factor in (Fraction(1), 1 - tolerance, 1 + tolerance):
        own = replace(shot, exposure_s=min(shot.exposure_s * factor, longest))
        found, contrast = _predicted(own, orders)
        cycles = found if cycles is None else cycles
        contrasts.append(contrast)
    period = None
    if cycles is not None:
        scale = 1.0 if reading is None else reading.sensor_rows
        relative = (sampling.readout_tolerance + sampling.rate_tolerance) / 2
        period = Measured(value=1 / cycles / scale, uncertainty=relative / cycles / scale)
    return agreement(
        measured=None if reading is None else reading.source, detectable=bands.detectable,
        predicted=contrasts, predicted_period_rows=period,
    )


def _predicted(shot: Shot, orders: tuple[int, ...]) -> tuple[float | None, float]:
    """Frequency of the strongest predicted bands [cycles per row], and their contrast."""
    frame = recorded_frame(shot, signals=np.array(shot.levels[:1]))
    light = frame.light[:, 0].mean(axis=0)
    if len(light) < FEWEST_ROWS or float(np.ptp(light)) < _NOTHING:
        return None, float(np.ptp(light)) / 2
    weight = np.ones(len(light))
    found = found_lines(light, weight=weight)
    if not found.count:
        return None, float((light.max() - light.min()) / (light.max() + light.min()))
    cycles = found.fit.sources[0].cycles_per_row
    fit = harmonic_fit(light, weight=weight, sources=[Source(cycles_per_row=cycles, orders=orders)])
    high, low = wave_extremes(fit.amplitudes[0], np.array(orders))
    return fit.sources[0].cycles_per_row, (high - low) / (2 + high + low)
