"""`bandcheck plan` as it is typed."""

import csv
import json
import os
import signal
import time
from io import StringIO

import pytest
from cli_run import process, refused, run
from plan_files import OTHER, plan_files


@pytest.fixture
def plan(tmp_path):
    return plan_files(tmp_path)


def test_it_says_what_suits_all_and_who_is_in_the_way(plan):
    result = run("plan", plan)
    assert result.exit_code == 0
    text = result.stdout
    assert text.startswith("( # ) VISIBLE\nquick shoot: 0 of 2 set-ups are safe as wanted")
    assert "A, B see main; no lamps" in text
    assert "A sees main, top (light only); no lamps" in text
    assert "Dial 180°: safe" in text
    assert "Nothing suits all; in the way: main, top." in text
    assert "Top at 8 refreshes a frame" in text
    assert "top: light only, graded as if it were in shot" in text
    assert all(len(line) <= 80 for line in text.splitlines())
    assert result.stderr == ""


def test_ramps_and_turns_are_told_after_the_set_ups(tmp_path):
    text = run("plan", plan_files(tmp_path, added=OTHER)).stdout
    assert "two: from 24 to 25 frames/s, the shutter keeps its angle" in text
    assert "A, main: fails all the way" in text
    assert "turns, 24 frames/s" in text
    assert "A: frame 1 of the wall, from 0 ms; largest angle 110.88°" in text
    assert all(len(line) <= 80 for line in text.splitlines())


def test_json_is_one_object_with_the_names_that_are_promised(plan):
    values = json.loads(run("plan", plan, "--json").stdout)
    assert values["schema"] == "bandcheck.plan/1"
    one, two = values["setups"]
    assert {"name", "level", "common", "blocked_by", "cells"} <= one.keys()
    assert (one["name"], one["level"], one["blocked_by"]) == ("one", "visible", [])
    assert any(low < 180 < high for low, high in one["common"])
    assert two["blocked_by"] == ["surface main", "surface top"]
    cell = two["cells"][0]
    assert (cell["fps"], cell["common"], cell["chosen"]) == ("24", [], None)
    assert cell["changes"][0]["parts"][0]["change"] == "refreshes_per_frame"
    stated = cell["pairs"][0]["values"]["angle_deg"]
    assert stated == {"value": "170", "stated_by": "[defaults]"}


def test_csv_has_a_row_for_each_rate_camera_and_surface(plan, tmp_path):
    target = tmp_path / "agreed.csv"
    assert run("plan", plan, "--output", target).exit_code == 0
    rows = list(csv.DictReader(StringIO(target.read_text(encoding="utf-8-sig"))))
    assert [(row["setup"], row["fps"], row["camera"], row["surface"]) for row in rows] == [
        ("one", "24", "A", "main"), ("one", "24", "B", "main"), ("one", "25", "A", "main"),
        ("one", "25", "B", "main"), ("two", "24", "A", "main"), ("two", "24", "A", "top"),
    ]
    assert rows[0]["dial_deg"] == "180.0"
    assert rows[0]["dial_level"] == "safe"
    assert rows[5]["blocked_by"] == "surface main, surface top"


def test_no_cell_of_the_csv_starts_a_formula(tmp_path):
    path = plan_files(tmp_path, changed=[('"main"', '"=1+1"')])
    target = tmp_path / "agreed.csv"
    assert run("plan", path, "--output", target).exit_code == 0
    for row in csv.reader(StringIO(target.read_text(encoding="utf-8-sig"))):
        assert not any(cell.startswith(("=", "+", "@")) for cell in row)


@pytest.mark.parametrize(("wanted", "fail_on", "status"), [
    (170, "visible", 3), (170, "marginal", 3), (180, "marginal", 0), (180, "visible", 0),
])
def test_fail_on(tmp_path, wanted, fail_on, status):
    path = plan_files(tmp_path, changed=[
        ("angle_deg = 170", f"angle_deg = {wanted}"), ('["main", "top"]', '["main"]'),
    ])
    assert run("plan", path, "--fail-on", fail_on).exit_code == status


def test_resolved_shows_every_value_and_who_stated_it(plan):
    text = run("plan", plan, "--resolved").stdout
    assert text.startswith("quick shoot\n\none\n  A, B see main; no lamps\n  at 24, 25 frames/s")
    assert "    shutter                 170°                        [defaults]" in text
    assert "nobody; taken" in text
    assert text.count("shutter ") == 4
    assert all(len(line) <= 80 for line in text.splitlines())


def test_compare_says_what_is_void(plan, tmp_path):
    (tmp_path / "new").mkdir()
    new = plan_files(tmp_path / "new", changed=[("angle_deg = 170", "angle_deg = 180")])
    result = run("plan", "--compare", plan, new)
    assert result.exit_code == 0
    assert "the defaults: angle_deg was 170, is 180" in result.stdout
    assert "one, 24 frames/s: VOID; the wanted setting was visible, is SAFE" in result.stdout
    assert run("plan", "--compare", plan, new, "--fail-on", "visible").exit_code == 3
    assert run("plan", "--compare", plan, plan, "--fail-on", "marginal").exit_code == 0
    values = json.loads(run("plan", "--compare", plan, new, "--json").stdout)
    assert values["settings"][0]["look_again"] == ["director of photography"]


@pytest.mark.parametrize(("arguments", "line"), [
    (["none.toml"], "none.toml: cannot be read: no such file or directory"),
    (["night-trian"], "night-trian: no plan of this name is shipped"),
    (["--compare", "night-train"], "FILE: 1 given; a plan's file, or two with --compare"),
    (["night-train", "night-train"], "FILE: 2 given; a plan's file, or two with --compare"),
    (["--compare", "--resolved", "night-train", "night-train"],
     "--resolved: not together with --compare"),
    (["--resolved", "--json", "night-train"], "--resolved: not together with --json"),
    ([], "FILE...: missing; the name of a file"),
])
def test_bad_input_is_refused_in_a_line(arguments, line):
    assert refused("plan", *arguments).removeprefix("bandcheck: ").startswith(line)


def test_a_bad_plan_names_all_its_faults(tmp_path):
    path = plan_files(tmp_path, changed=[
        ('camera = "A"', 'camera = "X"'), ("rates = [24]", "rates = [0]"),
    ])
    line = refused("plan", path)
    assert '[[setup]] two, camera: "X" is not accepted' in line
    assert "[[setup]] two, rates: 0 is not accepted" in line


def test_an_interrupted_plan_leaves_nothing(tmp_path):
    target = tmp_path / "agreed.json"
    planned = process("plan", "night-train", "--output", target, start_new_session=True)
    time.sleep(3)  # of some twenty that it would take
    os.killpg(planned.pid, signal.SIGINT)  # as a terminal does: to all of the processes
    _, told = planned.communicate(timeout=60)
    assert planned.returncode == 130
    assert told.splitlines()[-1] == "bandcheck: interrupted"
    assert list(tmp_path.iterdir()) == []
    assert gone(planned.pid, within_s=10)


def gone(group, *, within_s):
    """Whether a group of processes ends in time."""
    for _ in range(int(within_s / 0.05)):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False
