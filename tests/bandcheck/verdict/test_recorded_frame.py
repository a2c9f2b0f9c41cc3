"""A recorded frame against a list of lit intervals, a walk through the pictures and hand counts."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall, exact_light, lit_intervals, mean_light
from picture_simulation import older_share_of_row, time_on_pictures
from plain_shots import (
    exposure_at,
    global_camera,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.picture_changes import newest_picture
from bandcheck.verdict.recorded_frame import ramp_light, recorded_frame
from bandcheck.verdict.row_sampling import row_sampling

WHITE = np.array([1.0])
SMALL = {"camera": plain_camera(rows_px=8, readout_s=0.008)}
LISTED = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)


@pytest.mark.parametrize("number", [0, 3])
def test_rows_catch_the_overlaps_of_their_exposure_with_the_lit_intervals(number):
    shot = plain_shot(angle="172.8", phase_s=0.0031, **SMALL)
    frame = recorded_frame(shot, signals=np.array([1.0, 0.5]), number=number)
    # BT.1886: 0.5^2.4 of 65440 counts
    for level, value in enumerate((65440, round(0.5**2.4 * 65440))):
        mean = mean_light(LISTED, value, exposure_s=Fraction(1, 50))
        caught = [
            exact_light(
                LISTED, value, open_s=Fraction("0.0031") + row * Fraction("0.001"),
                exposure_s=Fraction(1, 50),
            ) / mean
            for row in range(8)
        ]
        for colour in range(3):
            assert_allclose(frame.relative[colour, level], [float(each) for each in caught],
                            atol=1e-9, rtol=0)
        assert_allclose(frame.mean_light[:, level], value / 65440, rtol=1e-15)
    assert_allclose(frame.open_s, number / 24 + 0.0031 + 0.001 * np.arange(8), rtol=1e-12)


def test_a_sensor_read_upwards_opens_its_lowest_row_first():
    down = recorded_frame(plain_shot(angle=100, phase_s=0.030, **SMALL), signals=WHITE)
    up = recorded_frame(
        plain_shot(angle=100, phase_s=0.030, camera=replace(SMALL["camera"], readout_down=False)),
        signals=WHITE,
    )
    for name in ("open_s", "older_share", "picture"):
        assert_array_equal(getattr(up, name), getattr(down, name)[::-1], name)
    assert_array_equal(up.relative, down.relative[..., ::-1])
    assert np.ptp(down.picture) == 1


def test_one_scan_line_for_every_row_unless_the_optics_tell_them_apart():
    wall, camera = plain_wall(pitch_mm=2.6), global_camera(rows_px=8, sensor_height_mm=0.05)
    blind = plain_shot(angle="172.8", wall=wall, camera=camera)
    assert np.ptp(recorded_frame(blind, signals=WHITE).relative) == 0
    seen = replace(blind, optics=plain_optics())
    lines_a_row = row_sampling(seen).wall_rows_per_row
    assert 0.2 < lines_a_row < 1
    mean = mean_light(LISTED, 65440, exposure_s=Fraction(1, 50))
    caught = [
        float(exact_light(LISTED, 65440, open_s=0, exposure_s=Fraction(1, 50), line=line) / mean)
        for line in (int(row * lines_a_row) % 16 for row in range(8))
    ]
    assert_allclose(recorded_frame(seen, signals=WHITE).relative[0, 0], caught, atol=1e-9)


def test_the_change_of_picture_by_hand():
    # Row r opens at 25 ms + r ms, 90 deg is 10.417 ms; the picture changes at 41.667 ms.
    frame = recorded_frame(plain_shot(angle=90, phase_s=0.025, **SMALL), signals=WHITE)
    change, exposure = 1 / 24, 1 / 96
    share = [
        (change - 0.025 - 0.001 * row) / exposure if 0.025 + 0.001 * row + exposure > change else 0
        for row in range(8)
    ]
    assert share[6] == 0 < share[7]
    assert_allclose(frame.older_share, share, atol=1e-9)
    assert list(frame.picture) == [0] * 7 + [1]


def test_a_picture_that_stands_still_never_tears():
    shot = plain_shot(angle=180, phase_s=0.030, content_fps=Fraction(0), **SMALL)
    frame = recorded_frame(shot, signals=WHITE)
    assert not frame.older_share.any()
    assert not frame.picture.any()


@given(
    wall=st.sampled_from([24, 48, 60, 120]), content=st.sampled_from([12, 24, 30, 48]),
    frame=st.integers(0, 9), phase=st.fractions(0, Fraction(1, 20), max_denominator=997),
    share=st.fractions(Fraction(1, 50), 1, max_denominator=97),
)
@settings(derandomize=True, deadline=None)
def test_the_newest_picture_is_the_last_one_met_on_a_walk(wall, content, frame, phase, share):
    wall, content, exposure = Fraction(wall), Fraction(min(wall, content)), share / 24
    found = newest_picture(
        wall_fps=wall, content_fps=content, camera_fps=Fraction(24), frame=frame,
        phase_s=float(phase), exposure_s=float(exposure), readout_s=0.010, rows=5,
    )
    walked, sure = [], []
    for row in range(5):
        opens = phase + Fraction(frame, 24) + row * Fraction(2, 1000)
        spent = time_on_pictures(
            wall_fps=wall, content_fps=content, opens=opens, closes=opens + exposure
        )
        walked.append(max(spent))
        sure.append(spent[max(spent)] > Fraction(1, 10**6))  # less is a matter of rounding
        if len(spent) > 1:
            older = older_share_of_row(
                wall_fps=wall, content_fps=content, opens=opens, exposure=exposure
            )
            assert 0 < older < 1
    steps = (found - found[0])[sure] - (np.array(walked) - walked[0])[sure]
    assert np.ptp(steps) == 0


def test_the_test_picture_mixes_ramp_and_bars_as_its_rows_did():
    shot = plain_shot(angle=90, phase_s=0.030, **SMALL)
    frame = recorded_frame(shot, signals=np.linspace(0, 1, 11))
    picture = ramp_light(frame, columns=100)
    assert picture.shape == (8, 100, 3)
    # Column 95 is white in every picture; nothing tears there, only its own light remains.
    assert_allclose(picture[:, 95, 1], frame.relative[1, 10], rtol=1e-12)
    # The light bar is on column 9 in picture 0 and on 14 in picture 1, its ground is level 1.
    white, ground = frame.relative[0, 10], frame.relative[0, 1] * frame.mean_light[0, 1]
    assert list(frame.picture) == [0, 0] + [1] * 6
    newer = np.where(frame.picture == 1, 1 - frame.older_share, 0)
    assert 0.05 < newer[2] < newer[5] < 0.9
    assert_allclose(picture[:, 9, 0], (1 - newer) * white + newer * ground, rtol=1e-12)
    assert_allclose(picture[:, 14, 0], newer * white + (1 - newer) * ground, rtol=1e-12)
    # and so does the dark one, on 59 and 64
    assert_allclose(picture[:, 59, 0] / frame.mean_light[0, 6],
                    newer * frame.relative[0, 6], atol=1e-12)
    assert_array_equal(ramp_light(frame, columns=100, rows=slice(2, 5)), picture[2:5])


def test_gain_stretches_bands_around_their_mean_and_leaves_the_tear():
    shot = plain_shot(angle="172.8", phase_s=0.0, **SMALL)
    frame = recorded_frame(shot, signals=np.linspace(0, 1, 3))
    true, ten = (ramp_light(frame, columns=90, gain=gain)[:, 80, 0] for gain in (1, 10))
    assert np.ptp(true) > 0.01
    assert_allclose(ten - 1, 10 * (true - 1), atol=1e-12)
    torn = recorded_frame(plain_shot(angle=180, phase_s=0.030, **SMALL), signals=WHITE)
    assert np.ptp(torn.relative) < 1e-9
    assert_allclose(ramp_light(torn, columns=40, gain=10), ramp_light(torn, columns=40), atol=1e-8)


def test_nothing_but_ratios_of_times_counts():
    fast = plain_shot(fps=48, angle=100, phase_s=0.010, camera=plain_camera(
        rows_px=8, readout_s=0.004
    ))
    slow = plain_shot(fps=24, angle=100, phase_s=0.020, **SMALL)
    a, b = (recorded_frame(each, signals=np.array([1.0, 0.3])) for each in (fast, slow))
    assert_allclose(a.relative, b.relative, atol=1e-9)
    assert_allclose(a.older_share, b.older_share, atol=1e-9)


def test_three_colours_and_black():
    shot = plain_shot(angle="172.8", wall=plain_wall(white_duty=(1.0, 0.8, 0.6)), **SMALL)
    frame = recorded_frame(shot, signals=np.array([0.0, 1.0]))
    assert_allclose(frame.mean_light[:, 1], 1, rtol=1e-4)
    assert not frame.mean_light[:, 0].any()
    assert (frame.relative[:, 0] == 1).all()
    assert np.ptp(frame.relative[:, 1], axis=0).max() > 1e-4
    for colour, duty in enumerate((1.0, 0.8, 0.6)):
        value = round(duty * 65440)
        mean = mean_light(LISTED, value, exposure_s=exposure_at("172.8"))
        first = exact_light(LISTED, value, open_s=0, exposure_s=exposure_at("172.8")) / mean
        assert_allclose(frame.relative[colour, 1, 0], float(first), atol=1e-9)
    assert len(lit_intervals(LISTED, 1)) == 1


def test_light_is_told_over_the_mean_of_the_frame():
    frame = recorded_frame(plain_shot(angle="172.8", phase_s=0.001), signals=WHITE)
    assert_allclose(frame.light.mean(axis=2), 1, rtol=1e-12)
    assert_allclose(frame.ripple[:, 0], np.ptp(frame.relative[0, 0]) / frame.relative[0, 0].mean())


@pytest.mark.parametrize(("changed", "arguments", "words"), [
    ({"camera": plain_camera(exposure_scheme="multi")}, {}, "exposure_scheme: 'multi'"),
    ({}, {"number": -1}, "number: -1"),
    ({}, {"signals": np.array([1.2])}, "signals: 1.2"),
    ({}, {"signals": np.array([np.nan])}, "signals: nan"),
])
def test_what_cannot_be_is_refused(changed, arguments, words):
    with pytest.raises(OutOfRangeError, match=words):
        recorded_frame(plain_shot(**changed), **{"signals": WHITE, **arguments})


@pytest.mark.parametrize("arguments", [{"columns": 0}, {"columns": 9, "gain": 0.0}])
def test_a_picture_needs_columns_and_contrast(arguments):
    frame = recorded_frame(plain_shot(**SMALL), signals=WHITE)
    with pytest.raises(OutOfRangeError):
        ramp_light(frame, **arguments)
