"""Measured against predicted contrast, and the prediction measured as the picture is."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import exposure_at, free_wall, plain_shot

from bandcheck.measure.known import Known
from bandcheck.measure.picture_bands import picture_bands
from bandcheck.measure.prediction import predicted_agreement
from bandcheck.measure.readings import picture_readings
from bandcheck.verdict.agreement import BandSource, Measured, agreement
from bandcheck.verdict.recorded_frame import recorded_frame


def found(contrast, sd, period=30.0, period_sd=0.1):
    return BandSource(
        cycles_per_row=Measured(value=1 / period, uncertainty=period_sd / period**2),
        contrast=Measured(value=contrast, uncertainty=sd), orders=(1,),
        phase=Measured(value=0.0, uncertainty=0.1), middle_row=0.0, false_alarm=0.0,
    )


@pytest.mark.parametrize(("contrast", "sd", "predicted", "verdict"), [
    (0.05, 0.001, [0.05], "agrees"),
    (0.0521, 0.001, [0.05], "differs"),
    (0.0519, 0.001, [0.05], "agrees"),
    (0.0521, 0.001, [0.05, 0.04, 0.051], "agrees"),
    (0.03, 0.001, [0.05, 0.04], "differs"),
    (0.0504, 1e-6, [0.05], "agrees"),
    (0.0506, 1e-6, [0.05], "differs"),
])
def test_two_sigmas_around_what_is_predicted(contrast, sd, predicted, verdict):
    result = agreement(measured=found(contrast, sd), detectable=0.001, predicted=predicted,
                       predicted_period_rows=None)
    assert (result.verdict, result.period_agrees) == (verdict, None)


@pytest.mark.parametrize(("predicted", "verdict"), [
    ([0.001], "agrees"), ([0.02], "differs"), ([0.001, 0.02], "unknown"),
])
def test_nothing_found_is_not_nothing_there(predicted, verdict):
    result = agreement(measured=None, detectable=0.01, predicted=predicted,
                       predicted_period_rows=None)
    assert (result.verdict, result.measured) == (verdict, None)


@pytest.mark.parametrize(("period", "agrees"), [(30.3, True), (31.0, False)])
def test_the_pitch_must_agree_too(period, agrees):
    result = agreement(
        measured=found(0.05, 0.001), detectable=0.001, predicted=[0.05],
        predicted_period_rows=Measured(value=period, uncertainty=0.2),
    )
    assert result.period_agrees is agrees
    assert result.verdict == ("agrees" if agrees else "differs")


def recorded(shot, rng, noise=2e-4):
    """A picture of a shot by its own rows, as row means with noise."""
    light = recorded_frame(shot, signals=np.array([1.0])).light[:, 0].mean(axis=0)
    light = light * (1 + noise * rng.standard_normal(len(light)))
    return picture_bands("\n".join(map(repr, light.tolist())).encode(), name="rows.csv")


@pytest.mark.parametrize("angle", [40, 100, 172])
def test_a_frame_agrees_with_its_own_setting_and_no_other(angle):
    rng = np.random.default_rng(angle)
    shot = plain_shot(angle=angle, phase_s=0.003)
    bands = recorded(shot, rng)
    reading = picture_readings(bands, Known(rows_read=2160))[0]
    result = predicted_agreement(replace(shot, phase_s=0.011), bands, reading)
    assert result.verdict == "agrees"
    assert_allclose(result.predicted_high, reading.source.contrast.value, rtol=0.01)
    # 3840 Hz, 8 ms of readout, 2160 rows
    assert_allclose(result.predicted_period_rows.value, 2160 / (3840 * 0.008), rtol=1e-4)
    other = replace(shot, exposure_s=exposure_at(Fraction(angle) + Fraction(1, 2)))
    assert predicted_agreement(other, bands, reading).verdict == "differs"


def test_a_null_agrees_with_no_bands():
    shot = plain_shot(angle=180)
    bands = recorded(shot, np.random.default_rng(1))
    assert bands.sources == ()
    assert predicted_agreement(shot, bands, None).verdict == "agrees"
    assert predicted_agreement(plain_shot(angle=90.5), bands, None).verdict == "differs"


def test_a_refresh_that_may_err_widens_the_prediction():
    shot = plain_shot(wall=free_wall(), angle=180)
    bands = recorded(shot, np.random.default_rng(2))
    result = predicted_agreement(shot, bands, None)
    assert result.predicted_low < result.predicted_high
    assert result.verdict == "unknown"
