"""Pages: everything is placed once, in order, inside the paper."""

from io import BytesIO
from itertools import pairwise

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.report.card_page import PAPERS, Piece, Sheet

HEIGHTS = st.lists(st.floats(5, 90), min_size=1, max_size=60)
FEW = settings(derandomize=True, deadline=None, max_examples=40)


class Seen(list):
    """Pieces that note where they are drawn."""

    def piece(self, name, height, **settings):
        return Piece(
            height=height, draw=lambda _, left, top: self.append((name, left, top, height)),
            **settings,
        )

    def pieces(self, heights, **settings):
        return [self.piece(place, height, **settings) for place, height in enumerate(heights)]


def drawn(sheet):
    """Number of pages after drawing them all."""
    pdf = sheet.pdf(title="test", foot=lambda page, pages: lambda canvas, left, base: None)
    document = pypdfium2.PdfDocument(BytesIO(pdf))
    try:
        return len(document)
    finally:
        document.close()


def inside(seen, sheet):
    for _, left, top, height in seen:
        assert left >= 20
        assert top <= sheet.height - 20
        assert top - height >= 20 - 1e-6


@pytest.mark.parametrize("paper", PAPERS)
@given(heights=HEIGHTS)
@FEW
def test_pieces_stand_below_one_another_in_order(paper, heights):
    seen, sheet = Seen(), Sheet(paper)
    sheet.below(seen.pieces(heights))
    pages = drawn(sheet)
    assert [name for name, *_ in seen] == list(range(len(heights)))
    inside(seen, sheet)
    falls = sum(after[2] > before[2] for before, after in pairwise(seen))
    assert pages == falls + 1


@given(heights=HEIGHTS, sizes=st.integers(1, 7))
@FEW
def test_columns_hold_every_piece_once_and_in_order(heights, sizes):
    seen, sheet = Seen(), Sheet("a4")
    pieces = seen.pieces(heights)
    sheet.beside([pieces[start : start + sizes] for start in range(0, len(pieces), sizes)])
    drawn(sheet)
    assert sorted(name for name, *_ in seen) == list(range(len(heights)))
    inside(seen, sheet)
    lefts = {left for _, left, *_ in seen}
    assert len(lefts) <= 2
    for left in lefts:
        column = [name for name, at, *_ in seen if at == left]
        assert column == sorted(column)


def test_groups_that_fit_are_not_broken():
    seen, sheet = Seen(), Sheet("a4")
    pieces = seen.pieces([20] * 9)
    sheet.beside([pieces[:2], pieces[2:4], pieces[4:]])
    drawn(sheet)
    left = {name for name, at, *_ in seen if at == sheet.left}
    assert left == {0, 1, 2, 3}


def test_columns_end_level_with_what_comes_after_them():
    seen, sheet = Seen(), Sheet("a4")
    pieces = seen.pieces([30] * 5)
    sheet.beside([[each] for each in pieces])
    sheet.below([seen.piece("after", 10)])
    drawn(sheet)
    lowest = min(top - height for name, _, top, height in seen if name != "after")
    assert seen[-1][2] == pytest.approx(lowest)


def test_a_heading_goes_along_with_what_it_heads():
    seen, sheet = Seen(), Sheet("letter")
    sheet.below([seen.piece("filler", sheet.room_below - 25)])
    sheet.below([
        seen.piece("heading", 15, stays_with_next=True), seen.piece("row", 15),
    ])
    assert drawn(sheet) == 2
    assert seen[1][2] == seen[0][2]


def test_a_table_that_goes_on_repeats_its_heading():
    seen, sheet = Seen(), Sheet("a4")
    head = seen.piece("head", 15, stays_with_next=True)
    sheet.below([head, *seen.pieces([100] * 20)], again=head)
    pages = drawn(sheet)
    assert pages > 1
    assert [name for name, *_ in seen].count("head") == pages


def test_every_page_has_its_foot():
    sheet = Sheet("a4")
    sheet.below(Seen().pieces([300] * 5))
    feet = []
    sheet.pdf(title="t", foot=lambda page, pages: lambda *_: feet.append((page, pages)))
    assert feet == [(1, 3), (2, 3), (3, 3)]


def test_paper_has_the_size_of_its_name():
    # ISO 216 A4: 210 mm x 297 mm; ANSI letter: 8.5 in x 11 in; 72 points an inch.
    assert PAPERS["a4"] == pytest.approx((595.2756, 841.8898), abs=1e-4)
    assert PAPERS["letter"] == (612, 792)
