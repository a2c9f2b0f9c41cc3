"""Grades of exposures: sources, tears, whole lines, and what is not known."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import (
    exposure_at,
    global_camera,
    mains_lamp,
    plain_camera,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.timing.genlock import largest_clean_angle_deg
from bandcheck.verdict.exposure_grades import (
    exposure_grades,
    made_exposures_s,
    shot_tearing,
    with_angle,
)
from bandcheck.vision.level import Level

SLOW = float(exposure_at("172.8"))


def degrees(*angles):
    return np.array(angles) / 360 / 24


def test_sources_and_their_worst():
    shot = plain_shot(lamps=(mains_lamp(), pulsed_lamp()))
    grades = exposure_grades(shot, degrees(180, 172.8, 144))
    assert grades.sources == ("wall", "flicker", "mains lamp", "pulsed lamp")
    assert grades.visibility.shape == (4, 3)
    assert_array_equal(grades.worst_visibility, grades.visibility.max(axis=0))
    assert [grades.level(index) for index in range(3)] == [
        Level.MARGINAL, Level.MARGINAL, Level.SAFE,
    ]
    only = exposure_grades(shot, degrees(180, 172.8, 144), only=("mains lamp", "flicker"))
    assert only.sources == ("flicker", "mains lamp")
    assert_array_equal(only.visibility, grades.visibility[1:3])
    given = exposure_grades(shot, degrees(180, 144), wall_visibility=np.array([9.0, 0.1]))
    assert_array_equal(given.visibility[0], [9.0, 0.1])
    assert given.level(0) is Level.VISIBLE


def test_an_exposure_that_no_phase_keeps_clean_is_torn():
    # 24 fps, 8 ms: 290.88 deg (derived: check values)
    grades = exposure_grades(plain_shot(), degrees(1, 290.87, 290.89, 360))
    assert grades.torn.tolist() == [False, False, True, True]
    assert grades.severity[2:].tolist() == [3, 3]
    still = exposure_grades(plain_shot(content_fps=Fraction(0)), degrees(1, 360))
    assert not still.torn.any()
    free = exposure_grades(plain_shot(genlock="free"), degrees(1, 180))
    assert free.torn.all()
    assert free.level() is Level.VISIBLE
    spread = plain_shot(change_spread_s=0.004)
    edge = largest_clean_angle_deg(
        rest_s=1 / 24, camera_fps=Fraction(24), readout_s=0.008, change_spread_s=0.004
    )
    assert_array_equal(exposure_grades(spread, degrees(edge - 0.01, edge + 0.01)).torn,
                       [False, True])


def test_the_tear_of_a_shot():
    shot = plain_shot(camera=plain_camera(readout_tolerance_s=1e-3))
    assert_allclose(shot_tearing(shot).largest_clean_angle_deg, 360 * (1 - 24 * 0.009), rtol=1e-9)
    drifting = plain_shot(
        genlock="free", wall=plain_wall(rate_tolerance=None), camera=plain_camera(rate_tolerance=0)
    )
    figures = shot_tearing(drifting).finding.figures
    assert_allclose(figures["beat_fastest_hz"], 24 * 50e-6, rtol=1e-3)  # 50 ppm are assumed


def test_whole_lines_are_graded_as_they_are_made():
    line = 0.008 / 2160
    shot = plain_shot(camera=plain_camera(shutter_whole_lines=True))
    asked = np.array([0.3, 1.49, 1.5, 100.2]) * line
    assert_allclose(made_exposures_s(shot, asked), np.array([1, 1, 2, 100]) * line, rtol=1e-9)
    made, as_asked = exposure_grades(shot, asked), exposure_grades(plain_shot(), asked)
    exact = exposure_grades(plain_shot(), np.array([1, 1, 2, 100]) * line)
    assert_allclose(made.visibility, exact.visibility, rtol=1e-6)
    assert (made.visibility[0] != as_asked.visibility[0]).any()
    # 10416.67 lines of 4 us in a frame: never more than fit
    full = plain_shot(camera=plain_camera(shutter_whole_lines=True, rows_px=2000))
    assert_allclose(made_exposures_s(full, np.array([1 / 24])), 10416 * 4e-6, rtol=1e-9)
    for camera in (plain_camera(), plain_camera(shutter_whole_lines=None), global_camera()):
        assert made_exposures_s(plain_shot(camera=camera), asked) is asked


@pytest.mark.parametrize("scheme", ["multi", "global_reset"])
def test_what_is_not_described_is_not_known(scheme):
    shot = plain_shot(camera=plain_camera(exposure_scheme=scheme), lamps=(mains_lamp(),))
    grades = exposure_grades(shot, degrees(180, 360))
    assert np.isnan(grades.visibility).all()
    assert not grades.torn.any()
    assert grades.severity.tolist() == [Level.UNKNOWN.severity] * 2


def test_another_angle():
    shot = with_angle(plain_shot(), Fraction("172.8"))
    assert shot.exposure_s == Fraction(1, 50)
    assert shot.angle_deg == Fraction("172.8")
    assert exposure_grades(shot, np.array([])).severity.shape == (0,)
