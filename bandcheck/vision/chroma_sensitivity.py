"""How small a colour fringe a viewer can see.

Sources
-------
X. Zhang and B. A. Wandell, A spatial extension of CIELAB for digital color-image reproduction,
J. Soc. Information Display 5 (1997) 61, table 1: how eye and brain blur red-green and
blue-yellow detail (measurements of Poirson and Wandell 1993), relative to even patches.
CIE 15, CIELAB 1976: what even patches look like. ITU-R BT.709: colour of the three channels.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = ["OpponentAxis", "chroma_sensitivity", "opponent_modulation"]

OpponentAxis = Literal["red-green", "blue-yellow"]

_GAUSSIANS = {
    "red-green": ((0.531, 0.0392), (0.330, 0.494)),
    "blue-yellow": ((0.488, 0.0536), (0.371, 0.386)),
}
"""Weight and spread [deg] of the Gaussians exp(-(x^2 + y^2) / spread^2), each of unit volume."""

_LAB_STEPS = {"red-green": 500.0 / 3.0, "blue-yellow": 200.0 / 3.0}
"""Derivative of a* and b* against X/Y and Y/Z at white: 500 and 200 times that of the cube root."""

_CUBE_ROOT_ABOVE = (6.0 / 29.0) ** 3

_BT709_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""Linear BT.709 to CIE XYZ (IEC 61966-2-1 prints this matrix for the same primaries)."""


def chroma_sensitivity(
    *,
    axis: OpponentAxis,
    cycles_per_degree: ArrayLike,
    luminance_nits: ArrayLike,
    white_nits: ArrayLike,
) -> NDArray[np.float64]:
    """Sensitivity to a sine of colour on gray.

    Parameters
    ----------
    axis
        "red-green" or "blue-yellow".
    cycles_per_degree
        Spatial frequency [cycles/deg], at least 0, any shape.
    luminance_nits
        Luminance of the gray [cd/m2], 0..white_nits.
    white_nits
        Luminance of the white that the eye has adapted to [cd/m2], above 0. All three broadcast.

    Returns
    -------
    ndarray
        CIELAB units of a* (red-green) or b* (blue-yellow) for a modulation of 1 on that axis as
        `opponent_modulation` gives it, once the eye has blurred it. A modulation m is at the
        threshold where m S = 1: an amplitude of one unit (project choice; one unit between two
        patches is the customary just noticeable difference).

    Raises
    ------
    OutOfRangeError
        An argument outside its range, or another axis.

    Notes
    -----
    S = 500/3 (Y/Yn)^(1/3) G(u) and 200/3 (Y/Yn)^(1/3) G(u), G the transform of the two Gaussians,
    1 at u = 0; below Y/Yn = 216/24389 the straight piece of CIELAB. Approximations: CIELAB made
    linear around gray; the filters, which were measured on opponent axes of their own, are put
    on a* and b*; no dependence on orientation, motion or the size of the field.
    """
    if axis not in _GAUSSIANS:
        raise OutOfRangeError("axis", axis, "'red-green' or 'blue-yellow'")
    frequency = require("cycles_per_degree", cycles_per_degree, "at least 0", at_least=0.0)
    white = require("white_nits", white_nits, "above 0 cd/m2", above=0.0)
    level = require("luminance_nits", luminance_nits, "at least 0 cd/m2", at_least=0.0) / white
    require("luminance_nits over white_nits", level, "at most 1", at_most=1.0)
    square = (np.pi * np.minimum(frequency, 1e4)) ** 2
    blurred = sum(weight * np.exp(-square * spread**2) for weight, spread in _GAUSSIANS[axis])
    even = sum(weight for weight, _ in _GAUSSIANS[axis])
    # The straight piece has the derivative that the cube root has where they meet.
    rise = np.minimum(np.cbrt(level), level * _CUBE_ROOT_ABOVE ** (-2.0 / 3.0))
    return np.asarray(_LAB_STEPS[axis] * rise * blurred / even)


def opponent_modulation(
    *, red: ArrayLike, green: ArrayLike, blue: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """What a modulation of the three channels around gray means to the eye.

    Parameters
    ----------
    red, green, blue
        Amplitudes of the linear BT.709 channels over their mean, with sign, or complex where
        the phases differ; they broadcast.

    Returns
    -------
    tuple of ndarray
        Magnitudes of the modulation of luminance, dY/Y (for `barten_1999_sensitivity`), of
        red-green, dX/X - dY/Y, and of blue-yellow, dY/Y - dZ/Z (for `chroma_sensitivity`).

    Raises
    ------
    OutOfRangeError
        An amplitude that is not finite.
    """
    channels = np.stack(np.broadcast_arrays(red, green, blue))
    if not np.isfinite(channels).all():
        raise OutOfRangeError("red, green, blue", channels[~np.isfinite(channels)][0], "finite")
    weights = _BT709_TO_XYZ / _BT709_TO_XYZ.sum(axis=1, keepdims=True)
    x, y, z = np.tensordot(weights, channels, axes=1)
    return np.abs(y), np.abs(x - y), np.abs(y - z)
