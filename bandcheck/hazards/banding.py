"""Timing bands: how far the light of a row's exposure strays from its mean, and who sees it."""

from collections.abc import Callable, Mapping
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.light.window_transfer import largest_window_transfer, window_transfer
from bandcheck.vision.contrast_sensitivity import (
    barten_1999_sensitivity,
    largest_sensitivity,
    peak_frequency_cpd,
)
from bandcheck.vision.graded import graded_finding
from bandcheck.vision.level import Finding, Level

__all__ = ["banding_finding", "harmonic_sensitivity", "visibility_over_phase"]

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]

LEFT_OUT = 0.02
"""Visibility that the harmonics left out may add to at the most (physics page 7)."""

_SAMPLES_AT_ONCE = 1 << 18
_SMALLEST_SIZE = 32
_SAMPLE_ROUNDING = 1e-6


def harmonic_sensitivity(
    *, cycles_per_degree: ArrayLike | None, standing: ArrayLike, luminance_nits: float,
    field_deg: float, cycles_tolerance: float = 0.0,
) -> FloatArray:
    """Contrast sensitivity with which a viewer meets each harmonic of the light.

    Standing bands are met at their own spatial frequency. Bands that roll, and light that changes
    from frame to frame, are met with the largest sensitivity at any frequency from theirs up, and
    bands whose pitch is not known with the largest of all: pessimistic, project choice.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency of each harmonic's bands [cycles/degree]; None: not known.
    standing
        Whether the harmonic's bands stand still, shape of the harmonics.
    luminance_nits
        Luminance of the flat gray, flare included [cd/m2].
    field_deg
        Angle of the picture's width [deg].
    cycles_tolerance
        How far the spatial frequencies may err (ratio, below 1): the largest sensitivity in the
        interval counts.

    Returns
    -------
    ndarray
        Sensitivity, one over the modulation that is just seen, shape of `standing`.
    """
    still = np.asarray(standing, dtype=np.bool_)
    if cycles_per_degree is None:
        largest = largest_sensitivity(luminance_nits=luminance_nits, field_deg=field_deg)
        return np.broadcast_to(largest, still.shape).astype(np.float64)
    cycles = np.abs(np.asarray(cycles_per_degree, dtype=np.float64))
    # The sensitivity has one maximum: within an interval it is largest where that is nearest.
    best = peak_frequency_cpd(luminance_nits=luminance_nits, field_deg=field_deg)
    nearest = np.clip(best, cycles * (1 - cycles_tolerance), cycles * (1 + cycles_tolerance))
    met_at = np.where(still, nearest, np.maximum(cycles * (1 - cycles_tolerance), best))
    return barten_1999_sensitivity(
        cycles_per_degree=met_at, luminance_nits=luminance_nits, field_deg=field_deg
    )


def _farthest(samples: FloatArray) -> FloatArray:
    """Largest |value| of each row of a sampled periodic function, by a parabola at its top."""
    rows, length = np.arange(len(samples)), samples.shape[1]
    farthest = np.zeros(len(samples))
    for sign, top in ((1.0, samples.argmax(axis=1)), (-1.0, samples.argmin(axis=1))):
        left, middle, right = (
            sign * samples[rows, (top + step) % length] for step in (-1, 0, 1)
        )
        bend, slope = left - 2 * middle + right, right - left
        gain = np.divide(-(slope**2), 8 * bend, out=np.zeros_like(bend), where=bend < 0)
        farthest = np.maximum(farthest, middle + gain)
    return farthest


def _peak(spectrum: ComplexArray, size: int) -> FloatArray:
    """Largest |value| over phase of the sum of harmonics 1..size, for each row of a spectrum."""
    # The fewer the harmonics, the nearer the strongest may lie to the last of them.
    density = 8 if size <= 512 else 4 if size <= 4096 else 2
    length = density * size
    padded = np.zeros((len(spectrum), size + 1), dtype=np.complex128)
    padded[:, 1:] = spectrum
    return _farthest(np.fft.irfft(padded, length, axis=1) * length)


def _sizes(strength: FloatArray, light_hz: FloatArray, exposure: FloatArray) -> NDArray[np.int64]:
    """How many harmonics each exposure needs, as a power of two.

    A harmonic gives at most its strength times 1 / (pi f T): so the sum of what lies above a size
    does not have to be made anew for every exposure.
    """
    most = 1 << max(int(len(strength) - 1).bit_length(), 5)
    sizes = [_SMALLEST_SIZE << step for step in range((most // _SMALLEST_SIZE).bit_length())]
    above = np.zeros(most + 1)
    above[: len(strength)] = np.cumsum((strength / (np.pi * light_hz))[::-1])[::-1]
    rest = np.array([above[size] for size in sizes])
    enough = rest[np.newaxis, :] < LEFT_OUT * exposure[:, np.newaxis]
    enough[:, -1] = True
    return np.asarray(np.take(sizes, enough.argmax(axis=1)), dtype=np.int64)


def _grid(harmonics: int) -> int:
    """Samples of the light's shortest cycle: whole tenths of a degree where that is a frame."""
    samples = 3600
    while samples < 2.5 * harmonics:
        samples *= 2
    return samples


def _on_grid(
    line: ComplexArray, light_hz: FloatArray, shift: NDArray[np.int64], exposure: FloatArray
) -> FloatArray:
    """V of exposures that are whole numbers of samples of the filtered light.

    Like the light itself, its filtered mean over an exposure is the difference of a running
    integral at the exposure's ends: that is made once, and each exposure only shifts it.
    """
    samples = _grid(len(line))
    integral = np.zeros(samples // 2 + 1, dtype=np.complex128)
    integral[1 : len(line) + 1] = line / (2j * np.pi * light_hz)
    until = np.fft.irfft(integral, samples) * samples
    twice = np.concatenate([until, until])
    visibility = np.empty(len(shift))
    start = np.mod(shift, samples)
    step = max(1, _SAMPLES_AT_ONCE // samples)
    for first in range(0, len(shift), step):
        block = start[first : first + step]
        light = np.empty((len(block), samples))
        for row, begin in zip(light, block, strict=True):
            np.subtract(twice[begin : begin + samples], until, out=row)
        visibility[first : first + step] = _farthest(light)
    return visibility / exposure


def _between(line: ComplexArray, light_hz: FloatArray, exposure: FloatArray,
             transfer: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """V of any exposures: one inverse Fourier transform of the exact spectrum for each."""
    sizes = _sizes(2 * np.abs(line), light_hz, exposure)
    visibility = np.zeros_like(exposure)
    for size in np.unique(sizes):
        chosen = np.flatnonzero(sizes == size)
        count = min(int(size), len(line))
        step = max(1, _SAMPLES_AT_ONCE // (4 * int(size)))
        for first in range(0, chosen.size, step):
            cells = chosen[first : first + step]
            spectrum = np.zeros((cells.size, size), dtype=np.complex128)
            cycles = exposure[cells, np.newaxis] * light_hz[:count]
            spectrum[:, :count] = line[:count] * transfer(cycles)
            visibility[cells] = _peak(spectrum, int(size))
    return visibility


def visibility_over_phase(
    *, relative: ComplexArray, sensitivity: FloatArray, light_hz: FloatArray,
    exposure_s: ArrayLike, tolerance: float = 0.0,
) -> FloatArray:
    """Visibility V: the largest filtered relative light over all phases of the exposure.

    The light caught, over its mean, is a sum of the light's harmonics, each times the transfer
    of the exposure; weighted with the viewer's sensitivity, its largest |value| over phase is V.
    A sine of modulation m at sensitivity S has V = m S. Where the light's rate may err, V is the
    largest of four: at the nominal rate, at either end of the interval, and with each harmonic at
    its largest transfer in the interval. That is as a rule more than the worst rate inside has;
    where the interval is so wide that harmonics pass several nulls, a rate between may have up to
    a sixth more (measured in the tests).

    Parameters
    ----------
    relative
        Coefficients `c_h / c_0` of harmonics h = 1..H, shape (H,).
    sensitivity
        Weight of each harmonic, shape (H,).
    light_hz
        Frequency of each harmonic [Hz], h times the first one's, shape (H,).
    exposure_s
        Exposures [s], > 0, shape (A,).
    tolerance
        How far the rate of the light against the exposure may err (ratio).

    Returns
    -------
    ndarray
        V, shape (A,). Harmonics that together add less than 0.02 may be left out.
    """
    exposure = np.atleast_1d(np.asarray(exposure_s, dtype=np.float64))
    # Conjugated: the phase of the exposure runs against the time of the light.
    line = (np.conj(relative) * sensitivity).astype(np.complex128)
    visibility = np.zeros_like(exposure)
    if not line.any():
        return visibility
    place = exposure * light_hz[0] * _grid(len(line))
    shift = np.round(place)
    fits = np.abs(place - shift) < _SAMPLE_ROUNDING
    visibility[fits] = _on_grid(line, light_hz, shift[fits].astype(np.int64), exposure[fits])
    visibility[~fits] = _between(line, light_hz, exposure[~fits], window_transfer)
    if tolerance > 0:
        drifting = partial(largest_window_transfer, tolerance=tolerance)
        visibility = np.maximum(visibility, _between(line, light_hz, exposure, drifting))
        for end in (1 - tolerance, 1 + tolerance):
            at_end = _between(line, light_hz, exposure * end, window_transfer)
            visibility = np.maximum(visibility, at_end)
    return visibility


def banding_finding(
    *, visibility: float, nominal_visibility: float, standing: bool, rolling_shutter: bool,
    describable: bool, safe_below: float, visible_from: float,
    missed_null: Mapping[str, float] | None = None,
) -> Finding:
    """Finding of the timing bands of one setting.

    Parameters
    ----------
    visibility, nominal_visibility
        V of the worst level, inside the tolerances and at the nominal rates.
    standing
        Whether all bands stand still.
    rolling_shutter
        Whether rows open one after another.
    describable
        Whether the camera's exposure scheme is one that the model describes.
    safe_below, visible_from
        Limits of V.
    missed_null
        Figures of a null that the exposure misses by the rates alone; None: there is none.

    Returns
    -------
    Finding
        Level, V, the limit it was held against and a reason code.
    """
    if not describable:
        return Finding(
            hazard="banding", level=Level.UNKNOWN, value=None, limit=safe_below, unit="",
            reason="exposure_scheme_not_described",
        )
    if nominal_visibility < safe_below:
        seen = "null_drifts_away"
    elif missed_null is not None:
        seen = "null_missed"
    elif not rolling_shutter:
        seen = "lines_on_the_wall"
    else:
        seen = "bands_stand" if standing else "bands_roll"
    return graded_finding(
        hazard="banding", visibility=visibility, safe_below=safe_below, visible_from=visible_from,
        safe_reason="even_light", seen_reason=seen,
        figures={"nominal_visibility": nominal_visibility, **(missed_null or {})},
    )
