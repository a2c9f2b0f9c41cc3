"""Rolling shutter against print and hand counts (tests/reference/rolling_shutter.toml)."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from reference_rows import assert_agrees, reference_rows

from bandcheck.imaging.rolling_shutter import band_cycles_per_row, row_open_s
from bandcheck.light.extremes import light_extremes
from bandcheck.light.lamps import pulsed_lamp_train, sine_modulation_caught
from bandcheck.light.pulse_train import window_light


def opens_s(rows, line_time_s):
    return row_open_s(rows=rows, line_time_s=line_time_s, rows_px=np.size(rows))


@pytest.mark.parametrize("row", reference_rows("rolling_shutter", "line time and bands in a frame"))
def test_line_time_and_bands(row):
    given = row["given"]
    rows, light_hz = given["rows"], given["light_hz"]
    opens = opens_s(np.arange(rows), given["readout_s"] / rows)
    cycles = band_cycles_per_row(light_hz=light_hz, line_time_s=opens[1])
    assert_agrees(row, [opens[1] - opens[0], float(cycles) * rows])
    # the same bands counted in a recorded frame: rows where the light rises through its mean
    light = window_light(pulsed_lamp_train(pulse_hz=light_hz, duty=0.4), open_s=opens + 1e-3,
                         exposure_s=1e-3)[0]
    bright = light > light.mean()
    assert np.count_nonzero(bright & ~np.roll(bright, 1)) == row["expected"][1]


@pytest.mark.parametrize("row", reference_rows("rolling_shutter", "rows open at once"))
def test_rows_open_at_once(row):
    given = row["given"]
    opens = opens_s(np.arange(60), given["line_time_s"])
    instants = opens[30] + np.linspace(0, 3, 301)[:, None] * given["line_time_s"]
    open_now = ((opens <= instants) & (instants < opens + given["exposure_s"])).sum(axis=1)
    assert open_now.min() == row["expected"] == row["printed"]
    assert open_now.max() == row["expected"] + 1  # the fraction of a line


@pytest.mark.parametrize(
    "row", reference_rows("rolling_shutter", "line time and frame rate from a pixel clock")
)
def test_line_time_from_a_pixel_clock(row):
    given = row["given"]
    opens = opens_s(
        np.arange(given["lines_a_frame"] + 1), given["pixels_a_line"] / given["pixel_clock_hz"]
    )
    assert_agrees(row, [opens[1], 1 / opens[-1]])
    assert_allclose(row["printed"], row["expected"], rtol=row["tolerance"])


@pytest.mark.parametrize("row", reference_rows("rolling_shutter", "contrast of a full sine"))
def test_contrast_of_a_full_sine(row):
    light_hz, exposure_s = row["given"]["light_hz"], float(Fraction(row["given"]["exposure_s"]))
    caught = sine_modulation_caught(modulation=1.0, light_hz=light_hz, exposure_s=exposure_s)
    assert_allclose(caught, row["expected"], rtol=row["tolerance"])
    # second route: mean of the sine over windows at all phases, by the midpoint rule
    times = (np.arange(4000) + 0.5) / 4000 * exposure_s
    phases = np.linspace(0, 2 * np.pi, 721)[:, None]
    light = (1 + np.sin(2 * np.pi * light_hz * times + phases)).mean(axis=1)
    assert_allclose(caught, np.ptp(light) / (light.max() + light.min()), rtol=1e-4)


@pytest.mark.parametrize("row", reference_rows("rolling_shutter", "contrast of a pulsed light"))
def test_contrast_of_a_pulsed_light(row):
    given = row["given"]
    train = pulsed_lamp_train(pulse_hz=given["light_hz"], duty=float(Fraction(given["duty"])))
    lowest, highest = light_extremes(train, exposure_s=float(Fraction(given["exposure_s"])))
    contrast = (highest - lowest) / (highest + lowest)
    assert_allclose(contrast, float(Fraction(row["expected"])), rtol=row["tolerance"])
