"""Pitch to readout, source, aliases, roll and the shift of the scan."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.measure.figures import (
    Rows,
    aliases_hz,
    matched,
    readout_s,
    refined_hz,
    roll,
    source_hz,
    unturned,
)
from bandcheck.verdict.agreement import BandSource, Measured


def exact(value):
    return Measured(value=value, uncertainty=0.0)


def source(cycles, phase=0.0, *, sd=1e-6, phase_sd=1e-3, middle=500.0):
    return BandSource(
        cycles_per_row=Measured(value=cycles, uncertainty=sd), contrast=exact(0.05), orders=(1,),
        phase=Measured(value=phase, uncertainty=phase_sd), middle_row=middle, false_alarm=1e-9,
    )


@pytest.mark.parametrize("row", reference_rows("measure", "readout"))
def test_readout_as_published(row):
    rows = Rows(rows_read=row["given"]["rows"], sensor_rows=1.0)
    found = readout_s(
        exact(1 / row["given"]["period_rows"]), light_hz=exact(row["given"]["light_hz"]), rows=rows
    )
    assert_agrees(row, found.value)
    if "printed" in row:
        assert round(found.value * 1e3, 2) == row["printed"]


@pytest.mark.parametrize("row", reference_rows("measure", "source"))
def test_source_turned_round(row):
    found = source_hz(
        exact(1 / row["given"]["period_rows"]), readout=exact(row["given"]["readout_s"]),
        rows=Rows(rows_read=row["given"]["rows"], sensor_rows=1.0),
    )
    assert_agrees(row, found.value)


def test_a_smaller_picture_of_the_same_sensor_gives_the_same_readout():
    whole = readout_s(exact(0.01), light_hz=exact(500), rows=Rows(rows_read=4000, sensor_rows=1))
    half = readout_s(exact(0.02), light_hz=exact(500), rows=Rows(rows_read=4000, sensor_rows=2))
    # a crop: half of the rows are kept, one for one
    crop = readout_s(exact(0.01), light_hz=exact(500), rows=Rows(rows_read=4000, sensor_rows=1))
    assert_allclose([half.value, crop.value], whole.value, rtol=1e-15)
    assert_allclose(whole.value, 40 / 500, rtol=1e-15)


def test_uncertainties_add_in_quadrature():
    rows = Rows(rows_read=1000, sensor_rows=1.0)
    found = readout_s(Measured(value=0.01, uncertainty=3e-5),
                      light_hz=Measured(value=500, uncertainty=2.0), rows=rows)
    assert_allclose(found.uncertainty / found.value, 0.005, rtol=1e-12)  # 0.3 and 0.4 %


@settings(derandomize=True, deadline=None)
@given(cycles=st.floats(0.001, 0.49), readout_ms=st.floats(1, 60), scale=st.floats(0.5, 6))
def test_aliases_draw_the_same_bands(cycles, readout_ms, scale):
    """Second route: rows at their own times see each of the lights alike, up to its direction."""
    rows, readout = Rows(rows_read=900, sensor_rows=scale), exact(readout_ms / 1e3)
    light = source_hz(exact(cycles), readout=readout, rows=rows).value
    times = np.arange(40) * scale * readout.value / 900
    seen = np.cos(2 * np.pi * light * times)
    for other in aliases_hz(exact(cycles), readout=readout, rows=rows, count=6):
        assert_allclose(np.cos(2 * np.pi * other.value * times), seen, atol=1e-6)
        assert other.value > light


def test_aliases_stand_to_both_sides_of_the_row_rate():
    rows = Rows(rows_read=900, sensor_rows=1.0)
    found = aliases_hz(exact(0.1), readout=exact(0.9), rows=rows, count=5)  # 1000 rows a second
    assert_allclose([each.value for each in found], [900, 1100, 1900, 2100, 2900])


def test_time_rescaled():
    rows = Rows(rows_read=900, sensor_rows=1.0)
    slow = source_hz(exact(0.03), readout=exact(0.02), rows=rows).value
    assert_allclose(source_hz(exact(0.03), readout=exact(0.01), rows=rows).value, 2 * slow)


@pytest.mark.parametrize(("light_hz", "apart"), [(119.8, 1), (120.3, 1), (100.02, 1), (120.01, 5)])
def test_roll_gives_the_difference_of_rates(light_hz, apart):
    """Two pictures at 24 frames a second, 10 us a row: phases by the time of the middle row."""
    cycles = light_hz * 1e-5
    frames = [light_hz * (number / 24 + 500e-5) for number in (0, apart)]
    found = roll(*(source(cycles, each - round(each)) for each in frames), camera_fps=24,
                 frames_apart=apart)
    step = 24 / apart
    expected = light_hz - step * round(light_hz / step)
    assert_allclose(found.difference_hz.value, expected, atol=1e-9)
    assert_allclose(found.step_hz, step)
    assert_allclose(found.difference_hz.uncertainty, np.sqrt(2) * 1e-3 * step, rtol=1e-2)
    rough = Measured(value=light_hz + 0.3, uncertainty=0.3)
    assert_allclose(refined_hz(rough, found).value, light_hz, atol=1e-9)


def test_a_rough_figure_that_leaves_a_choice_is_not_refined():
    found = roll(source(0.001), source(0.001, 0.1), camera_fps=24)
    assert refined_hz(Measured(value=100, uncertainty=5), found) is None
    assert refined_hz(Measured(value=108, uncertainty=0.5), found) is None


def test_pictures_of_other_regions_are_brought_to_one_row():
    cycles = 0.0123
    first = source(cycles, 0.2, middle=500)
    second = source(cycles, (0.2 + cycles * 40) % 1, middle=540)
    assert_allclose(roll(first, second, camera_fps=24).cycles.value, 0, atol=1e-12)


def test_roll_of_other_bands_is_refused():
    with pytest.raises(OutOfRangeError, match="same pitch"):
        roll(source(0.01), source(0.0101), camera_fps=24)


@pytest.mark.parametrize(("time", "shift"), [(0.02, 0.005), (0.005, 0.02)])
def test_upside_down_takes_the_scan_out(time, shift):
    found = unturned(exact(abs(time - shift)), exact(time + shift))
    pairs = [(cycles.value, moved.value) for cycles, moved in found]
    assert_allclose(sorted(pairs)[int(time > shift)], (time, shift), rtol=1e-12)
    assert pairs[0][0] > pairs[0][1]


def test_lights_are_matched_by_the_row_time_they_share():
    found = [source(0.05), source(0.01), source(0.038)]
    lights = [exact(100), exact(380)]
    assert matched(found, lights) == ((0, 1), (1, 2))
    assert matched(found, [exact(100)]) == ((0, 0),)
    assert matched(found, [exact(100)], expected_cycles_per_hz=1e-4) == ((0, 1),)
    assert matched([], lights) == ()
    assert matched(found[:1], lights) == ((0, 0),)
    # one source, and the row time says which of the lights it is
    assert matched(found[2:], lights, expected_cycles_per_hz=1e-4) == ((1, 0),)


@pytest.mark.parametrize("broken", [0.0, -1.0, np.nan, np.inf])
def test_what_cannot_be_is_refused(broken):
    rows = Rows(rows_read=900, sensor_rows=1.0)
    with pytest.raises(OutOfRangeError):
        readout_s(exact(0.01), light_hz=exact(broken), rows=rows)
    with pytest.raises(OutOfRangeError):
        source_hz(exact(0.01), readout=exact(broken), rows=rows)
    with pytest.raises(OutOfRangeError):
        roll(source(0.01), source(0.01), camera_fps=broken)
