"""An LED lattice as lens and sensor record it: every line of its spectrum at every place.

A lattice of LEDs is a sum of sine patterns, the lines k = m g1 + n g2 (g1, g2 the wall's columns
and rows per photosite); lens and sensor shrink each by its own factor. Everything here is worked
out for many places at once, laid out flat: all places of the frame of all standpoints.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.blur import (
    defocus_bound,
    diffraction_transfer,
    four_spot_transfer,
    photosite_transfer,
)
from bandcheck.imaging.optics import (
    image_distance_mm,
    subject_distance_mm,
    wall_distance_from_lens_mm,
    working_f_number,
)
from bandcheck.imaging.perspective import frame_places, wall_image

__all__ = [
    "DISTANCE_SPREAD", "LINES", "Places", "distance_steps", "lens_transfer", "line_frequency",
    "scan_line_softening", "sensor_transfer",
]

Floats = NDArray[np.float64]

DISTANCE_SPREAD = 0.01
"""Share of the distance within which the worst is looked for."""

_ORDERS = range(-6, 7)
LINES = tuple(sorted(
    ((m, n) for m in _ORDERS for n in _ORDERS if (m, n) > (0, 0)),
    key=lambda line: (line[0] ** 2 + line[1] ** 2, line),
))
"""Orders (m, n) up to 6, the coarsest first; (-m, -n) is the same line as (m, n)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Places:
    """Places of the frame for all standpoints, along the last axis of every array.

    Attributes
    ----------
    gradient, gradient_step
        Wall periods per photosite, shape (2, 2, places), and what 1 % more distance adds to them.
    depth_mm, depth_step_mm
        Distance of the wall from the lens there, and what 1 % more distance adds.
    subject_mm
        Distance focused on, from the lens.
    circle_mm2
        Blur circle over the difference of the reciprocal distances: f v / N.
    cutoff_per_mm
        Frequency from which the lens passes nothing: 1 / (lambda N_w).
    """

    gradient: Floats
    gradient_step: Floats
    depth_mm: Floats
    depth_step_mm: Floats
    subject_mm: Floats
    circle_mm2: Floats
    cutoff_per_mm: Floats

    @classmethod
    def of(
        cls, *, lattice: LedLattice, sensor: Sensor, standpoint: Standpoint, grid: Floats,
    ) -> Self:
        """Places of all standpoints, those of one standpoint side by side.

        Parameters
        ----------
        lattice, sensor, standpoint
            Wall, camera, lens and geometry.
        grid
            Places in the frame, from `bandcheck.imaging.perspective.frame_places`.

        Raises
        ------
        OutOfRangeError
            Optics that cannot be: distance 0, focus inside the focal length, yaw 90.
        """
        focal, number, distance, focus, yaw, tilt, roll = (
            np.ravel(value).astype(np.float64)
            for value in np.broadcast_arrays(*standpoint.varied))
        wall = wall_distance_from_lens_mm(distance_mm=distance, focal_mm=focal, focus_mm=focus)
        subject = subject_distance_mm(from_sensor_mm=focus, focal_mm=focal)
        image = image_distance_mm(focal_mm=focal, subject_mm=subject)
        working = working_f_number(f_number=number, focal_mm=focal, subject_mm=subject)
        seen = wall_image(
            places=grid, half_frame_px=(sensor.columns_px / 2, sensor.rows_px / 2),
            step_x=standpoint.squeeze * sensor.photosite_width_mm / image,
            step_y=sensor.photosite_height_mm / image,
            wall_mm=np.stack([wall, wall + DISTANCE_SPREAD * distance]), pitch_mm=lattice.pitch_mm,
            yaw_deg=yaw, tilt_deg=tilt, roll_deg=roll, curvature=lattice.curvature,
        )
        gradient, further = np.moveaxis(seen.gradients, 2, 0).reshape(2, 2, 2, -1)
        depth, deeper = seen.depth_mm.reshape(2, -1)
        cutoff = 1e3 / (standpoint.wavelength_um * working)
        lens = np.repeat([subject, focal * image / number, cutoff], grid.shape[1], axis=1)
        return cls(gradient=gradient, gradient_step=further - gradient, depth_mm=depth,
                   depth_step_mm=deeper - depth, subject_mm=lens[0], circle_mm2=lens[1],
                   cutoff_per_mm=lens[2])

    def __getitem__(self, which: NDArray[np.bool_] | NDArray[np.intp] | slice) -> Self:
        """Some of the places."""
        return type(self)(
            **{field.name: getattr(self, field.name)[..., which] for field in fields(self)})


def line_frequency(places: Places, *, m: ArrayLike, n: ArrayLike) -> tuple[Floats, Floats]:
    """Frequency of a line and what 1 % more distance adds, each (2, places), cycles/photosite.

    The orders `m` and `n` are one for all or one for each place.
    """
    m, n = np.asarray(m), np.asarray(n)
    return (m * places.gradient[0] + n * places.gradient[1],
            m * places.gradient_step[0] + n * places.gradient_step[1])


def distance_steps(places: Places) -> tuple[float | Floats, ...]:
    """Where within 1 % of the distance to look for the worst, in units of 1 %.

    Both ends, the middle, and where the wall comes nearest to what is in focus: the transfer of
    defocus has its only sharp turn there.
    """
    nearest = (places.subject_mm - places.depth_mm) / places.depth_step_mm
    return 0.0, -1.0, 1.0, np.clip(nearest, -1, 1)


def lens_transfer(
    frequency: Floats, *, places: Places, sensor: Sensor, squeeze: float, step: float | Floats,
    defocus: Callable[[ArrayLike], Floats] = defocus_bound,
) -> Floats:
    """Transfer of diffraction and defocus for a line of the lattice.

    Parameters
    ----------
    frequency
        Frequency [cycles per photosite], shape (2, places), at this step.
    places, sensor
        Where, and on which photosites.
    squeeze
        Squeeze q of the lens. Across the squeeze the blur circle is q^2 narrower on the sensor,
        as a front anamorphic makes it (ovals twice as tall as wide for q = 2); of the kinds of
        anamorphic lens that is the least blur (project choice).
    step
        Distance in units of 1 % from the nominal one.
    defocus
        `defocus_bound` or `defocus_transfer`.

    Returns
    -------
    ndarray
        Transfer, shape (places,); 0 beyond the lens cutoff.
    """
    per_mm = frequency / [[sensor.photosite_width_mm], [sensor.photosite_height_mm]]
    nu = np.minimum(np.hypot(*per_mm) / places.cutoff_per_mm, 1)
    depth = places.depth_mm + step * places.depth_step_mm
    circle = places.circle_mm2 * np.abs(1 / depth - 1 / places.subject_mm)
    cycles = circle * np.hypot(per_mm[0] / squeeze**2, per_mm[1])
    return np.asarray(diffraction_transfer(nu) * defocus(cycles * (1 - nu)))


def sensor_transfer(frequency: Floats, sensor: Sensor) -> Floats:
    """Transfer of low-pass and photosites, shape (low-pass shifts, fills, places)."""
    kx, ky = frequency
    low_pass = [four_spot_transfer(kx=kx, ky=ky, shift_px=shift) for shift in sensor.low_pass_px]
    fills = [photosite_transfer(kx=kx, ky=ky, fill=fill) for fill in sensor.photosite_fill]
    return np.asarray(np.stack(low_pass)[:, np.newaxis] * np.stack(fills))


def scan_line_softening(
    *, cycles_per_led_row: ArrayLike, along_rows: bool, lattice: LedLattice, sensor: Sensor,
    standpoint: Standpoint,
) -> Floats:
    """How far defocus averages neighbouring scan lines, and with them the bands of the timing.

    The light of a wall with S scan lines is periodic across S LED rows, j / S cycles per row for
    its harmonic j. Defocus passes no more of it than this, anywhere in the frame and within 1 %
    of the distance (the bound of the transfer: it never promises more than the lens holds).

    Parameters
    ----------
    cycles_per_led_row
        j / S, any shape; the sign does not matter.
    along_rows
        Whether scan lines run along the rows of the wall as it hangs; False for panels turned by
        90 or 270 degrees.
    lattice, sensor, standpoint
        Wall, camera, lens and geometry; focus must be known.

    Returns
    -------
    ndarray
        Factor 0..1, shape of the standpoint followed by that of `cycles_per_led_row`.
    """
    cycles = np.asarray(cycles_per_led_row, dtype=np.float64)
    places = Places.of(lattice=lattice, sensor=sensor, standpoint=standpoint,
                       grid=frame_places(whole_frame=True))
    axis = 1 if along_rows else 0
    softened = []
    for one in cycles.ravel():
        at_steps = [
            lens_transfer(
                one * (places.gradient[axis] + step * places.gradient_step[axis]), places=places,
                sensor=sensor, squeeze=standpoint.squeeze, step=step)
            for step in distance_steps(places)
        ]
        largest = np.fmax.reduce(at_steps).reshape(*standpoint.shape, -1)
        softened.append(np.fmax.reduce(largest, axis=-1))
    return np.reshape(np.stack(softened, axis=-1), (*standpoint.shape, *cycles.shape))
