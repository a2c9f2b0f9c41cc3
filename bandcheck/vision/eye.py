"""The eye's front end: pupil, light on the retina and blur, as Barten 1999 describes them.

Source
------
P. G. J. Barten, Contrast Sensitivity of the Human Eye and its Effects on Image Quality, SPIE
(1999), chapter 3; its constants for an observer of 20 to 30 years with good sight.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require

__all__ = [
    "BLIND_ABOVE_CPD",
    "line_spread_deg",
    "optical_transfer",
    "pupil_diameter_mm",
    "retinal_illuminance_td",
]

BLIND_ABOVE_CPD = 1e4
"""The optical transfer is 0 in float64 from far below this frequency [cycles/deg]."""

_SPREAD_DEG = 0.5 / 60
_SPREAD_DEG_PER_MM = 0.08 / 60


def pupil_diameter_mm(*, luminance_nits: ArrayLike, field_deg: ArrayLike) -> NDArray[np.float64]:
    """Diameter of the pupil, 2..8 mm.

    Parameters
    ----------
    luminance_nits
        Mean luminance [cd/m2], 0..1e10, any shape.
    field_deg
        Side of the square field that is seen [deg], 0.001..180; broadcasts.

    Returns
    -------
    ndarray
        d = 5 - 3 tanh(0.4 log10(L X0^2 / 40^2)) [mm] (Barten 1999, chapter 3).

    Raises
    ------
    OutOfRangeError
        A luminance or a field outside its range.
    """
    luminance = _luminance(luminance_nits)
    field = _field(field_deg)
    # tanh(0.4 log10 z) = (z^c - 1) / (z^c + 1): no logarithm, so that darkness has a pupil too.
    power = (luminance * field**2 / 40.0**2) ** (0.8 / np.log(10.0))
    return np.asarray(5.0 - 3.0 * (power - 1.0) / (power + 1.0))


def retinal_illuminance_td(
    *, luminance_nits: ArrayLike, pupil_mm: ArrayLike
) -> NDArray[np.float64]:
    """Light that counts on the retina, corrected for the Stiles-Crawford effect.

    Parameters
    ----------
    luminance_nits
        Mean luminance [cd/m2], 0..1e10, any shape.
    pupil_mm
        Diameter of the pupil [mm], above 0, at most 10; broadcasts.

    Returns
    -------
    ndarray
        E = pi d^2 / 4 L (1 - (d/9.7)^2 + (d/12.4)^4) [td] (Barten 1999, chapter 3).

    Raises
    ------
    OutOfRangeError
        A luminance or a pupil outside its range.
    """
    luminance = _luminance(luminance_nits)
    pupil = _pupil(pupil_mm)
    off_axis = 1.0 - (pupil / 9.7) ** 2 + (pupil / 12.4) ** 4
    return np.asarray(np.pi / 4.0 * pupil**2 * luminance * off_axis)


def line_spread_deg(*, pupil_mm: ArrayLike) -> NDArray[np.float64]:
    """Standard deviation of the line that eye and retina make of a thin line.

    Parameters
    ----------
    pupil_mm
        Diameter of the pupil [mm], above 0, at most 10, any shape.

    Returns
    -------
    ndarray
        sigma = hypot(0.5', 0.08' per mm times d) [deg] (Barten 1999, chapter 3).

    Raises
    ------
    OutOfRangeError
        A pupil outside its range.
    """
    return np.asarray(np.hypot(_SPREAD_DEG, _SPREAD_DEG_PER_MM * _pupil(pupil_mm)))


def optical_transfer(
    *, cycles_per_degree: ArrayLike, pupil_mm: ArrayLike
) -> NDArray[np.float64]:
    """Modulation transfer of the eye's optics and receptors, 1..0.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency [cycles/deg], at least 0, any shape.
    pupil_mm
        Diameter of the pupil [mm], above 0, at most 10; broadcasts.

    Returns
    -------
    ndarray
        exp(-2 (pi sigma u)^2), sigma the line spread (Barten 1999, chapter 3).

    Raises
    ------
    OutOfRangeError
        A negative frequency, or a pupil outside its range.
    """
    frequency = require("cycles_per_degree", cycles_per_degree, "at least 0", at_least=0.0)
    spread = line_spread_deg(pupil_mm=pupil_mm)
    return np.asarray(np.exp(-2.0 * (np.pi * spread * np.minimum(frequency, BLIND_ABOVE_CPD)) ** 2))


def _luminance(nits: ArrayLike) -> NDArray[np.float64]:
    return require("luminance_nits", nits, "from 0 to 1e10 cd/m2", at_least=0.0, at_most=1e10)


def _field(deg: ArrayLike) -> NDArray[np.float64]:
    return require("field_deg", deg, "from 0.001 to 180 deg", at_least=1e-3, at_most=180.0)


def _pupil(mm: ArrayLike) -> NDArray[np.float64]:
    return require("pupil_mm", mm, "above 0, at most 10 mm", above=0.0, at_most=10.0)
