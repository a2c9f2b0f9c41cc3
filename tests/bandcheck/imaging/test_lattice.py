"""Lens and sensor on lines of the lattice, and what defocus does to neighbouring scan lines."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moire_cases import a_lattice, a_sensor, a_standpoint, arrangement
from numpy.testing import assert_allclose, assert_array_equal, assert_array_less
from scipy import special

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.blur import defocus_bound, defocus_transfer
from bandcheck.imaging.lattice import (
    LINES,
    Places,
    distance_steps,
    lens_transfer,
    line_frequency,
    scan_line_softening,
    sensor_transfer,
)
from bandcheck.imaging.perspective import frame_places

MIDDLE = frame_places(whole_frame=False)
WHOLE = frame_places(whole_frame=True)


def transfer(places, frequency=((0.4,), (0.1,)), **changed):
    given = {"places": places, "sensor": a_sensor(), "squeeze": 1.0, "step": 0.0, **changed}
    return lens_transfer(np.array(frequency), **given)


def test_lines_are_all_orders_once():
    assert len(LINES) == (13 * 13 - 1) / 2
    assert {*LINES, *((-m, -n) for m, n in LINES)} == {
        (m, n) for m in range(-6, 7) for n in range(-6, 7)} - {(0, 0)}
    assert LINES[:2] == ((0, 1), (1, 0))


def test_a_percent_of_distance_moves_lines_by_what_the_steps_say():
    turned = {"yaw_deg": 25.0, "tilt_deg": -10.0}
    bent = a_lattice(cabinet_angle_deg=5.0, cabinet_columns_px=192)
    for lattice, agreement in ((a_lattice(), 1e-9), (bent, 3e-4)):
        near, far = (
            Places.of(lattice=lattice, sensor=a_sensor(), grid=WHOLE,
                      standpoint=a_standpoint(distance_mm=6000 * factor, **turned))
            for factor in (1, 0.99))
        line, step = line_frequency(near, m=2, n=-1)
        assert_allclose(line_frequency(far, m=2, n=-1)[0], line - step, rtol=agreement, atol=1e-6)
        assert_allclose(far.depth_mm, near.depth_mm - near.depth_step_mm, rtol=agreement)


@given(focus=st.floats(1500, 9000), distance=st.floats(1500, 9000))
@settings(derandomize=True, deadline=None)
def test_the_steps_hold_the_sharpest_distance(focus, distance):
    places = Places.of(**arrangement(focus_mm=focus, distance_mm=distance), grid=MIDDLE)
    steps = distance_steps(places)
    sharp = np.linspace(-1, 1, 401)
    blur = np.abs(1 / (places.depth_mm + sharp * places.depth_step_mm) - 1 / places.subject_mm)
    best = sharp[blur.argmin()]
    assert_allclose(steps[-1], best, atol=0.006)
    assert {0.0, -1.0, 1.0} <= set(steps[:-1])


def test_lens_transfer_from_its_two_factors():
    places = Places.of(**arrangement(), grid=MIDDLE)
    nu = np.hypot(0.4, 0.1) / 0.005 * 0.55e-3 * 2.8 * (places.circle_mm2 * 2.8 / 35**2)
    angle = np.arccos(nu)
    diffraction = 2 / np.pi * (angle - np.cos(angle) * np.sin(angle))
    circle = places.circle_mm2 * abs(1 / places.depth_mm - 1 / places.subject_mm)
    z = np.pi * circle * np.hypot(0.4, 0.1) / 0.005 * (1 - nu)
    assert_allclose(transfer(places, defocus=defocus_transfer),
                    diffraction * 2 * special.j1(z) / z, atol=1e-7)


@given(more=st.floats(1, 30), kx=st.floats(-2, 2), ky=st.floats(-2, 2))
@settings(derandomize=True, deadline=None)
def test_more_blur_is_never_passed_better(more, kx, ky):
    places = Places.of(**arrangement(), grid=MIDDLE)
    blurred = replace(places, circle_mm2=places.circle_mm2 * more)
    assert (transfer(blurred, ((kx,), (ky,))) <= transfer(places, ((kx,), (ky,)))).all()


@given(offset=st.floats(1e-6, 5e-5), kx=st.floats(-2, 2))
@settings(derandomize=True, deadline=None)
def test_equal_blur_at_equal_magnification_is_equal_in_front_and_behind(offset, kx):
    """Image distance, stop and wavelength made equal in their effect, the rest is the sign."""
    wall = 6000.0
    both = []
    for sign in (-1, 1):
        subject = 1 / (1 / wall + sign * offset)
        image = 1 / (1 / 35 - 1 / subject)
        standpoint = a_standpoint(
            distance_mm=wall + image, focus_mm=subject + image, f_number=2.8 * image / 35,
            wavelength_um=0.55 * (35 / image) ** 2)
        lattice = a_lattice(pitch_mm=2.6 * 35 / image)
        both.append(Places.of(lattice=lattice, sensor=a_sensor(), standpoint=standpoint,
                              grid=MIDDLE))
    front, behind = (transfer(places, ((kx,), (0.2,)), defocus=defocus)
                     for places, defocus in zip(both, [defocus_transfer] * 2, strict=True))
    assert_allclose(both[0].gradient, both[1].gradient, rtol=1e-9)
    assert_allclose(front, behind, rtol=1e-6, atol=1e-9)


def test_nothing_passes_beyond_the_cutoff():
    places = Places.of(**arrangement(f_number=8.0), grid=MIDDLE)
    cutoff = 0.005 * places.cutoff_per_mm[0]
    assert_array_equal(transfer(places, ((cutoff * 1.0001,), (0.0,))), 0)
    assert transfer(places, ((cutoff * 0.99,), (0.0,))) > 0


def test_an_anamorphic_blurs_less_across():
    """A front anamorphic of squeeze 2: the circle is a quarter as wide on the sensor."""
    places = Places.of(**arrangement(), grid=MIDDLE)
    quarter = replace(places, circle_mm2=places.circle_mm2 / 4)
    assert_allclose(transfer(places, ((0.4,), (0.0,)), squeeze=2.0),
                    transfer(quarter, ((0.4,), (0.0,))), rtol=1e-12)
    assert_array_equal(transfer(places, ((0.0,), (0.4,)), squeeze=2.0),
                       transfer(places, ((0.0,), (0.4,))))


@pytest.mark.parametrize("step", [-1.0, 1.0])
def test_a_step_is_a_percent_of_the_distance(step):
    here, there = (Places.of(**arrangement(distance_mm=6000 * factor, focus_mm=5600.0),
                             grid=MIDDLE)
                   for factor in (1, 1 + 0.01 * step))
    assert_allclose(transfer(here, step=step), transfer(there), rtol=1e-9)
    assert abs(transfer(here, step=step) - transfer(here)) > 1e-3


def test_sensor_transfer_has_one_axis_for_each_unknown():
    sensor = a_sensor(low_pass_px=None, photosite_fill=None)
    found = sensor_transfer(np.array([[0.3, 0.9], [0.1, 0.2]]), sensor)
    assert found.shape == (len(sensor.low_pass_px), len(sensor.photosite_fill), 2)
    one = sensor_transfer(np.array([[0.3, 0.9], [0.1, 0.2]]), a_sensor(
        low_pass_px=sensor.low_pass_px[1], photosite_fill=sensor.photosite_fill[2]))
    assert_array_equal(found[1, 2], one[0, 0])
    assert_allclose(
        one[0, 0, 0],
        np.cos(np.pi * 0.35 * 0.3) * np.cos(np.pi * 0.35 * 0.1) * np.sinc(0.3) * np.sinc(0.1))


def softening(cycles, along_rows=True, **standpoint):
    return scan_line_softening(
        cycles_per_led_row=cycles, along_rows=along_rows, **arrangement(**standpoint))


def test_softening_of_a_facing_wall_from_its_blur_circle():
    """16 scan lines, their first harmonic: the circle measured in LED rows."""
    wall, subject = 6000.0, 3000.0
    image = 1 / (1 / 35 - 1 / subject)
    circle_in_rows = 35**2 * 3000 / (2.8 * 6000 * 2965) / (2.6 * image / 6000)
    nu = 6000 / (8 * 2.6 * image) * 0.55e-3 * 2.8 * image / 35
    found = softening([2 / 16, 3 / 16], distance_mm=wall + image, focus_mm=subject + image)
    sharpest = circle_in_rows / 8 * (1 - nu)
    expected = defocus_bound(sharpest) * (1 - 4 / np.pi * nu)
    assert_allclose(found[0], expected, rtol=0.03)
    assert found[0] >= expected
    assert found[1] < found[0] < 0.7


def test_softening_never_promises_more_than_the_sharpest_place_holds():
    cycles = np.arange(1, 9) / 16
    facing, turned = (softening(cycles, distance_mm=4000.0, focus_mm=3200.0, yaw_deg=yaw)
                      for yaw in (0, 50))
    assert (turned > facing + 0.3).any(), "part of a turned wall is in focus"
    assert_array_less(facing, turned + 1e-12)
    in_focus = softening(cycles, distance_mm=6000.0, focus_mm=6000.0)
    assert (np.diff(in_focus) < 0).all()
    assert in_focus[0] > 0.97
    assert_array_equal(softening(-cycles, focus_mm=3000.0), softening(cycles, focus_mm=3000.0))
    assert_array_equal(softening(0.0), 1.0)


def test_softening_of_turned_panels_looks_along_the_other_axis():
    """An anamorphic lens blurs less across: what it leaves tells the axes apart."""
    near = {"squeeze": 2.0, "focus_mm": 3500.0}
    down, across = (softening(0.25, along_rows=along, **near) for along in (True, False))
    assert_allclose(down, softening(0.25, focus_mm=3500.0))
    assert across > down + 0.1
    turned = softening(0.25, along_rows=False, roll_deg=90.0, **near)
    assert_allclose(turned, down, rtol=1e-9)
    assert softening(np.ones((2, 3)) / 16, focus_mm=[3000.0, 4000.0]).shape == (2, 2, 3)


@pytest.mark.parametrize(("name", "value"), [
    ("distance_mm", 0), ("focus_mm", 20.0), ("f_number", 0), ("yaw_deg", 90), ("focal_mm", 0),
])
def test_optics_that_cannot_be_are_refused(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        Places.of(**arrangement(**{name: value}), grid=MIDDLE)
