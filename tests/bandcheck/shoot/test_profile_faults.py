"""Faults of a profile's text: plain, on one line each, all of them at once, and never a crash."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import parse_camera, parse_lamp, parse_profile, parse_wall

GOOD_WALL = """[wall]
name = "w"
scan_lines = 16
drive = "spread"
gray_bits = 16
refreshes_per_frame = 160
"""


def faults(text: str, parse=parse_wall) -> tuple[str, ...]:
    with pytest.raises(ProfileError) as caught:
        parse(text, file="stage.toml")
    assert str(caught.value).startswith("stage.toml: ")
    assert str(caught.value).isprintable()
    return caught.value.faults


def test_all_faults_of_a_file_come_at_once():
    found = faults("""
        refresh = 3840
        [wall]
        name = ""
        scan_lines = 16.5
        drive = "scattered"
        pitch_mm = nan
        scan_line = 16
        line_switch_us = -1
        refresh_hz = 3840
        transfer = "pq"
        [camera]
        [source]
        pitch = "assumed"
        pitch_mm = 3
    """)
    for start in (
        "refresh: stands outside the tables; ", "[camera]: ", 'name: "" is not accepted; ',
        "scan_lines: 16.5 is not accepted; a whole number from 1 to 1024",
        'drive: "scattered" is not accepted; "spread", "repeated" or "binary_code"',
        "pitch_mm: NaN is not accepted; ", "scan_line: no such key; nearest: scan_lines",
        "line_switch_us: -1 is not accepted; ", "counts_per_refresh: missing; ",
        "rated_fps: missing; ", "peak_nits: missing; ",
        "[source] pitch: no such key; nearest: pitch_mm", "[source] pitch_mm: 3 is not accepted; ",
    ):
        assert [fault for fault in found if fault.startswith(start)], start
    assert len(found) == 13


def test_a_faulty_key_is_not_called_missing():
    (fault,) = faults(GOOD_WALL.replace("gray_bits = 16", "gray_bits = 99"))
    assert fault.startswith("gray_bits: 99 is not accepted; ")


def test_long_values_are_shortened_and_many_faults_counted():
    for length, shown in ((60, "v" * 60 + '" is'), (61, "v" * 59 + "… (61 characters) is")):
        (fault,) = faults(GOOD_WALL + f'pitch_mm = "{"v" * length}"')
        assert fault.startswith(f'pitch_mm: "{shown} not accepted; ')
    for keys, lines in ((50, 50), (53, 51)):
        found = faults(GOOD_WALL + "\n".join(f"zz_{number} = 1" for number in range(keys)))
        assert len(found) == lines
        assert (found[-1] == "and 3 more keys with faults") is (keys == 53)


@pytest.mark.parametrize(("written", "nearest"), [
    ("scanlines", "scan_lines"), ("pitch", "pitch_mm"), ("gclk_mhz", "clock_mhz"),
    ("peak_nit", "peak_nits"), ("white_duty_geen", "white_duty_green"),
])
def test_the_nearest_known_key_is_suggested(written, nearest):
    (fault,) = faults(GOOD_WALL + f"{written} = 1")
    assert fault == f"{written}: no such key; nearest: {nearest}"


def test_a_key_like_no_other_gets_no_suggestion():
    assert faults(GOOD_WALL + "zzzz = 1") == ("zzzz: no such key",)


@pytest.mark.parametrize(("text", "start"), [
    ("", "[wall]: missing; "),
    ("[camera]\nname = 'c'", "[camera]: this is the table of a camera profile; [wall] is wanted"),
    ("[walls]\n", "[walls]: no such table; nearest: wall"),
    ("wall = 3\n", "[wall]: 3 is not accepted; "),
    ("[[wall]]\nname = 'w'", "[wall]: [a table] is not accepted; "),
    ("scan_lines = 16\n[wall]\n", "scan_lines: stands outside the tables; "),
    (GOOD_WALL + "[source]\nname = ''", '[source] name: "" is not accepted; '),
    (GOOD_WALL + "[source]\ngamma = 'assumed'", "[source] gamma: the profile does not give it"),
    ("source = 3\n" + GOOD_WALL, "[source]: 3 is not accepted; "),
])
def test_tables(text, start):
    assert faults(text)[0].startswith(start)


@pytest.mark.parametrize(("text", "place"), [
    ("[wall\n", "line 1, column 6: not TOML: "),
    ('[wall]\nname = "w"\nscan_lines 16\n', "line 3, column 12: not TOML: "),
    ("[wall]\nname = 'w'\nname = 'v'\n", "line 3, column 11: not TOML: cannot overwrite"),
    ('[wall]\nname = "w', "line 2, its end: not TOML: "),
    ("[wall]\nname = \x00\n", "line 2, column 8: not TOML: "),
    ("[wall]\npitch_mm = 2,6\n", "line 2, column 13: not TOML: "),
])
def test_the_line_of_bad_toml_is_named(text, place):
    (fault,) = faults(text)
    assert fault.startswith(place)


def test_lists_name_the_first_fault_and_count_the_rest():
    text = '[camera]\nname = "c"\nrows_px = 9\nshutter = "global"\nangles_deg = [90, 361, 0]'
    (fault,) = faults(text, parse_camera)
    assert fault.startswith("angles_deg: 361 is not accepted; ")
    assert fault.endswith("(number 2 of the list, and 1 more)")


@pytest.mark.parametrize("text", [
    GOOD_WALL + f"pitch_mm = {'9' * 5000}",
    GOOD_WALL + f"pitch_mm = 0x{'f' * 100_000}",
    GOOD_WALL + f"scan_down = 0x{'f' * 100_000}",
    GOOD_WALL + f"pitch_mm = 0.{'0' * 100_000}1",
    GOOD_WALL + f"rated_fps = {'9' * 4000}",
    GOOD_WALL + f"{'k' * 100_000} = 1",
    GOOD_WALL + f'pitch_mm = "{"v" * 100_000}"',
    GOOD_WALL + f"pitch_mm = [{'1,' * 60_000}]",
    GOOD_WALL + f"refreshes_per_frame_allowed = [{'0,' * 60_000}]",
    GOOD_WALL + f"pitch_mm = {'[' * 50_000}",
    GOOD_WALL + f"pitch_mm = {'{a=' * 50_000}",
    GOOD_WALL + f"{'a.' * 100_000}a = 1",
    GOOD_WALL + f"{'a . ' * 60_000}a = 1",
    "[" + '"a".' * 60_000 + "a]",
    GOOD_WALL + "\n".join(f"key_{number} = 1" for number in range(15_000)),
    GOOD_WALL + "[source]\n" + "\n".join(f"key_{number} = 1" for number in range(15_000)),
    GOOD_WALL + "#" * (256 * 1024),
    GOOD_WALL + 'latency_frames = "\\ud800"',
    GOOD_WALL + '"\\u001b[2J" = 1',
    "\ud800",
])
def test_hostile_texts_are_refused_briefly(text):
    start = time.perf_counter()
    found = faults(text)
    assert time.perf_counter() - start < 2
    assert len(found) <= 60
    assert all(len(fault) < 500 for fault in found)


def test_nesting_that_no_profile_has_names_its_line():
    (fault,) = faults(GOOD_WALL + "a." * 40 + "a = 1")
    assert fault.startswith("line 7: nested deeper")


def test_sixteen_dots_in_a_text_are_no_nesting():
    text = GOOD_WALL + f'[source]\nname = "{". . . " * 9}"'
    assert parse_wall(text, file="w").source["name"].startswith(". .")


def test_a_profile_of_any_kind_has_one_table():
    assert parse_profile(GOOD_WALL, file="w").name == "w"
    for text in ("", "[source]\n", GOOD_WALL + "[lamp]\n"):
        (fault,) = faults(text, parse_profile)
        assert "one of [wall], [camera] or [lamp]" in fault


def test_the_name_of_a_file_cannot_break_the_line():
    with pytest.raises(ProfileError) as caught:
        parse_wall("", file="a\nb\x1b[2J" + "c" * 5000)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 500


VALUES = st.recursive(
    st.one_of(
        st.integers().map(str), st.floats().map(repr), st.booleans().map(lambda v: str(v).lower()),
        st.sampled_from(['"1/50"', '"24000/1001"', '"spread"', '"free"', '"pq"', '"mains"', "''",
                         "2026-03-02", "12:30:00", "1e400", "-1e-400", "0x10"]),
    ),
    lambda inner: st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
    max_leaves=4,
)
KEYS = st.sampled_from([
    "name", "scan_lines", "drive", "counts_per_refresh", "gray_bits", "refreshes_per_frame",
    "refresh_hz", "rated_fps", "clock_mhz", "line_switch_us", "min_pulse_counts", "transfer",
    "rows_px", "shutter", "readout_ms", "angles_deg", "speeds", "max_fps", "kind", "pulse_hz", "x",
])


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.sampled_from(["wall", "camera", "lamp"]), st.dictionaries(KEYS, VALUES, max_size=12))
def test_any_values_give_a_profile_or_its_faults(kind, table):
    text = f"[{kind}]\n" + "\n".join(f"{key} = {value}" for key, value in table.items())
    refusals = []
    for parse in (parse_wall, parse_camera, parse_lamp, parse_profile):
        try:
            parse(text, file="f")
        except ProfileError as error:
            refusals.append(error)
    assert len(refusals) >= 2  # by the readers of the two other kinds
    assert all(error.faults and str(error).isprintable() for error in refusals)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(max_size=200))
def test_any_text_gives_a_profile_or_its_faults(text):
    with pytest.raises(ProfileError) as caught:
        parse_wall(text, file="f")
    assert str(caught.value).isprintable()
