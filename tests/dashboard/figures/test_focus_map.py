"""The map of moire holds the arrays of the model, in metres, and marks nothing unknown as safe."""

import numpy as np
import pytest
from figure_parts import contrast_ratio, named, texts_and_papers
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.report.map_ink import ink, visibility_share
from bandcheck.vision.level import Level
from dashboard.figures.focus_map import described, focus_map

NAN = np.nan
SAFE, MARGINAL, UNKNOWN, VISIBLE = (
    level.severity for level in (Level.SAFE, Level.MARGINAL, Level.UNKNOWN, Level.VISIBLE)
)
GIVEN = {
    "distance_mm": [1000.0, 2000.0, 4000.0, 8000.0], "other_mm": [500.0, 5000.0, 50000.0],
    "moire": [[0.1, 0.5, 2.0, 9.0], [NAN, 0.2, 0.3, 0.4], [0.1, 0.1, 0.1, 7.0]],
    "grid": [[0.2, 0.1, 0.1, 0.1], [NAN, 3.0, 0.1, 0.1], [0.1, 0.1, 0.1, 0.1]],
    # one cell without a V is said to be safe, one with a V to be unknown
    "severity": [
        [SAFE, SAFE, MARGINAL, VISIBLE], [SAFE, MARGINAL, SAFE, SAFE],
        [SAFE, SAFE, UNKNOWN, MARGINAL],
    ],
    "here": (4000.0, 5000.0), "kind": "focus",
}
LIMITS = {"safe_below": 1.0, "visible_from": 8.0}
WORST = np.array([[0.2, 0.5, 2.0, 9.0], [NAN, 3.0, 0.3, 0.4], [0.1, 0.1, 0.1, 7.0]])


def drawn(theme="dark", **changed):
    return focus_map(**{**GIVEN, **LIMITS, **changed}, theme=theme)


def test_cells_hold_the_worse_of_moire_and_grid():
    cells = named(drawn(), "V")
    assert_array_equal(cells.customdata, WORST)
    assert_array_equal(cells.z, visibility_share(WORST, **LIMITS))
    assert_array_equal(cells.x, [1, 2, 4, 8])
    assert_array_equal(cells.y, [0.5, 5, 50])
    assert list(cells.text[1]) == ["unknown", "marginal", "safe", "safe"]
    assert "focused on %{y:.2f} m" in cells.hovertemplate.lower()


def test_half_a_number_is_none():
    moire = [row.copy() for row in GIVEN["moire"]]
    moire[2][0] = NAN
    cells = named(drawn(moire=moire), "V")
    assert np.isnan(cells.customdata[2][0])
    assert cells.text[2][0] == "unknown"


def rings(figure, name):
    return [trace for trace in figure.data if trace.name == name]


def test_safe_is_outlined_solid_and_unknown_dotted():
    figure = drawn()
    expected = [[1, 1, 0, 0], [0, 0, 1, 1], [1, 1, 0, 0]]
    for trace in rings(figure, "safe"):
        assert_array_equal(trace.z, expected)
    assert rings(figure, "safe")[-1].line.dash == "solid"
    # without a V there is no lens, and nothing to outline
    assert_array_equal(rings(figure, "unknown")[-1].z, [[0] * 4, [0] * 4, [0, 0, 1, 0]])
    assert rings(figure, "unknown")[-1].line.dash == "dot"
    nowhere = drawn(severity=np.full((3, 4), VISIBLE))
    assert rings(nowhere, "safe") == rings(nowhere, "unknown") == []


def test_signs_stand_in_safe_and_unknown_cells_only():
    signs = named(drawn(), "signs")
    found = {(x, y): text for x, y, text in zip(signs.x, signs.y, signs.text, strict=True)}
    assert found == {
        (1, 0.5): "=", (2, 0.5): "=", (1, 5): "?", (4, 5): "=", (8, 5): "=", (1, 50): "=",
        (2, 50): "=", (4, 50): "?",
    }


def test_the_shot_is_marked_where_it_is():
    for trace in rings(drawn(), "the shot"):
        assert_allclose([trace.x[0], trace.y[0]], [4, 5])


def test_focal_lengths_stay_in_millimetres():
    figure = drawn(kind="focal", other_mm=[12.0, 35.0, 150.0], here=(4000.0, 35.0))
    assert_array_equal(named(figure, "V").y, [12, 35, 150])
    assert_allclose(rings(figure, "the shot")[0].y, [35])
    assert [each.text for each in figure.layout.annotations] == ["Focal length (mm)"]
    assert list(figure.layout.yaxis.ticktext) == ["20", "50", "100"]


def test_axes_are_even_in_the_logarithm_and_in_metres():
    layout = drawn().layout
    assert (layout.xaxis.type, layout.yaxis.type) == ("log", "log")
    assert layout.xaxis.title.text == "Distance of the wall (m)"
    assert list(layout.xaxis.ticktext) == ["1", "2", "5"]
    assert_allclose(layout.xaxis.range, [0, np.log10(8)])


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_both_themes_read(theme):
    figure = drawn(theme)
    for text, paper in texts_and_papers(figure, theme):
        assert contrast_ratio(text, paper) >= 4.5, (text, paper)
    signs, cells = named(figure, "signs"), named(figure, "V")
    for x, y, colour in zip(signs.x, signs.y, signs.textfont.color, strict=True):
        share = cells.z[list(cells.y).index(y)][list(cells.x).index(x)]
        if not np.isnan(share):
            paper = "#" + "".join(f"{value:02x}" for value in ink(share))
            assert contrast_ratio(colour, paper) >= 4.5


def test_the_sentence_counts_cells_and_places_the_shot():
    assert described(**GIVEN) == (
        "Map of moire: 6 safe, 3 marginal, 2 unknown, 1 visible cells; at the shot's own place,"
        " wall at 4 m, focused on 5 m: safe."
    )
    nowhere = described(**{**GIVEN, "here": (1000.0, 5000.0)})
    assert nowhere.endswith("wall at 1 m, focused on 5 m: unknown.")
