"""Refreshes a frame: floors, lists, rules and clocks, by hand. Print: test_drive_reference."""

from fractions import Fraction

import pytest
from numpy.testing import assert_allclose

from bandcheck.errors import OutOfRangeError
from bandcheck.light.refresh_choice import (
    clock_for_refreshes_hz,
    refresh_from_clock_hz,
    refreshes_at_rate,
)

RATED = {"refresh_hz": 3840.0, "rated_fps": Fraction(60)}


def test_a_number_a_frame_holds_at_every_rate():
    for rate in ("24", "24000/1001", "120"):
        assert refreshes_at_rate(wall_fps=Fraction(rate), refreshes_per_frame=64) == 64
        assert refreshes_at_rate(wall_fps=Fraction(rate), refreshes_per_frame=64, **RATED) == 64


@pytest.mark.parametrize(("rate", "kept_refresh"), [
    ("60", 64), ("24", 160), ("24000/1001", 160), ("25", 153), ("48", 80), ("120", 32),
    ("3840", 1),
])
def test_what_the_wall_keeps_at_another_rate(rate, kept_refresh):
    rate = Fraction(rate)
    assert refreshes_at_rate(wall_fps=rate, rule="keep_refresh", **RATED) == kept_refresh
    assert refreshes_at_rate(wall_fps=rate, **RATED) == 64


def test_a_rated_rate_that_does_not_go_up_is_cut():
    assert refreshes_at_rate(
        wall_fps=Fraction(60), refresh_hz=3899.0, rated_fps=Fraction(60)
    ) == 64  # 64.98


def test_a_list_binds():
    assert refreshes_at_rate(wall_fps=Fraction(60), allowed=(32, 48, 96), **RATED) == 48
    assert refreshes_at_rate(wall_fps=Fraction(60), allowed=(64, 96), **RATED) == 64
    assert refreshes_at_rate(
        wall_fps=Fraction(60), allowed=(96, 32), refreshes_per_frame=95
    ) == 32
    with pytest.raises(OutOfRangeError, match=r"refreshes_per_frame: 64 .* at least 96 refreshes"):
        refreshes_at_rate(wall_fps=Fraction(60), allowed=(96, 128), **RATED)


def test_refuses_less_than_one_refresh_or_nothing_to_go_by():
    with pytest.raises(OutOfRangeError, match="at least one refresh a frame"):
        refreshes_at_rate(wall_fps=Fraction(3841), rule="keep_refresh", **RATED)
    for given in ({}, {"refresh_hz": 3840.0}, {"rated_fps": Fraction(60)}):
        with pytest.raises(OutOfRangeError, match="refresh_hz together with rated_fps"):
            refreshes_at_rate(wall_fps=Fraction(60), **given)


def test_clock_and_refresh_are_each_others_inverse():
    clock_hz = clock_for_refreshes_hz(
        wall_fps=Fraction(50), refreshes_per_frame=32, scan_lines=16, counts_per_refresh=512
    )
    assert_allclose(clock_hz, 50 * 32 * 16 * 512, rtol=1e-12)
    assert_allclose(
        refresh_from_clock_hz(clock_hz=clock_hz, counts_per_refresh=512, scan_lines=16), 1600,
        rtol=1e-12,
    )
    # a quarter of a slot of 39.06 us without light: a clock a third faster
    switching = clock_for_refreshes_hz(
        wall_fps=Fraction(50), refreshes_per_frame=32, scan_lines=16, counts_per_refresh=512,
        line_switch_s=0.25 / (50 * 32 * 16),
    )
    assert_allclose(switching, clock_hz * 4 / 3, rtol=1e-12)
    assert_allclose(refresh_from_clock_hz(
        clock_hz=clock_hz, counts_per_refresh=512, dead_counts=512, scan_lines=16
    ), 800, rtol=1e-12)


def test_refuses_switching_that_fills_the_frame():
    slot_s = 1 / (50 * 32 * 16)
    for switch_s in (slot_s, 2 * slot_s):
        with pytest.raises(OutOfRangeError, match=r"line_switch_us: .* less than a slot of 39.06"):
            clock_for_refreshes_hz(
                wall_fps=Fraction(50), refreshes_per_frame=32, scan_lines=16,
                counts_per_refresh=512, line_switch_s=switch_s,
            )
