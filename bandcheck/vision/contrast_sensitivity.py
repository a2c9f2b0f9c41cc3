"""How small a luminance modulation a viewer can see (Barten 1999).

Source
------
P. G. J. Barten, Contrast Sensitivity of the Human Eye and its Effects on Image Quality, SPIE
(1999), chapter 3; its constants for an observer of 20 to 30 years with good sight.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require
from bandcheck.vision.eye import (
    BLIND_ABOVE_CPD,
    line_spread_deg,
    optical_transfer,
    pupil_diameter_mm,
    retinal_illuminance_td,
)

__all__ = [
    "barten_1999_sensitivity",
    "largest_sensitivity",
    "peak_frequency_cpd",
    "picture_height_deg",
    "picture_width_deg",
    "sensitivity_from_upwards",
    "sensitivity_of_pupil",
]

_SIGNAL_TO_NOISE = 3.0
_INTEGRATION_TIME_S = 0.1
_LARGEST_AREA_DEG = 12.0
_LARGEST_CYCLES = 15.0
_QUANTUM_EFFICIENCY = 0.03
_PHOTONS = 1.2274e6  # per second, square degree and troland
_NEURAL_NOISE = 3e-8  # seconds times square degrees
_INHIBITION_CPD = 7.0  # lateral inhibition ceases above

_NEWTON_STEPS = 5  # four give 1e-13 in S over 1e-6 to 1e8 cd/m2 and fields of 0.001 to 180 deg


def sensitivity_of_pupil(
    *,
    cycles_per_degree: ArrayLike,
    field_deg: ArrayLike,
    pupil_mm: ArrayLike,
    illuminance_td: ArrayLike,
) -> NDArray[np.float64]:
    """Contrast sensitivity of an eye whose pupil and retinal illuminance are given.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency [cycles/deg], at least 0, any shape.
    field_deg
        Side of the square field that is seen [deg], 0.001..180.
    pupil_mm
        Diameter of the pupil [mm], above 0, at most 10.
    illuminance_td
        Retinal illuminance [td], at least 0. All four broadcast.

    Returns
    -------
    ndarray
        S, one over the modulation (Lmax - Lmin) / (Lmax + Lmin) of a sine grating that is
        detected half the time: Barten 1999, equation 3.26 with X0 = Y0,
        S = M / k / sqrt(2/T (1/X0^2 + 1/Xmax^2 + u^2/Nmax^2) (1/(n p E) + Phi0/(1 - F))),
        M the optical transfer, F = exp(-(u/u0)^2). 0 at frequency 0 and in darkness, its limits.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.

    Notes
    -----
    Two eyes, photopic light, steady gratings. Not in it: orientation, colour, age, motion.
    """
    optics = optical_transfer(cycles_per_degree=cycles_per_degree, pupil_mm=pupil_mm)
    light = require("illuminance_td", illuminance_td, "at least 0", at_least=0.0)
    square = _frequency(cycles_per_degree) ** 2
    seen = -np.expm1(-square / _INHIBITION_CPD**2)  # 1 - F
    area = _inverse_area(_field(field_deg)) + square / _LARGEST_CYCLES**2
    # Both sides of the noise are multiplied by E (1 - F), which spares u = 0 and E = 0 their
    # divisions; the smallest float makes 0/0, where both are 0, the limit 0.
    noise = seen / (_QUANTUM_EFFICIENCY * _PHOTONS) + _NEURAL_NOISE * light
    signal = _INTEGRATION_TIME_S / 2.0 * seen * light
    ratio = signal / (area * noise + np.finfo(np.float64).tiny)
    return np.asarray(optics / _SIGNAL_TO_NOISE * np.sqrt(ratio))


def barten_1999_sensitivity(
    *, cycles_per_degree: ArrayLike, luminance_nits: ArrayLike, field_deg: ArrayLike
) -> NDArray[np.float64]:
    """Contrast sensitivity at a luminance, the pupil as wide as that luminance makes it.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency [cycles/deg], at least 0, any shape.
    luminance_nits
        Mean luminance [cd/m2], 0..1e10. The measurements that the model was held against span
        about 1e-3 to 1e3; it goes on smoothly beyond, nobody has checked how well.
    field_deg
        Side of the square field that is seen [deg], 0.001..180: the angle of the
        picture's width (project choice). All three broadcast.

    Returns
    -------
    ndarray
        S as in `sensitivity_of_pupil`: a modulation m is at the threshold where m S = 1.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.
    """
    pupil = pupil_diameter_mm(luminance_nits=luminance_nits, field_deg=field_deg)
    return sensitivity_of_pupil(
        cycles_per_degree=cycles_per_degree,
        field_deg=field_deg,
        pupil_mm=pupil,
        illuminance_td=retinal_illuminance_td(luminance_nits=luminance_nits, pupil_mm=pupil),
    )


def peak_frequency_cpd(
    *, luminance_nits: ArrayLike, field_deg: ArrayLike
) -> NDArray[np.float64]:
    """Frequency at which the eye is most sensitive.

    Parameters
    ----------
    luminance_nits
        Mean luminance [cd/m2], 0..1e10, any shape.
    field_deg
        Side of the square field that is seen [deg], 0.001..180; broadcasts.

    Returns
    -------
    ndarray
        Frequency of the only maximum of `barten_1999_sensitivity` [cycles/deg]; near 0 in
        darkness, where the sensitivity is 0 at every frequency.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.

    Notes
    -----
    With t = (u/u0)^2 the derivative of ln S^2 is 0 where falling(t) = rising(t), two smooth and
    nearly straight lines in logarithms of both; Newton's rule there needs four steps from
    anywhere.
    """
    field = _field(field_deg)
    pupil = pupil_diameter_mm(luminance_nits=luminance_nits, field_deg=field)
    light = retinal_illuminance_td(luminance_nits=luminance_nits, pupil_mm=pupil)
    photon_noise = 1.0 / (_QUANTUM_EFFICIENCY * _PHOTONS * np.maximum(light, 1e-12))
    noises = 1.0 + photon_noise / _NEURAL_NOISE
    optics = (2.0 * np.pi * line_spread_deg(pupil_mm=pupil) * _INHIBITION_CPD) ** 2
    area = _inverse_area(field) * (_LARGEST_CYCLES / _INHIBITION_CPD) ** 2
    t = np.full(np.broadcast_shapes(area.shape, noises.shape), 0.5)
    for _ in range(_NEWTON_STEPS):
        grown = np.expm1(t)
        inhibited = noises * grown + 1.0
        rising = (1.0 + grown) / (grown * inhibited)
        falling = optics + 1.0 / (area + t)
        slope = (
            1.0 - (1.0 + grown) / grown - noises * (1.0 + grown) / inhibited
            + 1.0 / ((area + t) ** 2 * falling)
        )
        t = t * np.exp(-np.log(rising / falling) / (t * slope))
    return np.asarray(_INHIBITION_CPD * np.sqrt(t))


def largest_sensitivity(
    *, luminance_nits: ArrayLike, field_deg: ArrayLike
) -> NDArray[np.float64]:
    """Sensitivity at the frequency that is seen best: for patterns of unknown size.

    Parameters, range and refusals as in `peak_frequency_cpd`; S as in
    `barten_1999_sensitivity`.
    """
    return sensitivity_from_upwards(
        cycles_per_degree=0.0, luminance_nits=luminance_nits, field_deg=field_deg
    )


def sensitivity_from_upwards(
    *, cycles_per_degree: ArrayLike, luminance_nits: ArrayLike, field_deg: ArrayLike
) -> NDArray[np.float64]:
    """Largest sensitivity at any frequency from the given one up.

    For patterns that roll or come and go from frame to frame, which shift what the eye sees to
    coarser detail than the steady pattern would show (pessimistic, project choice). Parameters,
    range and refusals as in `barten_1999_sensitivity`, which it equals above the peak.
    """
    peak = peak_frequency_cpd(luminance_nits=luminance_nits, field_deg=field_deg)
    return barten_1999_sensitivity(
        cycles_per_degree=np.maximum(_frequency(cycles_per_degree), peak),
        luminance_nits=luminance_nits,
        field_deg=field_deg,
    )


def picture_height_deg(*, view_heights: ArrayLike) -> NDArray[np.float64]:
    """Angle of the picture's height, 2 atan(1 / (2 v)) [deg], seen from v picture heights."""
    heights = _heights(view_heights)
    return np.asarray(np.degrees(2.0 * np.arctan2(1.0, 2.0 * heights)))


def picture_width_deg(
    *, view_heights: ArrayLike, picture_aspect: ArrayLike
) -> NDArray[np.float64]:
    """Angle of the picture's width, 2 atan(a / (2 v)) [deg], a its width over its height."""
    heights = _heights(view_heights)
    aspect = require(
        "picture_aspect", picture_aspect, "above 0, at most 1e4", above=0.0, at_most=1e4
    )
    return np.asarray(np.degrees(2.0 * np.arctan2(aspect, 2.0 * heights)))


def _heights(view_heights: ArrayLike) -> NDArray[np.float64]:
    return require("view_heights", view_heights, "above 0, at most 1e4", above=0.0, at_most=1e4)


def _field(deg: ArrayLike) -> NDArray[np.float64]:
    return require("field_deg", deg, "from 0.001 to 180 deg", at_least=1e-3, at_most=180.0)


def _frequency(cpd: ArrayLike) -> NDArray[np.float64]:
    frequency = require("cycles_per_degree", cpd, "at least 0", at_least=0.0)
    return np.minimum(frequency, BLIND_ABOVE_CPD)


def _inverse_area(field: NDArray[np.float64]) -> NDArray[np.float64]:
    """What limits the area that the eye integrates over, but for the cycles [1/deg^2]."""
    return np.asarray(1.0 / field**2 + 1.0 / _LARGEST_AREA_DEG**2)
