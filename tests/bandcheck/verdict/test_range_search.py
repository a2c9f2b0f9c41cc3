"""Edges of safe ranges: the first one on the way, found to the resolution."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.verdict.range_search import last_safe, runs_of_true, safe_runs


def test_runs_of_true_by_hand():
    first, last = runs_of_true(np.array([True, True, False, True, False, True]))
    assert_array_equal(first, [0, 3, 5])
    assert_array_equal(last, [1, 3, 5])


@given(edge=st.floats(0.01, 0.99), power=st.sampled_from([0.3, 1.0, 3.0]),
       first_step=st.sampled_from([None, 1e-3, 0.2]))
@settings(derandomize=True, deadline=None)
def test_an_edge_is_found_from_the_safe_side(edge, power, first_step):
    def excess(value):
        return np.sign(value - edge) * np.abs(value - edge) ** power

    found = last_safe(excess, np.array([0.0]), np.array([1.0]), 1e-4, first_step)
    assert excess(found)[0] < 0
    assert edge - 1.0001e-4 <= found[0] < edge


@pytest.mark.parametrize("first_step", [None, 0.3])
def test_what_long_steps_pass_over_is_an_edge_too(first_step):
    """Unsafe from 0.4 to 0.55 and from 0.9 on: a range ends at the first of them."""

    def excess(value):
        return np.where(((value > 0.4) & (value < 0.55)) | (value > 0.9), 1.0, -1.0)

    found = last_safe(excess, np.array([0.0, 0.6]), np.array([1.0, 1.0]), 1e-4, first_step)
    assert_allclose(found, [0.4, 0.9], atol=1.1e-4)
    assert (excess(found) < 0).all()


def test_an_edge_downwards_and_none_at_all():
    def excess(value):
        return 0.25 - value

    found = last_safe(excess, np.array([1.0, 0.7]), np.array([0.0, 0.7]), 1e-4)
    assert_allclose(found, [0.25, 0.7], atol=1.1e-4)
    assert last_safe(excess, np.zeros(0), np.zeros(0), 1e-4).size == 0


def test_not_a_number_is_not_safe():
    def excess(value):
        return np.where(value > 0.5, np.nan, -1.0)

    assert_allclose(last_safe(excess, np.array([0.0]), np.array([1.0]), 1e-4), 0.5, atol=1.1e-4)


def test_runs_of_safe_points_with_their_edges():
    def excess(value):
        return -np.cos(value)  # safe where the cosine is above 0

    ranges = safe_runs(excess, np.linspace(0, 10, 41), 1e-5)
    assert_allclose(
        ranges, [(0, np.pi / 2), (3 * np.pi / 2, 5 * np.pi / 2)], atol=2e-5
    )
    assert safe_runs(lambda value: np.ones_like(value), np.linspace(0, 1, 5), 1e-3) == []


@given(edge=st.floats(0.05, 0.95), curve=st.sampled_from([0.3, 1.0, 3.0]))
@settings(derandomize=True, deadline=None)
def test_an_edge_is_found_on_a_lattice(edge, curve):
    """Looked at are places of the lattice, eighths of it and, for what is left, anything."""
    looked_at = []

    def excess(value):
        looked_at.append(value.ravel())
        return np.sign(value - edge) * np.abs(value - edge) ** curve

    found = last_safe(excess, np.array([0.0]), np.array([1.0]), 1e-4, 0.01, 6.4e-4)
    assert excess(found)[0] < 0
    assert edge - 1.0001e-4 <= found[0] < edge
    eighths = np.concatenate(looked_at) / 8e-5
    assert_allclose(eighths, np.round(eighths), atol=1e-6)


def test_a_lattice_coarser_than_the_way_hides_nothing():
    def excess(value):
        return np.where(((value > 0.4) & (value < 0.55)) | (value > 0.9), 1.0, -1.0)

    found = last_safe(excess, np.array([0.0]), np.array([1.0]), 1e-4, 0.3, 5.0)
    assert_allclose(found, 0.4, atol=1.1e-4)
