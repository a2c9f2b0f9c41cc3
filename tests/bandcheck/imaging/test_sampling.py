"""Folding by counting samples, and a mosaic by looking at its photosites."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.sampling import (
    COLOURS,
    bayer_fringe,
    delivery_transfer,
    folded,
    fringe_of_colour,
)

frequencies = st.floats(-3, 3)


@pytest.mark.parametrize(("cycles", "expected"), [
    (0.2, 0.2), (0.9, -0.1), (1.3, 0.3), (2.6, -0.4), (-0.7, 0.3), (6.0, 0.0),
])
def test_folding_by_hand(cycles, expected):
    assert_allclose(folded(cycles), expected, atol=1e-12)


@given(cycles=frequencies)
@settings(derandomize=True, deadline=None)
def test_samples_cannot_tell_the_folded_pattern(cycles):
    sample = np.arange(32)
    assert_allclose(np.cos(2 * np.pi * folded(cycles) * sample + 0.3),
                    np.cos(2 * np.pi * cycles * sample + 0.3), atol=1e-11)
    assert abs(folded(cycles)) <= 0.5


@pytest.mark.parametrize(("kx", "ky", "fx", "fy", "colour"), [
    (0.48, 0.0, -0.02, 0.0, "red-blue"), (0.03, 0.55, 0.03, 0.05, "red-blue"),
    (0.52, 0.47, 0.02, -0.03, "green-magenta"), (-0.49, 0.5, 0.01, 0.0, "green-magenta"),
    (1.45, 0.02, -0.05, 0.02, "red-blue"), (0.1, 0.1, 0.1, 0.1, "luma"),
    (1.02, -0.97, 0.02, 0.03, "luma"), (1.51, 2.48, 0.01, -0.02, "green-magenta"),
])
def test_bayer_carriers_by_hand(kx, ky, fx, fy, colour):
    *fringe, index = bayer_fringe(kx=kx, ky=ky)
    assert_allclose(fringe, (fx, fy), atol=1e-12)
    assert COLOURS[index] == colour
    assert_allclose(fringe_of_colour(np.array([kx, ky]), colour=int(index)), (fx, fy), atol=1e-12)


@given(kx=frequencies, ky=frequencies)
@settings(derandomize=True, deadline=None)
def test_the_colours_are_what_the_photosites_see(kx, ky):
    """Gray detail, sampled by each colour's photosites, against the fringe in that colour."""
    fx, fy, index = bayer_fringe(kx=kx, ky=ky)
    rows, columns = np.indices((8, 8))
    detail = np.cos(2 * np.pi * (kx * columns + ky * rows) + 0.4)
    fringe = np.cos(2 * np.pi * (fx * columns + fy * rows) + 0.4)
    red = (rows % 2 == 0) & (columns % 2 == 1)
    blue = (rows % 2 == 1) & (columns % 2 == 0)
    green = ~(red | blue)
    assert max(abs(fx), abs(fy)) <= 0.25
    colour = COLOURS[index]
    if colour == "luma":
        assert_allclose(detail, fringe, atol=1e-11)
    elif colour == "green-magenta":
        assert_allclose(detail, np.where(green, 1, -1) * fringe, atol=1e-11)
    else:
        ratio = detail[red | blue] / fringe[red | blue]
        signs = np.where(red, 1, -1)[red | blue] * ratio
        assert_allclose(np.abs(signs), 1, rtol=1e-6)
        assert_allclose(signs, signs[0], rtol=1e-6)


def test_the_nearest_of_two_carriers_is_taken():
    points = np.array([[0.45, 0.1, -0.6], [0.1, 0.45, 0.05]])
    found = fringe_of_colour(points, colour=1)
    assert_allclose(found, [[-0.05, 0.1, -0.1], [0.1, -0.05, 0.05]], atol=1e-12)


@given(ratio=st.integers(2, 6), k=st.floats(-0.5, 0.5))
@settings(derandomize=True, deadline=None)
def test_a_box_takes_means(ratio, k):
    sample = np.arange(12 * ratio)
    wave = np.exp(2j * np.pi * k * sample)
    means = wave.reshape(12, ratio).mean(axis=1)
    assert_allclose(
        delivery_transfer(cycles_per_photosite=k, ratio=ratio, resample="box"), np.abs(means),
        atol=1e-12)


@given(ratio=st.floats(1, 8), k=st.floats(0, 0.5))
@settings(derandomize=True, deadline=None)
def test_between_whole_ratios_an_area_average_passes_less(ratio, k):
    """Photosites as squares of light, averaged over wider squares."""
    across = (np.arange(2000) + 0.5) / 2000 * ratio - ratio / 2
    start = np.linspace(0, 1, 40, endpoint=False)[:, np.newaxis]
    squares = np.exp(2j * np.pi * k * np.floor(across + start))
    mean_of_phases = squares.mean(axis=1) * np.exp(-2j * np.pi * k * start[:, 0])
    passed = delivery_transfer(cycles_per_photosite=k, ratio=ratio, resample="box")
    assert np.abs(mean_of_phases.mean()) <= passed + 2e-3


def test_sharp_keeps_everything_and_half_is_half():
    k = np.linspace(-0.5, 0.5, 11)
    assert_array_equal(delivery_transfer(cycles_per_photosite=k, ratio=3, resample="sharp"), 1)
    assert_allclose(delivery_transfer(cycles_per_photosite=0.25, ratio=2, resample="box"),
                    np.sqrt(0.5))
    assert_array_equal(delivery_transfer(cycles_per_photosite=k, ratio=1, resample="box"), 1)


def test_shapes_and_refusals():
    fx, _, index = bayer_fringe(kx=np.zeros((3, 1)), ky=np.zeros(4))
    assert fx.shape == (3, 1)
    assert index.shape == (3, 4)
    assert np.isnan(folded(np.nan))
    with pytest.raises(OutOfRangeError, match="delivery_filter"):
        delivery_transfer(cycles_per_photosite=0.1, ratio=2, resample="lanczos")
