"""Fringes of a recorded lattice: where its lines fold to, and how strong they still are there."""

from dataclasses import dataclass, fields
from typing import Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.arrangement import Sensor
from bandcheck.imaging.lattice import (
    Places,
    distance_steps,
    lens_transfer,
    sensor_transfer,
)
from bandcheck.imaging.sampling import bayer_fringe, delivery_transfer, folded

__all__ = [
    "Fringes", "colour_fringes", "cycles_per_height", "delivered_cycles_per_height",
    "delivered_share", "frequency_range", "graded_transfer", "luma_fringes",
]

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Fringes:
    """What one line of the lattice turns into at every place, along the last axis.

    Attributes
    ----------
    frequency
        Folded frequency on the sensor [cycles per photosite], shape (2, places).
    carrier
        What folding took away: frequency of the line less that of the fringe.
    step
        What 1 % more distance adds to either.
    colour
        Index into `bandcheck.imaging.sampling.COLOURS`.
    resolved
        True where nothing folds, on the sensor or in delivery: the wall's grid itself.
    """

    frequency: Floats
    carrier: Floats
    step: Floats
    colour: NDArray[np.int8]
    resolved: NDArray[np.bool_]

    def __getitem__(self, which: NDArray[np.bool_] | NDArray[np.intp] | slice) -> Self:
        """Some of the places."""
        return type(self)(
            **{field.name: getattr(self, field.name)[..., which] for field in fields(self)})


def luma_fringes(line: Floats, step: Floats, *, sensor: Sensor, squeeze: float) -> Fringes:
    """Fringes that every sensor has, in all colours alike; arguments from `line_frequency`."""
    frequency = folded(line)
    ratio = np.reshape(sensor.photosites_per_delivered_pixel(squeeze), (2, 1))
    return Fringes(
        frequency=frequency, carrier=line - frequency, step=step,
        colour=np.zeros(line.shape[1], dtype=np.int8),
        resolved=(np.abs(line * ratio) <= 0.5).all(axis=0),
    )


def colour_fringes(line: Floats, step: Floats) -> Fringes:
    """Fringes in the colours of a Bayer mosaic; "luma" where a line makes none."""
    fx, fy, colour = bayer_fringe(kx=line[0], ky=line[1])
    frequency = np.stack([fx, fy])
    return Fringes(frequency=frequency, carrier=line - frequency, step=step, colour=colour,
                   resolved=np.zeros(colour.shape, dtype=np.bool_))


def delivered_cycles_per_height(
    frequency: Floats, *, sensor: Sensor, squeeze: float, picture_aspect: float,
) -> Floats:
    """Frequency of a fringe in the delivered picture, unsqueezed, after delivery has folded it.

    The picture spans the sensor's columns; its height follows from its aspect, rows that are left
    over being cropped.

    Parameters
    ----------
    frequency
        Fringes on the sensor [cycles per photosite], shape (2, places).
    sensor, squeeze
        Sensor with its delivery, squeeze of the lens.
    picture_aspect
        Width over height of the delivered picture.

    Returns
    -------
    ndarray
        Cycles across and down a length of one picture height, with sign, shape (2, places).
    """
    ratio = np.reshape(sensor.photosites_per_delivered_pixel(squeeze), (2, 1))
    delivered = folded(frequency * ratio) / ratio
    return np.asarray(delivered * _photosites_per_height(sensor, squeeze, picture_aspect))


def _photosites_per_height(sensor: Sensor, squeeze: float, picture_aspect: float) -> Floats:
    across = sensor.columns_px / picture_aspect
    return np.array([[across], [across * sensor.height_to_width(squeeze)]])


def cycles_per_height(
    fringes: Fringes, *, sensor: Sensor, squeeze: float, picture_aspect: float,
) -> tuple[Floats, Floats]:
    """Fringes as in `delivered_cycles_per_height`, and what 1 % more distance adds to them."""
    nominal = delivered_cycles_per_height(
        fringes.frequency, sensor=sensor, squeeze=squeeze, picture_aspect=picture_aspect)
    return nominal, fringes.step * _photosites_per_height(sensor, squeeze, picture_aspect)


def frequency_range(nominal: Floats, step: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest frequency of a fringe within 1 % of the distance.

    As the distance changes the frequency moves along a straight piece, nominal +/- step.

    Parameters
    ----------
    nominal, step
        From `cycles_per_height`.

    Returns
    -------
    lowest, highest
        Cycles per picture height across the fringes' own direction, shape (places,).
    """
    (x, y), (dx, dy) = nominal, step
    turn = np.clip(-(x * dx + y * dy) / (dx * dx + dy * dy), -1, 1)
    return (np.hypot(x + turn * dx, y + turn * dy),
            np.maximum(np.hypot(x - dx, y - dy), np.hypot(x + dx, y + dy)))


def delivered_share(frequency: Floats, *, sensor: Sensor, squeeze: float) -> Floats:
    """Transfer of the delivery for fringes on the sensor.

    Parameters
    ----------
    frequency, sensor, squeeze
        As for `delivered_cycles_per_height`.

    Returns
    -------
    ndarray
        Product of both axes' `delivery_transfer`, shape (delivery filters, places).
    """
    across, down = sensor.photosites_per_delivered_pixel(squeeze)
    return np.stack([
        delivery_transfer(cycles_per_photosite=frequency[0], ratio=across, resample=resample)
        * delivery_transfer(cycles_per_photosite=frequency[1], ratio=down, resample=resample)
        for resample in sensor.delivery_filters])


def graded_transfer(
    fringes: Fringes, places: Places, *, sensor: Sensor, squeeze: float,
) -> Floats:
    """Share of a line's amplitude that arrives as its fringe: the most within 1 % of the distance.

    Parameters
    ----------
    fringes, places
        Of the same places.
    sensor, squeeze
        Sensor with its delivery, squeeze of the lens.

    Returns
    -------
    ndarray
        Shape (low-pass shifts, photosite fills, delivery filters, places): bound of defocus x
        diffraction x low-pass x photosite x delivery.
    """
    *whole, nearest = distance_steps(places)
    largest: Floats = np.maximum.reduce([
        _transfer_at(step, fringes, places, sensor=sensor, squeeze=squeeze) for step in whole])
    inside = np.flatnonzero(np.abs(nearest) < 1)  # elsewhere it is one of the ends
    if inside.size:
        largest[..., inside] = np.maximum(largest[..., inside], _transfer_at(
            np.asarray(nearest)[inside], fringes[inside], places[inside], sensor=sensor,
            squeeze=squeeze))
    return largest


def _transfer_at(
    step: float | Floats, fringes: Fringes, places: Places, *, sensor: Sensor, squeeze: float,
) -> Floats:
    """Share of a line's amplitude that arrives as its fringe at a step of the distance."""
    fringe = fringes.frequency + step * fringes.step
    line = fringe + fringes.carrier
    lens = lens_transfer(line, places=places, sensor=sensor, squeeze=squeeze, step=step)
    delivery = delivered_share(fringe, sensor=sensor, squeeze=squeeze)
    return np.asarray(lens * sensor_transfer(line, sensor)[:, :, np.newaxis] * delivery)
