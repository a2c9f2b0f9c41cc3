"""Where the wall lies in the picture: depth and LED spacing at places all over the frame.

Axes of the camera: x to the right and y down in the picture, z away from the lens. The wall is
turned by right-handed matrices about its middle, roll (about z) x yaw (about y) x tilt (about x):
a positive yaw brings its right edge nearer, a positive tilt takes its lower edge away, a positive
roll turns it clockwise. A curved wall is an arc about an upright axis, not a row of flat cabinets.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require

__all__ = [
    "FRAME_GRID", "WallImage", "curvature_per_mm", "frame_places", "wall_image", "wall_periods",
]

Floats = NDArray[np.float64]

FRAME_GRID = (9, 5)
"""Places looked at across and down the frame, its edges among them."""


@dataclass(frozen=True, kw_only=True, slots=True)
class WallImage:
    """The wall as it lies on the sensor.

    Attributes
    ----------
    gradients
        Wall periods per photosite, shape (2, 2, ..., places): first the wall's columns and rows,
        then the sensor's. NaN where the frame looks past the wall's horizon.
    depth_mm
        Distance from the lens along its axis [mm], shape (..., places).
    """

    gradients: Floats
    depth_mm: Floats


def frame_places(*, whole_frame: bool) -> Floats:
    """Places in the frame, shape (2, places): across and down, -1..1 from left and top edge.

    Parameters
    ----------
    whole_frame
        The grid of `FRAME_GRID`, row by row; else the middle alone, which says it all for a flat
        wall that faces the camera: it looks the same everywhere.
    """
    if not whole_frame:
        return np.zeros((2, 1))
    across, down = (np.linspace(-1, 1, count) for count in FRAME_GRID)
    return np.stack([np.tile(across, down.size), np.repeat(down, across.size)])


def curvature_per_mm(
    *, cabinet_angle_deg: float, cabinet_columns_px: float, pitch_mm: float,
) -> float:
    """Curvature of a wall whose cabinets turn by an angle each, concave > 0: one over the radius.

    Parameters
    ----------
    cabinet_angle_deg
        Turn from one cabinet to the next [deg], concave > 0.
    cabinet_columns_px
        LED columns of a cabinet.
    pitch_mm
        LED pitch [mm].

    Returns
    -------
    float
        Curvature [1/mm].

    Raises
    ------
    OutOfRangeError
        A pitch or cabinet of no width; an angle beyond +/- 90.
    """
    pitch = require("pitch_mm", pitch_mm, "an LED pitch above 0 mm", above=0)
    columns = require("cabinet_columns_px", cabinet_columns_px, "above 0", above=0)
    turn = require("cabinet_angle_deg", cabinet_angle_deg, "-90 to 90 degrees",
                   at_least=-90, at_most=90)
    return float(np.radians(turn) / (columns * pitch))


def _wall_axes(yaw_deg: ArrayLike, tilt_deg: ArrayLike, roll_deg: ArrayLike) -> Floats:
    """The wall's column, row and normal directions, shape (3 axes, 3 components, ...)."""
    turns = []
    for argument, value in (("yaw_deg", yaw_deg), ("tilt_deg", tilt_deg)):
        turns.append(require(argument, value, "between -90 and 90 degrees, without either: "
                             "a wall seen edge on is no picture", above=-90, below=90))
    roll = require("roll_deg", roll_deg, "-360 to 360 degrees", at_least=-360, at_most=360)
    yaw, tilt, roll = np.broadcast_arrays(*(np.radians(turn) for turn in (*turns, roll)))
    cy, sy, ct, st = np.cos(yaw), np.sin(yaw), np.cos(tilt), np.sin(tilt)
    unrolled = np.stack([
        np.stack([cy, np.zeros_like(cy), -sy]),
        np.stack([sy * st, ct, cy * st]),
        np.stack([sy * ct, -st, cy * ct]),
    ])
    x, y, z = unrolled[:, 0], unrolled[:, 1], unrolled[:, 2]
    cr, sr = np.cos(roll), np.sin(roll)
    return np.stack([x * cr - y * sr, x * sr + y * cr, z], axis=1)


def _cross(first: Floats, second: Floats) -> Floats:
    """First two components of a cross product over the leading axis."""
    return np.stack([
        first[1] * second[2] - first[2] * second[1],
        first[2] * second[0] - first[0] * second[2],
    ])


def wall_image(
    *, places: Floats, half_frame_px: tuple[float, float], step_x: ArrayLike, step_y: ArrayLike,
    wall_mm: ArrayLike, pitch_mm: float, yaw_deg: ArrayLike = 0.0, tilt_deg: ArrayLike = 0.0,
    roll_deg: ArrayLike = 0.0, curvature: float = 0.0,
) -> WallImage:
    """Depth and lattice gradients of the wall at places in the frame, exact for the thin lens.

    The ray through a photosite meets the wall's cylinder kappa (x^2 + z^2) + 2 z = 0 (x along the
    wall's columns, z along its normal; a plane where kappa = 0) at a depth t. As the ray d turns,
    the point slides on the tangent plane with axes u1, u2 and normal n there, which gives
    grad a = (t / P) (u2 x d) / (n.d) and grad b = (t / P) (d x u1) / (n.d) (derived).

    Parameters
    ----------
    places
        From `frame_places`.
    half_frame_px
        Half the sensor's columns and rows.
    step_x, step_y
        Slope of the ray from one photosite to the next, photosite over image distance; for an
        anamorphic lens `step_x` times its squeeze.
    wall_mm
        Distance of the wall's middle from the lens along its axis [mm].
    pitch_mm
        LED pitch P [mm].
    yaw_deg, tilt_deg, roll_deg
        Turn of the wall [deg]; yaw and tilt between -90 and 90. All arrays broadcast.
    curvature
        kappa [1/mm], concave > 0, from `curvature_per_mm`.

    Returns
    -------
    WallImage
        Arrays of the broadcast shape, places last.

    Raises
    ------
    OutOfRangeError
        Yaw or tilt of 90 degrees or more.
    """
    wall, step_x, step_y, *turns = (
        array[..., np.newaxis] for array in np.broadcast_arrays(
            wall_mm, step_x, step_y, yaw_deg, tilt_deg, roll_deg))
    u1, u2, n = _wall_axes(*turns)
    ray_x = places[0] * half_frame_px[0] * step_x
    ray = np.stack([ray_x, places[1] * half_frame_px[1] * step_y, np.ones_like(ray_x)])
    along, away = (u1 * ray).sum(axis=0), (n * ray).sum(axis=0)
    x0, z0 = -wall * u1[2], -wall * n[2]
    a = curvature * (along**2 + away**2)
    b = curvature * (x0 * along + z0 * away) + away
    c = curvature * (x0**2 + z0**2) + 2 * z0
    with np.errstate(divide="ignore", invalid="ignore"):
        facing = np.sqrt(b * b - a * c)  # n.d where the ray meets the wall
        depth = -c / (b + facing)
        met = np.isfinite(depth) & (depth > 0)
        scale = np.where(met, depth / (pitch_mm * facing), np.nan)
        sine, cosine = curvature * (x0 + depth * along), 1 + curvature * (z0 + depth * away)
    column = u1 * cosine - n * sine
    steps = np.stack([step_x, step_y])
    return WallImage(
        gradients=np.stack([_cross(u2, ray), _cross(ray, column)]) * steps * scale,
        depth_mm=np.where(met, depth, np.nan),
    )


def wall_periods(
    *, ray_x: ArrayLike, ray_y: ArrayLike, wall_mm: float, pitch_mm: float, yaw_deg: float = 0.0,
    tilt_deg: float = 0.0, roll_deg: float = 0.0, curvature: float = 0.0,
) -> Floats:
    """Where rays of one lens meet the wall, in pitches along its columns and rows.

    The map whose gradients `wall_image` gives. On a curved wall columns are counted along the arc:
    s = atan2(kappa x, 1 + kappa z) / kappa (derived).

    Parameters
    ----------
    ray_x, ray_y
        Slopes of the rays against the lens axis, to the right and down; they broadcast.
    wall_mm
        Distance of the wall's middle from the lens along its axis [mm].
    pitch_mm, yaw_deg, tilt_deg, roll_deg, curvature
        As for `wall_image`.

    Returns
    -------
    ndarray
        Columns and rows from the wall's middle, shape (2, ...); NaN where the ray meets no wall.

    Raises
    ------
    OutOfRangeError
        Yaw or tilt of 90 degrees or more.
    """
    u1, u2, n = _wall_axes(yaw_deg, tilt_deg, roll_deg)
    x, y = np.broadcast_arrays(ray_x, ray_y)
    along, upright, away = (axis[0] * x + axis[1] * y + axis[2] for axis in (u1, u2, n))
    x0, z0 = -wall_mm * u1[2], -wall_mm * n[2]
    a = curvature * (along**2 + away**2)
    b = curvature * (x0 * along + z0 * away) + away
    c = curvature * (x0**2 + z0**2) + 2 * z0
    with np.errstate(divide="ignore", invalid="ignore"):
        depth = -c / (b + np.sqrt(b * b - a * c))
        depth = np.where(np.isfinite(depth) & (depth > 0), depth, np.nan)
    column = x0 + depth * along
    if curvature:
        column = np.arctan2(curvature * column, 1 + curvature * (z0 + depth * away)) / curvature
    return np.stack([column, depth * upright - wall_mm * u2[2]]) / pitch_mm
