"""The worst phase is the true extreme, and the figures that a practitioner would try."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from overlap_sum import (
    ListedWall,
    cycle_s,
    exact_extremes,
    light_against_phase,
    lit_share,
    mean_light,
    slot_s,
)
from wall_cases import modelled_train, telling_values, walls

from bandcheck.light.extremes import light_extremes
from bandcheck.light.led_drive import value_counts

STUDIO = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)
MID_GRAY = 12399
"""50 % signal through BT.1886: 0.5^2.4 = 0.189465 of 160 x 409 counts."""


def ripple(wall, value, exposure_s):
    """Peak to peak over the mean over time, from the program's extremes."""
    lowest, highest = light_extremes(modelled_train(wall, [value]), exposure_s=float(exposure_s))
    return float((highest - lowest)[0] / float(mean_light(wall, value, exposure_s=exposure_s)))


def seconds(angle_deg, fps=24):
    return Fraction(angle_deg) / 360 / Fraction(fps)


def assert_true_extremes(wall, value, exposure_s, lines=(0,)):
    delays = [float(line * slot_s(wall)[0]) for line in lines]
    modelled = light_extremes(
        modelled_train(wall, [value]), exposure_s=exposure_s, line_delays_s=delays
    )
    listed = exact_extremes(wall, value, exposure_s=exposure_s, lines=lines)
    full_drive = exposure_s * float(lit_share(wall))
    for found, true, name in zip(modelled, listed, ("least", "most"), strict=True):
        assert_allclose(found, [float(true)], rtol=0, atol=1e-9 * full_drive, err_msg=name)


@settings(derandomize=True, deadline=None, max_examples=250)
@given(wall=walls(most_refreshes=8), data=st.data())
def test_no_phase_is_worse(wall, data):
    value = data.draw(st.one_of(
        st.sampled_from(telling_values(wall)), st.integers(0, wall.full_scale)
    ))
    cycle = float(cycle_s(wall))
    exposure = data.draw(st.one_of(
        st.floats(1e-6, 2.5 * cycle),
        st.sampled_from([1, 2, 3, 4, 5, 8]).map(lambda parts: cycle / parts),
    ))
    assert_true_extremes(wall, value, exposure)


@pytest.mark.parametrize("drive", ["spread", "repeated", "binary_code"])
@pytest.mark.parametrize("lines", [
    (0, 1), (2, 3, 4), (0, 1, 2, 3, 4, 5),
    (0, Fraction(3, 10)), (0, Fraction(1, 4), Fraction(7, 8)),  # lit together for a while
])
def test_no_phase_is_worse_for_the_mean_of_lines(drive, lines):
    wall = ListedWall(
        wall_fps=Fraction(50), refreshes_per_frame=5, scan_lines=6, counts_per_refresh=31,
        drive=drive, clock_hz=60e3, line_switch_s=2e-5, frame_end="dark",
    )
    for value in (1, 3, 22, 31):
        for exposure in (1e-4, 1 / 300, 1 / 100, 0.031):
            assert_true_extremes(wall, value, exposure, lines)


@pytest.mark.parametrize("value", [1, 40, 160, MID_GRAY, 65440])
@pytest.mark.parametrize("angle", ["11.25", "90", "172.8", "180.1", "359"])
def test_a_dense_scan_never_exceeds_and_reaches(value, angle):
    exposure, phases = float(seconds(angle)), np.linspace(0, 1 / 24, 20_001)
    lowest, highest = light_extremes(modelled_train(STUDIO, [value]), exposure_s=exposure)
    scanned = light_against_phase(STUDIO, value, phases_s=phases, exposure_s=exposure)
    rounding = 1e-9 * exposure / 16
    assert scanned.max() <= highest[0] + rounding
    assert scanned.min() >= lowest[0] - rounding
    # Each edge of the window changes the light by no more than the time it moves.
    step = phases[1]
    assert scanned.max() >= highest[0] - step
    assert scanned.min() <= lowest[0] + step
    if value < 160:  # a pulse of one count is a fiftieth of a step: only the exact sum can tell
        true = [float(e) for e in exact_extremes(STUDIO, value, exposure_s=exposure)]
        assert_allclose((lowest[0], highest[0]), true, rtol=0, atol=rounding)


class TestPractitioner:
    """24 fps, 160 refreshes a frame, 16 scan lines, locked; hand counts of pulses."""

    def test_mid_gray(self):
        assert value_counts(0.5**2.4, full_scale=160 * 409) == MID_GRAY  # 12398.6 rounded

    def test_half_and_two_fifths_of_a_frame_hold_whole_refreshes(self):
        for angle in ("180", "144"):  # 80 and 64 refreshes
            assert ripple(STUDIO, MID_GRAY, seconds(angle)) < 1e-3
            for value in (160, 320, 77 * 160, 409 * 160):
                assert ripple(STUDIO, value, seconds(angle)) < 1e-11

    def test_a_fiftieth_holds_76_or_77_refreshes(self):
        white = ripple(STUDIO, 65440, seconds("172.8"))
        assert_allclose(white, 1 / 76.8, rtol=1e-9)
        assert_allclose(ripple(STUDIO, MID_GRAY, seconds("172.8")), 0.013, atol=5e-4)

    def test_forty_counts_light_every_fourth_refresh(self):
        assert_allclose(ripple(STUDIO, 40, seconds("172.8")), 1 / 19.2, rtol=1e-9)
        assert round(100 * ripple(STUDIO, 40, seconds("172.8")), 2) == 5.21
        assert ripple(STUDIO, 40, seconds("180")) < 1e-11

    def test_a_whole_frame_is_clean_at_every_count(self):
        for value in (*range(1, 330), MID_GRAY, 65439, 65440):
            assert ripple(STUDIO, value, seconds("360")) < 1e-9  # one count lasts 4e-8 s: rounding

    @pytest.mark.parametrize("value", [1, 3, 159, 161])
    def test_but_not_on_a_wall_at_60(self, value):
        # 360 deg at 24 fps lasts 2.5 frames of the wall: of one pulse a frame it holds 2 or 3
        sixty = replace(STUDIO, wall_fps=Fraction(60), refreshes_per_frame=64)
        assert ripple(sixty, value, seconds("360")) > 1e-3
        assert_allclose(ripple(sixty, 1, seconds("360")), 1 / 2.5, rtol=1e-9)

    def test_the_null_is_gone_when_the_camera_runs_at_23_976(self):
        exposure = seconds("180", "24000/1001")  # 80.08 refreshes: 80 or 81 pulses
        assert_allclose(ripple(STUDIO, 65440, exposure), 1 / 80.08, rtol=1e-9)

    def test_one_percent_of_dark_at_the_frame_end(self):
        # half a frame holds at the most 81 refreshes (of 80.8) and at the least 79 (of 79.2)
        clocked = replace(STUDIO, clock_hz=24 * 160 * 16 * 409 / 0.99, frame_end="dark")
        assert_allclose(ripple(clocked, 65440, seconds("180")), 2 / 80, rtol=1e-9)
        stretched = replace(clocked, frame_end="stretched")
        assert ripple(stretched, 65440, seconds("180")) < 1e-11


def test_black_has_no_extremes_and_windows_keep_their_shape():
    lowest, highest = light_extremes(
        modelled_train(STUDIO, [0, 1, 65440]), exposure_s=[[1e-3, 1e-2], [1 / 48, 1 / 24]]
    )
    assert lowest.shape == highest.shape == (3, 2, 2)
    assert not lowest[0].any()
    assert not highest[0].any()
    assert lowest[1, 0, 0] == 0
    assert_allclose(highest[1], 1 / (24 * 160 * 16 * 409), rtol=1e-9)


def test_a_train_twice_as_slow_gives_twice_the_light():
    slow = replace(STUDIO, wall_fps=Fraction(12))
    quick_pair = light_extremes(modelled_train(STUDIO, [40, MID_GRAY]), exposure_s=0.0123)
    slow_pair = light_extremes(modelled_train(slow, [40, MID_GRAY]), exposure_s=0.0246)
    assert_allclose(np.array(slow_pair), 2 * np.array(quick_pair), rtol=1e-12)


def test_no_light_is_none_at_all_and_not_what_rounding_leaves():
    """Two counts in two of 160 refreshes: a tenth of a frame finds room beside both."""
    wall = ListedWall(
        wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
    )
    exposures = [Fraction(angle, 8640) for angle in (36, 99, 160)]
    assert [exact_extremes(wall, 2, exposure_s=each)[0] for each in exposures] == [0, 0, 0]
    lowest, _ = light_extremes(
        modelled_train(wall, [2]), exposure_s=[float(each) for each in exposures]
    )
    np.testing.assert_array_equal(lowest, 0)
