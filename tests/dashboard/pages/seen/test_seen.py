"""What is it: the screen says what the command says."""

import json

import pytest
from cli_run import run
from dash_posts import callbacks, posted
from hypothesis import given, settings
from hypothesis import strategies as st
from screen_parts import of_type, texts

from bandcheck.report.identify_text import FAULT_NAMES, QUESTIONS
from bandcheck.verdict.fault_signs import OBSERVATIONS
from bandcheck.verdict.identify import identify
from dashboard.app import create_app
from dashboard.pages.seen.layout import layout
from dashboard.pages.seen.observations import observations_of, seen_text
from dashboard.pages.seen.result import result_view

answers = st.dictionaries(st.sampled_from(OBSERVATIONS), st.sampled_from(["yes", "no", ""]))


@settings(derandomize=True, deadline=None)
@given(answers)
def test_answers_survive_the_address(told):
    assert observations_of(seen_text(told)) == {
        key: answer == "yes" for key, answer in told.items() if answer
    }


@settings(derandomize=True, deadline=None)
@given(st.text(max_size=100))
def test_any_text_is_some_observations(text):
    assert set(observations_of(text)) <= set(OBSERVATIONS)


@pytest.mark.parametrize(
    "seen", ["", "stays_on_same_leds=yes", "stays_on_same_leds=no,vanishes_with_focus=yes",
             "moves_with_camera=yes,seen_by_eye=no,only_while_picture_moves=yes"],
)
def test_the_screen_says_what_the_command_says(seen):
    view = result_view(identify(observations_of(seen)))
    typed = [part for each in seen.split(",") if each for part in ("--seen", each)]
    said = json.loads(run("identify", *typed, "--json").stdout)
    shown = texts(view)
    for each in said["possible"]:
        assert FAULT_NAMES[each["fault"]] in shown
    assert (said["next_test"] is None) == (not of_type(view, "Button"))
    if said["next_test"]:
        assert QUESTIONS[said["next_test"]["observation"]] in shown


def test_a_contradiction_is_said():
    seen = {"stays_on_same_leds": True, "moves_with_camera": True}
    found = identify(seen)
    assert found.contradiction is not None
    assert "No single fault explains all of this" in texts(result_view(found))


def test_a_wall_fault_never_gets_a_shutter():
    for text in ("stays_on_same_leds=yes,seen_by_eye=yes,steps_in_ramp=no,rolls_or_pulses=no",):
        view = texts(result_view(identify(observations_of(text))))
        assert "Wall fault" in view
        assert not any("--angle" in line for line in view)


def test_every_observation_can_be_answered():
    page = layout({"seen": "seen_by_eye=no"})
    choices = {each.id["observed"]: each.value for each in of_type(page, "RadioItems")}
    assert set(choices) == set(OBSERVATIONS)
    assert choices["seen_by_eye"] == "no"
    assert set(choices.values()) == {"no", ""}


def test_posted_as_a_browser_does():
    client = create_app().server.test_client()
    answer = posted(client, callbacks(client)["seen-answer.children"], {"question.data": {}})
    assert answer.status_code == 200
    assert QUESTIONS["stays_on_same_leds"] in json.dumps(answer.json)
