"""What happens on the card's screen: as plain functions, and as a browser posts it."""

import json
from base64 import b64decode

import pytest
from dash_posts import callbacks, posted
from screen_parts import of_type, texts

from dashboard.app import create_app
from dashboard.pages.card import asked_card as making
from dashboard.pages.card.callbacks import made, told
from dashboard.pages.card.layout import layout
from dashboard.state import search_of

WHOLE = {"wall": "stage-quiet-1.9", "camera": "cine-a-wide", "date": "2026-03-02"}


@pytest.fixture(scope="module")
def client():
    return create_app().server.test_client()


@pytest.fixture(scope="module")
def card():
    return made(WHOLE)


def test_a_card_comes_in_every_form_and_is_told_in_words(card):
    assert card["hidden"] is False
    assert card["of"] == search_of(WHOLE)
    assert "stage, quiet wall filmed by cinema body A, wide, 1 rate: 24 frames/s" in card["alt"]
    names = {ending: each["filename"] for ending, each in card["files"].items()}
    assert names[".pdf"] == "card_stage-quiet-wall_cinema-body-a-wide_2026-03-02.pdf"
    assert list(names) == [".pdf", ".png", ".html", ".csv", ".json"]
    assert b64decode(card["files"][".pdf"]["content"]).startswith(b"%PDF-")
    assert b64decode(card["files"][".png"]["content"]).startswith(b"\x89PNG")
    assert json.loads(card["files"][".json"]["content"])["date"] == "2026-03-02"
    assert json.dumps(card["files"])  # goes to the browser as it is


def test_what_travels_as_text_is_the_same_file(card):
    whole = making.asked_card(WHOLE)
    files = making.card_files(making.figures_of(whole), paper="a4")
    for ending, each in card["files"].items():
        content = each["content"]
        bytes_of = b64decode(content) if each["base64"] else content.encode()
        assert bytes_of == files[ending], ending


@pytest.mark.parametrize("question", [None, {}, {"wall": "stage-quiet-1.9"},
                                      {**WHOLE, "date": "today"}, {**WHOLE, "fps": "x"}])
def test_no_card_without_a_whole_question(question):
    nothing = made(question)
    assert nothing["files"] is None
    assert nothing["of"] is None
    assert nothing["hidden"] is True


def test_the_screen_says_what_the_card_will_be_of_or_what_is_missing():
    assert "Choose a wall and a camera mode" in " ".join(texts(told({}, None)["told"]))
    whole = told({**WHOLE, "card_rates": "24,48"}, None)
    assert "2 rates: 24, 48 frames/s" in " ".join(texts(whole["told"]))
    assert set(whole["wrong"].values()) == {""}
    assert "year-month-day" in told({**WHOLE, "date": "1"}, None)["wrong"]["date"]


def test_a_card_of_another_question_is_said_to_be_one():
    same, other = told(WHOLE, search_of(WHOLE)), told({**WHOLE, "fps": "25"}, search_of(WHOLE))
    assert (same["made"], other["made"]) == ("made", "made old")
    assert "asked before" not in " ".join(texts(same["told"]))
    assert "asked before" in " ".join(texts(other["told"]))


def test_no_date_is_there_unless_it_is_given():
    inputs = {each.id["ask"]: each.value for each in of_type(layout({}), "Input", "Select")}
    assert (inputs["date"], inputs["card_version"], inputs["paper"]) == ("", "", "a4")


def set_down(client, question, changed="card-make.n_clicks"):
    [name] = [each for each in callbacks(client) if each.startswith("..card-asked.data")]
    reply = posted(client, callbacks(client)[name], {
        "card-make.n_clicks": 1, "card-stop.n_clicks": 1, "question.data": question,
    }, changed=changed)
    assert reply.status_code == 200
    return {place: next(iter(each.values())) for place, each in reply.json["response"].items()}


def test_a_press_sets_the_question_down_and_says_what_is_computed(client):
    down = set_down(client, {**WHOLE, "card_rates": "24,48"})
    assert down["card-asked"] == {**WHOLE, "card_rates": "24,48"}
    assert down["card-progress"].startswith("Computing 2 rates: 24, 48 frames/s.")
    assert down["card-stop"] is False


def test_stop_takes_the_question_back(client):
    down = set_down(client, WHOLE, changed="card-stop.n_clicks")
    assert (down["card-asked"], down["card-progress"]) == (None, "Stopped.")
    assert down["card-stop"] is True


@pytest.mark.parametrize(("question", "said"), [
    ({}, "Choose a"), ({**WHOLE, "date": "today"}, "year-month-day"),
])
def test_a_press_too_soon_says_what_is_missing(client, question, said):
    down = set_down(client, question)
    assert down["card-asked"] is None
    assert said in json.dumps(down["card-progress"])
    assert down["card-stop"] is True


@pytest.mark.parametrize("question", [["a"], {"date": ["2026"]}, {"wall": 5}, "text"])
def test_a_card_of_what_is_no_question_is_refused(client, question):
    [name] = [each for each in callbacks(client) if each.startswith("..card-files.data")]
    reply = posted(client, callbacks(client)[name], {"card-asked.data": question})
    assert reply.status_code == 400
