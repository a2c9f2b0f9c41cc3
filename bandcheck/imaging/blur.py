"""What keeps fine detail from the sensor: transfer of lens, defocus, low-pass and photosites.

Each is the factor by which the amplitude of a sine pattern shrinks, except `emitter_amplitude`,
which says how much of a pattern an LED wall contains to begin with.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "defocus_bound", "defocus_transfer", "diffraction_transfer", "emitter_amplitude",
    "four_spot_transfer", "jinc", "photosite_transfer",
]

Floats = NDArray[np.float64]

FIRST_LOBE = 0.1322794874
"""Depth of the first negative lobe of jinc, the largest that it comes back to."""

_LOBES_FALL = 0.29
"""Just above 2 sqrt(2) / pi^2 = 0.2866, the envelope of |jinc(pi x)| x^1.5 for large x."""

_FIRST_ZERO = 1.2196698912665046  # of jinc(pi x)

# J1(z) / z in powers of (z / 3)^2, and amplitude and phase of J1 in powers of 3 / z.
_NEAR = (0.5, -0.56249985, 0.21093573, -0.03954289, 0.00443319, -0.00031761, 0.00001109)
_FAR_AMPLITUDE = (
    0.79788456, 0.00000156, 0.01659667, 0.00017105, -0.00249511, 0.00113653, -0.00020033)
_FAR_PHASE = (
    -2.35619449, 0.12499612, 0.00005650, -0.00637879, 0.00074348, 0.00079824, -0.00029166)


def _polynomial(coefficients: tuple[float, ...], x: Floats) -> Floats:
    total = np.full_like(x, coefficients[-1])
    for coefficient in coefficients[-2::-1]:
        total = total * x + coefficient
    return total


def jinc(z: ArrayLike) -> Floats:
    """Transform of a uniform disc: 2 J1(z) / z, 1 at z = 0.

    Polynomials of Abramowitz & Stegun, Handbook of Mathematical Functions, 9.4.4 and 9.4.6;
    wrong by less than 3e-8. NaN gives NaN.

    Parameters
    ----------
    z
        Argument, any shape; the sign does not matter.

    Returns
    -------
    ndarray
        Values in -0.1323..1.
    """
    z = np.abs(np.asarray(z, dtype=np.float64))
    value = np.empty_like(z)
    near = z <= 3
    value[near] = 2 * _polynomial(_NEAR, (z[near] / 3) ** 2)
    far = z[~near]
    phase = far + _polynomial(_FAR_PHASE, 3 / far)
    value[~near] = 2 * _polynomial(_FAR_AMPLITUDE, 3 / far) * np.cos(phase) / far**1.5
    return value


def diffraction_transfer(nu: ArrayLike) -> Floats:
    """Transfer of a perfect lens with a round pupil: (2/pi) (arccos nu - nu sqrt(1 - nu^2)).

    J. W. Goodman, Introduction to Fourier Optics, section 6.3 (frequency response of a
    diffraction-limited incoherent system). Aberrations of real lenses only lower it.

    Parameters
    ----------
    nu
        Frequency over the cutoff 1 / (lambda N_w), at least 0; any shape.

    Returns
    -------
    ndarray
        Transfer 0..1, 0 from the cutoff up.
    """
    nu = np.minimum(np.asarray(nu, dtype=np.float64), 1)
    return np.asarray(2 / np.pi * (np.arccos(nu) - nu * np.sqrt(1 - nu * nu)))


def defocus_transfer(blur: ArrayLike) -> Floats:
    """Expected transfer of defocus relative to the focused lens: jinc(pi x).

    The geometrical blur circle with the correction that diffraction makes to it: its errors
    against the exact integral stay below 0.017 once multiplied by the diffraction transfer.

    Parameters
    ----------
    blur
        x = c k (1 - nu): cycles in the blur circle c, less what the lens cutoff takes; any shape.

    Returns
    -------
    ndarray
        Transfer -0.1323..1; negative where black and white change places.
    """
    return jinc(np.pi * np.asarray(blur, dtype=np.float64))


def defocus_bound(blur: ArrayLike) -> Floats:
    """Largest |transfer| that this blur or any larger one can have: what a verdict may count on.

    jinc(pi x) down to the depth of its first lobe, then that depth, then 0.29 x^-1.5 (project
    choice): never below |jinc| and never rising, so that more blur is never graded worse.

    Parameters
    ----------
    blur
        x as in `defocus_transfer`, at least 0; any shape.

    Returns
    -------
    ndarray
        Bound above 0, at most 1.
    """
    x = np.asarray(blur, dtype=np.float64)
    lobes = _LOBES_FALL / np.maximum(x, 0.1) ** 1.5
    bound = np.array(np.minimum(FIRST_LOBE, lobes))
    inside = x < _FIRST_ZERO
    bound[inside] = np.maximum(bound[inside], jinc(np.pi * x[inside]))
    return bound


def four_spot_transfer(*, kx: ArrayLike, ky: ArrayLike, shift_px: ArrayLike) -> Floats:
    """Transfer of a birefringent low-pass filter, which makes four spots of one.

    |cos(pi d kx) cos(pi d ky)|: null at 1 / (2 d) along either axis.

    Parameters
    ----------
    kx, ky
        Frequency [cycles per photosite].
    shift_px
        Distance d of the spots [photosites]; 0: no filter. All broadcast.

    Returns
    -------
    ndarray
        Transfer 0..1.
    """
    shift = np.pi * np.asarray(shift_px, dtype=np.float64)
    return np.asarray(np.abs(np.cos(shift * np.asarray(kx)) * np.cos(shift * np.asarray(ky))))


def photosite_transfer(*, kx: ArrayLike, ky: ArrayLike, fill: ArrayLike) -> Floats:
    """Transfer of photosites that take the mean over a square: |sinc(w kx) sinc(w ky)|.

    Parameters
    ----------
    kx, ky
        Frequency [cycles per photosite].
    fill
        Side w of the square over the spacing of photosites, 0..1. All broadcast.

    Returns
    -------
    ndarray
        Transfer 0..1.
    """
    fill = np.asarray(fill, dtype=np.float64)
    return np.asarray(np.abs(np.sinc(fill * np.asarray(kx)) * np.sinc(fill * np.asarray(ky))))


def emitter_amplitude(
    *, m: ArrayLike, n: ArrayLike, fill: ArrayLike, shape: Literal["square", "disc"],
) -> Floats:
    """Amplitude of line (m, n) of a lattice of LEDs relative to its mean: 2 |E(m, n)|.

    E is the transform of one emitter: sinc(m a) sinc(n a) for a square of linear fill a, and
    jinc(pi a sqrt(m^2 + n^2)) for a disc of diameter a. Evenly lit emitters, all alike.

    Parameters
    ----------
    m, n
        Order along the wall's columns and rows, not both 0.
    fill
        Side or diameter of what is lit over the pitch, above 0 and at most 1. All broadcast.
    shape
        "square" or "disc".

    Returns
    -------
    ndarray
        Amplitude 0..2.

    Raises
    ------
    OutOfRangeError
        A fill outside its range, a shape not known.
    """
    fill = require("emitter_fill", fill, "a linear fill above 0, at most 1", above=0, at_most=1)
    m, n = np.asarray(m, dtype=np.float64), np.asarray(n, dtype=np.float64)
    if shape == "square":
        return np.asarray(2 * np.abs(np.sinc(m * fill) * np.sinc(n * fill)))
    if shape == "disc":
        return 2 * np.abs(jinc(np.pi * fill * np.hypot(m, n)))
    raise OutOfRangeError("emitter_shape", shape, 'accepted are "square" and "disc"')
