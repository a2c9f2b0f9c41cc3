"""What was measured in a picture, and whether it agrees with what the model says."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Agreement", "BandSource", "Measured", "PictureBands", "Reading", "Roll", "agreement",
]

FloatArray = NDArray[np.float64]

_SIGMAS = 2.0
"""Standard deviations within which two figures agree: common practice."""


_FINEST_CONTRAST, _FINEST_PERIOD = 0.01, 5e-4
"""Shares of contrast and pitch finer than which nothing is compared: both are of the harmonics that
were seen, and what is left out moves them by so much. Project choice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """A figure and one standard deviation of it."""

    value: float
    uncertainty: float


@dataclass(frozen=True, kw_only=True, slots=True)
class BandSource:
    """One source of light, as the bands of a picture show it.

    Attributes
    ----------
    cycles_per_row
        Frequency of its bands, in rows of the picture.
    contrast
        (largest - smallest) / (largest + smallest) light of its bands.
    orders
        Harmonics that were seen, 1 first.
    phase
        Phase of the fundamental at `middle_row` [cycles].
    middle_row
        Row of the picture that the phase is for.
    false_alarm
        Chance that noise alone makes such bands.
    """

    cycles_per_row: Measured
    contrast: Measured
    orders: tuple[int, ...]
    phase: Measured
    middle_row: float
    false_alarm: float

    @property
    def period_rows(self) -> Measured:
        """Band pitch in rows of the picture."""
        cycles = self.cycles_per_row
        return Measured(
            value=1 / cycles.value, uncertainty=cycles.uncertainty / cycles.value**2
        )


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class PictureBands:
    """What one picture shows.

    Attributes
    ----------
    name, form, size
        The file's name, its form, its columns and rows.
    region, region_found
        Left, top, width and height that were used [px], and whether they were looked for.
    along
        "rows", or "columns" where the sensor's rows stand upright in the picture.
    transfer, gamma, transfer_given
        How codes were turned into light, and whether somebody said so.
    clipped_top, clipped_bottom
        Share of the code values at either end.
    sources
        What was found, the strongest first.
    detectable
        Contrast above which any band would have been found.
    uneven
        Band frequencies that stand out but are not the same across the picture.
    light, fitted, weight
        Relative light of the rows without the trend, what the sources make of it, and the weight
        of each row, shape (rows,).
    cycles, power, noise, real_from
        The spectrum: frequencies [cycles per row], power, level of the noise, and the power from
        which on a line is real.
    """

    name: str
    form: str
    size: tuple[int, int]
    region: tuple[int, int, int, int]
    region_found: bool
    along: Literal["rows", "columns"]
    transfer: str
    gamma: float | None
    transfer_given: bool
    clipped_top: float
    clipped_bottom: float
    sources: tuple[BandSource, ...]
    detectable: float
    uneven: tuple[float, ...]
    light: FloatArray
    fitted: FloatArray
    weight: FloatArray
    cycles: FloatArray
    power: FloatArray
    noise: FloatArray
    real_from: FloatArray

    @property
    def picture_rows(self) -> int:
        """Rows of the whole picture, in the direction in which bands are counted."""
        return self.size[1] if self.along == "rows" else self.size[0]


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """Figures of one source of a picture; None where what is known does not give them.

    Attributes
    ----------
    source
        Its bands.
    light_name, light_hz
        The known light that it was taken for.
    readout_s, line_time_s
        Readout and line time if that light has this frequency [s].
    source_hz, aliases_hz
        Frequency if the readout is as known [Hz], and other frequencies that draw the same bands.
    known_readout_s
        Readout that was known [s].
    rows_read, sensor_rows
        Rows that the sensor reads, and how many of them make a row of the picture.
    """

    source: BandSource
    light_name: str | None
    light_hz: Measured | None
    readout_s: Measured | None
    line_time_s: Measured | None
    source_hz: Measured | None
    aliases_hz: tuple[Measured, ...]
    known_readout_s: Measured | None
    rows_read: int
    sensor_rows: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Roll:
    """How bands move from one picture to another.

    Attributes
    ----------
    cycles
        Periods that they moved between the pictures, folded to -1/2..1/2.
    difference_hz
        Frequency of the light less the nearest whole multiple of `step_hz` [Hz].
    step_hz
        Differences this far apart look alike: the frame rate over the frames between the pictures.
    """

    cycles: Measured
    difference_hz: Measured
    step_hz: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Agreement:
    """A measured contrast against the predicted one.

    Attributes
    ----------
    verdict
        "agrees", "differs", or "unknown" where a band that was not found may still be there.
    measured, detectable
        Contrast found (None: no bands) and contrast that would have been found.
    predicted_low, predicted_high
        Contrast that the model gives inside the tolerances of rates and readout.
    predicted_period_rows
        Band pitch it gives; None where it gives no bands.
    period_agrees
        Whether the pitches agree; None where either is missing.
    """

    verdict: Literal["agrees", "differs", "unknown"]
    measured: Measured | None
    detectable: float
    predicted_low: float
    predicted_high: float
    predicted_period_rows: Measured | None
    period_agrees: bool | None


def agreement(
    *, measured: BandSource | None, detectable: float, predicted: Sequence[float],
    predicted_period_rows: Measured | None,
) -> Agreement:
    """Whether what was found is what the model says, within the uncertainty of both.

    Parameters
    ----------
    measured
        Strongest source that was found; None: none.
    detectable
        Contrast above which it would have been found.
    predicted
        Contrasts that the model gives at the ends and the middle of the tolerances.
    predicted_period_rows
        Band pitch that it gives.

    Returns
    -------
    Agreement
        Two standard deviations count as agreement, and 1 % of the contrast and 0.05 % of the
        pitch in any case.
    """
    low, high = min(predicted), max(predicted)
    period_agrees = None
    verdict: Literal["agrees", "differs", "unknown"]
    if measured is None:
        verdict = "agrees" if high <= detectable else "differs" if low > detectable else "unknown"
    else:
        room = max(_SIGMAS * measured.contrast.uncertainty, _FINEST_CONTRAST * high)
        inside = low - room <= measured.contrast.value <= high + room
        if predicted_period_rows is not None:
            period = measured.period_rows
            apart = abs(period.value - predicted_period_rows.value)
            both = np.hypot(period.uncertainty, predicted_period_rows.uncertainty)
            period_agrees = bool(apart <= max(_SIGMAS * both, _FINEST_PERIOD * period.value))
        verdict = "agrees" if inside and period_agrees is not False else "differs"
    return Agreement(
        verdict=verdict, measured=None if measured is None else measured.contrast,
        detectable=detectable, predicted_low=low, predicted_high=high,
        predicted_period_rows=predicted_period_rows, period_agrees=period_agrees,
    )
