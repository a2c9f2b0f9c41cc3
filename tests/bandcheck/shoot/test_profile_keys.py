"""Values of single keys: units, exactness, and what is refused."""

from fractions import Fraction

import pytest

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import parse_camera, parse_lamp, parse_wall

WALL = '[wall]\nname = "w"\nscan_lines = 16\ndrive = "spread"\ngray_bits = 16\n'
WALL_160 = WALL + "refreshes_per_frame = 160\n"
CAMERA = '[camera]\nname = "c"\nrows_px = 2160\nshutter = "rolling"\n'
CAMERA_8 = CAMERA + "readout_ms = 8\n"
LAMP = '[lamp]\nname = "l"\nkind = "mains"\nmains_hz = 50\n'


def wall(lines: str):
    return parse_wall(WALL_160 + lines, file="w.toml")


def camera(lines: str):
    return parse_camera(CAMERA_8 + lines, file="c.toml")


def faults(parse, text: str) -> tuple[str, ...]:
    with pytest.raises(ProfileError) as caught:
        parse(text, file="p.toml")
    return caught.value.faults


# Expected values: the unit's power of ten, written out by hand.
@pytest.mark.parametrize(("line", "field", "expected"), [
    ("clock_mhz = 12.5", "clock_hz", 12_500_000.0),
    ("clock_mhz = 71.304", "clock_hz", 71_304_000.0),
    ("line_switch_us = 1.5", "line_switch_s", 0.0000015),
    ("refresh_tolerance_pct = 0.7", "refresh_tolerance", 0.007),
    ("rate_tolerance_ppm = 20", "rate_tolerance", 0.00002),
    ("pitch_mm = 2.6", "pitch_mm", 2.6),
    ("cabinet_angle_deg = -2.5", "cabinet_angle_deg", -2.5),
    ("peak_nits = 1_500", "peak_nits", 1500.0),
    ("latency_frames = 1.5", "latency_frames", 1.5),
    ("white_duty_green = 0.85", "white_duty", (1.0, 0.85, 1.0)),
    ("white_duty_blue = 0.5\nwhite_duty_red = 0.25", "white_duty", (0.25, 1.0, 0.5)),
    ("min_pulse_counts = 3", "min_pulse_counts", (3, 3, 3)),
    ("min_pulse_counts = [1, 2, 3]", "min_pulse_counts", (1, 2, 3)),
    ("refreshes_per_frame_allowed = [1, 160]", "refreshes_per_frame_allowed", (1, 160)),
    ("scan_down = false", "scan_down", False),
    ("rated_fps = 23.98", "rated_fps", Fraction(24000, 1001)),
    ('rated_fps = "30000/1001"', "rated_fps", Fraction(30000, 1001)),
    ("rated_fps = 12.5", "rated_fps", Fraction(25, 2)),
])
def test_figures_of_a_wall_arrive_in_si(line, field, expected):
    assert getattr(wall(line), field) == expected


@pytest.mark.parametrize(("line", "field", "expected"), [
    ("readout_tolerance_ms = 0.15", "readout_tolerance_s", 0.00015),
    ("rate_tolerance_ppm = 10", "rate_tolerance", 0.00001),
    ("angles_deg = [172.8, 180]", "angles_deg", (Fraction(864, 5), Fraction(180))),
    ('speeds = ["1/50", "1/48", 0.02, "0.01"]', "speeds_s",
     (Fraction(1, 50), Fraction(1, 48), Fraction(1, 50), Fraction(1, 100))),
    ("speeds = ['1/1']", "speeds_s", (Fraction(1),)),
    ("angle_step_deg = 0.1", "angle_step_deg", Fraction(1, 10)),
    ("max_fps = 59.94", "max_fps", Fraction(60000, 1001)),
])
def test_figures_of_a_camera_arrive_in_si(line, field, expected):
    assert getattr(camera(line), field) == expected


def test_milliseconds_round_once():
    # 21.04 * 1e-3 in floats is one step off the float nearest to 0.02104.
    text = CAMERA + "readout_ms = 21.04\n"
    assert parse_camera(text, file="c").readout_s == 0.02104
    assert parse_camera(text.replace("21.04", "8"), file="c").readout_s == 0.008


def test_figures_of_a_lamp_arrive_in_si():
    lamp = parse_lamp(LAMP + "mains_tolerance_pct = 2\nmodulation = 0.35\n", file="l")
    assert (lamp.mains_hz, lamp.mains_tolerance, lamp.modulation) == (50.0, 0.02, 0.35)


def test_what_is_not_stated_is_not_known():
    assert wall("").pitch_mm is None
    assert wall("").on_rate_change is None
    assert camera("").shutter_whole_lines is None
    assert camera("").mosaic is None


@pytest.mark.parametrize("line", [
    "pitch_mm = 0", "pitch_mm = -2.6", "pitch_mm = nan", "pitch_mm = inf", "pitch_mm = '2.6'",
    "pitch_mm = true", "pitch_mm = 1000.1", "pitch_mm = 1e-99999999999999999999",
    "pitch_mm = 1e99999999999999999999", "pitch_mm = 1e-300", "pitch_mm = [2.6]",
    "pitch_mm = 2026-03-02", "pitch_mm = {a = 1}", "gamma = 0.4", "gamma = 5.1",
    "refresh_tolerance_pct = 50.1", "refresh_tolerance_pct = -0.1", "emitter_fill = 0",
    "emitter_fill = 1.01", "columns_px = 0", "columns_px = 3840.0", "columns_px = true",
    "columns_px = 100_001", "scan_down = 1", "scan_down = 'true'", "transfer = 'srgb'",
    "transfer = 1", "min_pulse_counts = 0", "min_pulse_counts = [1, 2]",
    "min_pulse_counts = [1, 2, 3, 4]", "min_pulse_counts = [1, 2, 3.0]",
    "min_pulse_counts = 1.5", "white_duty_red = 1.1",
    "refreshes_per_frame_allowed = []", "refreshes_per_frame_allowed = 160",
    "refreshes_per_frame_allowed = [160, 0]", "refreshes_per_frame_allowed = [160.0]",
    "refreshes_per_frame_allowed = [160, 100_001]",
    "rated_fps = 0", "rated_fps = '24/0'", "rated_fps = '24 fps'", "rated_fps = nan",
    "rated_fps = true", "rated_fps = -24", "cabinet_angle_deg = 91",
])
def test_impossible_figures_of_a_wall_are_refused_by_their_key(line):
    (fault,) = faults(parse_wall, WALL_160 + line)
    assert fault.startswith(f"{line.split(' =')[0]}: ")
    assert " is not accepted; " in fault


@pytest.mark.parametrize("line", [
    "angles_deg = [0]", "angles_deg = [360.1]", "angles_deg = [-1]", "angles_deg = 180",
    "angles_deg = []", "angles_deg = ['wide']", "angles_deg = [nan]", "angles_deg = [[180]]",
    "speeds = ['1/0']", "speeds = ['0/50']", "speeds = [0]", "speeds = ['2/1']", "speeds = [50]",
    "speeds = ['1/50 s']", "speeds = '1/50'", "angle_step_deg = 0", "angle_step_deg = 0.0009",
    "angle_step_deg = 361", "max_fps = 100_001", "max_fps = 'fast'", "body = ''",
])
def test_impossible_figures_of_a_camera_are_refused_by_their_key(line):
    (fault,) = faults(parse_camera, CAMERA_8 + line)
    assert fault.startswith(f"{line.split(' =')[0]}: ")
    assert " is not accepted; " in fault


@pytest.mark.parametrize("line", [
    "pitch_mm = 1000", "gamma = 0.5\ntransfer = 'gamma'", "gamma = 5\ntransfer = 'gamma'",
    "emitter_fill = 1", "line_switch_us = 0", "columns_px = 1", "columns_px = 100_000",
    "cabinet_angle_deg = 90", "refresh_tolerance_pct = 50", "white_duty_red = 1",
])
def test_bounds_themselves_are_accepted(line):
    assert wall(line).name == "w"


@pytest.mark.parametrize(("name", "accepted"), [
    ("n" * 200, True), ("n" * 201, False), ("n" * 5000, False), (" ", False), ("", False),
    ("Wand 3, Außen", True), ("壁", True), ("دیوار", True), ("a\\u0007b", False), ("a\\nb", False),
    ("a\\u202eb", False), ("a\\u2028b", False), ("a\\u0085b", False),
])
def test_names_fit_on_a_line_of_the_card(name, accepted):
    text = LAMP.replace('"l"', f'"{name}"')
    if accepted:
        assert parse_lamp(text, file="l").name == name
    else:
        (fault,) = faults(parse_lamp, text)
        assert fault.startswith("name: ")
        assert fault.isprintable()
        assert len(fault) < 200
