"""A wall's budget, against sums by hand and against what the timing itself refuses."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from plain_shots import free_wall, plain_shot, plain_wall

from bandcheck.errors import OutOfRangeError
from bandcheck.light.scan_timing import scan_timing
from bandcheck.shoot.profiles import load_wall, shipped_names
from bandcheck.verdict.banding_report import banding_report
from bandcheck.verdict.wall_budget import BUDGET_RATES, wall_budget

FILM = Fraction(24)


def at(wall, *rates):
    return wall_budget(wall, tuple(map(Fraction, rates))).rates


def test_a_3840_hz_class_wall_at_48():
    # 3840 / 48 = 80 if the refresh is kept; 160 x 48 = 7680 Hz if the number is
    rated = {"refreshes_per_frame": None, "refresh_hz": 3840.0, "rated_fps": FILM}
    keeps, along = at(plain_wall(**rated), 48)
    assert (keeps.case.timing.refreshes, along.case.timing.refreshes) == (80, 160)
    np.testing.assert_allclose([keeps.refresh_hz, along.refresh_hz], [3840, 7680], rtol=1e-12)
    assert [each.value for case in (keeps, along) for each in case.case.taken] == [
        "keep_refresh", "keep_refreshes_per_frame",
    ]
    (stated,) = at(plain_wall(on_rate_change="keep_refresh", **rated), 48)
    assert stated.case.timing.refreshes == 80


def test_figures_of_orientation_without_a_clock():
    # 160 x 409 = 65 440 counts; 16 lines share the frame
    (budget,) = at(plain_wall(), 24)
    np.testing.assert_allclose(budget.gray_bits, np.log2(65440), rtol=1e-12)
    np.testing.assert_allclose((budget.used_share, budget.lit_share), (1, 1 / 16), rtol=1e-12)
    assert budget.clock is None


def test_clock_of_the_fine_stage_wall_by_hand():
    # 102 / 40 MHz + 1.2 us = 3.75 us; x 32 x 160 x 24 = 0.4608
    (budget,) = at(load_wall("stage-fine-1.5"), 24)
    clock = budget.clock
    np.testing.assert_allclose(clock.slot_s, 3.75e-6, rtol=1e-12)
    np.testing.assert_allclose((clock.used_share, budget.used_share), 0.4608, rtol=1e-12)
    np.testing.assert_allclose(budget.lit_share, 160 * 2.55e-6 * 24, rtol=1e-12)
    # 1/(24 x 32 x 3.75 us) = 347.2; (1/122880 s - 1.2 us) x 40 MHz = 277.5; 1/(24 x 160 x 3.75 us)
    assert (clock.most_refreshes, clock.most_counts, clock.most_scan_lines) == (347, 277, 69)
    np.testing.assert_allclose(clock.highest_fps, 52.0833333333, rtol=1e-9)
    np.testing.assert_allclose(clock.clock_needed_hz, 102 / (1 / 122880 - 1.2e-6), rtol=1e-12)


def test_clock_of_the_studio_wall_by_hand():
    # 24 x 96 x 32 x (128 / 33 MHz + 1 us) = 73728 x 4.878788 us
    (budget,) = at(load_wall("studio-1.2"), 24)
    np.testing.assert_allclose(budget.clock.used_share, 0.3597033, atol=1e-7)


@pytest.mark.parametrize("rate", [24, 25, 30, 48, 50, 60])
def test_the_most_is_what_the_timing_takes_and_one_more_it_refuses(rate):
    wall = load_wall("stage-fine-1.5")
    (budget,) = at(wall, rate)
    clock, case = budget.clock, budget.case
    own = {
        "wall_fps": Fraction(rate), "refreshes_per_frame": case.timing.refreshes,
        "scan_lines": 32, "counts_per_refresh": case.counts_per_refresh,
        "clock_hz": wall.clock_hz, "line_switch_s": wall.line_switch_s,
    }
    for key, most in (
        ("refreshes_per_frame", clock.most_refreshes), ("counts_per_refresh", clock.most_counts),
        ("scan_lines", clock.most_scan_lines),
    ):
        assert scan_timing(**{**own, key: most}).used_fraction <= 1 + 1e-12
        with pytest.raises(OutOfRangeError, match="do not fit"):
            scan_timing(**{**own, key: most + 1})
    slowest = {**own, "clock_hz": clock.clock_needed_hz}
    np.testing.assert_allclose(scan_timing(**slowest).used_fraction, 1, rtol=1e-9)
    fastest = {**own, "wall_fps": Fraction(clock.highest_fps)}
    np.testing.assert_allclose(scan_timing(**fastest).used_fraction, 1, rtol=1e-9)


def test_a_frame_filled_exactly_has_room_for_what_it_holds():
    # 25 x 100 x 16 x 250 counts / 10 MHz = 1
    (budget,) = at(plain_wall(refreshes_per_frame=100, counts_per_refresh=250, clock_hz=10e6), 25)
    clock = budget.clock
    assert (clock.most_refreshes, clock.most_counts, clock.most_scan_lines) == (100, 250, 16)


def test_time_scales_out():
    wall = plain_wall(clock_hz=40e6, line_switch_s=1e-7)
    (slow,) = at(wall, 24)
    (fast,) = at(replace(wall, clock_hz=80e6, line_switch_s=5e-8), 48)
    assert fast.clock.most_counts == slow.clock.most_counts
    np.testing.assert_allclose(fast.used_share, slow.used_share, rtol=1e-12)
    np.testing.assert_allclose(fast.clock.highest_fps, 2 * slow.clock.highest_fps, rtol=1e-12)


def test_what_does_not_fit_stands_with_the_sum():
    (budget,) = at(load_wall("stage-fine-1.5"), 120)
    assert budget.case is None
    assert budget.refused == (
        "32 refreshes x 32 lines x (512 counts / 40 MHz + 1.2 us) = 14.34 ms do not fit a frame"
        " of 8.333 ms"
    )


def test_a_free_refresh_knows_no_frame():
    # 1/(8 x (1023 / 20 MHz + 2 us)) = 2351.83 Hz at every rate
    budget = wall_budget(load_wall("backdrop-3.9-planes"))
    np.testing.assert_allclose(
        [each.refresh_hz for each in budget.rates], 1 / (8 * 53.15e-6), rtol=1e-12
    )
    assert {each.clock for each in budget.rates} == {None}
    assert {each.case.timing.refreshes for each in at(free_wall(), 24, 48)} == {160}


def test_levels_light_as_many_refreshes_as_they_have_counts():
    # BT.1886, a power of 2.4: 0.02^2.4 x 65 440 = 5.5, 0.01^2.4 x 65 440 = 1.04
    (budget,) = at(plain_wall(), 24)
    lit = {each.signal: (each.counts, each.effective_refresh_hz) for each in budget.levels}
    assert lit[1.0] == (65440, pytest.approx(3840))
    assert lit[0.02] == (5, pytest.approx(120))
    assert lit[0.01] == (1, pytest.approx(24))
    (twice,) = at(plain_wall(), 48)
    assert twice.levels[-1].effective_refresh_hz == pytest.approx(48)
    repeated = at(plain_wall(drive="repeated", counts_per_refresh=1024), 24)[0].levels
    assert [each.lit_refreshes for each in repeated[-4:]] == [160, 160, 0, 0]


@pytest.mark.parametrize("changed", [
    {}, {"drive": "repeated", "counts_per_refresh": 4096}, {"min_pulse_counts": (1, 4, 2)},
])
def test_effective_refresh_is_that_of_the_verdict(changed):
    wall = plain_wall(**changed)
    told = {each.signal: each for each in at(wall, 24)[0].levels}
    for level in banding_report(plain_shot(wall=wall)).levels:
        if level.signal in told:
            assert told[level.signal].counts == level.counts
            np.testing.assert_allclose(
                told[level.signal].effective_refresh_hz, level.effective_refresh_hz, rtol=1e-9
            )


def test_dimming_by_pwm_costs_one_bit_for_each_half():
    full, half, quarter, tenth = wall_budget(plain_wall()).dimming
    assert [each.counts_at_white for each in (full, half, quarter, tenth)] == [
        65440, 32720, 16360, 6544,
    ]
    # 0.18^2.4 x 65 440 = 1067.8
    assert [each.counts_at_18 for each in (full, half, quarter, tenth)] == [1068, 534, 267, 107]
    assert [each.bits_lost for each in (full, half, quarter)] == [0, 1, 2]
    np.testing.assert_allclose(tenth.bits_lost, np.log2(10), rtol=1e-12)


@pytest.mark.parametrize("name", shipped_names("wall"))
def test_every_shipped_wall_has_a_budget_at_every_rate(name):
    budget = wall_budget(load_wall(name))
    assert list(dict.fromkeys(each.wall_fps for each in budget.rates)) == list(BUDGET_RATES)
    for each in budget.rates:
        assert (each.case is None) == (each.refused is not None)
        if each.case is not None:
            assert 0 < each.lit_share <= each.used_share <= 1 + 1e-9
    figures = [(each.wall_fps, each.case and each.case.timing.refreshes) for each in budget.rates]
    assert len(set(figures)) == len(figures)
