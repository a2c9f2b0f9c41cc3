"""Letters for print: every script stays on the page, and nothing is set wider than its room."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.report.card_type import (
    BOLD,
    PLAIN,
    REPLACEMENT,
    fitted,
    printable,
    text_width,
    wrapped,
)

ANY_TEXT = st.text(max_size=120)
FEW = settings(derandomize=True, deadline=None, max_examples=60)


@pytest.mark.parametrize("text", [
    "stage, main wall", "Große Bühne, Łódź, İstanbul, Šárka", "Ωμέγα", "Київська студія № 7",
    "179.98 to 180.02°  −0.02 · × – — … ½ m² µs", "=~#?",
])
def test_latin_greek_and_cyrillic_are_printed_as_they_are(text):
    assert printable(text) == " ".join(text.split())


@pytest.mark.parametrize(("text", "shown"), [
    ("東京", REPLACEMENT * 2), ("\U0001f3a5", REPLACEMENT), ("a\nb\tc", "a b c"), ("", ""),
    ("\ue000", REPLACEMENT), ("e\u0301", "é"),
])
def test_what_the_fonts_lack_is_replaced_by_a_mark(text, shown):
    assert printable(text) == shown


@given(ANY_TEXT)
@FEW
def test_no_text_at_all_breaks_the_print(text):
    shown = printable(text)
    assert printable(shown) == shown
    assert "\n" not in shown


@given(text=ANY_TEXT, width=st.floats(20, 300), bold=st.booleans())
@FEW
def test_lines_fit_and_hold_every_letter(text, width, bold):
    font = BOLD if bold else PLAIN
    lines = wrapped(text, font=font, size=8, width=width)
    assert all(text_width(line, font=font, size=8) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(printable(text).split())


def test_words_are_broken_only_where_they_must():
    assert wrapped("one two", font=PLAIN, size=8, width=30) == ["one two"]
    assert wrapped("one two", font=PLAIN, size=8, width=20) == ["one", "two"]
    assert len(wrapped("n" * 200, font=PLAIN, size=8, width=100)) > 5


@given(text=ANY_TEXT, width=st.floats(20, 300))
@FEW
def test_one_line_fits(text, width):
    shown, size = fitted(text, font=BOLD, size=17, width=width)
    assert text_width(shown, font=BOLD, size=size) <= width + 1e-6
    assert 6.5 <= size <= 17


def test_what_fits_is_left_and_what_nearly_fits_is_set_smaller():
    wide = text_width("MARGINAL", font=BOLD, size=10)
    assert fitted("MARGINAL", font=BOLD, size=10, width=wide) == ("MARGINAL", 10)
    shown, size = fitted("MARGINAL", font=BOLD, size=10, width=0.8 * wide)
    assert (shown, round(size, 6)) == ("MARGINAL", 8.0)


def test_what_is_far_too_long_ends_in_dots():
    shown, size = fitted("name " * 40, font=PLAIN, size=8, width=60)
    assert shown.endswith("…")
    assert size == 6.5
