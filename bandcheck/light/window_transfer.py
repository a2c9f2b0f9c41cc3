"""What an exposure leaves of a light's harmonics."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["largest_window_transfer", "window_transfer"]

FloatArray = NDArray[np.float64]

_JUST_ABOVE = 1e-9
"""Step off a null, as a ratio: well above rounding, well below what any rate is known to."""


def window_transfer(cycles: ArrayLike) -> FloatArray:
    """Transfer of a box window: `sinc(f T) = sin(pi f T) / (pi f T)`, signed.

    Parameters
    ----------
    cycles
        Periods of the light in the exposure, f T, any shape.

    Returns
    -------
    ndarray
        Factor on the harmonic's amplitude, -0.2172..1.
    """
    return np.asarray(np.sinc(np.asarray(cycles, dtype=np.float64)))


def _crest(lobe: FloatArray) -> FloatArray:
    """Place of the maximum of |sinc| between the nulls at `lobe` and `lobe + 1`, lobe >= 1.

    It solves `x = n + 1/2 - 1 / (pi^2 x)`, from `tan(pi x) = pi x` to first order; two steps are
    exact to 2e-6 in the value of |sinc| there.
    """
    middle = lobe + 0.5
    first = middle - 1 / (np.pi**2 * middle)
    return np.asarray(middle - 1 / (np.pi**2 * first))


def largest_window_transfer(cycles: ArrayLike, *, tolerance: float) -> FloatArray:
    """Largest transfer of a box window while the rate may err, with the nominal one's sign.

    Past the main lobe |sinc| has one maximum in each unit interval, each lower than the one
    before: the largest value lies at an end of the interval, or at the first maximum inside it.
    A null takes the sign of the transfer just above it: so the harmonics of a light that share a
    null keep the signs that they have next to it, and rounding does not deal them out.

    Parameters
    ----------
    cycles
        Nominal periods of the light in the exposure, f T >= 0, any shape.
    tolerance
        How far the rate may err, as a ratio, 0..1.

    Returns
    -------
    ndarray
        Factor on the harmonic's amplitude.
    """
    nominal = np.asarray(cycles, dtype=np.float64)
    low, high = nominal * (1 - tolerance), nominal * (1 + tolerance)
    lobe = np.maximum(np.floor(low), 1.0)
    crest = _crest(lobe)
    crest = np.where(crest >= low, crest, _crest(lobe + 1.0))
    largest = np.maximum(np.abs(np.sinc(low)), np.abs(np.sinc(high)))
    largest = np.where(crest <= high, np.maximum(largest, np.abs(np.sinc(crest))), largest)
    negative = np.mod(np.floor(nominal * (1 + _JUST_ABOVE)), 2) == 1
    return np.asarray(np.where(negative, -largest, largest))
