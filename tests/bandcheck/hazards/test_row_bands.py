"""Visibility of rows against sums of overlaps round a ring (`phase_filter`, in support)."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from overlap_sum import cycle_s
from phase_filter import (
    FLARE_NITS,
    PEAK_NITS,
    ROWS,
    STUDIO,
    rows_in_cycle,
    sampled_visibility,
    value_at,
)
from wall_cases import modelled_train, telling_values, walls

from bandcheck.hazards.banding import harmonic_sensitivity
from bandcheck.hazards.row_bands import row_light, row_visibility
from bandcheck.light.row_ring import light_kinks, ring_cycles
from bandcheck.vision.contrast_sensitivity import picture_height_deg, picture_width_deg

AGREEMENT = 1e-3
"""Of the visibility, or of 1 where that is less."""


def of_rows(wall, value, exposure_s, level, **how):
    rows, luminance = rows_in_cycle(wall), PEAK_NITS * level
    cycles = np.arange(rows // 2 + 1) / rows * ROWS / picture_height_deg(view_heights=3)
    sensitivity = harmonic_sensitivity(
        cycles_per_degree=cycles, standing=np.ones(cycles.shape, dtype=bool),
        luminance_nits=luminance + FLARE_NITS,
        field_deg=float(picture_width_deg(view_heights=3, picture_aspect=16 / 9)),
    )
    light = row_light(
        modelled_train(wall, [value]), rows=rows,
        sensitivity=sensitivity * luminance / (luminance + FLARE_NITS),
    )
    return row_visibility(light, exposure_s=exposure_s, **how)


@pytest.mark.parametrize(("signal", "angle"), [
    (1.0, 172.8), (1.0, 180.1), (0.5, 180.0), (0.18, 180.0), (0.18, 180.01), (0.18, 180.05),
    (0.1, 180.05), (0.18, 180.1), (0.18, 11.3), (0.1, 172.8), (0.02, 180.0),
])
def test_near_nulls_and_far_from_them(signal, angle):
    """Close to a null the aliases are half of it: nothing may be left out."""
    value, exposure = value_at(STUDIO, signal), angle / 360 / 24
    sampled = sampled_visibility(STUDIO, value, exposure, signal**2.4)
    found = of_rows(STUDIO, value, exposure, signal**2.4)
    assert_allclose(found, sampled, rtol=0, atol=AGREEMENT * max(1.0, sampled))


@settings(derandomize=True, deadline=None, max_examples=40)
@given(wall=walls(most_refreshes=12), data=st.data())
def test_no_counter_example(wall, data):
    value = data.draw(st.one_of(
        st.sampled_from(telling_values(wall)[1:]), st.integers(1, wall.full_scale)
    ))
    exposure = data.draw(st.floats(5e-4, 1 / 24))
    level = data.draw(st.sampled_from([1e-3, 0.1, 1.0]))
    sampled = sampled_visibility(wall, value, exposure, level)
    found = of_rows(wall, value, exposure, level)
    # Eight phases in a line time: what lies between them is worth a hundredth at the most.
    assert found <= sampled * (1 + AGREEMENT) + AGREEMENT
    assert_allclose(found, sampled, rtol=1e-2, atol=AGREEMENT)


def test_many_exposures_are_one_by_one_to_the_last_bit():
    value, exposures = value_at(STUDIO, 0.18), np.array([170.0, 172.8, 180.037, 11.1]) / 8640
    together = of_rows(STUDIO, value, exposures, 0.18**2.4)
    alone = [of_rows(STUDIO, value, each, 0.18**2.4)[0] for each in exposures]
    np.testing.assert_array_equal(together, alone)


def test_what_is_below_enough_is_told_to_the_last_bit():
    value, exposures = value_at(STUDIO, 0.18), np.linspace(179.8, 180.2, 81) / 8640
    everything = of_rows(STUDIO, value, exposures, 0.18**2.4)
    told = of_rows(STUDIO, value, exposures, 0.18**2.4, enough=1.0)
    below = everything < 1
    assert 5 < below.sum() < 76
    np.testing.assert_array_equal(told[below], everything[below])
    assert (told[~below] >= 1).all()
    assert (told <= everything).all()
    assert (told < everything).any()


def test_the_light_of_lines_is_their_mean():
    train = modelled_train(STUDIO, [value_at(STUDIO, 0.5)])
    ask = {"rows": 1125, "phases": 2}
    delays = (0.0, 1.6e-5, 3.3e-5)
    together = light_kinks(train, shift_s=1e-6, delays_s=delays, **ask)
    alone = [light_kinks(train, shift_s=1e-6 - delay, **ask) for delay in delays]
    assert_allclose(together, np.mean(alone, axis=0), atol=1e-15)
    both = light_kinks(train, shift_s=[1e-6, 7e-4], delays_s=delays, **ask)
    assert both.shape == (2, 2, 1125)
    np.testing.assert_array_equal(both[0], together)
    first = light_kinks(train, shift_s=1e-6, delays_s=delays, first=True, **ask)
    np.testing.assert_array_equal(first, together[:1])


def test_second_differences_of_one_pulse_by_hand():
    # Four rows of 1 s, one pulse from 0.25 s to 1.5 s: G at 0, 1, 2, 3 s is 0, 0.75, 1.25, 1.25
    # and 1.25 more every cycle.
    wall = replace(
        STUDIO, wall_fps=Fraction(1, 4), refreshes_per_frame=1, scan_lines=1,
        counts_per_refresh=16, clock_hz=4.0, line_switch_s=0.0,
    )
    assert cycle_s(wall) == 4
    train = modelled_train(replace(wall, counts_per_refresh=16), [5])
    kinks = light_kinks(train, shift_s=-0.25, rows=4, phases=1)[0]
    integral = np.array([0.0, 0.75, 1.25, 1.25, 1.25, 2.0])
    by_hand = np.diff(integral, 2)  # at rows 2, 3, 4 and 5, that is 2, 3, 0 and 1
    assert_allclose(kinks[[2, 3, 0, 1]], by_hand, atol=1e-15)


@pytest.mark.parametrize(("cycle", "line", "most", "rows_in", "expected"), [
    (1.0, 0.25, 10, 1, (1, 4)), (1.0, 0.4, 10, 1, (2, 5)), (1.0, 0.3, 2, 1, (2, 7)),
    (1.0, 0.26, 1, 2, (1, 4)),
])
def test_ring_closes_where_whole_rows_fit(cycle, line, most, rows_in, expected):
    assert ring_cycles(
        cycle_s=cycle, line_time_s=line, most=most, rows_in=rows_in
    ) == expected


@pytest.mark.parametrize(("wanted", "rows_in", "rows"), [
    (13513.5, 1, 13500),  # 2^2 3^3 5^3: nothing rounder within 13.5
    (11250.0, 1, 11250),  # 2 3^2 5^4, round already
    (12934.7, 1, 12936),  # 2^3 3 7^2 11: 12924 shares more with 3600, but times 359
    (13513.5, 7, 13524),  # 2^2 3 7^2 23; 13503, 13510 and 13517 have larger factors
    (84.459, 1, 84),  # a thousandth is less than a row
])
def test_a_ring_has_a_round_number_of_rows(wanted, rows_in, rows):
    cycles, found = ring_cycles(
        cycle_s=wanted * 3e-6, line_time_s=3e-6, most=1, rows_in=rows_in
    )
    assert (cycles, found) == (1, rows)
    assert abs(found / wanted - 1) < 1e-3 or rows < 500


def test_an_exposure_and_the_rest_of_the_cycle_share_their_light():
    value, frame_s = value_at(STUDIO, 0.5), 1 / 24
    exposures = np.array([172.8, 360 - 172.8]) / 360 * frame_s
    long, short = of_rows(STUDIO, value, exposures, 0.5**2.4) * exposures
    assert_allclose(long, short, rtol=1e-9)
    # by sums as well: each has the other's V, over its own share of the light
    sampled = sampled_visibility(STUDIO, value, exposures[1], 0.5**2.4)
    assert_allclose(short / exposures[1], sampled, rtol=1e-3)
