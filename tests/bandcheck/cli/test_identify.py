"""`bandcheck identify` as it is typed on set."""

import json

import pytest
from cli_run import refused, run
from fault_matrix import COLUMNS, MATRIX


def seen(**answers):
    return [f"--seen={key}={answer}" for key, answer in answers.items()]


def test_the_first_question_is_asked_of_somebody_who_saw_nothing_yet():
    done = run("identify")
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("Nothing seen yet: 9 of 9 faults may be it.")
    assert "Answer with --seen stays_on_same_leds=yes or =no." in done.stdout
    for key in COLUMNS:
        assert key in done.stdout


def test_answers_lead_to_the_fault_and_to_what_helps():
    done = run("identify", *seen(
        stays_on_same_leds="no", changes_with_shutter="yes", remains_with_wall_black="no",
        seen_by_eye="no", only_while_picture_moves="no",
    ))
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("Timing bands\n")
    assert "bandcheck settings --wall WALL --camera CAMERA" in done.stdout


def test_json_is_one_object_and_nothing_else():
    done = run("identify", *seen(seen_by_eye="yes", stays_on_same_leds="yes"), "--json")
    values = json.loads(done.stdout)
    assert (done.exit_code, done.stderr) == (0, "")
    assert values["schema"] == "bandcheck.identify/1"
    assert [each["fault"] for each in values["possible"]] == ["wall_fault", "led_grid"]
    assert values["next_test"]["observation"] == "vanishes_with_focus"
    assert set(MATRIX) == {each["fault"] for key in ("possible", "ruled_out")
                           for each in values[key]}
    assert json.loads(run("identify", "--json").stdout)["seen"] == {}


def test_a_contradiction_is_an_answer_too():
    done = run("identify", *seen(moves_with_camera="yes", stays_on_same_leds="yes"))
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("No single fault explains moves_with_camera=yes and ")
    values = json.loads(run("identify", "--json", *seen(
        moves_with_camera="yes", stays_on_same_leds="yes",
    )).stdout)
    assert values["contradiction"]["observations"] == ["moves_with_camera", "stays_on_same_leds"]
    assert values["next_test"] is values["found"] is None


@pytest.mark.parametrize("typed", [
    "seen-by-eye=yes", "SEEN_BY_EYE=YES", " seen_by_eye = yes ",
])
def test_keys_are_taken_as_people_type_them(typed):
    values = json.loads(run("identify", "--seen", typed, "--json").stdout)
    assert values["seen"] == {"seen_by_eye": "yes"}


def test_the_same_answer_twice_is_one_answer():
    once, twice = (run("identify", *["--seen", "seen_by_eye=no"] * times) for times in (1, 2))
    assert once.stdout == twice.stdout


def test_two_answers_to_one_question_are_refused():
    line = refused("identify", "--seen", "seen_by_eye=no", "--seen", "seen-by-eye=yes")
    assert "--seen: seen_by_eye is both yes and no" in line


@pytest.mark.parametrize(("typed", "near"), [
    ("moves_with_the_camera=yes", "moves_with_camera"), ("focus_vanishes=no", None),
    ("stay_on_same_led=yes", "stays_on_same_leds"), ("banana=yes", None), ("=yes", None),
    ("", None), ("x" * 5000 + "=no", None), ("seen\x1b[31m=yes", None),
])
def test_an_unknown_key_is_refused_with_the_nearest_and_the_list(typed, near):
    line = refused("identify", "--seen", typed)
    assert line.startswith("bandcheck: --seen: '")
    if near:
        assert f"did you mean {near}? " in line
    for key in COLUMNS:
        assert key in line


@pytest.mark.parametrize("answer", ["", "=", "=maybe", "=true", "=1", "=yes=no"])
def test_other_answers_than_yes_and_no_are_refused(answer):
    line = refused("identify", "--seen", f"seen_by_eye{answer}")
    assert line.endswith(
        f"'seen_by_eye{answer}' is not accepted; seen_by_eye=yes or seen_by_eye=no"
    )
