"""Timing of a scan by hand: slots, pitch and what is left over. Print: test_drive_reference."""

from fractions import Fraction

import pytest
from numpy.testing import assert_allclose

from bandcheck.errors import OutOfRangeError
from bandcheck.light.scan_timing import scan_timing

WALL = {
    "wall_fps": Fraction(25), "refreshes_per_frame": 10, "scan_lines": 4, "counts_per_refresh": 100
}


def test_without_a_clock_the_slots_fill_the_frame():
    timing = scan_timing(**WALL, line_switch_s=1e-4)
    assert_allclose(
        [timing.cycle_s, timing.refresh_pitch_s, timing.slot_s, timing.lit_s, timing.switch_s],
        [0.04, 4e-3, 1e-3, 0.9e-3, 1e-4], rtol=1e-12,
    )
    assert_allclose([timing.refresh_hz, timing.used_fraction], [250, 1], rtol=1e-12)
    assert (timing.refreshes, timing.scan_lines) == (10, 4)


def test_with_a_clock_something_is_left_over():
    # 10 x 4 x (100 / 200 kHz + 0.1 ms) = 24 ms of 40
    clocked = {**WALL, "clock_hz": 200e3, "line_switch_s": 1e-4}
    for end, pitch_s in (("stretched", 4e-3), ("dark", 2.4e-3)):
        timing = scan_timing(**clocked, frame_end=end)
        assert_allclose(
            [timing.cycle_s, timing.refresh_pitch_s, timing.slot_s, timing.lit_s],
            [0.04, pitch_s, 0.6e-3, 0.5e-3], rtol=1e-12,
        )
        assert_allclose(timing.used_fraction, 0.6, rtol=1e-12)
        assert_allclose(timing.refresh_hz, 1 / 2.4e-3, rtol=1e-12)


def test_a_free_refresh_has_its_own_cycle():
    timing = scan_timing(**WALL, refresh_hz=300.0, line_switch_s=1e-4)
    assert_allclose(
        [timing.cycle_s, timing.refresh_pitch_s, timing.slot_s, timing.lit_s],
        [10 / 300, 1 / 300, 1 / 1200, 1 / 1200 - 1e-4], rtol=1e-12,
    )
    # with a clock that decides, and a frame that need not hold it
    clocked = scan_timing(**WALL, refresh_hz=1.0, clock_hz=50e3, line_switch_s=1e-4)
    assert_allclose([clocked.slot_s, clocked.cycle_s], [2.1e-3, 40 * 2.1e-3], rtol=1e-12)
    assert_allclose(clocked.refresh_pitch_s, 4 * 2.1e-3, rtol=1e-12)


def test_a_frame_may_be_full_to_the_brim():
    brim = scan_timing(**WALL, clock_hz=100e3)
    assert_allclose(brim.used_fraction, 1.0, rtol=1e-12)
    with pytest.raises(OutOfRangeError) as refused:
        scan_timing(**WALL, clock_hz=99.9e3)
    assert str(refused.value) == (
        "refreshes_per_frame: 10 is not accepted; 10 refreshes x 4 lines x (100 counts / 0.0999 MHz"
        " + 0 us) = 40.04 ms do not fit a frame of 40 ms"
    )


def test_refuses_a_slot_without_light():
    for switch_s in (1e-3, 2e-3):
        with pytest.raises(OutOfRangeError, match=r"_us: .* less than a slot of 1000 us"):
            scan_timing(**WALL, line_switch_s=switch_s)
    with pytest.raises(OutOfRangeError, match="line_switch_us"):
        scan_timing(**WALL, refresh_hz=300.0, line_switch_s=1e-3)
    assert scan_timing(**WALL, line_switch_s=0.99e-3).lit_s > 0


def test_time_has_no_scale():
    quick = scan_timing(**WALL, clock_hz=200e3, line_switch_s=1e-4, frame_end="dark")
    slow = scan_timing(
        **{**WALL, "wall_fps": Fraction(25, 2)}, clock_hz=100e3, line_switch_s=2e-4,
        frame_end="dark",
    )
    for name in ("cycle_s", "refresh_pitch_s", "slot_s", "switch_s", "lit_s"):
        assert getattr(slow, name) == 2 * getattr(quick, name)
    assert slow.used_fraction == quick.used_fraction
