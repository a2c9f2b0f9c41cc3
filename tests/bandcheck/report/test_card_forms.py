"""CSV and JSON of a card, and the door to all forms."""

import csv
import json
from io import StringIO

import pytest
from card_cases import crowded_card, plain_card
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.report.card import CARD_ENDINGS, card_file, card_text
from bandcheck.report.card_csv import card_csv, harmless
from bandcheck.report.card_json import card_values
from bandcheck.report.card_rows import rate_rows
from bandcheck.report.card_sections import ROLES, sections
from bandcheck.report.tables import assessment_table, settings_table
from bandcheck.shoot.card_file import card_shot
from bandcheck.verdict.assess import assess
from bandcheck.verdict.settings import safe_settings

CARDS = pytest.mark.parametrize("card", [plain_card, crowded_card])
FORMULA = tuple("=+-@\t\r\n\u2212＝＋－＠")


def cells(card):
    return list(csv.reader(StringIO(card_csv(card), newline="")))


@CARDS
def test_no_cell_starts_a_formula(card):
    assert not [cell for row in cells(card()) for cell in row if cell.startswith(FORMULA)]


@given(st.text(max_size=20) | st.sampled_from(["=1+1", " \t=cmd", "@x", "-2", "\r\n+1", "＝1"]))
@settings(derandomize=True, deadline=None)
def test_no_text_becomes_a_formula_and_none_is_lost(text):
    shown = harmless(text)
    assert not shown.startswith(FORMULA)
    assert shown.removeprefix("'").replace("'", "") == " ".join(text.split()).replace("'", "")


@CARDS
def test_csv_says_everything_and_leaves_room_for_what_is_measured(card):
    rows = cells(card())
    assert rows[0] == ["part", "rate", "item", "value", "source", "measured"]
    assert {len(row) for row in rows} == {6}
    assert {row[5] for row in rows[1:]} == {""}
    values = {row[3].removeprefix("'") for row in rows}
    for rate in rate_rows(card()):
        assert rate.refused or {rate.dial, rate.level.value, rate.allowed, rate.phase} <= values
        assert rate.fps in {row[1] for row in rows}
    for line in (line for part in sections(card()) for line in part.lines):
        assert line in values
    assert card().input_hash in values
    assert all(any(row[2].startswith(role) for row in rows) for role in ROLES)


@CARDS
def test_json_is_plain_and_strict(card):
    values = card_values(card())
    assert json.loads(json.dumps(values, allow_nan=False)) == values
    assert values["schema"] == "bandcheck.card/1"
    assert [each["fps"] for each in values["rates"]][:1] == ["24"]


def test_json_has_the_figures_of_check_and_settings():
    for rate, told in zip(plain_card().rates, card_values(plain_card())["rates"], strict=True):
        dialled = rate.answer.dialled.shot
        for shot, verdict in ((rate.shot, told["wanted"]), (dialled, told["dialled"])):
            check = assessment_table(assess(shot))
            for key in ("setting", "wall", "overall", "banding", "tearing", "conditions", "moire",
                        "not_checked", "assumptions"):
                assert verdict[key] == check[key], key
            for own, other in zip(verdict["findings"], check["findings"], strict=True):
                assert own == {key: value for key, value in other.items() if key != "fixes"}
        assert told["settings"] == settings_table(safe_settings(rate.shot))


def test_json_gives_back_the_shot():
    content = card_file(plain_card(), ending=".json")
    assert card_shot(content, file="card.json") == plain_card().shot


@CARDS
@pytest.mark.parametrize("ending", CARD_ENDINGS)
def test_every_form_is_made_and_twice_the_same(card, ending):
    first = card_file(card(), ending=ending)
    assert first
    assert first == card_file(card(), ending=ending)


@pytest.mark.parametrize(("ending", "begins"), [
    (".pdf", b"%PDF-"), (".png", b"\x89PNG"), (".html", b"<!doctype html>"), (".json", b"{"),
    (".csv", "\ufeffpart,".encode()),
])
def test_a_form_is_what_its_ending_says(ending, begins):
    assert card_file(plain_card(), ending=ending).startswith(begins)


def test_letter_paper_makes_another_page():
    a4, letter = (card_file(plain_card(), ending=".pdf", paper=each) for each in ("a4", "letter"))
    assert a4 != letter


def test_no_other_form_is_made():
    with pytest.raises(ValueError, match="txt"):
        card_file(plain_card(), ending=".txt")


def test_the_screen_shows_it_in_short():
    lines = card_text(crowded_card()).splitlines()
    assert any(line.startswith("24 frames/s: ") for line in lines)
    assert any(line.startswith("200 frames/s: cannot be run") for line in lines)
    assert "What voids this card:" in lines
    assert crowded_card().input_hash in lines[-1]
