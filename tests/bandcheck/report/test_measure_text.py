"""Words for what was measured."""

from dataclasses import replace

import numpy as np
import pytest
from brute_bands import band_file

from bandcheck.measure.known import Known, Light
from bandcheck.measure.picture_bands import picture_bands
from bandcheck.measure.readings import picture_readings
from bandcheck.report.measure_picture import measure_picture
from bandcheck.report.measure_series_text import agreement_text, roll_text
from bandcheck.report.measure_text import bands_text, figure_text, limit_text
from bandcheck.verdict.agreement import Agreement, Measured, Roll


def figure(value, uncertainty):
    return Measured(value=value, uncertainty=uncertainty)


@pytest.mark.parametrize(("value", "error", "told"), [
    (50.9367, 0.031, "50.937 ± 0.031 ms"),
    (50.9367, 3.1, "50.9 ± 3.1 ms"),
    (1234.5, 31.0, "1234 ± 31 ms"),
    (1234.5, 310.0, "1234 ± 310 ms"),
    (0.5, 0.0, "0.5 ms"),
    (0.5, 1e-9, "0.500000 ± 0.000001 ms"),
    (-1e-9, 0.01, "0.000 ± 0.010 ms"),
])
def test_figures_have_two_digits_of_their_uncertainty(value, error, told):
    assert figure_text(figure(value, error), "ms") == told


@pytest.mark.parametrize(("share", "told"), [
    (0.01234, "1.2 %"), (0.5, "50 %"), (1.2e-5, "0.0012 %"), (1e-9, "under 0.000001 %"),
    (0.0, "0 %"),
])
def test_limits_are_never_rounded_to_nothing(share, told):
    assert limit_text(share) == told


@pytest.fixture(scope="module")
def bands():
    return picture_bands(
        band_file(np.random.default_rng(1), bands=[(0.05, 0.05)], height=160, width=140),
        name="grab.png",
    )


def told(bands, readings):
    text = bands_text(bands, readings)
    assert all(len(line) <= 80 for line in text.splitlines())
    return " ".join(text.split())


def test_what_was_assumed_is_named(bands):
    readings = picture_readings(bands, Known(readout=figure(0.008, 0.0), rows_read=320))
    text = told(bands, readings)
    assert "sRGB; assumed" in text
    assert "taken for 2 rows of the sensor, which reads 320" in text
    assert "Region " in text
    assert "found; --region" in text
    assert "upside down" in text
    assert "Say what is known" not in text
    given = replace(bands, transfer_given=True, region_found=False, transfer="gamma", gamma=2.4)
    text = told(given, picture_readings(given, Known()))
    assert "Say what is known" in text
    assert "assumed" not in text
    assert "gamma 2.4" in text
    assert "as given" in text


def test_a_readout_that_was_given_is_held_against_the_measured_one(bands):
    light = Light(name="tubes", frequency_hz=figure(1000.0, 0.5))
    for readout_s, words in ((0.008, " agrees."), (0.0082, "does not agree")):
        known = Known(lights=(light,), readout=figure(readout_s, 1e-6))
        text = told(bands, picture_readings(bands, known))
        assert words in text
        assert "If the light of tubes, 1000.00 ± 0.50 Hz draws them" in text
        assert "would draw the same bands" in text


def test_warnings_are_said(bands):
    odd = replace(bands, clipped_top=0.03, clipped_bottom=0.01, uneven=(0.02,), form="JPEG",
                  along="columns")
    text = told(odd, ())
    for words in ("3 % of the region's codes stand at the top", "stand at 0", "every 50 rows",
                  "blocks of 8 rows", "stand upright"):
        assert words in text, words
    assert "95 times in 100" in text


def test_roll_says_what_it_cannot_know():
    roll = Roll(cycles=figure(0.1, 0.001), difference_hz=figure(2.4, 0.024), step_hz=24.0)
    assert "takes a known readout" in " ".join(roll_text(roll, None).split())
    assert "2.400 ± 0.024 Hz" in " ".join(roll_text(roll, figure(122.4, 0.02)).split())
    assert "122.400 ± 0.020 Hz" in " ".join(roll_text(roll, figure(122.4, 0.02)).split())


@pytest.mark.parametrize("verdict", ["agrees", "differs", "unknown"])
def test_agreement_in_words(verdict):
    found = Agreement(
        verdict=verdict, measured=None, detectable=0.01, predicted_low=0.02, predicted_high=0.05,
        predicted_period_rows=None, period_agrees=None,
    )
    text = " ".join(agreement_text(found).split())
    assert {"agrees": "Agrees", "differs": "Does not agree", "unknown": "Cannot tell"}[
        verdict] in text
    assert "2 % to 5 % predicted, none found, anything above 1 % would have been seen" in text


def test_the_picture_is_the_same_file_each_time_and_stands_for_nothing_found(bands):
    readings = picture_readings(bands, Known())
    first = measure_picture(bands, readings)
    assert first[:4] == b"\x89PNG"
    assert measure_picture(bands, readings) == first
    flat = replace(bands, light=np.zeros(160), fitted=np.zeros(160), power=np.zeros(3),
                   noise=np.zeros(3), real_from=np.zeros(3), cycles=np.array([0.1, 0.2, 0.3]),
                   weight=np.ones(160), sources=())
    assert measure_picture(flat, ())[:4] == b"\x89PNG"
