"""What a practitioner will try first, through the whole verdict; hand counts of pulses.

24 fps, 160 refreshes of 409 counts a frame, 16 scan lines, rolling 8 ms, locked unless it says so.
"""

import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_less
from plain_shots import (
    FILM,
    exposure_at,
    free_wall,
    global_camera,
    mains_lamp,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)
from second_opinion import colour_science

from bandcheck.verdict.assess import assess
from bandcheck.verdict.settings import safe_settings
from bandcheck.verdict.sweep import sweep
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.level import Level

PULLED_DOWN = Fraction(24000, 1001)
FULL = 160 * 409
LINEAR = plain_wall(transfer="linear")


def finding(assessment, hazard):
    return next(each.finding for each in assessment.findings if each.finding.hazard == hazard)


def at_counts(*counts, **changed):
    """Shot that is graded at these counts, the brightest first."""
    return plain_shot(wall=LINEAR, levels=tuple(count / FULL for count in counts), **changed)


def ripples(shot):
    """Ripple at the levels that decide, in their order."""
    report = assess(shot, fixes=False).banding
    return np.array([level.ripple for level in report.levels if level.decides])


@pytest.mark.parametrize("angle", [180, 144])
def test_angles_that_hold_whole_refreshes_are_safe(angle):
    found = assess(plain_shot(angle=angle), fixes=False)
    assert found.overall is Level.SAFE
    assert finding(found, "banding").reason == "even_light"
    mid_gray = next(level for level in found.banding.levels if level.signal == 0.5)
    assert mid_gray.counts == 12399
    assert 0 < mid_gray.ripple < 1e-3
    assert_array_less(ripples(at_counts(FULL, 77 * 160, 160, angle=angle)), 1e-9)


def test_a_fiftieth_holds_76_or_77_refreshes():
    found = assess(plain_shot(angle=Fraction("172.8")), fixes=False)
    assert finding(found, "banding").level is Level.MARGINAL
    assert finding(found, "banding").reason == "bands_stand"
    white, mid_gray = found.banding.levels[:2]
    assert_allclose(white.ripple, 1 / 76.8, rtol=1e-9)
    assert_allclose(mid_gray.ripple, 0.013, atol=5e-4)
    assert_allclose(white.modulation, 1 / 153, rtol=1e-9)  # (77 - 76) / (77 + 76)
    assert_allclose(white.stops, math.log2(77 / 76), rtol=1e-9)


def test_forty_counts_light_every_fourth_refresh():
    # 19.2 of them a fiftieth: 19 or 20
    assert_allclose(ripples(at_counts(40, angle=Fraction("172.8"))), 1 / 19.2, rtol=1e-9)
    assert_array_less(ripples(at_counts(40)), 1e-9)
    report = assess(at_counts(40), fixes=False).banding
    assert report.levels[[level.decides for level in report.levels].index(True)].counts == 40


def test_a_whole_frame_is_clean_at_every_count():
    counts = np.array([*range(1, 330), 12399, FULL - 1, FULL])
    locked = wall_cells(plain_shot(wall=LINEAR), levels=counts / FULL, exposure_s=[1 / 24])
    assert list(locked.counts) == list(counts)
    assert_array_less(locked.ripple, 1e-9)
    assert_array_less(locked.visibility, 1e-6)
    found = assess(plain_shot(angle=360, content_fps=Fraction(0)), fixes=False)
    assert found.overall is Level.SAFE
    assert found.banding.lowest_safe_level == 0.01


def test_but_not_on_a_wall_at_60():
    # 360 deg at 24 fps lasts 2.5 frames of the wall: of one pulse a frame it holds 2 or 3
    report = assess(plain_shot(angle=360, wall_fps=60), fixes=False).banding
    assert report.levels[-1].counts == 1
    assert_allclose(report.levels[-1].ripple, 1 / 2.5, rtol=1e-9)
    assert report.levels[-1].visibility > 0.5
    assert not report.standing
    assert_allclose(report.roll_hz, 12)  # 60 Hz against 24 fps: half a period a frame


def test_a_camera_at_23_976_has_lost_the_null():
    shot = {"fps": PULLED_DOWN, "wall_fps": 24, "genlock": "free"}
    found = assess(plain_shot(**shot))
    banding, tearing = finding(found, "banding"), finding(found, "tearing")
    assert banding.level is Level.MARGINAL
    assert banding.reason == "null_missed"
    assert_allclose(banding.figures["refreshes"], 80.08, rtol=1e-12)
    assert_allclose(found.banding.levels[0].ripple, 1 / 80.08, rtol=1e-9)
    assert (tearing.level, tearing.reason) == (Level.VISIBLE, "runs_free")
    assert_allclose(tearing.value, 41.7083, rtol=1e-5)
    # both fixes name what is wrong: a wall that runs at the camera's rate is safe
    for hazard in ("banding", "tearing"):
        fixed = next(each for each in found.findings if each.finding.hazard == hazard)
        lock = next(fix for fix in fixed.fixes if fix.change == "genlock")
        assert (lock.value, lock.level) == ("locked, wall at 24000/1001 fps", Level.SAFE)
    assert assess(plain_shot(fps=PULLED_DOWN), fixes=False).overall is Level.SAFE


def test_a_null_of_drifting_clocks_is_named():
    # one part in a thousand: 80 refreshes are 80.08, as above, but only within the tolerance
    off = plain_wall(rate_tolerance=1e-3)
    banding = finding(assess(plain_shot(wall=off, genlock="free"), fixes=False), "banding")
    assert banding.level is Level.MARGINAL
    assert banding.reason == "null_drifts_away"
    assert banding.figures["nominal_visibility"] < 1 < banding.value
    assert_allclose(banding.value, 6.0, atol=0.3)  # as the camera at 23.976 has it


def test_a_free_refresh_known_to_one_percent_is_never_safe_by_a_null():
    found = assess(plain_shot(wall=free_wall()), fixes=False)
    banding = finding(found, "banding")
    assert (banding.level, banding.reason) == (Level.VISIBLE, "null_drifts_away")
    assert banding.figures["nominal_visibility"] < 0.01  # white alone would be perfectly even
    nulls = [Fraction(9, 4) * number for number in (*range(1, 161, 6), 80, 160)]
    swept = sweep(plain_shot(wall=free_wall(), content_fps=Fraction(0)), angles_deg=nulls,
                  rates=[FILM])
    assert_array_less(0, swept.severity)
    settings = safe_settings(plain_shot(wall=free_wall()))
    assert settings.ranges == ()
    assert settings.blocked_by == ("wall",)
    assert settings.quietest.level is not Level.SAFE


def thin_lens_rows(*, pitch_mm, distance_mm, focal_mm, row_mm):
    """Camera rows that one wall row covers: S + v = distance from the sensor plane, P v / S."""
    object_mm = (distance_mm + math.sqrt(distance_mm**2 - 4 * focal_mm * distance_mm)) / 2
    return pitch_mm * (distance_mm - object_mm) / object_mm / row_mm


@pytest.mark.parametrize("camera", [global_camera, plain_camera])
def test_the_band_pitch_comes_from_the_optics(camera):
    seen = {
        "wall": plain_wall(pitch_mm=2.6), "optics": plain_optics(), "angle": Fraction("172.8"),
    }
    found = assess(
        plain_shot(camera=camera(sensor_height_mm=13.824), **seen), fixes=False
    )
    rows = thin_lens_rows(pitch_mm=2.6, distance_mm=6000, focal_mm=35, row_mm=13.824 / 2160)
    rolling = camera is plain_camera
    # the 16 lines of a scan, less what the readout moves on at 3840 Hz
    per_row = 1 / (16 * rows) - (3840 * 0.008 / 2160 if rolling else 0)
    assert_allclose(found.banding.band_pitch_rows, 1 / per_row, rtol=1e-9)
    assert_allclose(found.banding.bands_per_frame, 2160 * per_row, rtol=1e-9)
    assert found.banding.standing
    assert found.banding.roll_hz == 0
    banding = finding(found, "banding")
    assert banding.level is Level.MARGINAL
    assert banding.reason == ("bands_stand" if rolling else "lines_on_the_wall")


def test_without_optics_the_pitch_is_not_known_and_a_global_shutter_still_shows_lines():
    found = assess(plain_shot(camera=global_camera(), angle=Fraction("172.8")), fixes=False)
    assert finding(found, "banding").reason == "lines_on_the_wall"
    assert found.banding.standing
    assert found.banding.band_pitch_rows is None
    assert found.banding.bands_per_frame is None
    with_pitch = plain_shot(
        camera=global_camera(sensor_height_mm=13.824), wall=plain_wall(pitch_mm=2.6),
        optics=plain_optics(), angle=Fraction("172.8"),
    )
    known = assess(with_pitch, fixes=False)
    assert finding(found, "banding").value > finding(known, "banding").value  # worst is assumed


def test_48_fps_with_a_long_readout_has_no_clean_phase_at_180_deg():
    shot = plain_shot(fps=48, camera=plain_camera(readout_s=0.0156))
    found = assess(shot)
    tearing = finding(found, "tearing")
    assert (tearing.level, tearing.reason) == (Level.VISIBLE, "no_clean_phase")
    assert found.overall is Level.VISIBLE
    assert_allclose(found.tearing.largest_clean_angle_deg, 90.432, rtol=1e-12)
    ranges = safe_settings(shot).ranges
    assert ranges
    assert all(each.to_deg <= 90.432 + 1e-9 for each in ranges)
    assert max(each.to_deg for each in ranges) > 80


def sensitivity_of_colour_science(cycles_per_degree, luminance_nits):
    eye, width_deg = colour_science().contrast, 2 * math.degrees(math.atan(16 / 9 / 6))
    pupil = eye.pupil_diameter_Barten1999(luminance_nits, width_deg, width_deg)
    return float(eye.contrast_sensitivity_function_Barten1999(
        cycles_per_degree, sigma=eye.sigma_Barten1999(0.5 / 60, 0.08 / 60, pupil),
        E=eye.retinal_illuminance_Barten1999(luminance_nits, pupil, True),
        X_0=width_deg, Y_0=width_deg, p=1.2274e6,
    ))


@pytest.mark.parametrize(("angle", "left"), [(180, 0.127324), (90, 0.180063), (144, 0)])
def test_mains_light_leaves_what_the_shutter_leaves_of_it(angle, left):
    """60 Hz at 24 fps, 180 deg: abs(sinc(2.5)) = 0.1273 of the lamp's modulation."""
    # 120 Hz stands at 24 fps: 0.96 bands in a picture that is seen 18.92 deg high
    per_degree = 120 * 0.008 / (2 * math.degrees(math.atan(1 / 6)))
    sensitivity = sensitivity_of_colour_science(per_degree, 100.05) * 100 / 100.05
    for modulation in (1.0, 0.3):
        lamp = mains_lamp(modulation=modulation)
        found = finding(assess(plain_shot(angle=angle, lamps=(lamp,)), fixes=False), "lamp")
        assert_allclose(found.value, modulation * left * sensitivity, rtol=1e-3, atol=1e-9)


def test_a_fiftieth_is_the_shutter_for_50_hz():
    lamp = mains_lamp(mains_hz=50.0)
    for exposure in (Fraction(1, 50), Fraction(1, 100), exposure_at("86.4")):
        shot = plain_shot(exposure_s=exposure, lamps=(lamp,))
        assert finding(assess(shot, fixes=False), "lamp").level is Level.SAFE
    assert finding(assess(plain_shot(lamps=(lamp,)), fixes=False), "lamp").level is Level.VISIBLE
