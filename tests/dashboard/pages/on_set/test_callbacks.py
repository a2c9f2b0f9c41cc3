"""What happens on the quick screen: as plain functions, and as a browser posts it."""

import json

import pytest
from card_cases import plain_card
from dash import no_update
from dash_posts import callbacks, posted
from screen_parts import of_type, texts

from bandcheck.report.card_json import card_values
from dashboard.app import create_app
from dashboard.fields import FIELDS
from dashboard.pages.on_set.callbacks import answer, card_taken
from dashboard.pages.on_set.layout import USUAL_RATES, layout
from dashboard.state import asked, question_of

WHOLE = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "shutter": "172.8"}
SAID = ("before", "answer", "more")


def said(question):
    shown = answer(question)
    return {name: " ".join(texts(shown[name])) for name in SAID}


@pytest.fixture(scope="module")
def client():
    return create_app().server.test_client()


@pytest.fixture(scope="module")
def card():
    return json.dumps(card_values(plain_card()))


@pytest.mark.parametrize("question", [None, {}, {"to_fps": "48"}, {"wall": "stage-main-2.6"}])
def test_opened_cold_it_asks_and_answers_for_no_profile_unasked(question):
    shown = said(question)
    assert "Choose a" in shown["answer"]
    assert "camera mode" in shown["answer"]
    assert shown["more"] == ""
    assert not any(level in shown["answer"] for level in ("safe", "marginal", "visible"))
    assert of_type(layout(question or {}), "Details")[0].open


def test_a_shot_alone_is_named_and_waits_for_the_change():
    shown = said(WHOLE)
    assert "stage, main wall filmed by cinema body A, wide at 24 frames/s" in shown["before"]
    assert "172.8° (1/50 s)" in shown["before"]
    assert "Say the new rate" in shown["answer"]
    assert not of_type(layout(WHOLE), "Details")[0].open


def test_a_change_is_answered_and_all_that_follows_from_it():
    shown = said({**WHOLE, "to_fps": "48"})
    assert "48 frames/s, 172.8° (1/100 s)" in shown["answer"]
    assert "1 stop less light" in shown["answer"]
    for words in ("before", "If it keeps the time", "Goes to 48 frames/s too", "no longer holds"):
        assert words in shown["more"]


def test_a_slip_is_said_beside_its_field_and_answers_nothing():
    shown = answer({**WHOLE, "to_fps": "fast"})
    assert "a frame rate above 0" in shown["wrong"]["to_fps"]
    assert shown["wrong"]["to_shutter"] == ""
    assert "No answer" in " ".join(texts(shown["answer"]))
    assert shown["more"] == []


def test_a_slip_in_the_shot_answers_nothing():
    shown = said({**WHOLE, "fps": "500", "to_fps": "48"})
    assert "Camera rate" in shown["answer"]
    assert shown["more"] == ""


def test_markup_in_what_is_typed_stays_text():
    typed = "<img src=x onerror=alert(1)>"
    shown = answer({**WHOLE, "to_fps": typed})
    assert typed[:20] in shown["wrong"]["to_fps"]
    assert of_type(shown["answer"], "Markdown", "Img") == []


def test_usual_rates_can_be_typed():
    for each in USUAL_RATES:
        assert FIELDS["to_fps"].kind.value(each, argument="to_fps") == int(each)


def test_a_cards_file_takes_the_place_of_choosing(card):
    address, wrong = card_taken({"text": card, "chosen": 1}, {"to_fps": "48"}, "/set")
    assert wrong == ""
    path, _, search = address.partition("?")
    assert path == "/set"
    assert asked(question_of(search)).shot == plain_card().shot
    assert question_of(search)["to_fps"] == "48"


def test_the_same_card_chosen_once_more_is_gone_to_once_more(card):
    first, second = (card_taken({"text": card, "chosen": each}, {}, "/set")[0] for each in (1, 2))
    assert first != second
    assert question_of(first.partition("?")[2]) == question_of(second.partition("?")[2])


@pytest.mark.parametrize(("sent", "words"), [
    ({"refused": "larger than 16 MB, the most a card may have"}, "16 MB"),
    ({"text": "{}"}, "schema"), ({"text": 5}, "256 kB"), ({"other": 1}, "256 kB"),
])
def test_what_is_wrong_with_a_file_is_said_and_changes_nothing(sent, words):
    address, wrong = card_taken(sent, WHOLE, "/set")
    assert address is no_update
    assert words in wrong


def test_the_server_answers_a_post(client):
    [name] = [each for each in callbacks(client) if "set-answer" in each]
    question = {**WHOLE, "to_fps": "48"}
    reply = posted(client, callbacks(client)[name], {"question.data": question})
    assert reply.status_code == 200
    assert "48 frames/s, 172.8" in json.dumps(
        reply.json["response"]["set-answer"]["children"], ensure_ascii=False
    )


@pytest.mark.parametrize(("kind", "value", "field"), [("rate", "48", "to_fps"),
                                                      ("dial", "144", "to_shutter")])
def test_a_button_types_its_value(client, kind, value, field):
    listed = callbacks(client)
    name = f'{{"ask":"{field}"}}.value'
    pressed = {kind: value}
    changed = f'{{"{kind}":"{value}"}}.n_clicks'
    reply = posted(client, listed[name], {
        f'{{"{kind}":["ALL"]}}.n_clicks': [(pressed, 1)],
    }, changed=changed)
    assert reply.json["response"][f'{{"ask":"{field}"}}'] == {"value": value}
    none = posted(client, listed[name], {
        f'{{"{kind}":["ALL"]}}.n_clicks': [(pressed, None)],
    }, changed=changed)
    assert none.json["response"] == {}  # a button that has only appeared


def test_the_button_of_the_new_rate_is_marked(client):
    places = [{"rate": each} for each in USUAL_RATES]
    reply = posted(
        client, callbacks(client)['{"rate":["ALL"]}.className'],
        {"question.data": {**WHOLE, "to_fps": " 48"}}, outputs={'{"rate":["ALL"]}': places},
    )
    classes = {name: each["className"] for name, each in reply.json["response"].items()}
    assert [name for name, each in classes.items() if "chosen" in each] == ['{"rate":"48"}']
