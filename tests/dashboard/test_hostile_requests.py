"""Whatever is posted to a callback, nobody gets a traceback, and an odd question is refused."""

import json

import pytest
from dash_posts import callbacks, posted

from dashboard.app import create_app

SHOT = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": "24", "shutter": "180"}
ODD = (
    None, True, 7, -1e300, "x", "", "\ud800", "<b onload=alert(1)>javascript:alert(1)</b>", [],
    ["a", [1]], {}, {"a": {"b": [1]}}, [None, {"x": 1}], "9" * 3000, "1e999999", "1/0",
)
ODD_QUESTIONS = (
    *ODD, {**SHOT, "fps": None}, {**SHOT, "fps": 24}, {**SHOT, "fps": ["24"]},
    {**SHOT, "wall": {"own": 1}}, {**SHOT, "wall": "own"}, {**SHOT, "wall": "../../etc/passwd"},
    {**SHOT, "wall": "own", "wall_toml": ["x"]}, {**SHOT, "wall": "own", "wall_toml": "\ud800"},
    {**SHOT, "lamp": "own,own", "lamp_toml": "x = " + "[" * 5000}, {**SHOT, "\ud800": "x"},
    *({**SHOT, name: text} for name in ("fps", "shutter", "levels", "rates", "focal_mm", "phase_ms")
      for text in ("9" * 3000, "1e999999", "1/0", "nan", "<script>", "1," * 900)),
    {f"field-{each}": "x" for each in range(2000)}, {**SHOT, "fps": "x" * 300_000},
)
TEXTS = ("question.data", "search.data", "answer.data", "address.pathname", "address.search",
         '{"ask":["ALL"]}.value')
SEVERAL = {'{"wrong":["ALL"]}': [{"wrong": "wall"}, {"wrong": "fps"}]}

NO_REQUESTS = (
    b"", b"[", b"[]", b"7", b'"x"', b"{}", b'{"output": 7}', b'{"output": ["x"]}',
    b'{"output": "verdict.children"}', b'{"output": {"a": 1}, "inputs": {}}', b"\xff\xfe\0",
    b"[" * 100_000,
)


@pytest.fixture(scope="module")
def app():
    made = create_app()
    made.server.logger.disabled = True
    return made


@pytest.fixture(scope="module")
def client(app):
    return app.server.test_client()


@pytest.fixture(scope="module")
def answered(app):
    client = app.server.test_client()
    return callbacks(client)


def places(callback):
    return [f"{each['id']}.{each['property']}"
            for each in (*callback["inputs"], *callback["state"])]


def given(place, value):
    """A value for a place, and for each of several alike."""
    name, _, _ = place.rpartition(".")
    if '["ALL"]' not in name:
        return {place: value}
    kind = next(iter(json.loads(name)))
    return {place: [({kind: "wall"}, value), ({kind: "fps"}, value)]}


def test_an_odd_question_is_refused_or_answered_by_every_callback(client, answered):
    asked = 0
    for callback in answered.values():
        for place in set(places(callback)) & set(TEXTS):
            for odd in ODD if "question" not in place else ODD_QUESTIONS:
                known = {"question.data": SHOT, "theme.data": "dark"}
                answer = posted(client, callback, {**known, **given(place, odd)},
                                changed=place, outputs=SEVERAL)
                assert answer.status_code < 500, (callback["output"], place, odd)
                asked += 1
    assert asked > 500


def test_nothing_odd_in_any_other_place_shows_a_traceback(client, answered):
    for callback in answered.values():
        for place in set(places(callback)) - set(TEXTS):
            for odd in ODD:
                answer = posted(client, callback, {"question.data": {}, **given(place, odd)},
                                changed=place, outputs=SEVERAL)
                assert "Traceback" not in answer.text
                assert "File" not in answer.text


@pytest.mark.parametrize("name", ["profile-sheet.children", "profile-file.data", "profile-state"])
def test_nothing_odd_stops_the_screen_for_profiles(client, answered, name):
    callback = next(each for output, each in answered.items() if name in output)
    for place in places(callback):
        for odd in ODD:
            if place.endswith(".id"):
                continue
            answer = posted(client, callback, {"question.data": SHOT, **given(place, odd)},
                            changed=place)
            assert answer.status_code < 500, (place, odd)


@pytest.mark.parametrize("body", NO_REQUESTS)
def test_what_is_no_request_is_refused(client, body):
    answer = client.post(
        "/_dash-update-component", data=body, content_type="application/json"
    )
    assert answer.status_code == 400
    assert answer.text == "not a request that a screen of this dashboard sends\n"
    assert "Content-Security-Policy" in answer.headers


@pytest.mark.parametrize("question", [
    True, 7, "x", ["a"], {**SHOT, "fps": 24}, {**SHOT, "fps": None}, {**SHOT, "wall": ["own"]},
    {**SHOT, "wall": "\ud800"}, {**SHOT, "\ud800": "x"}, {**SHOT, "wall_toml": "x" * 262_145},
])
def test_a_question_that_is_not_of_texts_is_refused(client, answered, question):
    callback = answered["..verdict.children...answer.data.."]
    answer = posted(client, callback, {"question.data": question}, changed="question.data")
    assert answer.status_code == 400


def test_a_request_of_a_known_callback_without_its_parts_is_refused(client):
    for body in ({}, {"inputs": 7, "outputs": []}, {"inputs": [7], "outputs": []},
                 {"inputs": [{"id": "question"}], "outputs": []}):
        whole = {"output": "..verdict.children...answer.data..", **body}
        assert client.post("/_dash-update-component", json=whole).status_code == 400


def test_a_question_of_texts_is_answered(client, answered):
    callback = answered["..verdict.children...answer.data.."]
    answer = posted(client, callback, {"question.data": SHOT}, changed="question.data")
    assert answer.status_code == 200
    assert "cinema body A" in answer.text
