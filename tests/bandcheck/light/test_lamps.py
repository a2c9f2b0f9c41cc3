"""Lamps: mains ripple, pulsed fixtures, and what they refuse."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.light.extremes import light_extremes
from bandcheck.light.lamps import mains_ripple_hz, pulsed_lamp_train, sine_modulation_caught
from bandcheck.light.pulse_train import window_light


def test_light_ripples_at_twice_the_mains():
    assert_array_equal(mains_ripple_hz([50, 60]), [100, 120])


@pytest.mark.parametrize(("fps", "mains_hz", "angles"), [
    (24, 50, [86.4, 172.8, 259.2, 345.6]), (24, 60, [72, 144, 216, 288, 360]),
    (25, 60, [75, 150, 225, 300]), (30, 50, [108, 216, 324]), (48, 50, [172.8, 345.6]),
])
def test_flicker_free_angles(fps, mains_hz, angles):
    """Common practice: `360 fps N / (2 f)`."""
    caught = sine_modulation_caught(
        modulation=1.0, light_hz=mains_ripple_hz(mains_hz), exposure_s=np.array(angles) / 360 / fps
    )
    assert_allclose(caught, 0, atol=1e-12)
    off = sine_modulation_caught(
        modulation=1.0, light_hz=mains_ripple_hz(mains_hz),
        exposure_s=(np.array(angles) - 20) / 360 / fps,
    )
    assert (off > 0.02).all()


def test_180_deg_at_24_fps_under_60_hz():
    found = sine_modulation_caught(modulation=[1.0, 0.4], light_hz=120, exposure_s=1 / 48)
    assert_allclose(found, [0.127324, 0.4 * 0.127324], rtol=1e-5)  # 2 / (5 pi)


def test_a_lamp_slower_than_once_a_second_is_a_lamp():
    found = sine_modulation_caught(modulation=1.0, light_hz=0.5, exposure_s=1.0)
    assert_allclose(found, 2 / np.pi, rtol=1e-12)  # sin(pi / 2) / (pi / 2)


def test_the_mean_of_a_pulsed_lamp_is_its_duty():
    train = pulsed_lamp_train(pulse_hz=1200.0, duty=0.3)
    assert_allclose(window_light(train, open_s=0.123, exposure_s=1.0)[0], 0.3, rtol=1e-9)
    lowest, highest = light_extremes(train, exposure_s=[0.2 / 1200, 0.5 / 1200, 0.9 / 1200])
    assert_allclose(lowest[0] * 1200, [0, 0, 0.2], atol=1e-9)
    assert_allclose(highest[0] * 1200, [0.2, 0.3, 0.3], atol=1e-9)
    slow = light_extremes(pulsed_lamp_train(pulse_hz=0.5, duty=0.5), exposure_s=0.5)
    assert_allclose(slow, [[0.0], [0.5]], atol=1e-12)
    always = light_extremes(pulsed_lamp_train(pulse_hz=50.0, duty=1.0), exposure_s=0.013)
    assert_allclose(always, [[0.013], [0.013]], rtol=1e-9)


def test_time_has_no_scale_and_shapes_broadcast():
    found = sine_modulation_caught(
        modulation=0.5, light_hz=np.array([[100.0], [120.0]]), exposure_s=np.array([0.01, 0.013])
    )
    assert found.shape == (2, 2)
    slower = sine_modulation_caught(
        modulation=0.5, light_hz=np.array([[50.0], [60.0]]), exposure_s=np.array([0.02, 0.026])
    )
    assert_allclose(slower, found, rtol=1e-12)


@pytest.mark.parametrize("bad", [0.0, -50.0, np.nan, np.inf])
def test_refuses_a_rate_or_time_that_is_not_above_0(bad):
    with pytest.raises(OutOfRangeError, match=r"^mains_hz: "):
        mains_ripple_hz(bad)
    with pytest.raises(OutOfRangeError, match=r"^pulse_hz: "):
        pulsed_lamp_train(pulse_hz=bad, duty=0.5)
    with pytest.raises(OutOfRangeError, match=r"^light_hz: "):
        sine_modulation_caught(modulation=1.0, light_hz=bad, exposure_s=0.01)
    with pytest.raises(OutOfRangeError, match=r"^exposure_s: "):
        sine_modulation_caught(modulation=1.0, light_hz=100.0, exposure_s=bad)


@pytest.mark.parametrize("bad", [-0.1, 1.1, np.nan])
def test_refuses_a_share_beyond_0_to_1(bad):
    with pytest.raises(OutOfRangeError, match=r"^modulation: "):
        sine_modulation_caught(modulation=bad, light_hz=100.0, exposure_s=0.01)
    for duty in (bad, 0.0):
        with pytest.raises(OutOfRangeError, match=r"^duty: "):
            pulsed_lamp_train(pulse_hz=100.0, duty=duty)
