"""The card of a screen is the file of the command, byte for byte."""

from fractions import Fraction

import pytest
from cli_run import run

from bandcheck.errors import OutOfRangeError
from bandcheck.report.card import CARD_ENDINGS
from dashboard.pages.card.asked_card import (
    AskedCard,
    asked_card,
    card_files,
    figures_of,
    file_stem,
    rates_phrase,
)

WHOLE = {"wall": "stage-quiet-1.9", "camera": "cine-a-wide", "fps": "25", "shutter": "172.8"}
# 25 is there because it is the shot's; 100 is beyond the mode, which the card has to say as well.
CARD = {"card_rates": "100", "date": "2026-03-02", "card_version": "3 b", "paper": "letter"}


def test_every_form_is_the_commands_file(tmp_path):
    card = asked_card({**WHOLE, **CARD})
    files = card_files(figures_of(card), paper=card.paper)
    assert tuple(files) == CARD_ENDINGS
    for ending, content in files.items():
        path = tmp_path / f"card{ending}"
        done = run(
            "card", "--wall", "stage-quiet-1.9", "--camera", "cine-a-wide", "--fps", "25",
            "--angle", "172.8", "--rates", "100", "--date", "2026-03-02", "--card-version",
            "3 b", "--paper", "letter", "--output", path,
        )
        assert done.exit_code == 0, done.stderr
        assert path.read_bytes() == content, ending


def test_the_shots_own_rate_is_always_on_the_card():
    assert asked_card(WHOLE).rates == (25,)
    assert asked_card({**WHOLE, "card_rates": "24, 48"}).rates == (25, 24, 48)
    assert asked_card({**WHOLE, "card_rates": "24,25"}).rates == (24, 25)
    assert rates_phrase(asked_card(WHOLE)) == "1 rate: 25 frames/s"
    rates = {**WHOLE, "card_rates": "23.976,25"}
    assert rates_phrase(asked_card(rates)) == "2 rates: 23.976, 25 frames/s"


def test_ten_rates_and_no_more():
    nine = ",".join(str(rate) for rate in range(26, 35))
    assert len(asked_card({**WHOLE, "card_rates": nine}).rates) == 10
    ten = asked_card({**WHOLE, "card_rates": f"{nine},35"})
    assert "11 rates with the shot's own; at most 10" in ten.errors["card_rates"]
    assert ten.shot is None


@pytest.mark.parametrize(("field", "text", "said"), [
    ("date", "2026-13-02", "year-month-day"), ("date", "2.3.2026", "year-month-day"),
    ("card_version", "x" * 41, "1 to 40 letters"), ("card_version", "a\nb", "on one line"),
    ("paper", "a3", "one of the list"), ("card_rates", "24;25", "frame rates"),
    ("card_rates", "-1", "frame rates"),
])
def test_a_slip_is_said_beside_its_field_and_makes_no_card(field, text, said):
    card = asked_card({**WHOLE, field: text})
    assert list(card.errors) == [field]
    assert said in card.errors[field]
    assert not card.errors[field].startswith(field)
    assert card.shot is None


def test_no_date_is_printed_that_nobody_gave():
    card = asked_card(WHOLE)
    assert (card.date, card.version, card.paper) == ("", "", "a4")
    assert file_stem(card) == "card_stage-quiet-wall_cinema-body-a-wide"


def test_a_files_name_is_safe_on_any_system():
    card = asked_card({**WHOLE, **CARD})
    assert file_stem(card) == "card_stage-quiet-wall_cinema-body-a-wide_2026-03-02"
    wall = 'name = "../Bühne 1: <b>\\u0000"\nscan_lines = 8\n'
    odd = asked_card({**WHOLE, "wall": "own", "wall_toml": f"[wall]\n{wall}"})
    assert set(file_stem(odd)) <= set("abcdefghijklmnopqrstuvwxyz0123456789-_")


def test_no_card_of_a_question_that_is_not_whole():
    card = asked_card({"camera": "cine-a-wide"})
    assert card.shot is None
    assert file_stem(card) == "card"
    with pytest.raises(ValueError, match="without a shot"):
        figures_of(card)


def test_no_card_where_no_rate_can_be_run():
    card = asked_card(WHOLE)
    fast = AskedCard(read=card.read, rates=(Fraction(100), Fraction(120)))
    with pytest.raises(OutOfRangeError, match="at most 60"):
        figures_of(fast)
