"""Sharing a value over refreshes: sums, order and refusals. Print: test_drive_reference."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.light.led_drive import (
    counts_for_gray_bits,
    dealing_order,
    full_scale_counts,
    led_train,
    lit_refreshes,
    refresh_counts,
    value_counts,
)
from bandcheck.light.scan_timing import ScanTiming

DEALINGS = st.sampled_from(["bit_reversed", "even"])


@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    value=st.integers(0, 5000), refreshes=st.integers(1, 200), dealing=DEALINGS,
    shortest=st.integers(1, 9),
)
def test_a_value_is_shared_without_rest(value, refreshes, dealing, shortest):
    shown = refresh_counts(
        value=value, refreshes_per_frame=refreshes, drive="spread", dealing=dealing,
        min_pulse_counts=shortest,
    )[0]
    assert shown.sum() == value
    lit = shown[shown > 0]
    assert lit.size == (min(refreshes, max(1, value // shortest)) if value else 0)
    assert lit.size == lit_refreshes(
        value, refreshes_per_frame=refreshes, min_pulse_counts=shortest
    )
    if lit.size:
        assert lit.max() - lit.min() <= 1
        assert value < shortest or lit.min() >= shortest


@settings(derandomize=True, deadline=None, max_examples=100)
@given(refreshes=st.integers(1, 300))
def test_the_order_of_dealing_by_text(refreshes):
    digits = max(1, (refreshes - 1).bit_length())
    turned = [int(format(k, f"0{digits}b")[::-1], 2) for k in range(2**digits)]
    assert dealing_order(refreshes).tolist() == [k for k in turned if k < refreshes]


@settings(derandomize=True, deadline=None, max_examples=100)
@given(refreshes=st.integers(1, 120), share=st.floats(0.01, 1))
def test_even_dealing_leaves_even_gaps(refreshes, share):
    count = max(1, int(share * refreshes))
    lit = np.flatnonzero(refresh_counts(
        value=count, refreshes_per_frame=refreshes, drive="spread", dealing="even"
    )[0])
    gaps = np.diff(np.append(lit, lit[0] + refreshes))
    assert set(gaps) <= {refreshes // count, -(-refreshes // count)}


def test_every_refresh_shows_the_value_in_the_other_drives():
    for drive in ("repeated", "binary_code"):
        shown = refresh_counts(value=[0, 7], refreshes_per_frame=3, drive=drive)
        assert shown.tolist() == [[0, 0, 0], [7, 7, 7]]


def test_counts_of_a_level():
    assert value_counts([0, 0.5, 1], full_scale=100).tolist() == [0, 50, 100]
    assert value_counts([0.005, 0.00499, 0.125], full_scale=100).tolist() == [1, 0, 13]
    assert value_counts(0.5, full_scale=100, pwm_share=0.5) == 25
    assert value_counts(np.zeros((2, 3)), full_scale=9).shape == (2, 3)


def test_full_scale_and_gray_depth():
    assert full_scale_counts(counts_per_refresh=9, refreshes_per_frame=4, drive="spread") == 36
    for drive in ("repeated", "binary_code"):
        assert full_scale_counts(counts_per_refresh=9, refreshes_per_frame=4, drive=drive) == 9
    depth = {"gray_bits": 10, "refreshes_per_frame": 3}
    assert counts_for_gray_bits(**depth, drive="spread") == 341
    assert counts_for_gray_bits(**depth, drive="binary_code") == 1023
    assert counts_for_gray_bits(**depth, drive="repeated") == 1024
    assert counts_for_gray_bits(gray_bits=3, refreshes_per_frame=8, drive="spread") == 1
    with pytest.raises(OutOfRangeError, match=r"gray_bits: 3 .* each of 9 refreshes"):
        counts_for_gray_bits(gray_bits=3, refreshes_per_frame=9, drive="spread")


def timing(refreshes=2):
    return ScanTiming(
        cycle_s=refreshes * 10.0, refreshes=refreshes, refresh_pitch_s=10.0, scan_lines=2,
        slot_s=5.0, switch_s=1.0, lit_s=4.0,
    )


def test_a_train_of_line_0():
    made = led_train(timing=timing(), counts=np.array([[3, 8]]), counts_per_refresh=8)
    assert (made.cycle_s, made.refresh_pitch_s, made.first_pulse_s, made.count_s) == (
        20.0, 10.0, 1.0, 0.5,
    )
    assert_allclose(made.light_per_cycle_s, [5.5])
    assert not made.binary_code
    assert led_train(
        timing=timing(), counts=np.array([[3, 7]]), counts_per_refresh=7, binary_code=True
    ).binary_code
    assert_array_equal(made.counts, [[3, 8]])


def test_refuses():
    with pytest.raises(OutOfRangeError, match=r"counts: 9 .* at most 8 counts"):
        led_train(timing=timing(), counts=np.array([[3, 9]]), counts_per_refresh=8)
    with pytest.raises(OutOfRangeError, match=r"value: -1 "):
        refresh_counts(value=[3, -1], refreshes_per_frame=4, drive="spread")
    for refreshes in (0, -3, 100_001, 10**9):
        with pytest.raises(OutOfRangeError, match="from 1 to 100000"):
            refresh_counts(value=3, refreshes_per_frame=refreshes, drive="spread")
    assert refresh_counts(value=3, refreshes_per_frame=100_000, drive="repeated").shape[1] == 10**5
    for bad in (-0.01, 1.01, np.nan):
        with pytest.raises(OutOfRangeError, match=r"^light: "):
            value_counts(bad, full_scale=100)
        with pytest.raises(OutOfRangeError, match=r"^pwm_share: "):
            value_counts(0.5, full_scale=100, pwm_share=bad)
