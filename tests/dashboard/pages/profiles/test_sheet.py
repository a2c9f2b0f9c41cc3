"""What is typed becomes TOML that says the same, and every fault finds its field."""

import tomllib
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import KINDS, parse_profile, shipped_folder, shipped_names
from dashboard.pages.profiles.sheet import (
    LONGEST_TYPED,
    Faults,
    Sheet,
    keys_of,
    profile_or_faults,
    shape_of,
    sheet_of,
    sheet_text,
    too_long,
)

SHIPPED = [(kind, name) for kind in KINDS for name in shipped_names(kind)]
PLAIN = {"name": "stage", "scan_lines": "16", "drive": "spread", "gray_bits": "16",
         "refreshes_per_frame": "160"}


def wall(sources=(), **figures):
    return Sheet(kind="wall", figures={**PLAIN, **figures}, sources=dict(sources))


def faults(sheet):
    """What is wrong with a sheet that has faults."""
    found = profile_or_faults(sheet_text(sheet), sheet.kind)
    assert isinstance(found, Faults)
    return found


def read(sheet):
    """What a sheet's TOML says of its figures."""
    return tomllib.loads(sheet_text(sheet))[sheet.kind]


@pytest.mark.parametrize(("kind", "name"), SHIPPED)
def test_every_shipped_profile_goes_through_a_sheet_unchanged(kind, name):
    text = (shipped_folder() / f"{kind}s" / f"{name}.toml").read_text(encoding="utf-8")
    sheet = sheet_of(text, kind, file=name)
    assert profile_or_faults(sheet_text(sheet), kind) == parse_profile(text, file=name)
    assert sheet_of(sheet_text(sheet), kind, file=name) == sheet


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_takes_its_own_example_as_it_would_be_typed(kind):
    for key in keys_of(kind).values():
        example = tomllib.loads(f"value = {key.example}")["value"]
        inner = ", ".join(map(str, example)) if isinstance(example, list) else example
        typed = str(inner).lower() if isinstance(example, bool) else str(inner)
        assert read(Sheet(kind=kind, figures={key.name: typed}, sources={})) == {key.name: example}


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("pitch_mm", " 2.60 ", 2.6), ("pitch_mm", ".5", 0.5), ("pitch_mm", "5.", 5.0),
        ("pitch_mm", "+1e1", 10.0), ("scan_lines", "007", 7), ("cabinet_angle_deg", "-2.5", -2.5),
        ("rated_fps", "24000/1001", "24000/1001"), ("rated_fps", "'24000/1001'", "24000/1001"),
        ("refreshes_per_frame_allowed", "[64, 80]", [64, 80]),
        ("refreshes_per_frame_allowed", "64", [64]), ("min_pulse_counts", "4", 4),
        ("min_pulse_counts", "1,2,2", [1, 2, 2]), ("scan_down", "false", False),
        ("pitch_mm", "2,6", "2,6"), ("pitch_mm", "nan", "nan"), ("pitch_mm", "٣", "٣"),
        ("pitch_mm", "", None), ("pitch_mm", "   ", None), ("name", '<b>"\\', '<b>"\\'),
    ],
)
def test_a_text_is_spelled_as_toml_has_it(key, typed, said):
    assert read(Sheet(kind="wall", figures={key: typed}, sources={})).get(key) == said


@given(st.text(max_size=80), st.sampled_from(list(keys_of("wall"))))
@settings(derandomize=True, deadline=None, max_examples=200)
def test_whatever_is_typed_makes_toml_and_has_its_fault_beside_it(text, key):
    sheet = wall(**{key: text}, sources={key: text})
    tomllib.loads(sheet_text(sheet))
    found = profile_or_faults(sheet_text(sheet), "wall")
    if isinstance(found, Faults):
        assert found.other == ()
        assert all("\n" not in line for line in found.figures.values())


def test_a_sheet_with_faults_comes_back_as_it_was_typed():
    sheet = wall(pitch_mm="2,6", drive="sprd", clock_mhz="thirty", sources={"gamma": "assumed"})
    again = sheet_of(sheet_text(sheet), "wall", file="wall")
    assert again == sheet
    found = faults(again)
    assert set(found.figures) == {"pitch_mm", "drive", "clock_mhz"}
    assert set(found.sources) == {"gamma"}
    assert found.figures["pitch_mm"].startswith('"2,6" is not accepted; a number above 0')
    assert len(found) == 4


def test_a_figure_that_is_missing_is_asked_for_in_its_field():
    found = faults(Sheet(kind="lamp", figures={"kind": "mains"}, sources={}))
    assert found.figures["name"].startswith("missing")
    assert found.figures["mains_hz"].startswith("missing")


def test_a_fault_of_several_figures_stands_beside_each():
    figures = {"name": "A", "rows_px": "2000", "shutter": "global", "speeds": "1/50",
               "angle_step_deg": "1"}
    found = faults(Sheet(kind="camera", figures=figures, sources={}))
    assert found.figures["speeds"] == found.figures["angle_step_deg"]
    assert "only one of them" in found.figures["speeds"]


def test_two_faults_of_one_figure_stand_one_after_the_other():
    found = faults(wall(refresh_hz="3840", rated_fps="24", refreshes_per_frame="10",
                        refreshes_per_frame_allowed="64, 80"))
    assert found.figures["refreshes_per_frame"].count("is not accepted") == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[wall]\npitch = 2.6", "pitch: no such key"), ("[camera]\n", "camera profile"),
        ("pitch_mm = 2.6", "stands outside the tables"), ("[wall", "not TOML"), ("", "missing"),
        ("wall = 1", "one table"), ("[[wall]]\n", "one table"), ("[wall.a]\n", "a: no such key"),
        ("a" + ".a" * 5000 + " = 1", "nested deeper"), ("x = " + "[" * 20_000, "nested deeper"),
        ("x = " + "{a=" * 5000, "nested deeper"), ("pitch_mm = 2\n[wall]\n", "stands outside"),
        ("source = 7\n[wall]\n", "[source]: 7 is not"),
        ("[wall]\n[source]\na = 'b'", "[source] a: no such key"),
    ],
)
def test_a_text_that_no_field_could_show_is_refused(text, words):
    with pytest.raises(ProfileError) as refused:
        sheet_of(text, "wall", file="stage")
    lines = refused.value.faults
    assert any(words in line for line in lines), lines
    assert all(line.isprintable() for line in lines)


def test_odd_values_of_a_file_stand_for_themselves_in_their_field():
    text = "[wall]\npitch_mm = [[1], 2]\nrefresh_hz = 0x" + "f" * 900 + "\nname = 1979-05-27\n"
    sheet = sheet_of(text + "clock_mhz = {}\ngamma = 1e999999\npeak_nits = inf", "wall", file="x")
    assert sheet.figures == {
        "pitch_mm": "[…], 2", "refresh_hz": "a number of 3600 bits",
        "name": str(date(1979, 5, 27)), "clock_mhz": "a table", "gamma": "1E+999999",
        "peak_nits": "Infinity",
    }
    assert set(sheet.figures) - {"name"} <= set(faults(sheet).figures)


def test_ten_thousand_cells_are_refused_in_their_field():
    cells = ",".join(["1"] * 10_000)
    line = faults(wall(refreshes_per_frame_allowed=cells)).figures["refreshes_per_frame_allowed"]
    assert "a list of whole numbers" in line
    assert len(line) < 300


def test_a_text_beyond_any_figure_is_left_out_and_told():
    long = "1" * (LONGEST_TYPED + 1)
    sheet = wall(pitch_mm=long, sources={"gray_bits": long})
    assert "pitch_mm" not in sheet_text(sheet)
    assert "[source]" not in sheet_text(sheet)
    told = "20001 characters are not accepted; at most 20000"
    assert too_long(sheet.figures) == {"pitch_mm": told}
    assert f'name = "{long[1:]}"' in sheet_text(wall(name=long[1:]))
    assert too_long({"name": long[1:]}) == {}


@pytest.mark.parametrize("kind", KINDS)
def test_lists_and_words_are_told_from_numbers(kind):
    shapes = {name: shape_of(key) for name, key in keys_of(kind).items()}
    assert shapes["name"] == "text"
    assert {shapes.get("speeds", "list"), shapes.get("angles_deg", "list")} == {"list"}
    assert shapes.get("min_pulse_counts", "number") == "number"
    assert shapes.get("scan_down", "choice") == shapes.get("kind", "choice") == "choice"
