"""A thin lens in front of a sensor: where the lens stands, how large and how sharp the wall is.

Distances are typed from the sensor plane, as they are engraved on lens scales; the equations want
them from the lens. A lens focused on S (from the lens) stands v(S) in front of the sensor, so what
is typed is S' = S + v(S). Real lenses differ from a thin one by the gap between their principal
planes and by their breathing; neither is in here.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "blur_circle_mm", "image_distance_mm", "magnification", "subject_distance_mm",
    "wall_distance_from_lens_mm", "wall_rows_per_camera_row", "working_f_number",
]

Floats = NDArray[np.float64]


def _focal_mm(focal_mm: ArrayLike) -> Floats:
    return require("focal_mm", focal_mm, "a focal length above 0 mm", above=0)


def _finite_or_infinity(argument: str, value: ArrayLike) -> Floats:
    distance = np.asarray(value, dtype=np.float64)
    require(argument, np.where(np.isposinf(distance), 1.0, distance),
            "a distance above 0 mm (infinity is one)", above=0)
    return distance


def _refuse_nearer(argument: str, distance: Floats, nearest: Floats, why: str) -> None:
    """Raise for the first distance that does not reach beyond the nearest one."""
    distance, nearest = np.broadcast_arrays(distance, nearest)
    bad = distance <= nearest
    if bad.any():
        raise OutOfRangeError(argument, distance[bad][0],
                              f"must be beyond {nearest[bad][0]:g} mm, {why}")


def _subject_mm(subject_mm: ArrayLike, focal: Floats) -> Floats:
    subject = _finite_or_infinity("subject_mm", subject_mm)
    _refuse_nearer("subject_mm", subject, focal, "the focal length: no lens focuses inside it")
    return subject


def subject_distance_mm(*, from_sensor_mm: ArrayLike, focal_mm: ArrayLike) -> Floats:
    """Distance from the lens of what a lens scale puts at a distance from the sensor plane.

    Solves S' = S + v(S) with v = f S / (S - f), that is S^2 - S' S + S' f = 0. Of the two roots the
    far one is meant; the near one is the same lens closer than life size.

    Parameters
    ----------
    from_sensor_mm
        Distance focused on from the sensor plane [mm], beyond four focal lengths; infinity is one.
    focal_mm
        Focal length [mm]. Both broadcast.

    Returns
    -------
    ndarray
        Distance from the lens [mm].

    Raises
    ------
    OutOfRangeError
        Not beyond four focal lengths (life size), where a thin lens cannot focus; focal length 0.
    """
    focal = _focal_mm(focal_mm)
    typed = _finite_or_infinity("focus_mm", from_sensor_mm)
    _refuse_nearer("focus_mm", typed, 4 * focal,
                   "four focal lengths: nearer than that it lies inside what the lens can focus")
    return np.asarray(typed * (1 + np.sqrt(1 - 4 * focal / typed)) / 2)


def image_distance_mm(*, focal_mm: ArrayLike, subject_mm: ArrayLike) -> Floats:
    """Distance from lens to sensor when the lens is focused: v = f S / (S - f).

    Parameters
    ----------
    focal_mm
        Focal length f [mm].
    subject_mm
        Distance S focused on, from the lens [mm], above f; infinity is one. Both broadcast.

    Returns
    -------
    ndarray
        Image distance [mm]; f at infinity.

    Raises
    ------
    OutOfRangeError
        Focus inside the focal length; focal length 0.
    """
    focal = _focal_mm(focal_mm)
    return np.asarray(focal / (1 - focal / _subject_mm(subject_mm, focal)))


def magnification(*, focal_mm: ArrayLike, subject_mm: ArrayLike) -> Floats:
    """Size on the sensor over size of what is focused on: f / (S - f), S from the lens [mm].

    Raises
    ------
    OutOfRangeError
        Focus inside the focal length; focal length 0.
    """
    focal = _focal_mm(focal_mm)
    return np.asarray(focal / (_subject_mm(subject_mm, focal) - focal))


def working_f_number(
    *, f_number: ArrayLike, focal_mm: ArrayLike, subject_mm: ArrayLike,
) -> Floats:
    """F-number at which the focused lens works: N v / f, with v the image distance.

    Parameters
    ----------
    f_number
        Engraved f-number N, above 0.
    focal_mm, subject_mm
        Focal length, and distance focused on from the lens [mm]. All broadcast.

    Returns
    -------
    ndarray
        Working f-number.

    Raises
    ------
    OutOfRangeError
        F-number 0, focus inside the focal length, focal length 0.
    """
    number = require("f_number", f_number, "an f-number above 0", above=0)
    focal = _focal_mm(focal_mm)
    return number / (1 - focal / _subject_mm(subject_mm, focal))


def blur_circle_mm(
    *, f_number: ArrayLike, focal_mm: ArrayLike, subject_mm: ArrayLike, wall_mm: ArrayLike,
) -> Floats:
    """Diameter on the sensor of the circle that a point out of focus becomes.

    c = f^2 |S - D| / (N D (S - f)), written as (f v / N) |1/D - 1/S| so that S may be infinity.
    Geometrical optics: pupil aberrations and cat's-eye vignetting at the edge are not in it.

    Parameters
    ----------
    f_number
        Engraved f-number N.
    focal_mm, subject_mm, wall_mm
        Focal length, distance S focused on and distance D of the point, both from the lens along
        its axis [mm]. All broadcast; NaN where there is no point gives NaN.

    Returns
    -------
    ndarray
        Diameter c [mm].

    Raises
    ------
    OutOfRangeError
        F-number 0, focus inside the focal length, focal length 0.
    """
    number = require("f_number", f_number, "an f-number above 0", above=0)
    focal = _focal_mm(focal_mm)
    subject = _subject_mm(subject_mm, focal)
    image = image_distance_mm(focal_mm=focal, subject_mm=subject)
    return np.asarray(focal * image / number * np.abs(1 / np.asarray(wall_mm) - 1 / subject))


def wall_distance_from_lens_mm(
    *, distance_mm: ArrayLike, focal_mm: ArrayLike, focus_mm: ArrayLike,
) -> Floats:
    """Distance of the wall from the lens: what was typed less the image distance of the focus.

    Parameters
    ----------
    distance_mm
        Distance of the wall from the sensor plane along the lens axis [mm].
    focal_mm, focus_mm
        Focal length, and distance focused on from the sensor plane [mm]. All broadcast.

    Returns
    -------
    ndarray
        Distance from the lens [mm].

    Raises
    ------
    OutOfRangeError
        A wall within a focal length of the lens, or a focus that the lens cannot reach.
    """
    focal = _focal_mm(focal_mm)
    typed = require("distance_mm", distance_mm, "a distance above 0 mm", above=0)
    subject = subject_distance_mm(from_sensor_mm=focus_mm, focal_mm=focal)
    image = image_distance_mm(focal_mm=focal, subject_mm=subject)
    _refuse_nearer("distance_mm", typed, image + focal,
                   "where the lens and its focal length end, from the sensor plane")
    return np.asarray(typed - image)


def wall_rows_per_camera_row(
    *, focal_mm: ArrayLike, distance_mm: ArrayLike, focus_mm: ArrayLike, pitch_mm: ArrayLike,
    photosite_um: ArrayLike,
) -> Floats:
    """LED rows of the wall that pass from one sensor row to the next, in the middle of the frame.

    One photosite over one pitch on the sensor, P v / D. The wall faces the camera: yaw, tilt and
    roll change it by their cosines and are not in it, nor is squeeze, which acts across the rows.

    Parameters
    ----------
    focal_mm
        Focal length [mm].
    distance_mm, focus_mm
        Distance of the wall and distance focused on, from the sensor plane [mm].
    pitch_mm
        LED pitch P [mm].
    photosite_um
        Height of one sensor row [um]. All broadcast.

    Returns
    -------
    ndarray
        Wall rows per camera row.

    Raises
    ------
    OutOfRangeError
        Focus inside the focal length, distance 0, pitch 0, photosite 0.
    """
    pitch = require("pitch_mm", pitch_mm, "an LED pitch above 0 mm", above=0)
    photosite = require("photosite_um", photosite_um, "a photosite above 0 um", above=0)
    wall = wall_distance_from_lens_mm(
        distance_mm=distance_mm, focal_mm=focal_mm, focus_mm=focus_mm)
    subject = subject_distance_mm(from_sensor_mm=focus_mm, focal_mm=focal_mm)
    image = image_distance_mm(focal_mm=focal_mm, subject_mm=subject)
    return np.asarray(photosite * 1e-3 * wall / (pitch * image))
