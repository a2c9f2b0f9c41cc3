"""`bandcheck profiles` lists, shows, checks and starts profiles."""

import json
import re

import pytest
from cli_run import refused, run
from shot_command import CAMERA, LAMP, WALL, profile_files

from bandcheck.shoot.profiles import KINDS, shipped_names

SOURCED = WALL + """
pitch_mm = 2.6
clock_mhz = 30
white_duty_green = 0.9
refreshes_per_frame_allowed = [64, 80, 128, 160]

[source]
pitch_mm = "maker's sheet"
scan_lines = "measured 2026-03-02"
"""


@pytest.fixture
def wall_file(tmp_path):
    path = tmp_path / "stage.toml"
    path.write_text(SOURCED, encoding="utf-8")
    return path


def told(*arguments):
    """What a command prints, having ended well and said nothing else."""
    result = run("profiles", *arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def test_list_names_every_shipped_profile_under_its_kind():
    text = told("list")
    for kind in KINDS:
        below = text.split(f"{kind.capitalize()}s\n")[1]
        names = [row.split()[0] for row in re.match(r"(  \S.*\n)*", below)[0].splitlines()]
        assert names == list(shipped_names(kind) or ["none"])
    assert all(len(row) <= 80 for row in text.splitlines())


def test_list_of_one_kind():
    assert told("list", "cameras").startswith("Cameras\n")
    assert "Walls" not in told("list", "cameras")


def test_list_as_json():
    listed = json.loads(told("list", "--json"))
    assert listed.pop("schema") == "bandcheck.profiles/1"
    assert {kind[:-1]: tuple(row["name"] for row in rows) for kind, rows in listed.items()} == {
        kind: shipped_names(kind) for kind in KINDS
    }
    assert all(row["title"] for rows in listed.values() for row in rows)


def test_show_gives_each_figure_with_unit_and_source(wall_file):
    text = told("show", wall_file)
    assert text.startswith("Test wall (wall)\n")
    rows = {row.split()[0]: " ".join(row.split()[1:]) for row in text.splitlines() if row}
    assert rows["pitch_mm"] == "2.6 mm maker's sheet"
    assert rows["scan_lines"] == "16 measured 2026-03-02"
    assert rows["clock_mhz"] == "30 MHz no source given"
    assert rows["drive"] == "spread no source given"
    assert rows["refresh_lock"] == "frame not stated: taken"
    assert rows["white_duty_green"] == "0.9 no source given"
    assert "gray_bits" in text.split("Not stated:")[1]
    assert "clock_mhz" not in text.split("Not stated:")[1]
    assert all(len(row) <= 80 for row in text.splitlines())


def test_show_as_json(wall_file):
    shown = json.loads(told("show", wall_file, "--json"))
    figures = {row.pop("key"): row for row in shown["figures"]}
    assert (shown["schema"], shown["kind"]) == ("bandcheck.profile/1", "wall")
    assert figures["pitch_mm"] == {"value": 2.6, "unit": "mm", "source": "maker's sheet"}
    assert figures["name"]["value"] == shown["name"] == "Test wall"
    assert figures["refreshes_per_frame_allowed"]["value"] == [64, 80, 128, 160]
    assert figures["scan_down"] == {"value": True, "unit": None, "source": "not stated: taken"}
    assert {*figures, *shown["not_stated"]} == {key.name for key in KINDS["wall"].keys}


@pytest.mark.parametrize(("kind", "text"), [("wall", WALL), ("camera", CAMERA), ("lamp", LAMP)])
def test_show_finds_the_kind_by_itself(tmp_path, kind, text):
    profile_files(tmp_path)
    assert json.loads(told("show", tmp_path / f"{kind}.toml", "--json"))["kind"] == kind


@pytest.mark.parametrize("kind", KINDS)
def test_every_shipped_profile_can_be_shown_and_gives_its_sources(kind):
    for name in shipped_names(kind):
        assert f"({kind})" in told("show", name)
        assert "no source given" not in told("show", name)


def test_check_of_good_files(tmp_path, wall_file):
    profile_files(tmp_path)
    assert told("check", wall_file, tmp_path / "lamp.toml") == (
        f"{wall_file}: no fault found\n{tmp_path / 'lamp.toml'}: no fault found\n"
    )


def faulty(tmp_path):
    path = tmp_path / "faulty.toml"
    path.write_text(
        SOURCED.replace("scan_lines = 16", "scan_lines = 16.5").replace('"spread"', '"wavy"')
        .replace("clock_mhz", "clock_mzh"), encoding="utf-8",
    )
    return path


def test_check_names_all_faults_at_once(tmp_path, wall_file):
    path = faulty(tmp_path)
    result = run("profiles", "check", path, wall_file)
    assert result.exit_code == 2
    assert result.stdout == f"{wall_file}: no fault found\n"
    lines = result.stderr.splitlines()
    assert all(line.startswith(f"{path}: ") for line in lines)
    for words in ("scan_lines: 16.5", 'drive: "wavy"', "clock_mzh: no such key"):
        assert sum(words in line for line in lines) == 1


def test_check_as_json(tmp_path, wall_file):
    result = run("profiles", "check", "--json", faulty(tmp_path), wall_file)
    assert (result.exit_code, result.stderr) == (2, "")
    first, second = json.loads(result.stdout)["files"]
    assert len(first["faults"]) == 3
    assert second == {"file": str(wall_file), "faults": []}


@pytest.mark.parametrize("kind", KINDS)
def test_new_explains_every_key_and_its_check_names_what_is_missing(tmp_path, kind):
    path = tmp_path / f"new {kind}.toml"
    result = run("profiles", "new", kind, "--output", path)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr.startswith(f"{path}: fill in")
    text = path.read_text(encoding="utf-8")
    assert text == told("new", kind)
    for key in KINDS[kind].keys:
        assert re.search(rf"^# .+\n#{key.name} = .+$", text, re.MULTILINE)
    missing = run("profiles", "check", path).stderr
    assert all(f": {key.name}: missing" in missing for key in KINDS[kind].keys if key.required)


def test_new_never_replaces_a_file_unless_told(tmp_path, wall_file):
    line = refused("profiles", "new", "wall", "--output", wall_file)
    assert f"--output: '{wall_file}' exists already; add --force to replace it" in line
    assert wall_file.read_text(encoding="utf-8") == SOURCED
    assert run("profiles", "new", "lamp", "--output", wall_file, "--force").exit_code == 0
    assert "[lamp]" in wall_file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("show",), "NAME|FILE: missing; a shipped profile's name or a file"),
        (("show", "nowhere.toml"), "nowhere.toml: cannot be read"),
        (("show", "no such name"), "no such name: no wall or camera or lamp"),
        (("show", "n" * 5000), "not accepted"),
        (("show", "a\0b"), "no wall or camera or lamp"),
        (("check",), "FILE...: missing; the name of a file"),
        (("new",), "KIND: missing; one of wall, camera, lamp"),
        (("new", "wal"), "KIND: 'wal' is not one of 'wall', 'camera', 'lamp'"),
        (("new", "wall", "--output"), "--output: its value is missing"),
        (("new", "wall", "--output", "a.csv"), "--output: 'a.csv' is not accepted"),
        (("new", "wall", "--force=1"), "does not take a value"),
        (("list", "wall"), "'wall' is not one of 'walls', 'cameras', 'lamps'"),
        (("list", "walls", "cameras"), "extra argument (cameras)"),
        (("list", "--jsn"), "no such option of bandcheck profiles list; did you mean --json?"),
        (("shwo", "x"), "'shwo': no such command of bandcheck profiles; did you mean show?"),
    ],
)
def test_refused(arguments, words):
    assert words in refused("profiles", *arguments)


def test_alone_it_shows_its_help():
    text = told()
    assert text == told("--help")
    assert all(name in text for name in ("list", "show", "check", "new"))
