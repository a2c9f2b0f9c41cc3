"""How a camera's rows meet a wall: line time, whole lines, tolerances, coupling."""

from fractions import Fraction

import pytest
from numpy.testing import assert_allclose
from plain_shots import (
    exposure_at,
    free_wall,
    global_camera,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)

from bandcheck.verdict.row_sampling import exposure_used_s, line_time_s, row_sampling


def test_line_time():
    assert_allclose(line_time_s(plain_camera()), 0.008 / 2160, rtol=1e-12)
    assert line_time_s(global_camera(readout_s=0.008)) == 0


def test_the_exposure_that_is_made_is_whole_lines_only_where_the_camera_counts_so():
    exposure = exposure_at("172.8") + Fraction(1, 10**6)
    for camera, made in (
        (plain_camera(), float(exposure)),
        (plain_camera(shutter_whole_lines=None), float(exposure)),
        (global_camera(shutter_whole_lines=True), float(exposure)),
        # 20.001 ms are 5400.27 lines of 3.7037 us
        (plain_camera(shutter_whole_lines=True), 5400 * 0.008 / 2160),
    ):
        shot = plain_shot(camera=camera, exposure_s=exposure)
        assert_allclose(exposure_used_s(shot), made, rtol=1e-12)
    short = plain_shot(
        camera=plain_camera(shutter_whole_lines=True), exposure_s=Fraction(1, 10**6)
    )
    assert_allclose(exposure_used_s(short), 0.008 / 2160, rtol=1e-12)


@pytest.mark.parametrize(("wall", "camera", "genlock", "tolerance"), [
    ({"rate_tolerance": 1e-5}, {"rate_tolerance": 2e-5}, "locked", 0.0),
    ({"rate_tolerance": 1e-5}, {"rate_tolerance": 2e-5}, "free", 3e-5),
    ({"rate_tolerance": None}, {"rate_tolerance": 2e-5}, "free", 7e-5),
    ({"rate_tolerance": None}, {"rate_tolerance": None}, "free", 1e-4),
    ({"rate_tolerance": 0.0}, {"rate_tolerance": None}, "locked", 0.0),
])
def test_clocks_count_where_they_are_not_shared(wall, camera, genlock, tolerance):
    shot = plain_shot(wall=plain_wall(**wall), camera=plain_camera(**camera), genlock=genlock)
    assert_allclose(row_sampling(shot).rate_tolerance, tolerance, rtol=1e-12, atol=0)
    assert row_sampling(shot).clock_shared == (genlock == "locked")


@pytest.mark.parametrize(("own", "tolerance"), [(0.002, 0.00203), (None, 0.01003), (0.0, 3e-5)])
def test_a_free_refresh_adds_its_own(own, tolerance):
    wall = free_wall(refresh_tolerance=own, rate_tolerance=1e-5)
    shot = plain_shot(wall=wall, camera=plain_camera(rate_tolerance=2e-5))
    assert_allclose(row_sampling(shot).rate_tolerance, tolerance, rtol=1e-12)


def test_readout_tolerance_is_a_share():
    shot = plain_shot(camera=plain_camera(readout_tolerance_s=1e-4))
    assert_allclose(row_sampling(shot).readout_tolerance, 0.0125, rtol=1e-12)
    assert row_sampling(plain_shot(camera=plain_camera(readout_tolerance_s=None))
                        ).readout_tolerance == 0
    still = plain_shot(camera=global_camera(readout_tolerance_s=1e-4))
    assert row_sampling(still).readout_tolerance == 0


def test_the_coupling_needs_lens_sensor_and_pitch():
    known = {
        "wall": plain_wall(pitch_mm=2.6), "camera": plain_camera(sensor_height_mm=13.824),
        "optics": plain_optics(),
    }
    # 2.6 mm at about 170 focal lengths: 15.35 um on the sensor, a row is 6.4 um
    assert_allclose(
        row_sampling(plain_shot(**known)).wall_rows_per_row, 6.4 / (2600 * 35 / 5929.6), rtol=1e-3
    )
    for left_out in (
        {"wall": plain_wall()}, {"camera": plain_camera()}, {"optics": None},
    ):
        assert row_sampling(plain_shot(**{**known, **left_out})).wall_rows_per_row is None
    # focused beyond the wall the image distance is a little shorter
    beyond = row_sampling(plain_shot(**{**known, "optics": plain_optics(focus_mm=60_000.0)}))
    assert 1 < beyond.wall_rows_per_row / row_sampling(plain_shot(**known)).wall_rows_per_row < 1.01


@pytest.mark.parametrize(("rotation", "scan_down", "readout_down", "direction"), [
    (0, True, True, 1), (180, True, True, -1), (0, False, True, -1), (0, True, False, -1),
    (90, True, True, 0),
])
def test_direction(rotation, scan_down, readout_down, direction):
    shot = plain_shot(
        wall=plain_wall(scan_down=scan_down), camera=plain_camera(readout_down=readout_down),
        panel_rotation_deg=rotation,
    )
    assert row_sampling(shot).direction == direction
