"""The thin lens against arithmetic, bisection and a limit."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from reference_rows import assert_agrees, reference_rows
from scipy.optimize import brentq

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.optics import (
    blur_circle_mm,
    image_distance_mm,
    magnification,
    subject_distance_mm,
    wall_distance_from_lens_mm,
    wall_rows_per_camera_row,
    working_f_number,
)

FORMULAS = {
    "magnification": magnification,
    "subject distance": subject_distance_mm,
    "working f-number": working_f_number,
    "blur circle": blur_circle_mm,
}

focals = st.floats(8, 300)
factors = st.floats(4.01, 4000)


@pytest.mark.parametrize(
    "row", [row for quantity in FORMULAS for row in reference_rows("optics", quantity)])
def test_against_arithmetic(row):
    assert_agrees(row, FORMULAS[row["quantity"]](**row["given"]))


@pytest.mark.parametrize("row", reference_rows("optics", "wall rows"))
def test_wall_rows_from_distances_at_the_sensor(row):
    named = dict(row["given"])
    wall, subject = named.pop("wall_mm"), named.pop("subject_mm", None) or row["given"]["wall_mm"]
    lens = 1 / (1 / named["focal_mm"] - 1 / subject)
    rows = wall_rows_per_camera_row(distance_mm=wall + lens, focus_mm=subject + lens, **named)
    assert_agrees(row, rows)


@given(focal=focals, factor=factors)
@settings(derandomize=True, deadline=None)
def test_the_lens_scale_is_solved(focal, factor):
    typed = focal * factor
    def error(subject):
        return subject + 1 / (1 / focal - 1 / subject) - typed
    by_bisection = brentq(error, 2 * focal, typed, xtol=1e-12 * typed)
    assert_allclose(subject_distance_mm(from_sensor_mm=typed, focal_mm=focal), by_bisection,
                    rtol=1e-9)


@given(focal=focals, subject=st.floats(2.1, 4000), wall=st.floats(1.5, 4000))
@settings(derandomize=True, deadline=None)
def test_blur_from_where_the_image_lies(focal, subject, wall):
    """The cone of light behind the lens, cut by the sensor: similar triangles."""
    subject, wall = subject * focal, wall * focal
    sensor, image = (1 / (1 / focal - 1 / each) for each in (subject, wall))
    pupil = focal / 2.8
    cone = pupil * abs(sensor - image) / image
    circle = blur_circle_mm(f_number=2.8, focal_mm=focal, subject_mm=subject, wall_mm=wall)
    assert_allclose(circle, cone, rtol=1e-7, atol=1e-9 * pupil)


def test_focus_at_infinity_is_the_limit():
    far = {"focal_mm": 35, "focus_mm": 1e12}
    endless = {"focal_mm": 35, "focus_mm": np.inf}
    assert_allclose(wall_distance_from_lens_mm(distance_mm=6000, **endless), 6000 - 35)
    for more in ({"distance_mm": 6000, "pitch_mm": 2.6, "photosite_um": 5},):
        assert_allclose(wall_rows_per_camera_row(**more, **endless),
                        wall_rows_per_camera_row(**more, **far), rtol=1e-9)


@given(scale=st.floats(0.01, 100))
@settings(derandomize=True, deadline=None)
def test_scaling_all_lengths_changes_no_ratio(scale):
    lengths = {"focal_mm": 35.0, "distance_mm": 6000.0, "focus_mm": 4000.0, "pitch_mm": 2.6,
               "photosite_um": 5.4}
    rows = wall_rows_per_camera_row(**lengths)
    scaled = {name: scale * length for name, length in lengths.items()}
    assert_allclose(wall_rows_per_camera_row(**scaled), rows, rtol=1e-12)


def test_arrays_broadcast_and_keep_their_shape():
    rows = wall_rows_per_camera_row(
        focal_mm=[[24], [35], [50]], distance_mm=6000, focus_mm=[4000, 6000], pitch_mm=2.6,
        photosite_um=5.4)
    assert rows.shape == (3, 2)
    assert (np.diff(rows, axis=0) < 0).all()
    assert np.isnan(blur_circle_mm(f_number=2, focal_mm=35, subject_mm=900, wall_mm=np.nan))


WALL_ROWS = {"focal_mm": 35, "distance_mm": 6000, "focus_mm": 4000, "pitch_mm": 2.6,
             "photosite_um": 5.4}


@pytest.mark.parametrize(("name", "value", "says"), [
    ("focal_mm", 0, "above 0 mm"), ("focal_mm", np.nan, "above 0 mm"),
    ("distance_mm", 0, "above 0 mm"), ("distance_mm", -6000, "above 0 mm"),
    ("distance_mm", np.inf, "above 0 mm"), ("distance_mm", 70, "beyond 70.31"),
    ("focus_mm", 30, "four focal lengths"), ("focus_mm", 140, "beyond 140 mm"),
    ("focus_mm", np.nan, "infinity is one"), ("focus_mm", -np.inf, "infinity is one"),
    ("focus_mm", [4000, 20], "four focal lengths"), ("pitch_mm", 0, "above 0 mm"),
    ("photosite_um", 0, "above 0 um"),
])
def test_what_cannot_be_is_refused_in_plain_words(name, value, says):
    with pytest.raises(OutOfRangeError, match=says) as refused:
        wall_rows_per_camera_row(**{**WALL_ROWS, name: value})
    assert refused.value.argument == name
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("formula", [image_distance_mm, magnification])
@pytest.mark.parametrize("subject", [35, 20, 0, np.nan])
def test_nothing_focuses_inside_the_focal_length(formula, subject):
    with pytest.raises(OutOfRangeError, match="subject_mm"):
        formula(focal_mm=35, subject_mm=subject)


@pytest.mark.parametrize("number", [0, -2.8, np.nan, np.inf])
def test_an_f_number_is_above_0(number):
    with pytest.raises(OutOfRangeError, match="f_number"):
        working_f_number(f_number=number, focal_mm=35, subject_mm=900)
    with pytest.raises(OutOfRangeError, match="f_number"):
        blur_circle_mm(f_number=number, focal_mm=35, subject_mm=900, wall_mm=2000)
