"""What is drawn of a shot against what its rows record, and moments by hand."""

import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import (
    exposure_at,
    free_wall,
    global_camera,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.recorded_frame import recorded_frame
from bandcheck.verdict.recorded_rows import recorded_rows
from bandcheck.verdict.timeline import timeline

FRAME_S = 1 / 24
CLOCKED = {"clock_hz": 40e6, "line_switch_s": 1e-6}
OPTICS = {
    "camera": plain_camera(rows_px=33, sensor_height_mm=13.824 / 70), "optics": plain_optics(),
}


def drawn(shot, **changed):
    return timeline(shot, **{
        "signal": 0.3, "from_s": 0.0, "to_s": FRAME_S, "most": 50_000, **changed,
    })


def overlap(lit, open_s, close_s):
    """Lit time inside a window, added up pulse by pulse."""
    inside = np.minimum(lit.end_s, close_s) - np.maximum(lit.start_s, open_s)
    return float((np.maximum(inside, 0) * lit.share).sum())


SHOTS = {
    "spread": plain_shot(angle="172.8", phase_s=0.0123, camera=plain_camera(rows_px=33)),
    "repeated": plain_shot(
        wall=plain_wall(drive="repeated", refreshes_per_frame=60), angle=97,
        camera=plain_camera(rows_px=33),
    ),
    "binary code": plain_shot(
        wall=plain_wall(drive="binary_code", counts_per_refresh=255, refreshes_per_frame=20),
        camera=plain_camera(rows_px=33), angle="172.8",
    ),
    "dark end of the frame": plain_shot(
        wall=plain_wall(refreshes_per_frame=150, frame_end="dark", **CLOCKED),
        angle="172.8", camera=plain_camera(rows_px=33),
    ),
    "read from below": plain_shot(
        angle="172.8", phase_s=0.001, camera=plain_camera(rows_px=33, readout_down=False),
    ),
    "free refresh": plain_shot(wall=free_wall(), angle="172.8", camera=plain_camera(rows_px=33)),
    "whole lines": plain_shot(
        angle="172.8", camera=plain_camera(rows_px=33, shutter_whole_lines=True)
    ),
    "wall at 60": plain_shot(wall_fps=60, angle=100, camera=plain_camera(rows_px=33)),
    "three colours": plain_shot(
        wall=plain_wall(white_duty=(1.0, 0.5, 0.25)), angle="172.8",
        camera=plain_camera(rows_px=33),
    ),
    "own lines": plain_shot(
        wall=plain_wall(pitch_mm=2.6), angle="172.8", panel_rotation_deg=180, **OPTICS
    ),
    "own lines, read from below": plain_shot(
        wall=plain_wall(pitch_mm=2.6), angle="172.8", optics=plain_optics(),
        camera=plain_camera(rows_px=33, sensor_height_mm=13.824 / 70, readout_down=False),
    ),
    "pulses of 40 counts and more": plain_shot(
        wall=plain_wall(min_pulse_counts=(40, 40, 40)), angle="172.8",
        camera=plain_camera(rows_px=33),
    ),
    "many lines in a row": plain_shot(wall=plain_wall(pitch_mm=0.4), angle="172.8", **OPTICS),
    "lines across": plain_shot(
        wall=plain_wall(pitch_mm=2.6), angle="172.8", panel_rotation_deg=90, **OPTICS
    ),
}


@pytest.mark.parametrize("name", SHOTS)
@pytest.mark.parametrize("frame", [0, 1])
def test_drawn_pulses_in_a_drawn_window_are_what_the_row_records(name, frame):
    shot = SHOTS[name]
    case = light_cases(shot.wall, shot.wall_fps)[0]
    rows = drawn(shot, case=case, from_s=frame * FRAME_S, to_s=(frame + 1) * FRAME_S).rows
    recorded = recorded_rows(shot, case=case, levels=np.array([0.3]), frame=frame)
    place = int(np.flatnonzero(rows.frame == frame)[0])
    opens, closes = rows.open_s[place], rows.close_s[place]
    assert (rows.row[0], rows.row[4], rows.row[-1], rows.row.size) == (0, 16, 32, 9)
    lines = case.timing.scan_lines
    lit = [
        drawn(shot, case=case, from_s=float(opens.min()), to_s=float(closes.max()), line=line).lit
        for line in range(lines)
    ]
    for colour, relative in recorded.items():
        found = [
            np.mean([
                overlap(lit[(line + step) % lines][colour], opening, closing)
                for step in range(rows.lines_covered)
            ])
            for line, opening, closing in zip(rows.line, opens, closes, strict=True)
        ]
        train = case.train(np.array([_value(shot, case, colour)]), min_pulse_counts=1)
        mean = train.light_per_cycle_s[0] / train.cycle_s * (closes - opens)
        assert_allclose(found / mean, relative[0][rows.row], rtol=1e-9)


def _value(shot, case, colour):
    """Counts by hand: BT.1886 at 30 % signal, half up."""
    duty = dict(zip(("red", "green", "blue"), shot.wall.white_duty, strict=True)).get(colour, 1)
    return math.floor(0.3**2.4 * duty * case.full_scale + 0.5)


def test_which_lines_rows_see():
    assert set(drawn(SHOTS["spread"]).rows.line) == {0}
    assert set(drawn(SHOTS["lines across"]).rows.line) == {0}
    assert len(set(drawn(SHOTS["own lines"]).rows.line)) > 4
    assert drawn(SHOTS["many lines in a row"]).rows.lines_covered > 1


def test_frames_before_and_after_that_touch_the_window():
    # 360 deg and 8 ms of readout: the frame before is open until nearly 8 ms after the phase
    shot = plain_shot(angle=360, phase_s=0.004)
    assert_array_equal(drawn(shot).rows.frame, [-1, 0])
    assert_array_equal(drawn(shot, from_s=0.0125, to_s=0.0126).rows.frame, [0])
    assert_array_equal(drawn(shot, from_s=0.0035, to_s=0.0039).rows.frame, [-1])
    assert_allclose(drawn(shot).rows.open_s[:, 0], [0.004 - FRAME_S, 0.004])
    assert_allclose(drawn(shot).camera_frame_s, [0.004])


def test_a_gap_between_frames_holds_no_row():
    shot = plain_shot(angle=10, phase_s=0.0, camera=plain_camera(rows_px=9))
    found = drawn(shot, from_s=0.02, to_s=0.03)
    assert found.rows.open_s.shape == (0, 9)


def test_all_rows_of_a_global_shutter_open_at_once():
    rows = drawn(plain_shot(camera=global_camera(rows_px=5), phase_s=0.002)).rows
    assert_array_equal(rows.row, np.arange(5))
    assert_allclose(rows.open_s, np.full((1, 5), 0.002))
    assert_allclose(rows.close_s, np.full((1, 5), 0.002 + 1 / 48))


@pytest.mark.parametrize(("wall_fps", "content_fps"), [
    (24, 24), (48, 24), (60, 24), (24, 60), (60, Fraction(24000, 1001)), (60, "23.9761"), (24, 0),
])
def test_the_picture_changes_with_the_first_wall_frame_of_its_content(wall_fps, content_fps):
    content_fps = Fraction(content_fps)
    shot = plain_shot(wall_fps=wall_fps, angle=90, content_fps=content_fps)
    found = drawn(shot, from_s=-0.21, to_s=0.51)
    expected = set()
    if content_fps:
        for k in range(-60, 60):
            frame = math.ceil(k / content_fps * wall_fps)
            if Fraction(-0.21) <= Fraction(frame, wall_fps) <= Fraction(0.51):
                expected.add(Fraction(frame, wall_fps))
    assert_allclose(found.change_s, [float(each) for each in sorted(expected)], atol=1e-15)
    frames = [n / wall_fps for n in range(-20, 60) if -0.21 <= n / wall_fps <= 0.51]
    assert_allclose(found.wall_frame_s, frames, atol=1e-15)


def test_a_change_that_is_under_way_is_drawn_too():
    shot = plain_shot(change_spread_s=0.003)
    assert_array_equal(drawn(shot, from_s=0.002, to_s=0.01).change_s, [0])
    assert_array_equal(drawn(shot, from_s=0.0031, to_s=0.01).change_s, [])


def test_slots_follow_one_another_and_are_left_out_where_they_are_too_many():
    found = drawn(plain_shot(), from_s=1e-6, to_s=1 / 3840 - 1e-6, line=14)
    assert_array_equal(found.slots.line, [0, 1, 14, 15])
    assert_allclose(found.slots.start_s, np.array([0, 1, 14, 15]) / 3840 / 16)
    assert found.lit["white"].refreshes_each == 0
    assert drawn(plain_shot(), most=600).slots is None
    assert drawn(plain_shot(), most=100).lit["white"].refreshes_each == 2


def test_a_slot_is_the_shortest_window_of_use():
    found = drawn(plain_shot(), signal=1.0, from_s=0.0, to_s=1 / 3840 / 16, line=0)
    assert_allclose(found.lit["white"].start_s, [0], atol=1e-18)
    assert_allclose(found.lit["white"].end_s, [1 / 3840 / 16])


@pytest.mark.parametrize(("frame_end", "from_s", "line"), [
    # 511 counts of 40 MHz and 1 us: 13.775 us a slot, 16 of them 220.4 us; 150 refreshes a frame
    ("dark", 2 * 220.4e-6 + 3.5 * 13.775e-6, 3), ("dark", 0.041, 15), ("dark", -1e-6, 15),
    ("stretched", 2 / 3600 + 3.5 * 13.775e-6, 3), ("stretched", 1 / 3600 - 1e-6, 15),
    ("dark", 1 / 24 + 1e-6, 0),
])
def test_a_short_window_is_about_the_line_that_lights_in_it(frame_end, from_s, line):
    wall = plain_wall(
        refreshes_per_frame=150, counts_per_refresh=511, dealing="even", frame_end=frame_end,
        **CLOCKED,
    )
    found = drawn(plain_shot(wall=wall), from_s=from_s, to_s=from_s + 5e-5)
    assert found.line == line
    assert drawn(plain_shot(wall=wall), from_s=from_s, to_s=from_s + 1 / 3600).line == 0


def test_what_was_taken_for_granted_is_told():
    found = drawn(plain_shot())
    assert (found.phase_s, found.phase_known, found.clocks_shared) == (0, False, True)
    assert drawn(plain_shot(phase_s=0.001)).phase_known
    assert not drawn(plain_shot(genlock="free")).clocks_shared
    assert not drawn(plain_shot(wall=free_wall())).clocks_shared
    open_dealing = plain_shot(wall=plain_wall(refreshes_per_frame=150, dealing=None))
    expected = recorded_frame(open_dealing, signals=np.array([0.3])).case
    assert drawn(open_dealing).case == expected


def test_twice_as_slow_is_twice_as_long():
    quick = plain_shot(angle="172.8", phase_s=0.003)
    slow = plain_shot(
        fps=12, angle="172.8", phase_s=0.006, camera=plain_camera(readout_s=0.016),
        exposure_s=2 * exposure_at("172.8"),
    )
    one, two = drawn(quick), drawn(slow, to_s=2 * FRAME_S)
    assert_allclose(two.rows.open_s, 2 * one.rows.open_s)
    assert_allclose(two.rows.close_s, 2 * one.rows.close_s)
    assert_allclose(two.lit["white"].end_s, 2 * one.lit["white"].end_s)


@pytest.mark.parametrize(("changed", "named"), [
    ({"signal": 1.01}, "signal"), ({"signal": np.nan}, "signal"),
    ({"to_s": -0.1}, "to_s"), ({"to_s": 4.2}, "to_s"), ({"from_s": 3601.0}, "from_s"),
    ({"from_s": np.nan}, "from_s"), ({"most": 0}, "most"), ({"line": 16}, "line"),
    ({"line": -1}, "line"),
])
def test_impossible_questions_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}:"):
        drawn(plain_shot(), **changed)


def test_a_way_of_exposing_that_is_not_described_is_refused():
    shot = plain_shot(camera=plain_camera(exposure_scheme="multi"))
    with pytest.raises(OutOfRangeError, match=r"^exposure_scheme:"):
        drawn(shot, case=light_cases(shot.wall, shot.wall_fps)[0])
