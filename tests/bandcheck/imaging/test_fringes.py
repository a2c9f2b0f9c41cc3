"""Fringes of lines: frequencies in the picture by hand, range and strength by a search."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moire_cases import a_sensor, arrangement
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.imaging.fringes import (
    colour_fringes,
    cycles_per_height,
    delivered_cycles_per_height,
    delivered_share,
    frequency_range,
    graded_transfer,
    luma_fringes,
)
from bandcheck.imaging.lattice import Places, lens_transfer, line_frequency, sensor_transfer
from bandcheck.imaging.perspective import frame_places
from bandcheck.imaging.sampling import COLOURS

WIDE = 16 / 9
small = st.floats(-2, 2)


def column(x, y):
    return np.array([[x], [y]], dtype=float)


@pytest.mark.parametrize(("line", "frequency", "grid"), [
    ((0.4, 0.1), (0.4, 0.1), True), ((0.5, 0.0), (0.5, 0.0), True),
    ((0.6, 0.1), (-0.4, 0.1), False), ((1.02, 0.0), (0.02, 0.0), False),
])
def test_luma_folds_by_whole_numbers(line, frequency, grid):
    found = luma_fringes(column(*line), column(0, 0), sensor=a_sensor(), squeeze=1.0)
    assert_allclose(found.frequency, column(*frequency), atol=1e-12)
    assert_allclose(found.frequency + found.carrier, column(*line), atol=1e-12)
    assert_array_equal(found.resolved, grid)
    assert_array_equal(found.colour, 0)


def test_a_grid_that_delivery_folds_is_moire():
    """0.4 cycle per photosite is 0.8 per delivered pixel of two: 0.2, the other way round."""
    sensor = a_sensor(delivery_columns_px=2048)
    found = luma_fringes(column(0.4, 0.0), column(0, 0), sensor=sensor, squeeze=1.0)
    assert not found.resolved
    in_picture = delivered_cycles_per_height(
        found.frequency, sensor=sensor, squeeze=1.0, picture_aspect=WIDE)
    assert_allclose(in_picture * WIDE, column(-0.2 * 2048, 0))


def test_colours_never_count_as_the_grid():
    found = colour_fringes(column(0.48, 0.03), column(0.001, 0))
    assert_allclose(found.frequency, column(-0.02, 0.03), atol=1e-12)
    assert COLOURS[found.colour[0]] == "red-blue"
    assert not found.resolved


def test_fringes_in_the_picture_by_hand():
    """0.01 and 0.02 cycle per photosite of 4096 columns, which are 2304 rows of 16:9."""
    in_picture = delivered_cycles_per_height(
        column(0.01, 0.02), sensor=a_sensor(), squeeze=1.0, picture_aspect=WIDE)
    assert_allclose(in_picture * column(WIDE, 1), column(40.96, 46.08))
    squeezed = delivered_cycles_per_height(
        column(0.01, 0.02), sensor=a_sensor(), squeeze=2.0, picture_aspect=2.4)
    assert_allclose(squeezed * column(2.4, 1), column(40.96, 0.02 * 4096 * 2 / 2.4))


@given(x=small, y=small, dx=small, dy=small)
@settings(derandomize=True, deadline=None)
def test_the_range_of_frequencies_by_walking_along_it(x, y, dx, dy):
    if np.hypot(dx, dy) < 1e-3:
        return
    walk = np.linspace(-1, 1, 2001)
    length = np.hypot(x + walk * dx, y + walk * dy)
    lowest, highest = frequency_range(column(x, y), column(dx, dy))
    assert_allclose(lowest, length.min(), atol=2e-3)
    assert_allclose(highest, length.max(), rtol=1e-9)
    assert lowest <= length.min() + 1e-12


def fringes_of(sensor, m=1, n=0, coloured=False, **standpoint):
    places = Places.of(**arrangement(sensor=sensor, **standpoint),
                       grid=frame_places(whole_frame=False))
    line, step = line_frequency(places, m=m, n=n)
    if coloured:
        return colour_fringes(line, step), places
    return luma_fringes(line, step, sensor=sensor, squeeze=1.0), places


@pytest.mark.parametrize(("m", "focus", "delivery", "coloured"), [
    (1, 5000.0, 4096, False), (1, 6030.0, 4096, True), (3, 5980.0, 4096, False),
    (2, 6000.0, 1920, False), (1, 9000.0, 2048, True), (4, 6000.0, 4096, False),
])
def test_the_graded_transfer_is_the_largest_within_a_percent(m, focus, delivery, coloured):
    sensor = a_sensor(delivery_columns_px=delivery)
    fringes, places = fringes_of(sensor, m=m, focus_mm=focus, coloured=coloured)
    each = []
    for step in np.linspace(-1, 1, 201):
        fringe = fringes.frequency + step * fringes.step
        line = fringe + fringes.carrier
        lens = lens_transfer(line, places=places, sensor=sensor, squeeze=1.0, step=step)
        each.append(lens * sensor_transfer(line, sensor)[0, 0]
                    * delivered_share(fringe, sensor=sensor, squeeze=1.0)[0])
    graded = graded_transfer(fringes, places, sensor=sensor, squeeze=1.0)
    assert graded.shape == (1, 1, 1, 1)
    assert_allclose(graded.item(), np.max(each), rtol=2e-3)


def test_delivery_shares():
    sensor = a_sensor(delivery_columns_px=2048, delivery_filter=None)
    box, sharp = delivered_share(np.array([[0.25, 0.1], [0.0, 0.25]]), sensor=sensor, squeeze=1.0)
    assert_allclose(box, [np.sqrt(0.5), np.sqrt(0.5) * np.cos(0.1 * np.pi)])
    assert_array_equal(sharp, 1)


def test_places_can_be_picked_and_steps_follow_the_picture():
    fringes, _ = fringes_of(a_sensor(), distance_mm=[5000.0, 6000.0, 7000.0])
    picked = fringes[np.array([2, 0])]
    assert_array_equal(picked.frequency, fringes.frequency[:, [2, 0]])
    assert_array_equal(picked.resolved, fringes.resolved[[2, 0]])
    nominal, step = cycles_per_height(fringes, sensor=a_sensor(), squeeze=1.0, picture_aspect=WIDE)
    assert nominal.shape == step.shape == (2, 3)
    columns_in_frame = step[0] * WIDE
    assert_allclose(columns_in_frame, 0.01 * 4096 * fringes.step[0] / 0.01)
