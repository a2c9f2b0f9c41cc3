"""The page: escapes everything, reaches for nothing, and holds what was computed."""

import json
import re
from base64 import b64encode
from fractions import Fraction
from hashlib import sha256
from html.parser import HTMLParser

import pytest
from card_cases import LONG, camera, crowded_card, plain_card, shots

from bandcheck.report.card_html import card_html
from bandcheck.report.card_pocket import pocket_data
from bandcheck.report.card_rows import rate_rows
from bandcheck.report.card_sections import input_lines, sections
from bandcheck.verdict.card_figures import card_figures

VOID = {"meta", "input", "br"}
CARDS = pytest.mark.parametrize("card", [plain_card, crowded_card])


class Page(HTMLParser):
    """Tags, attributes and texts of a page whose tags all close in order."""

    def __init__(self, source):
        super().__init__()
        self.open, self.tags, self.attributes, self.texts = [], [], [], {}
        self.feed(source)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        where = self.open[-1] if self.open else ""
        self.texts[where] = self.texts.get(where, "") + data

    @property
    def shown(self):
        return " ".join(
            " ".join(text.split()) for tag, text in self.texts.items()
            if tag not in ("script", "style")
        )


@CARDS
def test_tags_close_and_names_are_escaped(card):
    page = Page(card_html(card()))
    names = {each.name for each in (card().shot.wall, card().shot.camera, *card().shot.lamps)}
    assert all(" ".join(name.split()) in page.shown for name in names)
    assert page.tags.count("title") == 1
    ids = [value for _, name, value in page.attributes if name == "id"]
    assert len(ids) == len(set(ids))


def test_a_name_that_looks_like_a_tag_makes_none():
    source = card_html(crowded_card())
    assert LONG[:60] not in source
    assert "<b>&\"'" not in source


@CARDS
def test_nothing_is_fetched_from_anywhere(card):
    page = Page(card_html(card()))
    assert not {"link", "img", "iframe", "object", "form", "a", "base"} & set(page.tags)
    assert not {name for _, name, _ in page.attributes} & {"src", "href", "style", "srcset"}
    assert not [name for _, name, _ in page.attributes if name.startswith("on")]
    for text in page.texts["style"], page.texts["script"]:
        assert not re.search(r"url\(|@import|https?:|fetch|XMLHttp|WebSocket|import\(", text)


def test_nothing_moves_or_flashes():
    style = Page(card_html(plain_card())).texts["style"]
    assert not re.search(r"animation|transition|@keyframes", style)


@CARDS
def test_only_its_own_style_and_script_may_run(card):
    source = card_html(card())
    policy = next(
        value for tag, name, value in Page(source).attributes
        if tag == "meta" and name == "content" and "default-src" in value
    )
    assert policy.startswith("default-src 'none'; ")
    assert "unsafe" not in policy
    style = source.partition("<style>")[2].partition("</style>")[0]
    script = source.rpartition("<script>")[2].partition("</script>")[0]
    for text in style, script:
        digest = b64encode(sha256(text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy


@CARDS
def test_the_whole_card_stands_below(card):
    shown = Page(card_html(card())).shown.replace(" ", "")
    for row in rate_rows(card()):
        for text in (row.dial, row.allowed, row.phase, row.lowest, *row.also, *row.reasons):
            assert row.refused or text.replace(" ", "") in shown, text
    for line in (line for part in sections(card()) for line in part.lines):
        assert line.replace(" ", "") in shown, line
    for line in input_lines(card()):
        assert line.source.replace(" ", "") in shown
    assert card().input_hash in shown


def held(card):
    source = card_html(card)
    text = source.partition('id="held">')[2].partition("</script>")[0]
    assert "<" not in text
    return json.loads(text)


@CARDS
def test_the_pocket_card_holds_every_grade_and_no_other(card):
    figures = card()
    data = held(figures)
    assert data == json.loads(json.dumps(pocket_data(figures)))
    for rate, told in zip(figures.rates, data["rates"], strict=True):
        assert len(told["settings"]) == len(rate.graded)
        for setting, grade in zip(told["settings"], rate.graded, strict=True):
            assert setting["angle"] == float(grade.angle_deg)
            assert f"{float(grade.angle_deg):g}" in setting["names"]
            if "told" not in setting:
                assert setting["level"] == grade.level.value


@CARDS
def test_the_pocket_card_tells_what_the_card_tells(card):
    for row, told in zip(rate_rows(card()), held(card())["rates"], strict=True):
        own = [each for each in told["settings"] if "told" in each]
        assert told["refused"] == row.refused
        if row.dial in ("—", "none"):
            assert own == []
            continue
        setting, = own
        assert setting["level"] == row.level.value
        assert setting["names"][0] == row.dial.rstrip("°")
        assert row.allowed in setting["told"]["room"]
        assert told["first"] == setting["names"][0]


def test_a_setting_has_no_two_meanings():
    for told in held(crowded_card())["rates"]:
        names = [name for each in told["settings"] for name in each["names"]]
        assert len(names) == len(set(names))


def test_only_safe_settings_are_offered():
    for told in held(crowded_card())["rates"]:
        levels = {each["names"][0]: each["level"] for each in told["settings"]}
        assert {levels[name] for name in told["offered"]} <= {"safe"}


def test_where_nothing_could_be_graded_all_is_unknown():
    data = held(card_figures(shots(24, camera=camera(exposure_scheme="multi"))))
    assert {each["level"] for each in data["rates"][0]["settings"]} == {"unknown"}
    assert data["rates"][0]["offered"] == []


def test_a_reason_that_looks_like_the_end_of_a_script_ends_none():
    reason = "</script><script>alert(1)</script>"
    figures = card_figures({**shots(24), Fraction(48): reason}, pocket=False)
    assert held(figures)["rates"][1]["refused"] == reason
    assert Page(card_html(figures)).tags.count("script") == 2
