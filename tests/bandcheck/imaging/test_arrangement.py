"""Figures that are known, figures that are not, and figures that cannot be."""

import numpy as np
import pytest
from moire_cases import a_lattice, a_sensor, a_standpoint
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.arrangement import Standpoint
from bandcheck.imaging.unknowns import (
    UNKNOWN_EMITTER_FILL,
    UNKNOWN_EMITTER_SHAPE,
    UNKNOWN_LOW_PASS_PX,
    UNKNOWN_PHOTOSITE_FILL,
    possible_numbers,
    possible_words,
)


def test_what_is_known_is_one_value_and_what_is_not_a_range():
    known, unknown = a_lattice(), a_lattice(emitter_fill=None, emitter_shape=None)
    assert known.emitters == (("square", 0.4),)
    assert set(unknown.emitters) == {
        (shape, fill) for shape in UNKNOWN_EMITTER_SHAPE for fill in UNKNOWN_EMITTER_FILL}
    assert a_sensor(low_pass_px=0).low_pass_px == (0.0,)
    sensor = a_sensor(low_pass_px=None, photosite_fill=None, mosaic=None)
    assert sensor.low_pass_px == UNKNOWN_LOW_PASS_PX
    assert sensor.photosite_fill == UNKNOWN_PHOTOSITE_FILL
    assert sensor.mosaic is None


def test_the_delivery_filter_matters_only_where_something_is_resampled():
    assert a_sensor(delivery_columns_px=1920, delivery_filter=None).delivery_filters == (
        "box", "sharp")
    assert a_sensor(delivery_columns_px=1920).delivery_filters == ("box",)
    for columns in (None, 4096, 8192):
        sensor = a_sensor(delivery_columns_px=columns, delivery_filter=None)
        assert sensor.delivery_filters == ("sharp",)
        assert sensor.photosites_per_delivered_pixel(2.0) == (1.0, 1.0)


def test_delivered_pixels_are_square_once_unsqueezed():
    sensor = a_sensor(delivery_columns_px=2048)
    assert sensor.photosites_per_delivered_pixel(1.0) == (2.0, 2.0)
    assert sensor.photosites_per_delivered_pixel(1.5) == (2.0, 3.0)
    flat = a_sensor(delivery_columns_px=2048, height_mm=2160 * 4e-3)
    assert_allclose(flat.photosites_per_delivered_pixel(1.0), (2.0, 2.5))
    assert_allclose(flat.height_to_width(1.0), 1.25)


def test_photosites_are_square_unless_said():
    assert a_sensor().photosite_height_mm == a_sensor().photosite_width_mm == 5e-3
    assert a_sensor(height_mm=2160 * 4e-3).photosite_height_mm == pytest.approx(4e-3)


def test_curvature_is_concave_above_0():
    assert a_lattice().curvature == 0
    assert a_lattice(cabinet_angle_deg=0.0).curvature == 0
    assert a_lattice(cabinet_angle_deg=5, cabinet_columns_px=192).curvature > 0
    assert a_lattice(cabinet_angle_deg=-5, cabinet_columns_px=192).curvature < 0


def test_standpoints_come_apart_in_order():
    many = a_standpoint(distance_mm=[[4000.0], [6000.0]], focus_mm=[3000.0, 4000.0, 5000.0])
    assert many.shape == (2, 3)
    parts = list(many.parts(4))
    assert [part.shape for part in parts] == [(4,), (2,)]
    assert_array_equal(np.concatenate([part.distance_mm for part in parts]),
                       [4000, 4000, 4000, 6000, 6000, 6000])
    assert_array_equal(np.concatenate([part.focus_mm for part in parts]), [3e3, 4e3, 5e3] * 2)
    assert parts[1].squeeze == many.squeeze
    assert not many.oblique
    assert a_standpoint(tilt_deg=[0.0, 3.0]).oblique
    assert a_standpoint(yaw_deg=-1.0).oblique
    assert not a_standpoint(roll_deg=30.0).oblique


@pytest.mark.parametrize(("make", "name", "value"), [
    (a_lattice, "pitch_mm", 0), (a_lattice, "emitter_fill", 0), (a_lattice, "emitter_fill", 1.2),
    (a_lattice, "emitter_shape", "star"), (a_lattice, "cabinet_angle_deg", 120),
    (a_sensor, "columns_px", 0), (a_sensor, "rows_px", 0), (a_sensor, "delivery_columns_px", 0),
    (a_sensor, "mosaic", "stripes"), (a_sensor, "low_pass_px", -0.1),
    (a_sensor, "photosite_fill", 1.2), (a_sensor, "photosite_fill", 0),
    (a_sensor, "delivery_filter", "bicubic"),
    (a_standpoint, "squeeze", 0), (a_standpoint, "wavelength_um", 550),
])
def test_figures_that_cannot_be_are_refused_by_name(make, name, value):
    curved = {"cabinet_columns_px": 192} if name.startswith("cabinet") else {}
    with pytest.raises(OutOfRangeError) as refused:
        make(**{name: value}, **curved)
    assert refused.value.argument == name


@pytest.mark.parametrize(("name", "value"), [("width_mm", 0), ("height_mm", -1)])
def test_a_sensor_without_size_is_refused(name, value):
    with pytest.raises(OutOfRangeError, match=f"sensor_{name}"):
        a_sensor(**{name: value})


def test_an_angle_needs_a_cabinet():
    with pytest.raises(OutOfRangeError, match="cabinet_columns_px"):
        a_lattice(cabinet_angle_deg=5)


def test_possible_values():
    assert possible_numbers("fill", 0.5, (0.1, 0.9), at_most=1) == (0.5,)
    assert possible_numbers("fill", None, (0.1, 0.9), at_most=1) == (0.1, 0.9)
    assert possible_words("shape", None, ("a", "b")) == ("a", "b")
    assert possible_numbers("shift", 0, (0.1,), at_most=1, zero_is_one=True) == (0.0,)
    with pytest.raises(OutOfRangeError, match=r"from 0 to 1"):
        possible_numbers("shift", np.nan, (0.1,), at_most=1, zero_is_one=True)
    with pytest.raises(OutOfRangeError, match=r"above 0, at most 1"):
        possible_numbers("fill", 0, (0.1,), at_most=1)
    with pytest.raises(OutOfRangeError, match=r"accepted are a, b"):
        possible_words("shape", "c", ("a", "b"))


def test_standpoints_together_and_apart():
    points = [Standpoint(focal_mm=focal, f_number=2.8, distance_mm=6e3, focus_mm=5e3, yaw_deg=yaw,
                         squeeze=1.8) for focal, yaw in ((35.0, 0.0), (50.0, 20.0))]
    joined = Standpoint.together(points)
    assert joined.shape == (2,)
    assert joined.squeeze == 1.8
    for number, part in enumerate(joined.parts(1)):
        assert [float(each[0]) for each in part.varied] == list(points[number].varied)
