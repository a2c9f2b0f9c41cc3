"""`bandcheck moire` as it is used."""

import csv
import io
import json

import pytest
from cli_run import refused, run
from PIL import Image

STAGE = ("moire", "--wall", "side-2.8", "--camera", "cine-a-wide")
LENS = ("--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6")


def table(*arguments):
    done = run(*STAGE, *LENS, *arguments, "--json")
    assert done.exit_code == 0
    return json.loads(done.stdout)


def test_focus_inside_the_safe_range_is_safe_and_outside_is_not():
    low, high = table("--focus-m", "4")["moire"]["safe_focus_m"][0]
    for metres, safe in ((high * 0.999, True), (high * 1.01, False), (low * 1.01, True)):
        found = table("--focus-m", f"{metres:.6f}")
        assert (found["overall"] == "safe") is safe


def test_every_fix_is_safe_when_it_is_made():
    options = {"focus_mm": "--focus-m", "distance_mm": "--distance-m", "focal_mm": "--focal-mm",
               "f_number": "--f-number"}
    fixes = table("--focus-m", "4")["fixes"]
    assert fixes
    for fix in fixes:
        given = {"--focal-mm": 35, "--f-number": 2.8, "--distance-m": 6, "--focus-m": 4}
        option = options[fix["change"]]
        given[option] = fix["value"] / 1e3 if option.endswith("-m") else fix["value"]
        arguments = [str(each) for pair in given.items() for each in pair]
        done = run(*STAGE, *arguments, "--json")
        assert json.loads(done.stdout)["overall"] == fix["level"] == "safe"


def test_check_says_the_same():
    own = table("--focus-m", "4")
    done = run("check", *STAGE[1:], *LENS, "--focus-m", "4", "--fps", "24", "--angle", "180",
               "--json")
    both = {each["hazard"]: each["value"] for each in json.loads(done.stdout)["findings"]}
    for finding in own["findings"]:
        assert both[finding["hazard"]] == finding["value"]


def test_text_in_80_columns_with_the_rule_of_thumb_beside():
    done = run(*STAGE, *LENS, "--focus-m", "4")
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert "Rule of thumb for the nearest wall: 2.8 m" in done.stdout
    assert "Safe focus" in done.stdout
    assert "180 m, as far as was looked" in done.stdout  # thirty times 6 m


@pytest.mark.parametrize(("kind", "column"), [("focus", "focus_m"), ("focal", "focal_mm")])
def test_maps(tmp_path, kind, column):
    file = tmp_path / "map.csv"
    assert run(*STAGE, *LENS, "--map", kind, "--output", str(file)).exit_code == 0
    rows = list(csv.DictReader(io.StringIO(file.read_text())))
    assert {"distance_m", column, "moire_visibility", "grid_visibility", "level"} == set(rows[0])
    assert {row["level"] for row in rows} >= {"safe", "visible"}


@pytest.mark.parametrize(("arguments", "words"), [
    ((), "--focal-mm"), (("--focal-mm", "35"), "--distance-m"),
    (("--focal-mm", "35", "--distance-m", "6"), "--f-number"),
    ((*LENS, "--focus-m", "0.02"), "focus"), ((*LENS, "--yaw-deg", "90"), "--yaw-deg"),
    (("--focal-mm", "35", "--distance-m", "6", "--f-number", "0"), "--f-number"),
    ((*LENS, "--map", "focus"), "--output"), ((*LENS, "--output", "a.png"), "without --map"),
])
def test_bad_optics_are_refused_in_one_line(tmp_path, monkeypatch, arguments, words):
    monkeypatch.chdir(tmp_path)
    assert words in refused(*STAGE, *arguments)


def test_the_picture_of_a_map_says_what_it_is_drawn_around(tmp_path):
    picture = tmp_path / "map.png"
    run(*STAGE, *LENS, "--focus-m", "4", "--map", "focal", "--output", picture)
    with Image.open(picture) as image:
        assert "around 35 mm, f/2.8, wall 6 m, focus 4 m" in image.text["Description"]
