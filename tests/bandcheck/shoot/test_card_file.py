"""A card's file gives back its shot, and only while its hash belongs to its question."""

import hashlib
import json

import pytest
from plain_shots import plain_shot

from bandcheck.errors import ProfileError
from bandcheck.shoot.card_file import CARD_SCHEMA, card_shot, load_card_shot, question_hash
from bandcheck.shoot.question import shot_question

SHOT = plain_shot()


def card(**changed):
    question, per_rate = shot_question(SHOT), {"24": {"fps": "24"}}
    return {
        "schema": CARD_SCHEMA, "question": question, "per_rate": per_rate,
        "input_hash": question_hash(question, per_rate), **changed,
    }


def refusal(content):
    with pytest.raises(ProfileError) as caught:
        card_shot(content, file="card.json")
    assert len(str(caught.value).splitlines()) == 1
    return str(caught.value)


def test_a_card_gives_its_shot():
    assert card_shot(json.dumps(card()).encode(), file="card.json") == SHOT


def test_a_card_saved_by_an_editor_with_a_byte_order_mark_gives_its_shot():
    text = json.dumps(card(), indent=8)
    assert card_shot(b"\xef\xbb\xbf" + text.encode(), file="card.json") == SHOT


def test_the_hash_is_sha_256_of_sorted_json_without_spaces():
    expected = hashlib.sha256(b'{"question":{"a":1.5,"b":"\\u00e9"},"rates":{}}').hexdigest()
    assert question_hash({"b": "é", "a": 1.5}, {}) == expected


@pytest.mark.parametrize("change", [
    lambda card: card["question"].update(brightness=0.9),
    lambda card: card["per_rate"].update({"25": {}}),
    lambda card: card.update(input_hash="0" * 64),
    lambda card: card.update(input_hash=None),
])
def test_a_card_that_was_changed_by_hand_is_refused(change):
    changed = card()
    change(changed)
    assert "input_hash: does not belong" in refusal(json.dumps(changed).encode())


@pytest.mark.parametrize(("content", "says"), [
    (b"", "not JSON"), (b"{", "not JSON"), (b"\xff\xfe", "not UTF-8"), (b"[]", "not a card"),
    (b"[" * 100_000, "not JSON"), (b'{"schema": NaN}', "not JSON"), (b"{}", "schema"),
    (b'{"schema": "bandcheck.check/1"}', "bandcheck.check/1"),
    (b'{"schema": "bandcheck.card/1"}', "question: missing"),
    (b" " * (16 * 1024 * 1024 + 1), "larger than"),
], ids=lambda value: None if isinstance(value, bytes) else value)
def test_what_is_no_card_is_refused(content, says):
    assert says in refusal(content)


def test_a_card_without_its_rates_is_refused():
    assert "per_rate" in refusal(json.dumps(card(per_rate=None)).encode())


def test_a_file_is_read_by_name(tmp_path):
    path = tmp_path / "card.json"
    path.write_text(json.dumps(card()), encoding="utf-8")
    assert load_card_shot(path) == SHOT


@pytest.mark.parametrize("name", ["missing.json", ".", "nul\0l"])
def test_a_file_that_cannot_be_read_is_refused(tmp_path, name):
    with pytest.raises(ProfileError, match="cannot be read"):
        load_card_shot(f"{tmp_path}/{name}")
