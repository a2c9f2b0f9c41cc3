"""Figures that contradict each other or do not suffice; the sums here are counted by hand."""

import pytest

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import parse_camera, parse_lamp, parse_wall

WALL = '[wall]\nname = "w"\nscan_lines = 16\ndrive = "spread"\n'
CAMERA = '[camera]\nname = "c"\nrows_px = 2160\n'
LAMP = '[lamp]\nname = "l"\n'


def faults(parse, text: str) -> tuple[str, ...]:
    try:
        parse(text, file="p.toml")
    except ProfileError as error:
        return error.faults
    return ()


def wall_faults(*lines: str, start: str = WALL) -> tuple[str, ...]:
    return faults(parse_wall, start + "\n".join(lines))


def camera_faults(*lines: str) -> tuple[str, ...]:
    return faults(parse_camera, CAMERA + "\n".join(lines))


@pytest.mark.parametrize(("lines", "missing"), [
    (["refreshes_per_frame = 160"], "counts_per_refresh"),
    (["gray_bits = 16"], "refreshes_per_frame"),
    (["gray_bits = 16", "refresh_hz = 3840"], "rated_fps"),
    (["gray_bits = 16", "rated_fps = 24"], "refresh_hz"),
    (["gray_bits = 16", "refreshes_per_frame = 160", "refresh_hz = 3840"], "rated_fps"),
    (["gray_bits = 16", "refreshes_per_frame = 160", 'transfer = "pq"'], "peak_nits"),
    (["gray_bits = 16", "refreshes_per_frame = 160", 'transfer = "gamma"'], "gamma"),
])
def test_what_is_missing_is_named(lines, missing):
    (fault,) = wall_faults(*lines)
    assert fault.startswith(f"{missing}: missing; ")


@pytest.mark.parametrize("lines", [
    ["gray_bits = 16", "refreshes_per_frame = 160"],
    ["counts_per_refresh = 409", "refreshes_per_frame = 160"],
    ["gray_bits = 16", "refresh_hz = 3840", "rated_fps = 24"],
    # floor(2^16 / 160) = 409 and 3840 / 24 = 160: said twice, but the same.
    ["counts_per_refresh = 409", "gray_bits = 16", "refreshes_per_frame = 160",
     "refresh_hz = 3840", "rated_fps = 24"],
    # 3840 / 23.976 = 160.16, of which a frame holds 160.
    ["gray_bits = 16", "refreshes_per_frame = 160", "refresh_hz = 3840", "rated_fps = 23.976"],
    ["gray_bits = 16", "refreshes_per_frame = 160", "rated_fps = 24"],
    # 2^24 x 256 = 2^32, the largest full scale.
    ["counts_per_refresh = 16_777_216", "refreshes_per_frame = 256"],
    ["gray_bits = 16", "refreshes_per_frame = 160", 'transfer = "pq"', "peak_nits = 1000"],
    ["gray_bits = 16", "refreshes_per_frame = 160", 'transfer = "gamma"', "gamma = 2.2"],
    ["gray_bits = 16", "refreshes_per_frame = 160", "refreshes_per_frame_allowed = [80, 160]"],
    ["counts_per_refresh = 1", "refreshes_per_frame = 100_000"],
])
def test_what_agrees_is_accepted(lines):
    assert wall_faults(*lines) == ()


@pytest.mark.parametrize(("lines", "key", "figure"), [
    # 2^16 / 160 = 409.6
    (["counts_per_refresh = 410", "gray_bits = 16", "refreshes_per_frame = 160"],
     "counts_per_refresh: 410", "makes 409 counts"),
    (["gray_bits = 16", "refreshes_per_frame = 161", "refresh_hz = 3840", "rated_fps = 24"],
     "refreshes_per_frame: 161", "make 160 refreshes"),
    (["gray_bits = 16", "refreshes_per_frame = 160", "refreshes_per_frame_allowed = [64, 128]"],
     "refreshes_per_frame: 160", "64, 128"),
    (["gray_bits = 16", "refresh_hz = 3840", "rated_fps = 24",
      "refreshes_per_frame_allowed = [64, 128]"], "refresh_hz: 3840", "64, 128"),
    (["gray_bits = 16", "refresh_hz = 20", "rated_fps = 24"], "refresh_hz: 20", "one refresh"),
    # 10^6 Hz at 0.001 frames a second: 10^9 refreshes a frame.
    (["counts_per_refresh = 1", "refresh_hz = 1_000_000", "rated_fps = 0.001"],
     "refresh_hz: 1000000", "1000000000"),
    (["gray_bits = 16", "refreshes_per_frame = 100_001"], "refreshes_per_frame: 100001", "100000"),
    (["gray_bits = 16", "refreshes_per_frame = 1_000_000_000"],
     "refreshes_per_frame: 1000000000", "100000"),
    (["gray_bits = 7", "refresh_hz = 1_000_000", "rated_fps = 10"], "gray_bits: 7", "100000"),
    # 2^7 = 128 counts cannot give each of 160 refreshes one.
    (["gray_bits = 7", "refreshes_per_frame = 160"], "gray_bits: 7", "160 refreshes"),
    (["counts_per_refresh = 8", "refreshes_per_frame = 160", "min_pulse_counts = [1, 1, 9]"],
     "min_pulse_counts: [1, 1, 9]", "8 counts"),
    # 2^24 x 257 = 4 311 744 512, above 2^32.
    (["counts_per_refresh = 16_777_216", "refreshes_per_frame = 257"],
     "counts_per_refresh: 16777216", "4311744512"),
    (["gray_bits = 16", "refreshes_per_frame = 160", 'transfer = "pq"', "peak_nits = 1000",
      "gamma = 2.2"], "gamma: 2.2", '"pq"'),
])
def test_contradictions_of_a_wall(lines, key, figure):
    (fault,) = wall_faults(*lines)
    assert fault.startswith(f"{key} is not accepted; ")
    assert figure in fault


@pytest.mark.parametrize(("counts", "accepted"), [
    (1, True), (255, True), (1023, True), (254, False), (256, False), (1024, False),
])
def test_bit_planes_fill_their_counts(counts, accepted):
    planes = WALL.replace("spread", "binary_code")
    found = wall_faults(f"counts_per_refresh = {counts}", "refreshes_per_frame = 32", start=planes)
    assert (found == ()) is accepted
    assert all(fault.startswith(f"counts_per_refresh: {counts} is not") for fault in found)


@pytest.mark.parametrize(("counts", "hint"), [(1000, "511 or 1023"), (512, "511 or 1023")])
def test_whole_bits_nearby_are_named(counts, hint):
    planes = WALL.replace("spread", "binary_code")
    lines = [f"counts_per_refresh = {counts}", "refreshes_per_frame = 32"]
    (fault,) = wall_faults(*lines, start=planes)
    assert fault.endswith(hint)


def test_rules_speak_where_other_figures_are_missing():
    repeated = WALL.replace("spread", "repeated")
    found = wall_faults("counts_per_refresh = 300", "gray_bits = 8", start=repeated)
    assert [fault.split(":")[0] for fault in found] == [
        "refreshes_per_frame", "counts_per_refresh",
    ]
    (fault,) = wall_faults("counts_per_refresh = 300", "rated_fps = 24")
    assert fault.startswith("refresh_hz: missing; ")


@pytest.mark.parametrize(("drive", "bits", "counts"), [
    ("binary_code", 8, 255), ("repeated", 8, 256), ("spread", 8, 8),
])
def test_gray_bits_make_other_counts_in_each_drive(drive, bits, counts):
    start = WALL.replace("spread", drive)
    lines = [f"gray_bits = {bits}", "refreshes_per_frame = 32"]
    assert wall_faults(*lines, f"counts_per_refresh = {counts}", start=start) == ()
    (fault,) = wall_faults(*lines, f"counts_per_refresh = {2 * counts + 1}", start=start)
    assert f"makes {counts} counts" in fault


# 160 x 16 slots in 1/24 s are 16.2760 us each; 409 counts and 1.5 us of switching leave them
# 27.67994 MHz: 409 / (16.27604 - 1.5). At 25 MHz they take 2560 x 17.86 us = 45.72 ms.
@pytest.mark.parametrize(("clock", "accepted"), [(27.68, True), (27.679, False), (25, False)])
def test_refreshes_fit_the_clock(clock, accepted):
    lines = ["gray_bits = 16", "refresh_hz = 3840", f"clock_mhz = {clock}", "line_switch_us = 1.5"]
    found = wall_faults(*lines, "rated_fps = 24")
    assert (found == ()) is accepted
    if clock == 25:
        assert found[0].startswith("refresh_hz: 3840 is not accepted; ")
        for part in ("160", "16", "409", "25 MHz", "1.5 us", "45.72 ms", "41.67 ms",
                     "rated_fps 24"):
            assert part in found[0]


def test_the_clock_is_not_judged_without_a_rate():
    lines = ["gray_bits = 16", "refreshes_per_frame = 160", "clock_mhz = 25"]
    assert wall_faults(*lines) == ()
    assert len(wall_faults(*lines, "rated_fps = 24")) == 1


@pytest.mark.parametrize("lock", ["frame", "free"])
def test_a_slot_is_longer_than_its_switch(lock):
    # 1 / (24 x 160 x 16) s = 16.276 us
    lines = ["gray_bits = 16", "refreshes_per_frame = 160", "rated_fps = 24",
             f'refresh_lock = "{lock}"']
    assert wall_faults(*lines, "line_switch_us = 16.2") == ()
    (fault,) = wall_faults(*lines, "line_switch_us = 16.3")
    assert fault.startswith("line_switch_us: 16.3 is not accepted; ")
    assert "16.28 us" in fault


@pytest.mark.parametrize(("refresh_hz", "tolerance", "accepted"), [
    # 8 lines x (1023 / 20 MHz + 2 us) = 425.2 us: 2351.83 Hz
    (2351.8, "", True), (2330, "", True), (2300, "", False),
    (2300, "refresh_tolerance_pct = 3", True), (2300, "refresh_tolerance_pct = 2", False),
])
def test_a_free_refresh_agrees_with_its_clock(refresh_hz, tolerance, accepted):
    found = wall_faults(
        "counts_per_refresh = 1023", f"refresh_hz = {refresh_hz}", "rated_fps = 60",
        "clock_mhz = 20", "line_switch_us = 2", 'refresh_lock = "free"', tolerance,
        start=WALL.replace("16", "8").replace("spread", "repeated"),
    )
    assert (found == ()) is accepted
    assert all("2351.83 Hz" in fault for fault in found)


def test_a_free_refresh_need_not_fit_the_frame():
    # 100 x 16 x 1024 / 10 MHz = 163.84 ms
    lines = ["counts_per_refresh = 1024", "refreshes_per_frame = 100", "rated_fps = 24",
             "clock_mhz = 10"]
    assert len(wall_faults(*lines)) == 1
    assert wall_faults(*lines, 'refresh_lock = "free"') == ()


@pytest.mark.parametrize(("lines", "start"), [
    (['shutter = "rolling"'], "readout_ms: missing; "),
    (['shutter = "rolling"', "readout_ms = 0"], "readout_ms: 0 is not accepted; "),
    (['shutter = "global"', "readout_ms = 8"], "readout_ms: 8 is not accepted; "),
    # 1/60 s = 16.6667 ms
    (['shutter = "rolling"', "readout_ms = 16.67", "max_fps = 60"],
     "readout_ms: 16.67 is not accepted; no longer than a frame, 16.67 ms"),
    (['shutter = "rolling"', "readout_ms = 8", "readout_tolerance_ms = 8"],
     "readout_tolerance_ms: 8 is not accepted; "),
    (['shutter = "global"', "angles_deg = [180]", 'speeds = ["1/50"]'], "angles_deg, speeds: "),
    (['shutter = "global"', 'speeds = ["1/50"]', "angle_step_deg = 1"],
     "speeds, angle_step_deg: "),
    (['shutter = "global"', "angles_deg = [180]", "angle_step_deg = 1"],
     "angles_deg, angle_step_deg: "),
])
def test_contradictions_of_a_camera(lines, start):
    (fault,) = camera_faults(*lines)
    assert fault.startswith(start)


@pytest.mark.parametrize("lines", [
    ['shutter = "global"'], ['shutter = "global"', "readout_ms = 0"],
    ['shutter = "rolling"', "readout_ms = 16.66", "max_fps = 60"],
    ['shutter = "rolling"', "readout_ms = 20", "max_fps = 50"],
    ['shutter = "rolling"', "readout_ms = 8", "readout_tolerance_ms = 7.9"],
])
def test_cameras_that_can_be(lines):
    assert camera_faults(*lines) == ()


@pytest.mark.parametrize(("lines", "start"), [
    ('kind = "mains"', "mains_hz: missing; "),
    ('kind = "pulsed"', "pulse_hz: missing; "),
    ('kind = "pulsed"\nmains_hz = 50\npulse_hz = 100', "mains_hz: 50 is not accepted; "),
    ('kind = "mains"\nmains_hz = 50\npulse_hz = 100', "pulse_hz: 100 is not accepted; "),
    ('kind = "mains"\nmains_hz = 50\nduty = 0.5', "duty: 0.5 is not accepted; "),
    ('kind = "steady"\nmodulation = 0.1', "modulation: 0.1 is not accepted; "),
    ('kind = "pulsed"\npulse_hz = 100\nmains_tolerance_pct = 1', "mains_tolerance_pct: 1 is not "),
])
def test_lamps_need_the_rate_of_their_kind_and_no_other(lines, start):
    (fault,) = faults(parse_lamp, LAMP + lines)
    assert fault.startswith(start)


def test_lamps_that_can_be():
    for lines in ('kind = "mains"\nmains_hz = 60', 'kind = "pulsed"\npulse_hz = 1200\nduty = 1',
                  'kind = "steady"', 'kind = "pulsed"\npulse_hz = 1200\nmodulation = 0.5'):
        assert faults(parse_lamp, LAMP + lines) == ()
