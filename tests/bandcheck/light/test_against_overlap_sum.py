"""The closed form of the light against the plain sum of overlaps, and that sum by hand."""

import itertools
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import (
    ListedWall,
    cycle_s,
    exact_light,
    light_against_phase,
    lit_intervals,
    lit_share,
    mean_light,
    pulse_counts,
    slot_s,
)
from wall_cases import modelled_train, telling_values, walls

from bandcheck.light.pulse_train import window_light

AGREEMENT = 1e-9
"""Of the light of full drive in the same window."""

SMALL = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=2, scan_lines=2, counts_per_refresh=4
)
"""A frame of 16 counts: 2 refreshes of 2 slots of 4 counts of 1/384 s."""

STUDIO = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)


def assert_agrees(wall, values, *, opens, exposures, lines):
    """Compare window by window; `opens`, `exposures` and `lines` go together."""
    delays = [float(line * slot_s(wall)[0]) for line in lines]
    modelled = window_light(
        modelled_train(wall, values), open_s=opens, exposure_s=exposures, line_delay_s=delays
    )
    assert modelled.shape == (len(values), len(opens))
    for (level, value), (window, (opening, exposure, line)) in itertools.product(
        enumerate(values), enumerate(zip(opens, exposures, lines, strict=True))
    ):
        listed = exact_light(wall, value, open_s=opening, exposure_s=exposure, line=line)
        full_drive = Fraction(exposure) * lit_share(wall)
        error = float(abs(Fraction(float(modelled[level, window])) - listed) / full_drive)
        assert error <= AGREEMENT, (
            f"count {value}, line {line}, open {opening!r}, exposure {exposure!r}: "
            f"{modelled[level, window]!r} against {float(listed)!r}, {wall}"
        )


class TestOverlapSumByHand:
    """The second route itself, against counts made by hand."""

    def test_a_value_is_shared_and_the_first_dealt_get_one_more(self):
        assert pulse_counts(SMALL, 3) == [2, 1]
        five = replace(SMALL, refreshes_per_frame=5)  # dealt 0 4 2 1 3 (of 0 4 2 6 1 5 3 7)
        assert pulse_counts(five, 2) == [1, 0, 0, 0, 1]
        assert pulse_counts(five, 14) == [3, 3, 3, 2, 3]
        even = replace(SMALL, refreshes_per_frame=8, dealing="even")
        assert pulse_counts(even, 3) == [0, 0, 1, 0, 0, 1, 0, 1]
        assert pulse_counts(even, 19) == [2, 2, 3, 2, 2, 3, 2, 3]

    def test_short_pulses_are_gathered_where_they_would_not_light(self):
        eight = replace(SMALL, refreshes_per_frame=8, min_pulse_counts=3)
        assert pulse_counts(eight, 2) == [2, 0, 0, 0, 0, 0, 0, 0]
        assert pulse_counts(eight, 7) == [4, 0, 0, 0, 3, 0, 0, 0]
        # even: 3 of 8 are 2, 5 and 7; of these three the last gets the one left over
        assert pulse_counts(replace(eight, dealing="even"), 10) == [0, 0, 3, 0, 0, 3, 0, 4]

    def test_intervals_of_a_small_wall(self):
        in_counts = [tuple(384 * edge for edge in lit) for lit in lit_intervals(SMALL, 3, line=1)]
        assert in_counts == [(4, 6), (12, 13)]

    def test_intervals_of_bit_planes(self):
        coded = ListedWall(
            wall_fps=Fraction(1), refreshes_per_frame=1, scan_lines=1, counts_per_refresh=7,
            drive="binary_code",
        )
        assert lit_intervals(coded, 5) == [(0, Fraction(1, 7)), (Fraction(3, 7), 1)]
        assert lit_intervals(coded, 6) == [(Fraction(1, 7), Fraction(3, 7)), (Fraction(3, 7), 1)]

    def test_a_clock_leaves_time_over_at_the_frame_end(self):
        # 2 refreshes x 2 lines x (4 counts of 1/128 s + 1/64 s of dark) = 12/64 s of 1/4 s
        clocked = replace(
            SMALL, wall_fps=Fraction(4), clock_hz=128.0, line_switch_s=1 / 64, frame_end="dark"
        )
        starts = [64 * start for start, _ in lit_intervals(clocked, 8, line=1)]
        assert starts == [3 + 1, 6 + 3 + 1]
        stretched = replace(clocked, frame_end="stretched")
        assert [64 * start for start, _ in lit_intervals(stretched, 8, line=1)] == [4, 8 + 4]
        free = replace(clocked, refresh_hz=float(Fraction(64, 6)))
        assert cycle_s(free) == Fraction(12, 64)
        assert lit_share(free) == Fraction(4, 12)
        assert lit_share(clocked) == Fraction(4, 16)

    def test_windows_cut_pulses_where_they_should(self):
        def light(opening, exposure):
            return 384 * exact_light(
                SMALL, 3, open_s=Fraction(opening, 384), exposure_s=Fraction(exposure, 384)
            )

        # lit from 0 to 2 and from 8 to 9, again after 16
        assert [light(0, 16), light(5, 16), light(-37, 48)] == [3, 3, 9]
        assert [light(1, 1), light(2, 6), light(1, 8), light(8, 9)] == [1, 0, 2, 2]
        assert light(-15, 1) == 1
        assert light(Fraction(1, 2), Fraction(1, 4)) == Fraction(1, 4)
        assert mean_light(SMALL, 3, exposure_s=Fraction(1, 24)) * 384 == 3

    def test_the_sum_in_floats_is_the_exact_sum(self):
        phases = np.linspace(-0.03, 0.09, 41)
        scanned = light_against_phase(STUDIO, 1234, phases_s=phases, exposure_s=0.02, line=5)
        listed = [
            float(exact_light(STUDIO, 1234, open_s=float(phase), exposure_s=0.02, line=5))
            for phase in phases
        ]
        assert_allclose(scanned, listed, rtol=0, atol=1e-16)


@pytest.mark.parametrize("drive", ["spread", "repeated", "binary_code"])
@pytest.mark.parametrize("dealing", ["bit_reversed", "even"])
@pytest.mark.parametrize("clock", ["none", "dark", "stretched", "free", "free and clocked"])
@pytest.mark.parametrize("rate", ["24", "24000/1001"])
def test_every_drive_at_telling_counts(drive, dealing, clock, rate):
    rate = Fraction(rate)
    wall = ListedWall(
        wall_fps=rate, refreshes_per_frame=12, scan_lines=8, counts_per_refresh=255, drive=drive,
        dealing=dealing, line_switch_s=2e-6,
        clock_hz=None if clock in ("none", "free") else 0.7e6,
        frame_end=clock if clock in ("dark", "stretched") else "stretched",
        refresh_hz={"free": 291.3, "free and clocked": 1 / (8 * (255 / 0.7e6 + 2e-6))}.get(clock),
    )
    values = telling_values(wall)
    frame = float(1 / rate)
    edges = [float(edge) for lit in lit_intervals(wall, values[-1], line=3)[:4] for edge in lit]
    windows = [
        (phase * frame, exposure, line)
        for phase in (0.0, 0.31, 0.999)
        for exposure in (1e-6, 1e-4, 0.02, frame / 2, frame, 3 * frame)
        for line in (0, 3, 7)
    ]
    windows += [(edge, 1e-3, 3) for edge in edges] + [(edge - 1e-6, 1e-6, 3) for edge in edges]
    opens, exposures, lines = zip(*windows, strict=True)
    assert_agrees(wall, values, opens=opens, exposures=exposures, lines=lines)


@pytest.mark.parametrize("rate", ["24", "24000/1001"])
def test_a_studio_wall(rate):
    wall = replace(STUDIO, wall_fps=Fraction(rate))
    values = [1, 2, 3, 40, 159, 160, 161, 12399, 65439, 65440]
    opens, exposures, lines = zip(
        (0.0, 1e-6, 0), (1e-6, 1 / 48, 15), (0.0123, 0.02, 7), (0.04, 1 / 24, 1), strict=True
    )
    assert_agrees(wall, values, opens=opens, exposures=exposures, lines=lines)


@settings(derandomize=True, deadline=None, max_examples=800)
@given(wall=walls(), data=st.data())
def test_no_counter_example(wall, data):
    values = sorted({
        data.draw(st.sampled_from(telling_values(wall))),
        data.draw(st.integers(0, wall.full_scale)),
    })
    frame = float(1 / wall.wall_fps)
    exposure = data.draw(st.one_of(
        st.floats(1e-6, 3 * frame),
        st.integers(-6, 0).map(lambda power: 3 * frame * 10.0**power).map(lambda t: max(t, 1e-6)),
    ))
    line = data.draw(st.integers(0, wall.scan_lines - 1))
    edges = [0.0] + [
        float(edge) for lit in lit_intervals(wall, values[-1], line=line)[:3] for edge in lit
    ]
    opening = data.draw(st.one_of(
        st.floats(-3 * frame, 3 * frame),
        st.sampled_from(edges),
        st.sampled_from(edges).map(lambda edge: edge - exposure),
    ))
    assert_agrees(wall, values, opens=[opening], exposures=[exposure], lines=[line])


def test_the_shape_of_levels_and_windows():
    train = modelled_train(STUDIO, [0, 160, 65440])
    opens = np.linspace(0, 0.04, 100).reshape(20, 5)
    light = window_light(train, open_s=opens, exposure_s=0.02)
    assert light.shape == (3, 20, 5)
    assert_array_equal(light[0], 0.0)
    for level, value in ((1, 160), (2, 65440)):
        listed = light_against_phase(STUDIO, value, phases_s=opens.ravel(), exposure_s=0.02)
        assert_allclose(light[level].ravel(), listed, rtol=0, atol=1e-9 * 0.02 / 16)
    single = window_light(train, open_s=0.0, exposure_s=0.02)
    assert single.shape == (3,)
    assert_array_equal(single, light[:, 0, 0])
