"""The plan's screen as a browser asks it."""

import json

import pytest
from dash_posts import callbacks, posted
from plan_cases import HEAD
from screen_parts import texts

from bandcheck.report.plan_compare_text import compare_json
from bandcheck.verdict.plan_compare import plan_comparison
from dashboard import ids
from dashboard.app import create_app
from dashboard.pages.plan.asked_plan import asked_plan, read_plan
from dashboard.pages.plan.callbacks import part, read

SETUP = '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'
TEXT = HEAD + SETUP
QUESTION = {"plan": "own", "plan_toml": TEXT}
KEY = asked_plan(QUESTION).key


@pytest.fixture(scope="module")
def client():
    return create_app().server.test_client()


def answer(client, output, values, **more):
    found = next(each for name, each in callbacks(client).items() if output in name)
    response = posted(client, found, values, **more)
    assert response.status_code == 200
    return response.json["response"]


def test_a_plan_is_read_and_then_computed_part_by_part(client):
    found = answer(client, "plan-shown.children", {"question.data": QUESTION})
    assert found["plan-read"]["data"] == {"key": KEY, "parts": 1}
    assert found["plan-faults"]["children"] == []
    row = answer(client, "plan-row.data", {
        "question.data": QUESTION, "plan-task.data": {"run": 3, "key": KEY, "step": 0},
    })["plan-row"]["data"]
    assert (row["run"], row["step"], row["of"]) == (3, 0, 1)
    assert set(row["cells"]) == {"0 24"}
    assert row["cells"]["0 24"]["picked"]["part"] == 0
    assert json.dumps(ids.plan_cell(0, "24")) in json.dumps(row["row"])


def test_faults_are_all_told_and_leave_no_matrix():
    found = read({"plan": "own", "plan_toml": TEXT.replace('["main"]', '["x"]')}, None)
    assert "x" in json.dumps(found["faults"], default=str)
    assert texts(found["shown"]) == []
    assert found["read"]["parts"] == 0


def test_the_same_text_starts_nothing_anew():
    found = read(QUESTION, None)
    again = read({**QUESTION, "date": "2026-03-02"}, found["read"])
    assert not isinstance(again["read"], dict)


@pytest.mark.parametrize("task", [
    None, 7, {}, {"key": KEY}, {"key": KEY, "step": 1}, {"key": KEY, "step": -1},
    {"key": KEY, "step": "0"}, {"key": "of an older text", "step": 0},
])
def test_no_part_is_computed_that_nobody_waits_for(task):
    assert part(task, QUESTION) is None


def test_another_plan_is_compared_as_the_command_does(client):
    other = TEXT.replace("172.8", "180")
    values = {
        "question.data": QUESTION, "plan-other.data": {"text": other},
        "plan-other-is.value": "older",
    }
    shown = json.dumps(answer(
        client, "plan-compared.children", values, changed="plan-other.data"
    ))
    said = compare_json(plan_comparison(read_plan(other), read_plan(TEXT)))
    assert said["differences"]
    for each in said["differences"]:
        assert json.dumps(each["text"])[1:-1] in shown
    for each in said["settings"]:
        assert each["state"] in shown
        assert all(who in shown for who in each["look_again"])


@pytest.mark.parametrize(("other", "said"), [
    ({"text": TEXT}, "say the same"), ({"text": "x = "}, "Faults of the other plan"),
    ({"text": TEXT.replace('"side-2.8"', '"/etc/passwd"')}, "is a file"), (None, "[]"),
])
def test_other_plans(client, other, said):
    shown = answer(client, "plan-compared.children", {
        "question.data": QUESTION, "plan-other.data": other, "plan-other-is.value": "newer",
    }, changed="plan-other.data")
    assert said in json.dumps(shown["plan-compared"]["children"])


def test_the_card_is_handed_over(client):
    output = next(name for name in callbacks(client) if "plan-card-told" in name)
    made = answer(client, output, {
        "question.data": {**QUESTION, "date": "2026-03-02"}, "plan-card-form.value": ".json",
    }, changed="plan-card-make.n_clicks")
    file = next(each["data"] for name, each in made.items() if name.startswith("plan-file"))
    assert file["filename"] == "plan-card.json"
    assert file["base64"]


@pytest.mark.parametrize(("question", "form", "said"), [
    ({}, ".pdf", "has to be chosen"), (QUESTION, ".exe", "a form of the list"),
    ({**QUESTION, "date": "tomorrow"}, ".pdf", "Date:"),
])
def test_no_card(client, question, form, said):
    made = answer(client, "plan-card-told", {
        "question.data": question, "plan-card-form.value": form,
    }, changed="plan-card-make.n_clicks")
    assert said in made["plan-card-told"]["children"]
