"""Perspective against a homography and against rays traced to an arc by root finding."""

import numpy as np
import pytest
from brute_image import Photograph
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.perspective import (
    FRAME_GRID,
    curvature_per_mm,
    frame_places,
    wall_image,
    wall_periods,
)

HALF_FRAME = (2048, 1080)
GRID = frame_places(whole_frame=True)
angles = st.floats(-40, 40)


def seen(*, image_mm=35.0, wall_mm=6000.0, squeeze=1.0, places=GRID, pitch_mm=2.6, **more):
    return wall_image(
        places=places, half_frame_px=HALF_FRAME, step_x=squeeze * 0.005 / image_mm,
        step_y=0.005 / image_mm, wall_mm=wall_mm, pitch_mm=pitch_mm, **more)


def differences(position, place, step=0.5):
    """Gradient of a function of photosites by central differences, wall axis first."""
    x, y = place[0] * HALF_FRAME[0], place[1] * HALF_FRAME[1]
    return np.stack([(position(x + step, y) - position(x - step, y)) / (2 * step),
                     (position(x, y + step) - position(x, y - step)) / (2 * step)], axis=1)


@given(yaw=angles, tilt=angles, roll=st.floats(-180, 180), squeeze=st.floats(1, 2))
@settings(derandomize=True, deadline=None, max_examples=30)
def test_flat_walls_against_a_homography(yaw, tilt, roll, squeeze):
    photo = Photograph(distance=6000, focus=4000, yaw=yaw, tilt=tilt, roll=roll, squeeze=squeeze)
    image = photo.lens_to_sensor
    found = seen(image_mm=image, wall_mm=6000 - image, squeeze=squeeze, yaw_deg=yaw,
                 tilt_deg=tilt, roll_deg=roll)

    def position(x, y):
        at = (np.array([each * photo.photosite]) for each in (x, y))
        return np.concatenate(photo.wall_points(*at)[:2])

    for index in (0, 8, 13, 22, 40):
        assert_allclose(found.gradients[:, :, index], differences(position, GRID[:, index]),
                        rtol=1e-5, atol=1e-7)
        depth = photo.wall_points(*(GRID[:, index, None] * np.array([HALF_FRAME]).T * 0.005))[2]
        assert_allclose(found.depth_mm[index], depth[0], rtol=1e-9)


@pytest.mark.parametrize("angle", [10, 5, -2.5, -5])
@pytest.mark.parametrize(("yaw", "tilt", "roll"), [(0, 0, 0), (20, -8, 5), (-35, 10, -90)])
def test_curved_walls_against_traced_rays(angle, yaw, tilt, roll):
    """Along the arc until the column of LEDs lies in the plane that ray and camera span."""
    curvature = curvature_per_mm(cabinet_angle_deg=angle, cabinet_columns_px=192, pitch_mm=2.6)
    turn = Rotation.from_euler("ZYX", [roll, yaw, tilt], degrees=True).as_matrix()
    radius = 1 / curvature

    def on_arc(along):
        return (turn @ [radius * np.sin(along / radius), 0,
                        -radius * (1 - np.cos(along / radius))]) + [0, 0, 6000]

    def position(x, y):
        ray = np.array([x * 0.005 / 35, y * 0.005 / 35, 1])
        plane = np.cross(ray, turn[:, 1])
        along = brentq(lambda s: plane @ on_arc(s), -4000, 4000, xtol=1e-10)
        up_and_on = np.linalg.lstsq(np.stack([ray, -turn[:, 1]], axis=1), on_arc(along),
                                    rcond=None)[0]
        return np.array([along, up_and_on[1]]) / 2.6

    found = seen(yaw_deg=yaw, tilt_deg=tilt, roll_deg=roll, curvature=curvature)
    for index in (13, 20, 22, 31):
        assert_allclose(found.gradients[:, :, index], differences(position, GRID[:, index]),
                        rtol=2e-5, atol=2e-7)


def test_a_concave_wall_comes_nearer_at_the_sides_and_a_convex_one_goes_away():
    for sign, angle in ((1, 5), (-1, -5)):
        curvature = curvature_per_mm(
            cabinet_angle_deg=angle, cabinet_columns_px=192, pitch_mm=2.6)
        depth = seen(curvature=curvature).depth_mm.reshape(FRAME_GRID[::-1])
        assert (sign * np.diff(depth[2, 4:]) < 0).all()
        assert_allclose(depth[2, 4], 6000)
        assert_allclose(depth[:, ::-1], depth)


def test_a_wall_that_curves_less_and_less_is_flat():
    flat, nearly = seen(yaw_deg=25.0), seen(yaw_deg=25.0, curvature=1e-12)
    assert_allclose(nearly.gradients, flat.gradients, rtol=1e-6)


def test_turns_go_the_way_that_is_written():
    depth = seen(yaw_deg=20.0).depth_mm.reshape(FRAME_GRID[::-1])
    assert (np.diff(depth, axis=1) < 0).all(), "a positive yaw brings the right edge nearer"
    depth = seen(tilt_deg=20.0).depth_mm.reshape(FRAME_GRID[::-1])
    assert (np.diff(depth, axis=0) > 0).all(), "a positive tilt takes the lower edge away"
    columns = seen(roll_deg=30.0).gradients[0, :, 0]
    assert_allclose(np.degrees(np.arctan2(columns[1], columns[0])), 30), "clockwise, y down"


def test_past_the_horizon_there_is_no_wall():
    wide = seen(image_mm=8.0, yaw_deg=80.0)
    gone = np.isnan(wide.depth_mm)
    assert 0 < gone.sum() < gone.size
    assert_array_equal(np.isnan(wide.gradients).all(axis=(0, 1)), gone)
    ball = seen(image_mm=8.0, wall_mm=3000.0, curvature=-1 / 500)
    assert np.isnan(ball.depth_mm[0])
    assert np.isfinite(ball.depth_mm[22])
    behind = seen(image_mm=8.0, wall_mm=3000.0, yaw_deg=80.0, curvature=-1e-6)
    assert np.isnan(behind.depth_mm).any()
    assert np.nanmin(behind.depth_mm) > 0


def test_the_grid_has_the_frame_edges_and_its_middle():
    assert GRID.shape == (2, 45)
    assert_array_equal(GRID[:, 22], 0)
    assert_array_equal(GRID[:, [0, 44]], [[-1, 1], [-1, 1]])
    assert_array_equal(frame_places(whole_frame=False), [[0], [0]])


@given(scale=st.floats(0.1, 10))
@settings(derandomize=True, deadline=None, max_examples=20)
def test_a_wall_and_its_distance_scaled_look_the_same(scale):
    turned = {"yaw_deg": 20.0, "tilt_deg": 7.0}
    scaled = seen(wall_mm=6000.0 * scale, pitch_mm=2.6 * scale, curvature=1e-4 / scale, **turned)
    plain = seen(curvature=1e-4, **turned)
    assert_allclose(scaled.gradients, plain.gradients, rtol=1e-9, atol=1e-14)
    assert_allclose(scaled.depth_mm, scale * plain.depth_mm, rtol=1e-9)


def test_arrays_broadcast():
    many = seen(yaw_deg=np.array([[0.0], [20.0]]), wall_mm=np.array([4000.0, 6000.0, 9000.0]))
    assert many.gradients.shape == (2, 2, 2, 3, 45)
    one = seen(yaw_deg=20.0, wall_mm=9000.0)
    assert_array_equal(many.gradients[:, :, 1, 2], one.gradients)


@pytest.mark.parametrize(("name", "value"), [
    ("yaw_deg", 90), ("yaw_deg", -90), ("tilt_deg", 90), ("tilt_deg", np.nan),
    ("roll_deg", np.inf), ("roll_deg", 400),
])
def test_a_wall_seen_edge_on_is_refused(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        seen(**{name: value})


@pytest.mark.parametrize(("name", "value"), [
    ("pitch_mm", 0), ("cabinet_columns_px", 0), ("cabinet_angle_deg", 91),
    ("cabinet_angle_deg", np.nan),
])
def test_cabinets_that_cannot_be_are_refused(name, value):
    good = {"pitch_mm": 2.6, "cabinet_columns_px": 192, "cabinet_angle_deg": 5}
    assert_allclose(curvature_per_mm(**good), np.radians(5) / (192 * 2.6))
    with pytest.raises(OutOfRangeError, match=name):
        curvature_per_mm(**{**good, name: value})


@pytest.mark.parametrize("curvature", [0.0, 1e-4, -2e-4])
def test_the_map_of_the_wall_has_the_gradients_that_are_given(curvature):
    """Differences of `wall_periods` between neighbouring photosites, and the middle by hand."""
    turned = {"yaw_deg": 25.0, "tilt_deg": -10.0, "roll_deg": 8.0, "curvature": curvature}
    image, half = 35.2, (2048, 1080)
    found = wall_image(places=GRID, half_frame_px=half, step_x=0.005 / image,
                       step_y=0.005 / image, wall_mm=6000.0, pitch_mm=2.6, **turned)
    ray = GRID * np.reshape(half, (2, 1)) * 0.005 / image
    step = 0.05 * 0.005 / image
    for axis in range(2):
        near, far = (
            wall_periods(ray_x=ray[0] + sign * step * (axis == 0),
                         ray_y=ray[1] + sign * step * (axis == 1), wall_mm=6000.0, pitch_mm=2.6,
                         **turned) for sign in (-1, 1))
        assert_allclose((far - near) / 0.1, found.gradients[:, axis], rtol=1e-6, atol=1e-8)
    middle = wall_periods(ray_x=0.0, ray_y=0.0, wall_mm=6000.0, pitch_mm=2.6, **turned)
    assert_allclose(middle, 0, atol=1e-9)
    facing = wall_periods(ray_x=0.1, ray_y=-0.05, wall_mm=5200.0, pitch_mm=2.6)
    assert_allclose(facing, [200, -100])


def test_a_ray_beyond_the_horizon_meets_no_wall():
    periods = wall_periods(ray_x=np.array([-0.5, 0.5]), ray_y=0.0, wall_mm=6000.0, pitch_mm=2.6,
                           yaw_deg=80.0)
    assert np.isnan(periods).all(axis=0).sum() == 1
