"""A card's file goes into the question whole, or is refused by name."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from card_cases import plain_card
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_shots import mains_lamp, plain_optics, plain_shot, pulsed_lamp

from bandcheck.report.card_json import card_values
from bandcheck.shoot.profiles import load_lamp
from bandcheck.shoot.shot import Viewing
from dashboard.pages.on_set.card_question import CardError, card_question, shot_texts
from dashboard.state import asked, question_of, search_of

NAMES = ("schema", "question", "per_rate", "input_hash")


@pytest.fixture(scope="module")
def card():
    """What of a card's file is read."""
    values = json.loads(json.dumps(card_values(plain_card())))
    return {name: values[name] for name in NAMES}


def through_the_link(texts):
    return asked(question_of(search_of(texts))).shot


def test_a_card_becomes_a_question_that_its_link_reproduces(card):
    texts = card_question(json.dumps(card), {"to_fps": "48", "fps": "99", "lamp": "x"})
    assert texts["to_fps"] == "48"
    assert through_the_link(texts) == plain_card().shot


@pytest.mark.parametrize("shot", [
    plain_shot(),
    plain_shot(fps=Fraction(24000, 1001), angle=Fraction("172.8"), wall_fps=Fraction(48000, 1001)),
    replace(plain_shot(), exposure_s=Fraction(1, 50), shutter_set_as="time"),
    replace(plain_shot(), exposure_s=Fraction(21, 1000), shutter_set_as="time"),
    replace(plain_shot(), phase_s=0.0051, change_spread_s=0.0003, brightness=0.07,
            levels=(0.9, 0.29, 0.07), genlock="locked", panel_rotation_deg=90),
    replace(plain_shot(), content_fps=Fraction(0)),
    replace(plain_shot(), genlock="free", wall_fps=Fraction(25), content_fps=Fraction(25)),
    replace(plain_shot(), optics=plain_optics(focus_mm=1234.5, yaw_deg=-12.5, squeeze=1.8),
            viewing=Viewing(push_stops=-1.5, view_heights=1.6, safe_below=0.7)),
    replace(plain_shot(), lamps=(load_lamp("mains-50-tubes"), mains_lamp())),
    replace(plain_shot(), lamps=(pulsed_lamp(),)),
], ids=range(10))
def test_a_shot_of_any_kind_comes_back(shot):
    assert through_the_link(shot_texts(shot)) == shot


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.floats(1e-6, 0.04), st.lists(st.floats(1e-4, 1), min_size=1, max_size=4, unique=True),
       st.floats(300, 90_000), st.fractions(1, 360))
def test_figures_of_any_kind_come_back_to_the_last_bit(phase_s, levels, distance_mm, angle):
    shot = replace(
        plain_shot(angle=angle), phase_s=phase_s, levels=tuple(sorted(levels, reverse=True)),
        optics=plain_optics(distance_mm=distance_mm),
    )
    read = asked(shot_texts(shot))
    assert read.errors == {}
    assert (read.shot.exposure_s, read.shot.levels) == (shot.exposure_s, shot.levels)
    # Of milliseconds not every float comes back as seconds; a card that loses one is refused.
    assert read.shot.phase_s == pytest.approx(phase_s, rel=1e-15)
    assert read.shot.optics.distance_mm == pytest.approx(distance_mm, rel=1e-15)


def test_a_shutter_is_written_as_it_was_set():
    assert shot_texts(plain_shot(angle=Fraction("172.8")))["shutter"] == "172.8"
    assert "shutter" not in shot_texts(plain_shot(angle=180))  # the usual one
    timed = replace(plain_shot(), exposure_s=Fraction(1, 50), shutter_set_as="time")
    assert shot_texts(timed)["shutter"] == "1/50"


@pytest.mark.parametrize(("spoil", "said"), [
    (lambda card: "", "not JSON"),
    (lambda card: None, "kB of question"),
    (lambda card: ["a"], "kB of question"),
    (lambda card: "[1]", "a card is one JSON object"),
    (lambda card: "x" * 256_001, "256 kB"),
    (lambda card: "\ud800", "not"),
    (lambda card: json.dumps({**card, "schema": "other/1"}), "schema"),
    (lambda card: json.dumps({**card, "input_hash": "0" * 64}), "changed after the card"),
    (lambda card: json.dumps({**card, "question": {**card["question"], "fps": "25"}}),
     "changed after the card"),
    (lambda card: json.dumps({**card, "question": {}}), "missing"),
])
def test_what_is_no_whole_card_is_refused_on_one_line(card, spoil, said):
    with pytest.raises(CardError) as caught:
        card_question(spoil(card), {})
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("changed", [
    {"viewing": Viewing(peak_nits=203.0)},
    {"lamps": (mains_lamp(), pulsed_lamp())},
], ids=["no field for it", "two lamps of one's own"])
def test_what_no_field_holds_is_not_lost_in_silence(changed, monkeypatch):
    shot = replace(plain_shot(), **changed)
    monkeypatch.setattr(
        "dashboard.pages.on_set.card_question.card_shot", lambda content, file: shot
    )
    with pytest.raises(CardError, match=f"no field for something.*{next(iter(changed))}"):
        card_question("{}", {})
