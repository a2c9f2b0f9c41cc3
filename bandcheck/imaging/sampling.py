"""What sampling does to detail: folding, a mosaic's colours, and the resample for delivery.

A sampled sine pattern cannot be told from one whose frequency differs by a whole number of cycles
per sample; what is finer than half a cycle per sample comes back folded, as coarse fringes.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError

__all__ = ["COLOURS", "bayer_fringe", "delivery_transfer", "folded", "fringe_of_colour"]

Floats = NDArray[np.float64]

COLOURS = ("luma", "red-blue", "green-magenta")
"""Colours of fringes; `bayer_fringe` gives their place in this list."""

_CARRIERS = (((0.0, 0.0),), ((0.5, 0.0), (0.0, 0.5)), ((0.5, 0.5),))


def folded(cycles_per_sample: ArrayLike) -> Floats:
    """Frequency as it appears after sampling, -1/2..1/2 cycle per sample.

    Parameters
    ----------
    cycles_per_sample
        Frequency along one axis, any shape.

    Returns
    -------
    ndarray
        Frequency less the nearest whole number.
    """
    cycles = np.asarray(cycles_per_sample, dtype=np.float64)
    return np.asarray(cycles - np.rint(cycles))


def bayer_fringe(
    *, kx: ArrayLike, ky: ArrayLike,
) -> tuple[Floats, Floats, NDArray[np.int8]]:
    """Colour fringe that a Bayer mosaic makes of gray detail.

    Gray detail near (1/2, 0) or (0, 1/2) cycles per photosite lights the red photosites where it
    darkens the blue ones; near (1/2, 1/2) the green ones where it darkens the other two. The
    fringe has the frequency that lies between the detail and that carrier. A plane of one colour
    has a sample every second photosite, so that its fringes reach to 1/4 cycle per photosite;
    this gives each pattern one carrier, the nearest (project choice: demosaicing differs).

    Parameters
    ----------
    kx, ky
        Frequency of the detail [cycles per photosite]; broadcast.

    Returns
    -------
    fx, fy
        Frequency of the fringe, -1/4..1/4 cycle per photosite.
    colour
        Index into `COLOURS`; "luma" where the nearest carrier is gray's and there is no colour,
        and for NaN.
    """
    halves_x, halves_y = np.rint(2 * np.asarray(kx)), np.rint(2 * np.asarray(ky))
    odd_x, odd_y = np.mod(halves_x, 2), np.mod(halves_y, 2)
    colour = np.nan_to_num(odd_x + odd_y).astype(np.int8)
    return np.asarray(kx - halves_x / 2), np.asarray(ky - halves_y / 2), colour


def fringe_of_colour(frequency: Floats, *, colour: int) -> Floats:
    """Frequency at which detail would fringe in a given colour: from the nearest of its carriers.

    Parameters
    ----------
    frequency
        Frequency of the detail [cycles per photosite], shape (2, ...).
    colour
        Index into `COLOURS`.

    Returns
    -------
    ndarray
        Frequency of the fringe, each component -1/2..1/2, shape kept.
    """
    first, *others = (
        folded(np.moveaxis(np.moveaxis(frequency, 0, -1) - carrier, -1, 0))
        for carrier in _CARRIERS[colour])
    for other in others:
        first = np.where(np.hypot(*other) < np.hypot(*first), other, first)
    return first


def delivery_transfer(
    *, cycles_per_photosite: ArrayLike, ratio: ArrayLike, resample: Literal["box", "sharp"],
) -> Floats:
    """Transfer of the resample from the sensor's raster to the delivered one, along one axis.

    "box" takes the mean of r photosites: |sin(pi r k) / (r sin(pi k))|, exact for whole r; for
    others it is above what an area average passes. "sharp" keeps everything, also what then
    folds: the worst that a resample can do (project choice; good ones lie between the two).

    Parameters
    ----------
    cycles_per_photosite
        Folded frequency k, -1/2..1/2.
    ratio
        Photosites in one delivered pixel r, at least 1; broadcasts.
    resample
        "box" or "sharp".

    Returns
    -------
    ndarray
        Transfer 0..1.

    Raises
    ------
    OutOfRangeError
        A resample not known.
    """
    k, ratio = np.asarray(cycles_per_photosite), np.asarray(ratio)
    if resample == "sharp":
        return np.ones(np.broadcast_shapes(k.shape, ratio.shape))
    if resample == "box":
        return np.asarray(np.abs(np.sinc(ratio * k) / np.sinc(k)))
    raise OutOfRangeError("delivery_filter", resample, 'accepted are "box" and "sharp"')
