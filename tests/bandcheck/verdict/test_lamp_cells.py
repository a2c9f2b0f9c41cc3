"""Lamps in shot: what is assumed of them, and what of their light the rows catch."""

from fractions import Fraction

import numpy as np
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import global_camera, mains_lamp, plain_camera, plain_shot, pulsed_lamp

from bandcheck.light.extremes import light_extremes
from bandcheck.light.lamps import pulsed_lamp_train
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.lamp_cells import lamp_light, lamp_visibility
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.vision.contrast_sensitivity import largest_sensitivity, picture_width_deg

EXPOSURES = np.array([1 / 48, 1 / 50, 1 / 60, 0.0101])
ROWS = row_sampling(plain_shot())


def visibility(lamp, *, rows=ROWS, exposures=EXPOSURES, viewing=Viewing()):  # noqa: B008
    return lamp_visibility(
        lamp_light(lamp, rows), rows=rows, viewing=viewing, exposure_s=exposures
    )


def test_a_sine_on_mains():
    (way,) = lamp_light(mains_lamp(mains_hz=50.0, modulation=0.3, mains_tolerance=0.002), ROWS)
    assert_array_equal(way.light_hz, [100])
    assert_allclose(2 * np.abs(way.relative), [0.3])
    assert (way.rate_exact, way.tolerance, way.taken) == (Fraction(100), 0.002, ())


def test_what_is_not_known_of_a_lamp_is_taken_at_its_worst():
    bare = mains_lamp(modulation=None, mains_tolerance=None)
    assert_array_equal(
        visibility(bare), visibility(mains_lamp(modulation=1.0, mains_tolerance=0.001))
    )
    assert (visibility(bare) > visibility(mains_lamp(modulation=0.5, mains_tolerance=0.001))).all()
    unknown = visibility(pulsed_lamp(duty=None))
    each = [visibility(pulsed_lamp(duty=duty)) for duty in (0.01, 0.1, 0.25, 0.5, 0.75, 0.9)]
    assert_array_equal(unknown, np.max(each, axis=0))
    assert len(lamp_light(pulsed_lamp(duty=None), ROWS)) == 6
    assert [each.key for each in lamp_light(pulsed_lamp(duty=None), ROWS)[0].taken] == ["duty"]


def test_a_steady_lamp_is_even():
    assert_array_equal(visibility(mains_lamp(kind="steady", mains_hz=None)), 0)


def test_a_pulsed_lamp_before_a_global_shutter_against_its_extremes():
    """All rows alike: every harmonic is met with the largest sensitivity."""
    rows = row_sampling(plain_shot(camera=global_camera()))
    width = picture_width_deg(view_heights=3.0, picture_aspect=16 / 9)
    eye = float(largest_sensitivity(luminance_nits=100.05, field_deg=width)) * 100 / 100.05
    for duty in (0.1, 0.5):
        lamp = pulsed_lamp(pulse_hz=311.0, duty=duty)
        train = pulsed_lamp_train(pulse_hz=311.0, duty=duty)
        low, high = light_extremes(train, exposure_s=EXPOSURES)
        mean = duty * EXPOSURES
        stray = np.maximum(high[0] / mean - 1, 1 - low[0] / mean) * eye
        # within 50 ppm of its rate, at the most a trace more; harmonics below 0.02 are left out
        assert_allclose(visibility(lamp, rows=rows), stray, rtol=6e-3, atol=0.03)


def test_rows_that_open_one_after_another_see_what_their_pitch_shows():
    slow, quick = (
        row_sampling(plain_shot(camera=plain_camera(readout_s=readout)))
        for readout in (0.004, 0.04 - 1e-9)
    )
    # 100 Hz in 4 ms: 0.4 bands in the picture; in 40 ms 4 bands, that are seen better
    exact = mains_lamp(mains_hz=48.0)  # 96 Hz stands at 24 fps
    assert (visibility(exact, rows=slow) < visibility(exact, rows=quick))[1:].all()
    # what drifts is met with the largest sensitivity from its pitch up: the same for both
    drifting = mains_lamp(mains_hz=50.0, mains_tolerance=1e-6)
    assert_allclose(visibility(drifting, rows=slow), visibility(drifting, rows=quick), rtol=1e-6)


def test_a_rate_that_is_held_exactly_stands_or_rolls():
    # 120 Hz stands at 24 fps; known to a millionth only, it may roll and is met as such
    stands, rolls = (
        visibility(mains_lamp(mains_tolerance=tolerance)) for tolerance in (0.0, 1e-9)
    )
    assert (rolls > 1.1 * stands)[:2].all()
    fifty = [visibility(mains_lamp(mains_hz=50.0, mains_tolerance=each)) for each in (0.0, 1e-9)]
    assert_allclose(fifty[0], fifty[1], rtol=1e-5, atol=1e-4)  # 100 Hz rolls anyway


def test_tolerance_takes_the_null_away():
    exact, public = (
        visibility(mains_lamp(mains_hz=50.0, mains_tolerance=tolerance))[1]
        for tolerance in (0.0, 0.001)
    )
    assert exact < 1e-6
    assert public > 0.3


def test_the_grade_weighs_contrast():
    assert_allclose(
        visibility(mains_lamp(), viewing=Viewing(grade_contrast=3.0)), 3 * visibility(mains_lamp()),
        rtol=1e-6,
    )
