"""Whether parts of a picture beside each other show the same bands.

A rolling shutter draws bands that are the same all across a picture. Content, texture and moire are
not, so parts of the picture tell them apart and, where they disagree, by how much.
"""

import numpy as np
from numpy.typing import NDArray

from bandcheck.measure.harmonics import HarmonicFit

__all__ = ["INCOHERENT", "incoherence", "unsteadiness"]

FloatArray = NDArray[np.float64]

_FEWEST_PARTS = 4

INCOHERENT = 0.01
"""Chance above which a line is none, as parts of the picture beside each other disagree on it."""

_UNSTEADY = 3.47
"""Variance over its expectation that eight parts exceed once in a thousand (chi squared, 7)."""


def incoherence(fit: HarmonicFit, parts: FloatArray | None, cycles: float) -> float:
    """Chance that parts of the picture agree on a line as well as they do by accident.

    Bands are the same in each part, in size and place. With c the complex amplitudes of G parts,
    `G |mean c|^2 / variance of c` follows F with 2 and 2 (G - 1) degrees of freedom where the
    parts have nothing in common, so the chance is `(1 + F / (G - 1)) ^ -(G - 1)`.

    Parameters
    ----------
    fit
        The fit without that line.
    parts
        Row means of parts beside each other, shape (rows, parts); None: there are none.
    cycles
        Frequency of the line [cycles per row].

    Returns
    -------
    float
        Chance; 0 where there are too few parts to tell.
    """
    if parts is None or parts.shape[1] < _FEWEST_PARTS:
        return 0.0
    count = parts.shape[1]
    amplitude = _part_amplitudes(parts / fit.trend[:, np.newaxis] - (1 + fit.bands)[:, np.newaxis],
                                 fit, cycles)
    common = amplitude.mean()
    spread = float((np.abs(amplitude - common) ** 2).sum()) / (count - 1)
    ratio = count * float(np.abs(common)) ** 2 / max(spread, 1e-300)
    return float((1 + ratio / (count - 1)) ** -(count - 1))


def _part_amplitudes(
    light: FloatArray, fit: HarmonicFit, cycles: float
) -> NDArray[np.complex128]:
    """Complex amplitude of a line in each part's relative light, shape (parts,)."""
    away = np.arange(len(light)) - fit.middle
    tone = fit.weight * np.exp(-2j * np.pi * cycles * away)
    return np.asarray(2 * (tone @ np.where(fit.weight[:, np.newaxis] > 0, light, 0.0))
                      / fit.weight.sum())


def unsteadiness(
    fit: HarmonicFit, place: int, parts: FloatArray | None, noise: float
) -> float:
    """By how much parts of the picture disagree on the place of bands more than noise allows.

    Something else that repeats nearly as the bands do, such as moire, moves them to and fro across
    the picture. Where parts scatter as the noise lets them the variance of their phases is that of
    the noise; above what noise exceeds once in a thousand their scatter counts instead.

    Parameters
    ----------
    fit
        The fit.
    place
        Which of its sources is looked at.
    parts
        Row means of parts beside each other, shape (rows, parts); None: there are none.
    noise
        Level of the noise at the source's frequency.

    Returns
    -------
    float
        Factor on the uncertainties, 1 or more.
    """
    if parts is None or parts.shape[1] < _FEWEST_PARTS:
        return 1.0
    line = fit.sources[place].cycles_per_row
    own = fit.amplitudes[place][0]
    light = parts / fit.trend[:, np.newaxis] - 1
    amplitude = _part_amplitudes(light, fit, line) * np.exp(-1j * np.angle(own))
    found = float(np.var(amplitude.imag, ddof=1)) / parts.shape[1]
    expected = 2 * noise / float(fit.weight.sum())
    ratio = found / max(expected, 1e-300)
    return float(np.sqrt(ratio)) if ratio > _UNSTEADY else 1.0
