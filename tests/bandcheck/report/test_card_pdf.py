"""The printed card: all there, in order, on the paper, without colour, and twice the same."""

from functools import cache
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from card_cases import LONG, camera, crowded_card, plain_card, shots
from card_print import page_texts, pages, text_boxes
from PIL import Image

from bandcheck.report.card_page import PAPERS
from bandcheck.report.card_pdf import card_pdf, card_png
from bandcheck.report.card_rows import rate_rows
from bandcheck.report.card_sections import ROLES, TITLE, input_lines, sections
from bandcheck.report.card_type import REPLACEMENT, printable
from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.verdict.card_figures import card_figures


@cache
def demo_card():
    """The demo shoot at five rates."""
    parts = {"wall": load_wall("stage-main-2.6"), "camera": load_camera("cine-a-wide")}
    return card_figures(shots(24, 25, 30, 48, 50, **parts), date="2026-03-02", version="1",
                        pocket=False)


@cache
def printed(card, paper):
    return card_pdf(card(), paper=paper)


CARDS = pytest.mark.parametrize("card", [plain_card, crowded_card, demo_card])
PAPER = pytest.mark.parametrize("paper", PAPERS)


@PAPER
def test_the_demo_is_one_page(paper):
    assert len(page_texts(printed(demo_card, paper))) == 1


@PAPER
@CARDS
def test_the_same_card_gives_the_same_bytes(card, paper):
    assert card_pdf(card(), paper=paper) == printed(card, paper)


@PAPER
@CARDS
def test_pages_have_the_size_of_the_paper(card, paper):
    with pages(printed(card, paper)) as found:
        for page in found:
            assert page.get_size() == pytest.approx(PAPERS[paper], abs=0.01)


@PAPER
@CARDS
def test_everything_is_printed(card, paper):
    figures, text = card(), " ".join(page_texts(printed(card, paper)))
    packed = text.replace(" ", "")
    for row in rate_rows(figures):
        shown = [row.refused] if row.refused else [
            row.dial, row.allowed, row.phase, row.clean_angle, row.lowest, row.roll,
        ]
        assert row.fps in text
        for each in shown:
            assert printable(each).replace(" ", "") in packed, each
        assert row.refused or row.level.value.upper() in text
    for part in sections(figures):
        for line in (part.title, *part.lines):
            assert printable(line).replace(" ", "") in packed, line
    for line in input_lines(figures):
        assert printable(line.what) in text
        assert printable(line.source).replace(" ", "") in packed
    for each in (TITLE, *ROLES, figures.input_hash, figures.date):
        assert each in text


@PAPER
def test_what_does_not_fit_goes_on_in_order(paper):
    texts = page_texts(printed(crowded_card, paper))
    assert len(texts) > 1
    whole = " ".join(texts)
    marks = ["dial this", "If another shutter", "Test it before", "What voids", "Asked for", *ROLES]
    places = [whole.index(mark) for mark in marks]
    assert places == sorted(places)
    assert [text.count("signed on page") for text in texts] == [*[1] * (len(texts) - 1), 0]
    assert ROLES[0] in texts[-1]


@PAPER
@CARDS
def test_nothing_leaves_the_margins_or_covers_anything_else(card, paper):
    width, height = PAPERS[paper]
    with pages(printed(card, paper)) as found:
        for page in found:
            boxes = text_boxes(page)
            assert boxes
            for (left, bottom, right, top), text in boxes:
                assert left > 20, text
                assert bottom > 12, text
                assert right < width - 20, text
                assert top < height - 16, text
            for (one, text), (two, other) in combinations(boxes, 2):
                across = min(one[2], two[2]) - max(one[0], two[0])
                down = min(one[3], two[3]) - max(one[1], two[1])
                assert not (across > 0.6 and down > 0.6), (text, other)


def test_letters_that_the_fonts_lack_are_marked_and_the_mark_is_explained():
    text = " ".join(page_texts(printed(crowded_card, "a4")))
    assert REPLACEMENT * 2 in text
    assert f"{REPLACEMENT} a letter that this print has no shape for" in text
    assert "has no shape for" not in " ".join(page_texts(printed(plain_card, "a4")))


def test_long_names_are_printed_whole():
    packed = " ".join(page_texts(printed(crowded_card, "a4"))).replace(" ", "")
    assert printable(LONG[:200]).replace(" ", "") in packed


@CARDS
def test_the_picture_shows_the_pages_without_colour(card):
    with Image.open(BytesIO(card_png(printed(card, "a4")))) as picture:
        levels = np.asarray(picture.convert("RGB")).astype(int)
    count = len(page_texts(printed(card, "a4")))
    assert levels.shape[:2] == (count * 1754, 1241)  # A4 at 150 dots an inch
    assert (np.ptp(levels, axis=2) == 0).all()
    assert levels.min() == 0
    dark = (levels[:1754, :, 0] < 128).mean()
    assert 0.02 < dark < 0.25


def test_the_picture_is_twice_the_same():
    assert card_png(printed(plain_card, "a4")) == card_png(printed(plain_card, "a4"))


def test_one_rate_and_no_grade_at_all_are_printed():
    figures = card_figures(shots(24, camera=camera(exposure_scheme="multi")))
    for paper in PAPERS:
        text, = page_texts(card_pdf(figures, paper=paper))
        assert "UNKNOWN" in text
        assert "SAFE" not in text
