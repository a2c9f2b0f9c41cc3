"""A link out of a plan asks the main screen for the same shot."""

from fractions import Fraction

import pytest
from plan_cases import HEAD
from screen_parts import of_type

from bandcheck.shoot.plan_shots import setup_sights
from bandcheck.verdict.exposure_grades import with_angle
from dashboard.pages.plan.asked_plan import asked_plan, read_plan
from dashboard.pages.plan.shot_links import shot_links
from dashboard.state import asked, question_of

SETUP = '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'
NIGHT = asked_plan({"plan": "night-train"}).plan


def linked(plan, picked, question):
    links = of_type(shot_links(plan, picked, question), "Link")
    return [question_of(each.href.removeprefix("/")) for each in links]


@pytest.mark.parametrize("part", range(4))
def test_the_link_is_the_shot_of_the_plan(part):
    setup = NIGHT.setups[part]
    fps = setup.rates[0]
    sights = setup_sights(NIGHT, setup, fps=fps)
    questions = linked(NIGHT, {"part": part, "at": str(fps), "dials": {}}, {"plan": "night-train"})
    assert [asked(each).shot for each in questions] == [each.shot for each in sights]
    assert all(each["plan"] == "night-train" for each in questions)


def test_shipped_profiles_go_by_name_and_changed_ones_as_text():
    plan = read_plan(HEAD + SETUP)
    (question,) = linked(plan, {"part": 0, "at": "24"}, {})
    assert question["wall"] == "side-2.8"
    assert question["camera"] == "cine-a-wide"
    assert "wall_toml" not in question
    changed = read_plan((HEAD + SETUP).replace('"cine-a-wide"', '"cine-a-wide"\nreadout_ms = 9.5'))
    (question,) = linked(changed, {"part": 0, "at": "24"}, {})
    assert question["camera"] == "own"
    assert "readout_ms = 9.5" in question["camera_toml"]


def test_the_setting_to_dial_has_a_link_of_its_own():
    plan = read_plan(HEAD + SETUP)
    picked = {"part": 0, "at": "24", "dials": {"A": "150"}}
    wanted, dialled = (asked(each).shot for each in linked(plan, picked, {}))
    assert wanted.angle_deg == Fraction("172.8")
    assert dialled == with_angle(wanted, Fraction(150))


@pytest.mark.parametrize("picked", [
    None, 7, "x", {}, {"part": 4, "at": "24"}, {"part": -1, "at": "24"}, {"part": 0, "at": "23"},
    {"part": "0", "at": "24"}, {"part": 0, "at": ["24"]},
])
def test_no_such_cell(picked):
    assert shot_links(NIGHT, picked, {}) == []


@pytest.mark.parametrize("dials", [7, {"A": 7}, {"A": "x"}, {"A": "361"}, {"B": "10"}])
def test_no_such_dial(dials):
    assert len(linked(NIGHT, {"part": 0, "at": "24", "dials": dials}, {})) == 1
