"""Two older published models of contrast sensitivity, to hold Barten's against.

No verdict rests on them. Kelly's is for patterns that drift over a retina held still,
Mannos and Sakrison's for the relative visibility of errors in pictures.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require

__all__ = ["kelly_1979_sensitivity", "mannos_sakrison_1974_sensitivity"]


def kelly_1979_sensitivity(
    *, cycles_per_degree: ArrayLike, degrees_per_second: ArrayLike
) -> NDArray[np.float64]:
    """Contrast sensitivity for a grating that drifts over the retina.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency u [cycles/deg], above 0, at most 100, any shape.
    degrees_per_second
        Speed over the retina v [deg/s], 0.05..100, about the range of the measurements; an eye
        free to move has about 0.15 even on a steady picture (Kelly). Broadcasts.

    Returns
    -------
    ndarray
        G = (6.1 + 7.3 |log10(v/3)|^3) v a^2 exp(-2 a (v + 2) / 45.9), a = 2 pi u.

    Raises
    ------
    OutOfRangeError
        An argument outside its range.

    Notes
    -----
    D. H. Kelly, Motion and vision II: stabilized spatio-temporal threshold surface, J. Opt. Soc.
    Am. 69 (1979) 1340, equation 8; for the mean luminance of its experiment only.
    """
    frequency = require(
        "cycles_per_degree", cycles_per_degree, "above 0, at most 100", above=0.0, at_most=100.0
    )
    speed = require(
        "degrees_per_second", degrees_per_second, "from 0.05 to 100", at_least=0.05, at_most=100.0
    )
    a = 2.0 * np.pi * frequency
    height = 6.1 + 7.3 * np.abs(np.log10(speed / 3.0)) ** 3
    return np.asarray(height * speed * a**2 * np.exp(-2.0 * a * (speed + 2.0) / 45.9))


def mannos_sakrison_1974_sensitivity(cycles_per_degree: ArrayLike) -> NDArray[np.float64]:
    """Relative contrast sensitivity, largest 0.981 at 7.89 cycles per degree.

    Parameters
    ----------
    cycles_per_degree
        Spatial frequency u [cycles/deg], 0..1000, any shape.

    Returns
    -------
    ndarray
        2.6 (0.0192 + 0.114 u) exp(-(0.114 u)^1.1): a weight, no threshold follows from it.

    Raises
    ------
    OutOfRangeError
        A frequency outside its range.

    Notes
    -----
    J. L. Mannos and D. J. Sakrison, The effects of a visual fidelity criterion on the encoding
    of images, IEEE Trans. Information Theory 20 (1974) 525.
    """
    frequency = require(
        "cycles_per_degree", cycles_per_degree, "from 0 to 1000", at_least=0.0, at_most=1000.0
    )
    scaled = 0.114 * frequency
    return np.asarray(2.6 * (0.0192 + scaled) * np.exp(-(scaled**1.1)))
