"""Which shutter settings a card looks at."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_shots import exposure_at, plain_camera, plain_shot

from bandcheck.timing.dial import dial_exposures
from bandcheck.verdict.card_shutters import (
    COMMON_ANGLES_DEG,
    dial_shows_times,
    graded_exposures_s,
    map_exposures_s,
    plain_angle_deg,
)

TIMES = tuple(Fraction(text) for text in ("1/24", "1/48", "1/50", "1/60", "1/96", "1/2000"))
STEPS = plain_camera(angle_step_deg=Fraction(1, 10))


@pytest.mark.parametrize(("low", "high", "best", "expected"), [
    (179.976, 180.024, 180.0, "180"), (181.152, 181.201, 181.17647, "181.18"),
    (170.0, 180.0, 175.4, "175"), (179.9999, 180.0001, 179.99999, "180"),
    (359.9999, 360.0, 360.0, "360"), (0.001, 0.003, 0.002, "0.002"),
])
def test_a_plain_angle_has_the_fewest_decimals_with_room(low, high, best, expected):
    found = plain_angle_deg(from_deg=low, to_deg=high, best_deg=best)
    assert found == Fraction(expected)


@given(best=st.floats(0.01, 360), width=st.floats(0, 5))
@settings(derandomize=True, deadline=None)
def test_a_plain_angle_keeps_a_quarter_of_the_range_to_each_side(best, width):
    low, high = best - width / 2, best + width / 2
    found = plain_angle_deg(from_deg=low, to_deg=high, best_deg=best)
    assert abs(float(found) - best) <= width / 4 + 1e-9
    assert 0 < found <= 360


@pytest.mark.parametrize(("changed", "expected"), [
    ({"speeds_s": TIMES}, True), ({}, False), ({"angle_step_deg": Fraction(1)}, False),
    ({"speeds_s": TIMES, "angles_deg": (Fraction(180),)}, False),
    ({"speeds_s": TIMES, "angle_step_deg": Fraction(1)}, False),
])
def test_which_dials_show_times(changed, expected):
    assert dial_shows_times(plain_camera(**changed)) is expected


def columns(*shots, dialled=None):
    found = map_exposures_s(shots, dialled or [None] * len(shots))
    return [
        [each and 360 * each * shot.fps for each in row]
        for shot, row in zip(shots, found, strict=True)
    ]


def test_any_angle_gives_the_common_ones_and_the_wanted_one():
    row, = columns(plain_shot(angle="150.5"))
    assert row == sorted({*COMMON_ANGLES_DEG, Fraction("150.5")})


def test_a_map_has_the_same_angles_at_each_rate():
    at_24, at_25 = columns(plain_shot(fps=24), plain_shot(fps=25))
    assert at_24 == at_25


def test_steps_of_a_degree_leave_out_what_the_dial_cannot_set():
    row, = columns(plain_shot(camera=plain_camera(angle_step_deg=Fraction(1))))
    assert Fraction("172.8") not in row
    assert Fraction(180) in row


def test_what_is_dialled_has_a_column_of_its_own():
    shot = plain_shot(camera=STEPS)
    row, = columns(shot, dialled=[exposure_at("181.2")])
    assert Fraction("181.2") in row


def test_a_map_stays_as_wide_as_the_paper():
    shots = [plain_shot(fps=fps, camera=STEPS) for fps in range(20, 35)]
    dialled = [exposure_at(shot.fps * 7, shot.fps) for shot in shots]
    assert all(len(row) == 11 for row in columns(*shots, dialled=dialled))


def test_a_list_of_angles_gives_those_nearest_in_stops():
    angles = tuple(Fraction(each) for each in (*range(10, 200, 10), 300))
    row, = columns(plain_shot(camera=plain_camera(angles_deg=angles)))
    assert row == [*map(Fraction, range(100, 200, 10)), 300]


def test_a_dial_of_times_leaves_out_what_is_longer_than_a_frame():
    shots = [plain_shot(fps=fps, camera=plain_camera(speeds_s=TIMES)) for fps in (24, 48)]
    at_24, at_48 = map_exposures_s(shots, [None, None])
    assert at_24 == tuple(sorted(TIMES))
    assert at_48 == (*sorted(TIMES)[:-1], None)


def graded(shot, also=()):
    camera = shot.camera
    dial = dial_exposures(
        fps=shot.fps, angles_deg=camera.angles_deg, speeds_s=camera.speeds_s,
        angle_step_deg=camera.angle_step_deg,
    )
    found = graded_exposures_s(shot, dial=dial, also_s=also)
    assert list(found) == sorted(set(found))
    assert dial is None or set(found) <= set(dial)
    return {360 * each * shot.fps for each in found}


def test_a_short_dial_is_graded_whole():
    assert graded(plain_shot(camera=plain_camera(angle_step_deg=Fraction(1)))) == set(
        map(Fraction, range(1, 361))
    )


def test_of_a_long_dial_whole_degrees_and_clicks_are_graded():
    found = graded(plain_shot(camera=STEPS), also=(exposure_at("172.8"), None))
    assert {Fraction("170.8"), Fraction("172.7"), Fraction("174.8"), Fraction(1), Fraction(360)}\
        <= found
    assert not {Fraction("170.7"), Fraction("174.9"), Fraction("180.1")} & found


def test_where_any_angle_can_be_set_a_click_is_a_tenth_of_a_degree():
    found = graded(plain_shot(), also=(exposure_at("172.84"),))
    assert {Fraction("172.84"), Fraction("172.8"), Fraction("174.8"), Fraction(7)} <= found


def test_what_the_dial_cannot_set_is_not_graded():
    assert Fraction("172.84") not in graded(plain_shot(camera=STEPS), also=(exposure_at("172.84"),))
