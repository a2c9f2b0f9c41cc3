"""From signal to light and back: displays, walls and cameras.

Signals and light run from 0 to 1; what lies outside is refused.

Sources
-------
ITU-R BT.1886 annex 1; ITU-R BT.2100 table 4 (perceptual quantizer, PQ); ITU-R BT.709 item 1.2;
IEC 61966-2-1 (sRGB).
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "PQ_PEAK_NITS",
    "Transfer",
    "bt709_light",
    "bt709_signal",
    "bt1886_light",
    "bt1886_signal",
    "gamma_light",
    "gamma_signal",
    "pq_nits",
    "pq_signal",
    "srgb_light",
    "srgb_signal",
    "wall_light",
    "wall_signal",
]

Transfer = Literal["bt1886", "gamma", "pq", "linear"]

PQ_PEAK_NITS = 10_000.0
"""Luminance of the largest PQ signal [cd/m2]."""

_BT1886_GAMMA = 2.4
_PQ_M1 = 2610 / 16384
_PQ_M2 = 2523 / 4096 * 128
_PQ_C1 = 3424 / 4096
_PQ_C2 = 2413 / 4096 * 32
_PQ_C3 = 2392 / 4096 * 32


def gamma_light(signal: ArrayLike, *, gamma: float) -> NDArray[np.float64]:
    """Light over the peak of a pure power law.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.
    gamma
        Exponent, 0.1..10.

    Returns
    -------
    ndarray
        V^gamma, 0..1.

    Raises
    ------
    OutOfRangeError
        A signal or an exponent outside its range.
    """
    return np.asarray(_share("signal", signal) ** _exponent(gamma))


def gamma_signal(light: ArrayLike, *, gamma: float) -> NDArray[np.float64]:
    """Signal of a pure power law that gives this light: inverse of `gamma_light`."""
    return np.asarray(_share("light", light) ** (1.0 / _exponent(gamma)))


def bt1886_light(signal: ArrayLike) -> NDArray[np.float64]:
    """Light over the peak of a reference display with a black of 0: V^2.4 (BT.1886 annex 1)."""
    return gamma_light(signal, gamma=_BT1886_GAMMA)


def bt1886_signal(light: ArrayLike) -> NDArray[np.float64]:
    """Signal that gives this light on a reference display: inverse of `bt1886_light`."""
    return gamma_signal(light, gamma=_BT1886_GAMMA)


def pq_nits(signal: ArrayLike) -> NDArray[np.float64]:
    """Luminance of a PQ signal.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.

    Returns
    -------
    ndarray
        10000 (max(E^(1/m2) - c1, 0) / (c2 - c3 E^(1/m2)))^(1/m1) [cd/m2] (BT.2100 table 4).

    Raises
    ------
    OutOfRangeError
        A signal outside 0..1.
    """
    root = _share("signal", signal) ** (1.0 / _PQ_M2)
    ratio = np.maximum(root - _PQ_C1, 0.0) / (_PQ_C2 - _PQ_C3 * root)
    return np.asarray(PQ_PEAK_NITS * ratio ** (1.0 / _PQ_M1))


def pq_signal(nits: ArrayLike) -> NDArray[np.float64]:
    """PQ signal of a luminance.

    Parameters
    ----------
    nits
        Luminance 0..10000 [cd/m2], any shape.

    Returns
    -------
    ndarray
        ((c1 + c2 Y^m1) / (1 + c3 Y^m1))^m2, Y = nits / 10000 (BT.2100 table 4). Black has a
        signal of 7.3e-7, below the first step of any code.

    Raises
    ------
    OutOfRangeError
        A luminance outside 0..10000.
    """
    accepted = "from 0 to 10000 cd/m2"
    power = require("nits", nits, accepted, at_least=0.0, at_most=PQ_PEAK_NITS) / PQ_PEAK_NITS
    power = power**_PQ_M1
    return np.asarray(((_PQ_C1 + _PQ_C2 * power) / (1.0 + _PQ_C3 * power)) ** _PQ_M2)


def srgb_light(signal: ArrayLike) -> NDArray[np.float64]:
    """Light of an sRGB signal: V / 12.92 up to 0.04045, ((V + 0.055) / 1.055)^2.4 above."""
    given = _share("signal", signal)
    return np.where(given <= 0.04045, given / 12.92, ((given + 0.055) / 1.055) ** 2.4)


def srgb_signal(light: ArrayLike) -> NDArray[np.float64]:
    """Signal of an sRGB picture: 12.92 L up to 0.0031308, 1.055 L^(1/2.4) - 0.055 above."""
    given = _share("light", light)
    return np.where(given <= 0.0031308, 12.92 * given, 1.055 * given ** (1 / 2.4) - 0.055)


def bt709_signal(light: ArrayLike) -> NDArray[np.float64]:
    """Signal of a BT.709 camera: 4.5 L below 0.018, 1.099 L^0.45 - 0.099 from there (item 1.2)."""
    given = _share("light", light)
    return np.where(given < 0.018, 4.5 * given, 1.099 * given**0.45 - 0.099)


def bt709_light(signal: ArrayLike) -> NDArray[np.float64]:
    """Scene light of a BT.709 signal: inverse of `bt709_signal`.

    The rounded constants of the standard leave a step of 0.0002 in the signal at 0.081, which no
    light produces; signals in it are taken for the upper piece.
    """
    given = _share("signal", signal)
    return np.where(given < 4.5 * 0.018, given / 4.5, ((given + 0.099) / 1.099) ** (1 / 0.45))


def wall_light(
    signal: ArrayLike,
    *,
    transfer: Transfer,
    gamma: float | None = None,
    peak_nits: float | None = None,
) -> NDArray[np.float64]:
    """Linear light of a wall over its peak.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.
    transfer
        How the wall turns signal into light: "bt1886", "gamma", "pq" or "linear".
    gamma
        Exponent of "gamma", 0.1..10; not used otherwise.
    peak_nits
        White of the wall [cd/m2], needed by "pq", above 0, at most 10000; not used otherwise.

    Returns
    -------
    ndarray
        Light 0..1. PQ signals above the wall's peak give the peak.

    Raises
    ------
    OutOfRangeError
        A signal outside 0..1, another transfer, or a figure that the transfer lacks.
    """
    match transfer:
        case "bt1886":
            return bt1886_light(signal)
        case "gamma":
            return gamma_light(signal, gamma=_stated("gamma", gamma, transfer))
        case "pq":
            return np.minimum(pq_nits(signal) / _pq_peak(peak_nits), 1.0)
        case "linear":
            return _share("signal", signal)
    raise OutOfRangeError("transfer", transfer, "'bt1886', 'gamma', 'pq' or 'linear'")


def wall_signal(
    light: ArrayLike,
    *,
    transfer: Transfer,
    gamma: float | None = None,
    peak_nits: float | None = None,
) -> NDArray[np.float64]:
    """Signal that gives this light on the wall: inverse of `wall_light`.

    Parameters, range and refusals as there, with light 0..1 over the wall's peak in the place
    of the signal. Where PQ is clipped the smallest of the signals.
    """
    match transfer:
        case "bt1886":
            return bt1886_signal(light)
        case "gamma":
            return gamma_signal(light, gamma=_stated("gamma", gamma, transfer))
        case "pq":
            return pq_signal(_share("light", light) * _pq_peak(peak_nits))
        case "linear":
            return _share("light", light)
    raise OutOfRangeError("transfer", transfer, "'bt1886', 'gamma', 'pq' or 'linear'")


def _share(argument: str, value: ArrayLike) -> NDArray[np.float64]:
    return require(argument, value, "from 0 to 1", at_least=0.0, at_most=1.0)


def _exponent(gamma: float) -> float:
    return float(require("gamma", gamma, "from 0.1 to 10", at_least=0.1, at_most=10.0))


def _stated(argument: str, value: float | None, transfer: str) -> float:
    if value is None:
        raise OutOfRangeError(argument, value, f"needed by transfer '{transfer}'")
    return value


def _pq_peak(peak_nits: float | None) -> float:
    peak = _stated("peak_nits", peak_nits, "pq")
    accepted = "above 0, at most 10000 cd/m2"
    return float(require("peak_nits", peak, accepted, above=0.0, at_most=PQ_PEAK_NITS))
