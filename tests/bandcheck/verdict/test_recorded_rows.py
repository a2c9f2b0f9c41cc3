"""Rows of a recorded frame against sums of overlaps, row by row."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall, exact_light, mean_light
from plain_shots import (
    exposure_at,
    free_wall,
    global_camera,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)

from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.recorded_rows import (
    frames_in_pattern,
    linear_levels,
    pwm_brightness,
    recorded_rows,
)
from bandcheck.verdict.row_sampling import row_sampling

LISTED = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)
LINEAR = plain_wall(transfer="linear")
ROWS = 24


def light_of(shot, value, frame=0):
    return recorded_rows(
        shot, case=light_cases(shot.wall, shot.wall_fps)[0], levels=np.array([value / 65440]),
        frame=frame,
    )["white"][0]


def added_up(value, *, opens_s, exposure_s, lines=(0,), listed=LISTED):
    lit = [
        sum(exact_light(listed, value, open_s=opening, exposure_s=exposure_s, line=line)
            for line in each) / len(each)
        for opening, each in zip(opens_s, lines, strict=True)
    ]
    return np.array([float(each / mean_light(listed, value, exposure_s=exposure_s))
                     for each in lit])


@pytest.mark.parametrize("down", [True, False])
@pytest.mark.parametrize(("phase_s", "frame"), [(None, 0), (0.0123, 0), (0.0123, 3)])
def test_rows_of_a_locked_wall(down, phase_s, frame):
    camera = plain_camera(rows_px=ROWS, readout_down=down)
    shot = plain_shot(wall=LINEAR, camera=camera, angle="172.8", phase_s=phase_s)
    found = light_of(shot, 1234, frame)
    opens = (phase_s or 0.0) + np.arange(ROWS) * 0.008 / ROWS
    expected = added_up(
        1234, opens_s=opens, exposure_s=exposure_at("172.8"), lines=[(0,)] * ROWS
    )
    assert_allclose(found, expected if down else expected[::-1], rtol=1e-9)
    assert np.ptp(found) > 1e-3


def test_the_first_frame_opens_with_the_wall_at_any_rate():
    rate = Fraction(24000, 1001)
    shot = plain_shot(wall=LINEAR, camera=plain_camera(rows_px=ROWS), fps=rate, angle="172.8")
    expected = added_up(
        1234, opens_s=np.arange(ROWS) * 0.008 / ROWS, lines=[(0,)] * ROWS,
        exposure_s=exposure_at("172.8", rate), listed=replace(LISTED, wall_fps=rate),
    )
    for frame in (0, 5):
        assert_allclose(light_of(shot, 1234, frame), expected, rtol=1e-9)


def test_a_wall_at_60_moves_on_by_half_a_frame():
    camera = plain_camera(rows_px=ROWS)
    shot = plain_shot(wall=LINEAR, camera=camera, wall_fps=60, angle=100)
    listed = replace(LISTED, wall_fps=Fraction(60))
    frames = [light_of(shot, 3, frame) for frame in range(3)]
    assert frames_in_pattern(shot) == 2
    assert_allclose(frames[2], frames[0], rtol=1e-9)
    assert np.abs(frames[1] - frames[0]).max() > 0.1
    opens = 1 / 24 + np.arange(ROWS) * 0.008 / ROWS
    expected = added_up(
        3, opens_s=opens, exposure_s=exposure_at(100), lines=[(0,)] * ROWS, listed=listed
    )
    assert_allclose(frames[1], expected, rtol=1e-9)


@pytest.mark.parametrize(("rotation", "sense"), [(0, 1), (180, -1), (90, 0)])
@pytest.mark.parametrize("pitch_mm", [2.6, 0.4])
def test_rows_see_their_own_lines(rotation, sense, pitch_mm):
    shot = plain_shot(
        wall=plain_wall(transfer="linear", pitch_mm=pitch_mm),
        camera=plain_camera(rows_px=ROWS, sensor_height_mm=13.824 / 90), optics=plain_optics(),
        panel_rotation_deg=rotation, angle="172.8",
    )
    coupling = row_sampling(shot).wall_rows_per_row
    covered = max(1, int(coupling))
    assert covered == (1 if pitch_mm == 2.6 else 2)
    first = np.floor(sense * np.arange(ROWS) * coupling).astype(int)
    lines = [[(int(line) + step) % 16 for step in range(covered)] for line in first]
    expected = added_up(
        1234, opens_s=np.arange(ROWS) * 0.008 / ROWS, exposure_s=exposure_at("172.8"), lines=lines
    )
    assert_allclose(light_of(shot, 1234), expected, rtol=1e-9)


def test_a_global_shutter_without_optics_is_one_gray():
    shot = plain_shot(wall=LINEAR, camera=global_camera(rows_px=ROWS), angle="172.8")
    found = light_of(shot, 1234)
    assert found.shape == (ROWS,)
    assert np.ptp(found) == 0


def test_colours_and_black():
    wall = plain_wall(transfer="linear", white_duty=(1.0, 0.5, 0.25))
    shot = plain_shot(wall=wall, camera=plain_camera(rows_px=ROWS), angle="172.8")
    case = light_cases(wall, shot.wall_fps)[0]
    found = recorded_rows(shot, case=case, levels=np.array([160, 0]) / 65440)
    assert list(found) == ["red", "green", "blue"]
    opens = np.arange(ROWS) * 0.008 / ROWS
    for colour, value in (("red", 160), ("green", 80), ("blue", 40)):
        expected = added_up(
            value, opens_s=opens, exposure_s=exposure_at("172.8"), lines=[(0,)] * ROWS
        )
        assert_allclose(found[colour][0], expected, rtol=1e-9)
        assert_array_equal(found[colour][1], 1)


def test_frames_that_are_looked_at():
    assert frames_in_pattern(plain_shot()) == frames_in_pattern(plain_shot(wall_fps=48)) == 1
    assert frames_in_pattern(plain_shot(wall_fps=16)) == 3
    assert frames_in_pattern(plain_shot(genlock="free")) == 8
    assert frames_in_pattern(plain_shot(wall=free_wall())) == 8


def test_levels_and_brightness():
    assert_allclose(linear_levels(plain_shot(), np.array([0, 0.5, 1])), [0, 0.189465, 1], rtol=1e-5)
    for control, left in (("current", 1.0), ("pwm", 0.3), (None, 0.3)):
        shot = plain_shot(wall=plain_wall(brightness_control=control), brightness=0.3)
        assert pwm_brightness(shot) == left
