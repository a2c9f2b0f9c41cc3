"""A shot goes into plain values and comes back the same, and nothing else comes back at all."""

import json
from dataclasses import fields, replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_shots import mains_lamp, plain_optics, plain_shot, pulsed_lamp

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall, shipped_names
from bandcheck.shoot.question import PER_RATE, question_shot, shot_question
from bandcheck.shoot.shot import Optics, Shot, Viewing

FULL = plain_shot(
    lamps=(mains_lamp(), pulsed_lamp()), optics=plain_optics(focus_mm=4000.0, squeeze=1.8),
    phase_s=0.0021, levels=(1.0, 0.18, 0.035), brightness=0.6, change_spread_s=1e-4,
    panel_rotation_deg=90, viewing=Viewing(push_stops=2.0, visible_from=6.5),
)


def through_json(shot):
    return question_shot(json.loads(json.dumps(shot_question(shot))), file="card.json")


def test_a_question_has_every_field_of_a_shot():
    question = shot_question(FULL)
    assert set(question) == {each.name for each in fields(Shot)}
    assert set(question["optics"]) == {each.name for each in fields(Optics)}
    assert set(question["viewing"]) == {each.name for each in fields(Viewing)}
    assert set(PER_RATE) < set(question)


@pytest.mark.parametrize("shot", [
    FULL, plain_shot(), plain_shot(genlock="free", wall_fps="60", fps="24000/1001"),
    plain_shot(content_fps=Fraction(0), shutter_set_as="time"),
])
def test_a_shot_comes_back_equal(shot):
    assert through_json(shot) == shot


@pytest.mark.parametrize("wall", shipped_names("wall"))
def test_shipped_profiles_come_back_equal(wall):
    cameras, lamps = shipped_names("camera"), shipped_names("lamp")
    for place, camera in enumerate(cameras):
        shot = plain_shot(
            wall=load_wall(wall), camera=load_camera(camera),
            lamps=(load_lamp(lamps[place % len(lamps)]),),
        )
        assert through_json(shot) == shot


@given(
    numerator=st.integers(1, 10**30), denominator=st.integers(1, 10**30),
    phase_s=st.floats(0, 0.04), level=st.floats(1e-6, 1.0), pitch_mm=st.floats(0.01, 1000),
)
@settings(derandomize=True, deadline=None, max_examples=50)
def test_every_digit_comes_back(numerator, denominator, phase_s, level, pitch_mm):
    exposure_s = Fraction(numerator, denominator) % Fraction(1, 24) or Fraction(1, 48)
    shot = replace(FULL, exposure_s=exposure_s, phase_s=phase_s, levels=(level,))
    shot = replace(shot, wall=replace(shot.wall, pitch_mm=pitch_mm))
    assert through_json(shot) == shot


def refused(change):
    question = shot_question(FULL)
    change(question)
    with pytest.raises(ProfileError) as caught:
        question_shot(question, file="card.json")
    assert str(caught.value).startswith("card.json: ")
    return caught.value


@pytest.mark.parametrize(("key", "value"), [
    ("fps", 24), ("fps", "24.0"), ("fps", "0"), ("fps", "24/0"), ("fps", "-24"), ("fps", None),
    ("fps", "9" * 400), ("exposure_s", "0"), ("exposure_s", 0.02), ("content_fps", "one"),
    ("genlock", "loose"), ("genlock", None), ("shutter_set_as", "speed"), ("phase_s", "0"),
    ("phase_s", -1e-3), ("phase_s", float("nan")), ("phase_s", True), ("levels", []),
    ("levels", [0.0]), ("levels", [1.5]), ("levels", "1"), ("levels", [[1.0]]),
    ("brightness", 0), ("brightness", 2), ("brightness", 10**400), ("change_spread_s", None),
    ("panel_rotation_deg", 45), ("panel_rotation_deg", 90.0), ("lamps", None),
    ("lamps", [3]), ("wall", 1), ("camera", None), ("optics", []), ("viewing", None),
])
def test_a_value_that_cannot_be_is_refused_by_name(key, value):
    error = refused(lambda question: question.update({key: value}))
    assert len(error.faults) == 1
    assert f"question.{key}" in error.faults[0]


@pytest.mark.parametrize(("part", "key", "value"), [
    ("optics", "focal_mm", 0), ("optics", "yaw_deg", 90), ("optics", "roll_deg", 181),
    ("optics", "f_number", "2.8"), ("viewing", "peak_nits", 0), ("viewing", "push_stops", 21),
    ("viewing", "flare_nits", -1), ("viewing", "safe_below", None),
])
def test_a_part_that_cannot_be_is_refused_by_name(part, key, value):
    error = refused(lambda question: question[part].update({key: value}))
    assert f"question.{part}" in error.faults[0]
    assert key in error.faults[0]


def test_keys_that_are_missing_or_unknown_are_all_named_at_once():
    def change(question):
        del question["fps"]
        question["phase_ms"] = 3
        question["viewing"]["gamma"] = 2.4
        question["genlock"] = "loose"

    faults = " ".join(refused(change).faults)
    for name in ("question.fps: missing", "question.phase_ms", "phase_s", "gamma", "loose"):
        assert name in faults, name


def test_faults_of_a_profile_name_the_profile_and_its_key():
    error = refused(lambda question: question.update(
        wall=question["wall"].replace("scan_lines = 16", "scan_lines = -16")
    ))
    assert "question.wall: scan_lines: -16 is not accepted" in str(error)


@pytest.mark.parametrize(("change", "names"), [
    ({"content_fps": "48"}, ("content_fps", "wall_fps")),
    ({"exposure_s": "1/23"}, ("exposure",)),
    ({"fps": "200", "exposure_s": "1/400"}, ("readout_ms",)),
])
def test_values_that_cannot_go_together_are_refused(change, names):
    error = refused(lambda question: question.update(change))
    assert all(name in str(error) for name in names)


def test_a_rate_above_the_cameras_highest_is_refused():
    question = shot_question(FULL)
    question["camera"] += "max_fps = 20\n"
    with pytest.raises(ProfileError, match="fps: 24 is above the camera's max_fps, 20"):
        question_shot(question, file="card.json")


def test_limits_in_the_wrong_order_are_refused():
    error = refused(lambda question: question["viewing"].update(safe_below=7.0))
    assert "visible_from" in str(error)


@pytest.mark.parametrize("question", [None, [], "x", 3])
def test_what_is_no_question_is_refused(question):
    with pytest.raises(ProfileError, match="question: missing"):
        question_shot(question, file="card.json")
