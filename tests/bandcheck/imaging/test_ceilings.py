"""Tables of bounds: never below what they bound, and not far above it either."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moire_cases import a_sensor
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.imaging.blur import defocus_bound, diffraction_transfer
from bandcheck.imaging.ceilings import (
    DIFFRACTION,
    Ceiling,
    Spans,
    blur_ceiling,
    sensor_ceiling,
    sensor_spans,
)
from bandcheck.imaging.lattice import sensor_transfer

FINE = np.linspace(0, 1, 4001)
SENSORS = [
    a_sensor(), a_sensor(low_pass_px=4.0, photosite_fill=1.0),
    a_sensor(low_pass_px=None, photosite_fill=None), a_sensor(low_pass_px=0, photosite_fill=0.1),
]


def test_diffraction_from_above():
    passed = diffraction_transfer(FINE * 1.2)
    assert (DIFFRACTION(FINE * 1.2) >= passed).all()
    assert_allclose(DIFFRACTION(FINE * 1.2), passed, atol=2e-3)
    assert_array_equal(DIFFRACTION(np.array([1.0, 1.5, 1e6])), 0)


def test_blur_from_above_near_and_far():
    for farthest in (3.9, 4.1, 400.0):
        cycles = FINE * farthest
        assert (blur_ceiling(cycles) >= defocus_bound(cycles)).all()
        assert_allclose(blur_ceiling(cycles), defocus_bound(cycles), atol=4e-3)
    assert_array_equal(blur_ceiling(np.array([-1.0])), blur_ceiling(np.array([0.0])))


def along(sensor, cycles):
    """Largest transfer of low-pass and photosites along one axis."""
    return sensor_transfer(np.stack([cycles, 0 * cycles]), sensor).max(axis=(0, 1))


@pytest.mark.parametrize("sensor", SENSORS)
def test_the_sensor_from_above_and_from_there_up(sensor):
    cycles = FINE * 11
    passed = along(sensor, cycles)
    assert (sensor_spans(sensor)(cycles, cycles) >= passed).all()
    from_here_up = np.maximum.accumulate(passed[::-1])[::-1]
    assert (sensor_ceiling(sensor)(cycles) >= from_here_up - 1e-12).all()
    assert_allclose(sensor_spans(sensor)(cycles[:2500], cycles[:2500]), passed[:2500], atol=0.06)


@given(low=st.floats(-0.1, 10), width=st.floats(0, 3), sensor=st.sampled_from(SENSORS))
@settings(derandomize=True, deadline=None)
def test_the_largest_over_a_span(low, width, sensor):
    cycles = np.linspace(max(low, 0), max(low, 0) + width, 400)
    found = sensor_spans(sensor)(np.array([low]), np.array([max(low, 0) + width]))
    assert found >= along(sensor, cycles).max()


def test_spans_and_ceilings_by_hand():
    spans = Spans.of(np.array([5.0, 1.0, 4.0, 2.0, 3.0]), per_unit=2.0)
    low, high = np.array([0.0, 0.6, 1.0, 0.5, 1.6, 9.0]), np.array([0.4, 0.9, 1.9, 2.4, 1.9, 9.0])
    assert_array_equal(spans(low, high), [5, 1, 4, 4, 2, 3])
    ceiling = Ceiling.of(lambda start: 10 - start, step=0.5, pieces=4)
    assert_allclose(ceiling(np.array([0.2, 0.5, 1.9, 7.0])), [10, 9.5, 8.5, 8.5], rtol=2e-6)
