"""Profiles back into text: the round trip is exact, and the blank file teaches."""

import dataclasses
import re
import tomllib
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.errors import ProfileError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profile_text import blank_profile, profile_text
from bandcheck.shoot.profiles import (
    load_profile,
    parse_camera,
    parse_lamp,
    parse_profile,
    parse_wall,
    shipped_names,
)
from bandcheck.shoot.wall import Wall

KINDS = ("wall", "camera", "lamp")


def maybe(strategy):
    return st.none() | strategy


def up_to(most):
    return st.floats(1e-9, most)


def zero_to(most):
    return st.just(0.0) | up_to(most)


TEXTS = st.text(
    st.characters(
        exclude_categories=("Cc", "Cs", "Zl", "Zp"),
        exclude_characters="\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
    ), min_size=1, max_size=200,
).filter(lambda text: text.strip())
COUNTS = st.integers(1, 100_000)
RATES = st.fractions(Fraction(1, 1000), 1000, max_denominator=2000)
SOURCES = st.fixed_dictionaries({}, optional={"name": TEXTS})
TRIPLES = st.tuples(up_to(1), up_to(1), up_to(1)) | st.just((1.0, 1.0, 1.0))

WALLS = st.builds(
    Wall, name=TEXTS, scan_lines=st.integers(1, 1024),
    drive=st.sampled_from(["spread", "repeated"]),
    counts_per_refresh=st.integers(64, 40_000), refreshes_per_frame=COUNTS,
    clock_hz=maybe(st.floats(1, 1e10)), line_switch_s=maybe(zero_to(0.01)),
    refresh_lock=st.sampled_from(["frame", "free"]), refresh_tolerance=maybe(zero_to(0.5)),
    transfer=maybe(st.sampled_from(["bt1886", "linear"])), peak_nits=maybe(up_to(1e5)),
    brightness_control=maybe(st.sampled_from(["current", "pwm"])),
    pitch_mm=maybe(up_to(1000)), emitter_fill=maybe(up_to(1)),
    emitter_shape=maybe(st.sampled_from(["square", "disc"])), module_rows_px=maybe(COUNTS),
    columns_px=maybe(COUNTS), rows_px=maybe(COUNTS), latency_frames=maybe(zero_to(1000)),
    white_duty=TRIPLES, min_pulse_counts=st.tuples(*[st.integers(1, 64)] * 3),
    on_rate_change=maybe(st.sampled_from(["keep_refresh", "keep_refreshes_per_frame"])),
    cabinet_columns_px=maybe(COUNTS),
    cabinet_angle_deg=maybe(zero_to(90) | up_to(90).map(lambda angle: -angle)),
    rate_tolerance=maybe(zero_to(0.1)), frame_end=maybe(st.sampled_from(["dark", "stretched"])),
    dealing=maybe(st.sampled_from(["bit_reversed", "even"])), scan_down=st.booleans(),
    source=SOURCES,
)
DIALS = st.one_of(
    st.fixed_dictionaries({}),
    st.fixed_dictionaries({"angles_deg": st.lists(
        st.fractions(Fraction(1, 1000), 360), min_size=1, max_size=5).map(tuple)}),
    st.fixed_dictionaries({"speeds_s": st.lists(
        st.fractions(Fraction(1, 10**6), 1), min_size=1, max_size=5).map(tuple)}),
    st.fixed_dictionaries({"angle_step_deg": st.fractions(Fraction(1, 1000), 360)}),
)
CAMERAS = st.builds(
    lambda dial, **fields: Camera(**fields, **dial), dial=DIALS, name=TEXTS, rows_px=COUNTS,
    shutter=st.just("rolling"), readout_s=up_to(0.001), columns_px=maybe(COUNTS),
    sensor_width_mm=maybe(up_to(1000)), sensor_height_mm=maybe(up_to(1000)),
    readout_down=st.booleans(), shutter_whole_lines=maybe(st.booleans()), max_fps=maybe(RATES),
    mosaic=maybe(st.sampled_from(["bayer", "none"])), low_pass_px=maybe(zero_to(10)),
    photosite_fill=maybe(up_to(1)), delivery_columns_px=maybe(COUNTS),
    delivery_filter=maybe(st.sampled_from(["box", "sharp"])), body=maybe(TEXTS), mode=maybe(TEXTS),
    exposure_scheme=st.sampled_from(["single", "multi", "global_reset"]),
    rate_tolerance=maybe(zero_to(0.1)),
    on_rate_change=maybe(st.sampled_from(["keep_angle", "keep_time"])), source=SOURCES,
)
LAMPS = st.builds(
    Lamp, name=TEXTS, kind=st.just("mains"), mains_hz=up_to(10_000),
    mains_tolerance=maybe(zero_to(0.5)), modulation=maybe(zero_to(1)), source=SOURCES,
) | st.builds(
    Lamp, name=TEXTS, kind=st.just("pulsed"), pulse_hz=up_to(1e7), duty=maybe(up_to(1)),
)


@settings(derandomize=True, deadline=None)
@given(WALLS | CAMERAS | LAMPS)
def test_every_profile_reads_back_equal(profile):
    assert parse_profile(profile_text(profile), file="p") == profile


@settings(derandomize=True, deadline=None)
@given(RATES, st.floats(1, 1e5))
def test_rated_refreshes_read_back_equal(rated, refreshes):
    wall = Wall(name="w", scan_lines=1, drive="repeated", gray_bits=8, rated_fps=rated,
                refresh_hz=min(1e6, max(1.01, refreshes) * float(rated)))
    assert parse_wall(profile_text(wall), file="p") == wall


@pytest.mark.parametrize("kind", KINDS)
def test_shipped_profiles_read_back_equal(kind):
    for name in shipped_names(kind):
        profile = load_profile(name)
        assert parse_profile(profile_text(profile), file=name) == profile


def test_text_is_written_as_people_type_it():
    text = profile_text(Camera(
        name="a \"b\"", rows_px=9, shutter="rolling", readout_s=0.008,
        max_fps=Fraction(24000, 1001),
        angles_deg=(Fraction("172.8"), Fraction(180), Fraction(100, 3)), rate_tolerance=1e-5,
        source={"readout_ms": "assumed", "readout_down": "assumed"},
    ))
    assert text == (
        '[camera]\nname = "a \\"b\\""\nrows_px = 9\nshutter = "rolling"\nreadout_ms = 8\n'
        'readout_down = true\nangles_deg = [172.8, 180, "100/3"]\nmax_fps = "24000/1001"\n'
        'rate_tolerance_ppm = 10\n\n[source]\nreadout_ms = "assumed"\nreadout_down = "assumed"\n'
    )


def test_what_no_profile_may_say_is_not_written():
    lamp = Lamp(name="l", kind="mains", mains_hz=50.0)
    for change in ({"name": "a\nb"}, {"modulation": 1.5}, {"mains_hz": None}, {"name": ""}):
        with pytest.raises(ProfileError):
            profile_text(dataclasses.replace(lamp, **change))


@pytest.mark.parametrize("kind", KINDS)
def test_a_blank_profile_names_what_must_be_filled_in(kind):
    with pytest.raises(ProfileError) as caught:
        parse_profile(blank_profile(kind), file="new.toml")
    required = {"wall": {"name", "scan_lines", "drive", "counts_per_refresh",
                         "refreshes_per_frame"},
                "camera": {"name", "rows_px", "shutter"}, "lamp": {"name", "kind"}}[kind]
    assert {fault.split(":")[0] for fault in caught.value.faults} == required
    assert all(": missing; " in fault for fault in caught.value.faults)


def test_a_filled_blank_profile_can_be_read():
    wall = parse_wall(blank_profile("wall", filled=True), file="w")
    assert (wall.scan_lines, wall.refreshes_per_frame, wall.gray_bits) == (16, 160, 16)
    assert parse_camera(blank_profile("camera", filled=True), file="c").readout_s == 0.008
    assert parse_lamp(blank_profile("lamp", filled=True), file="l").mains_hz == 50


FIELDS = {"wall": Wall, "camera": Camera, "lamp": Lamp}


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_of_a_blank_profile_is_accepted(kind):
    blank = blank_profile(kind)
    examples = re.findall(r"^#([a-z_]+ = .+)$", blank.split("[source]")[0], flags=re.MULTILINE)
    start = blank_profile(kind, filled=True)
    others = {"pulse_hz", "duty", "gamma"}  # these go with another kind or transfer
    filled = []
    for example in examples:
        key = example.split(" =")[0]
        if re.search(rf"^{key} =", start, flags=re.MULTILINE):
            continue
        table = f"{example}\n[source]\n{key} = \"assumed\"\n"
        text = start.replace("[source]", table, 1)
        assert tomllib.loads(text)
        if key == "refresh_hz":
            text = text.replace("[source]", "rated_fps = 24\n[source]", 1)
        if key not in others:
            assert key in parse_profile(text, file=key).source
        filled.append(key)
    set_before = len(re.findall(r"^[a-z_]+ =", start, flags=re.MULTILINE))
    keys = set_before + len(filled) - 2 * ("white_duty_red" in filled)
    assert keys == len(dataclasses.fields(FIELDS[kind])) - 1


@pytest.mark.parametrize("kind", KINDS)
def test_a_blank_profile_explains_each_key_above_it(kind):
    text = blank_profile(kind)
    assert max(map(len, text.splitlines())) <= 100
    lines = text.split("[source]\n")[0].splitlines()
    assert kind != "wall" or "# LED pitch, centre to centre" in lines
    for number, line in enumerate(lines):
        if re.match(r"#[a-z_]+ = ", line):
            assert lines[number - 1].startswith("# "), line
