"""Colours, lines and the settings that every figure shares."""

import re

import numpy as np
import pytest
from figure_parts import contrast_ratio
from house_files import HOME
from numpy.testing import assert_allclose

from bandcheck.report.map_ink import ink
from bandcheck.vision.level import Level
from dashboard.figures.look import (
    GRAPH_CONFIG,
    INK_SCALE,
    LEVEL_LINES,
    LOOKS,
    cell_ink,
    contrast,
    floats,
    ink_bar,
    laid_out,
    level_counts,
    plain,
    reading_ink,
)

THEMES = ("dark", "light")
STYLES = HOME / "dashboard" / "assets" / "screen.css"


def test_no_graph_sends_anything_anywhere():
    assert GRAPH_CONFIG["showSendToCloud"] is False
    assert GRAPH_CONFIG["displayModeBar"] is False
    assert GRAPH_CONFIG["displaylogo"] is False
    assert GRAPH_CONFIG["responsive"] is True


@pytest.mark.parametrize("theme", THEMES)
def test_every_text_reads_on_both_papers(theme):
    look = LOOKS[theme]
    for text in (look.ink, look.faint, look.accent):
        for paper in (look.page, look.sheet):
            assert contrast_ratio(text, paper) >= 4.5, (text, paper)


@pytest.mark.parametrize(("theme", "chosen_by"), [
    ("dark", ":root"), ("light", ':root[data-theme="light"]'),
])
def test_figures_wear_the_colours_of_the_screen(theme, chosen_by):
    text = STYLES.read_text(encoding="utf-8")
    rules = re.search(re.escape(chosen_by) + r"\s*{(.*?)}", text, re.DOTALL)[1]
    colours = dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", rules))
    look = LOOKS[theme]
    for name in ("page", "sheet", "ink", "faint", "accent", "rule"):
        assert getattr(look, name) == colours[name], name


def test_contrast_by_print():
    # WCAG 2.2: black on white is 21 : 1; #777777 on white is 4.48 : 1, just too little (common)
    assert_allclose(contrast("#000000", "#ffffff"), 21, rtol=1e-12)
    assert_allclose(contrast("#777777", "#ffffff"), 4.478, atol=5e-4)
    assert contrast("#ffffff", "#777777") == contrast("#777777", "#ffffff")


def test_marks_read_on_every_ink():
    for share in np.linspace(0, 1, 101):
        paper = "#" + "".join(f"{value:02x}" for value in ink(share))
        assert contrast_ratio(cell_ink(share, "dark"), paper) >= 4.5
        assert cell_ink(share, "dark") == cell_ink(share, "light") == reading_ink(paper)
    for theme in THEMES:
        assert cell_ink(np.nan, theme) == LOOKS[theme].ink


def test_the_scale_is_the_ink_of_the_printed_maps():
    shares = [share for share, _ in INK_SCALE]
    assert (shares[0], shares[-1]) == (0, 1)
    for share, colour in INK_SCALE:
        assert colour == "#" + "".join(f"{value:02x}" for value in ink(share))


def test_levels_are_told_by_their_lines():
    lines = {level: LEVEL_LINES[level]["dash"] for level in Level}
    assert lines == {"safe": "solid", "marginal": "dash", "visible": "dashdot", "unknown": "dot"}
    widths = [LEVEL_LINES[level]["width"] for level in Level]
    assert max(widths) == LEVEL_LINES[Level.VISIBLE]["width"] > sorted(widths)[-2]


def test_the_key_of_the_ink_stands_at_the_limits():
    bar = ink_bar("dark", safe_below=1, visible_from=8)
    # from a tenth of 1 to ten times 8, even in the logarithm: 1 of 2.903 decades, 1.903 of them
    assert_allclose(bar["tickvals"][1:], [1 / 2.90309, 1.90309 / 2.90309], rtol=1e-5)
    assert bar["ticktext"] == ["V", "safe < 1", "visible ≥ 8"]


@pytest.mark.parametrize("theme", THEMES)
def test_a_figure_has_no_title_and_clear_paper(theme):
    figure = laid_out([], theme, height=200)
    assert figure.layout.title.text is None
    assert figure.layout.paper_bgcolor == figure.layout.plot_bgcolor == "rgba(0,0,0,0)"
    assert figure.layout.font.color == LOOKS[theme].ink
    assert (figure.layout.height, figure.layout.width) == (200, None)


def test_text_numbers_and_counts():
    assert plain("<a href='javascript:1'>\n x</a>") == "&lt;a href='javascript:1'&gt; x&lt;/a&gt;"
    assert_allclose(floats([[1, None], [2.5, 3]]), [[1, np.nan], [2.5, 3]])
    assert level_counts([Level.SAFE, Level.VISIBLE, Level.SAFE]) == "2 safe, 1 visible"
    assert level_counts([]) == "none"
