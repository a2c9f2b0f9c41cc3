"""The card of a plan: every set-up on it, in every form, twice the same."""

import csv
import json
from functools import cache
from html.parser import HTMLParser
from io import BytesIO, StringIO

import pytest
from card_cases import LONG
from card_print import page_texts, pages, text_boxes
from cli_run import refused, run
from PIL import Image
from plan_files import OTHER, plan_files

from bandcheck.report.card import CARD_ENDINGS
from bandcheck.report.card_page import PAPERS
from bandcheck.report.card_sections import ROLES
from bandcheck.report.card_type import printable
from bandcheck.report.plan_card import plan_card_file
from bandcheck.report.plan_card_rows import plan_inputs, plan_sections, plan_strips
from bandcheck.shoot.plan_file import load_plan
from bandcheck.shoot.plan_question import plan_hash
from bandcheck.verdict.plan_card import plan_card
from bandcheck.vision.level import Level


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plan")

    @cache
    def card(added=OTHER, changed=()):
        path = plan_files(folder, added=added, changed=changed)
        return plan_card(load_plan(path), date="2026-03-02", version="3")

    return card


def test_every_set_up_has_a_strip_with_a_row_for_each_rate_and_camera(made):
    one, two = plan_strips(made())
    assert [row.fps for row in one.rows] == ["24 A", "24 B", "25 A", "25 B"]
    assert [row.fps for row in two.rows] == ["24"]
    assert {row.dial for row in one.rows} == {"180°"}
    assert {row.level for row in one.rows} == {Level.SAFE}
    assert all(row.phase != "—" and row.lowest != "—" and row.roll != "—" for row in one.rows)
    assert (two.rows[0].dial, two.rows[0].room) == ("none", "in the way: main, top")
    assert any("Top at 8 refreshes a frame" in line for line in two.lines)
    assert made().level is Level.VISIBLE


@pytest.mark.parametrize("paper", PAPERS)
def test_everything_is_printed_inside_the_paper(made, paper):
    card = made()
    pdf = plan_card_file(card, ending=".pdf", paper=paper)
    assert pdf == plan_card_file(card, ending=".pdf", paper=paper)
    text = " ".join(page_texts(pdf))
    for strip in plan_strips(card):
        assert text.count(strip.name) >= 2  # on the front page and on its strip
        assert strip.seen in text
    for part in plan_sections(card):
        assert part.title in text
        for line in part.lines:
            assert all(word in text for word in printable(line).split())
    for line in plan_inputs(card):
        assert line.source in text
    assert all(role in text for role in ROLES)
    assert card.input_hash in text
    assert "date 2026-03-02" in text
    width, height = PAPERS[paper]
    with pages(pdf) as found:
        for page in found:
            for (left, bottom, right, top), _ in text_boxes(page):
                assert 0 < left < right < width
                assert 0 < bottom < top < height


def test_names_of_any_length_and_script_stay_on_the_paper(made):
    card = made(changed=(
        ('name = "one"', f"name = '''{LONG[:150]}'''"), ('name = "quick shoot"',
                                                          f"name = '''{LONG[:200]}'''"),
    ))
    pdf = plan_card_file(card, ending=".pdf")
    with pages(pdf) as found:
        for page in found:
            for (left, _, right, _), _ in text_boxes(page):
                assert 0 < left < right < PAPERS["a4"][0]
    assert "<b>" not in plan_card_file(card, ending=".html").decode()


class _Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.open, self.links = [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.links += [value for name, value in attrs if name in ("src", "href")]
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_the_page_is_whole_and_reaches_for_nothing(made):
    text = plan_card_file(made(), ending=".html").decode()
    page = _Page(text)
    assert page.open == []
    assert page.links == []
    assert "default-src 'none'" in text
    assert "<script" not in text
    assert text.count('<span class="tag safe">') == 4


def test_the_other_forms_hold_the_same(made):
    card = made()
    picture = Image.open(BytesIO(plan_card_file(card, ending=".png")))
    assert abs(picture.width - PAPERS["a4"][0] / 72 * 150) < 1.5
    rows = list(csv.reader(StringIO(plan_card_file(card, ending=".csv").decode("utf-8-sig"))))
    assert {len(row) for row in rows} == {7}
    assert ["rate", "one", "24 A", "dial", "180°", "", ""] in rows
    values = json.loads(plan_card_file(card, ending=".json"))
    assert values["schema"] == "bandcheck.plan_card/1"
    assert values["input_hash"] == plan_hash(values["question"]) == card.input_hash
    assert values["agreement"]["setups"][0]["name"] == "one"
    with pytest.raises(ValueError, match="gif"):
        plan_card_file(card, ending=".gif")


def test_the_hash_hangs_on_everything_that_settings_hang_on(made):
    known = {made().input_hash, made(added="").input_hash}
    for old, new in (("angle_deg = 170", "angle_deg = 171"), ("[100]", "[100, 50]"),
                     ("eight.toml", "seven.toml"), ("rates = [24]", "rates = [25]")):
        known.add(made(changed=((old, new),)).input_hash)
    assert len(known) == 6


@pytest.mark.parametrize("ending", CARD_ENDINGS)
def test_the_command_writes_each_form(tmp_path, ending):
    path, target = plan_files(tmp_path), tmp_path / f"card{ending}"
    result = run("card", "--plan", path, "--output", target, "--date", "2026-03-02")
    assert result.exit_code == 0
    assert target.stat().st_size > 1000
    assert "written" in result.stderr


def test_the_command_refuses_what_a_plan_says_by_itself(tmp_path):
    path = plan_files(tmp_path)
    line = refused("card", "--plan", path, "--rates", "24")
    assert line == "bandcheck: --rates: not together with --plan, which says it by itself"
    assert run("card", "--plan", path, "--fail-on", "visible").exit_code == 3
    assert json.loads(run("card", "--plan", path, "--json").stdout)["version"] == ""
