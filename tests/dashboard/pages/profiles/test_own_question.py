"""A question holds figures of the user's own, and its address holds all of it."""

import pytest

from dashboard.pages.profiles.groups import groups_of, taken_words, unit_of
from dashboard.pages.profiles.own_question import (
    chosen_shipped,
    fits_link,
    in_shot,
    question_told,
    search_with_figures,
    using,
    with_figures,
)
from dashboard.pages.profiles.sheet import keys_of
from dashboard.state import question_of

SHOT = {"wall": "side-2.8", "camera": "cine-a-wide", "fps": "25"}
TEXT = '[wall]\nname = "mine"\n'


@pytest.mark.parametrize("wall", ["side-2.8", "own", ""])
def test_an_address_holds_figures_that_the_shot_uses_and_those_it_does_not(wall):
    question = {**SHOT, "wall": wall, "wall_toml": TEXT, "camera_toml": "[camera]\n"}
    kept = {name: text for name, text in question.items() if text}
    assert question_of(search_with_figures(question)) == kept
    assert question_of(search_with_figures({"lamp_toml": "[lamp]\n"})) == {"lamp_toml": "[lamp]\n"}
    assert search_with_figures({"lamp_toml": "[lamp]\n"}).startswith("?lamp_toml=")
    assert search_with_figures({}) == ""


def test_what_is_too_long_for_an_address_is_left_out_of_it():
    assert fits_link("x" * 64_000)
    assert not fits_link("x" * 64_001)
    assert not fits_link("é" * 32_001)
    assert question_of(search_with_figures({**SHOT, "wall_toml": "x" * 64_001})) == SHOT
    assert "wall_toml" in search_with_figures({**SHOT, "wall_toml": "\ud800"})


def test_a_wall_takes_the_place_of_another_and_a_lamp_joins_others():
    assert using(SHOT, "wall", "own") == {**SHOT, "wall": "own"}
    assert using(SHOT, "lamp", "own") == {**SHOT, "lamp": "own"}
    lit = {**SHOT, "lamp": "mains-50-tubes,own"}
    assert using(lit, "lamp", "fixture-25k")["lamp"] == "mains-50-tubes,own,fixture-25k"
    assert using(lit, "lamp", "own") == lit
    assert in_shot(lit, "lamp", "own")
    assert not in_shot(lit, "lamp", "mains")
    assert chosen_shipped({**SHOT, "lamp": "own,nothing,fixture-25k"}, "lamp") == "fixture-25k"
    assert chosen_shipped({"wall": "own"}, "wall") == ""
    assert with_figures(SHOT, "wall", TEXT) == {**SHOT, "wall_toml": TEXT}


@pytest.mark.parametrize("odd", [None, 7, "x", [], [1], True])
def test_what_is_no_question_is_an_empty_one(odd):
    assert question_told(odd) == {}


def test_of_a_question_only_texts_of_its_own_names_are_taken():
    odd = {"fps": 24, "lamp": None, "__proto__": "x", "wall_toml": ["x"], "rates": "x" * 300_000}
    assert question_told({**SHOT, **odd}) == {name: SHOT[name] for name in ("wall", "camera")}


@pytest.mark.parametrize(
    ("kind", "key", "unit", "taken"),
    [
        ("wall", "pitch_mm", "mm", "not known"), ("wall", "refresh_lock", "", "taken: frame"),
        ("wall", "white_duty_green", "", "taken: 1"), ("wall", "scan_down", "", "taken: true"),
        ("wall", "min_pulse_counts", "", "taken: 1"), ("wall", "name", "", "needed"),
        ("wall", "refresh_tolerance_pct", "%", "not known"), ("wall", "drive", "", "needed"),
        ("camera", "exposure_scheme", "", "taken: single"), ("camera", "speeds", "s", "not known"),
        ("camera", "max_fps", "frames/s", "not known"), ("lamp", "pulse_hz", "Hz", "not known"),
    ],
)
def test_a_field_has_its_unit_and_says_what_is_taken_when_it_is_empty(kind, key, unit, taken):
    assert unit_of(keys_of(kind)[key], kind) == unit
    assert taken_words(keys_of(kind)[key], kind) == taken


@pytest.mark.parametrize("kind", ["wall", "camera", "lamp"])
def test_every_key_whose_name_ends_in_a_unit_has_one(kind):
    for name, key in keys_of(kind).items():
        assert bool(unit_of(key, kind)) == (", in " in key.accepted or name.endswith(
            ("_px", "_fps", "speeds"))), name


@pytest.mark.parametrize("kind", ["wall", "camera", "lamp"])
def test_every_key_stands_in_one_group(kind):
    groups = groups_of(kind)
    assert "More" not in dict(groups)
    names = [key.name for _, keys in groups for key in keys]
    assert sorted(names) == sorted(keys_of(kind))
