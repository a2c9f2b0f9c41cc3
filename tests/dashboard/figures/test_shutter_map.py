"""The map of shutter settings holds the numbers it was given, and promises nothing else."""

import numpy as np
import pytest
from figure_parts import contrast_ratio, named, texts_and_papers
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.report.map_ink import ink, visibility_share
from bandcheck.vision.level import Level
from dashboard.figures.dial_place import place_on_dial
from dashboard.figures.shutter_cells import cell_levels
from dashboard.figures.shutter_map import described, least_width_px, shutter_map

NAN = np.nan
ANGLES = [90.0, 172.8, 180.0]
GIVEN = {
    "rates": ["23.976", "24", "48", "60"], "columns": ["90°", "172.8°", "180°"],
    "angle_deg": [ANGLES, ANGLES, [None] * 3, ANGLES],
    "exposure": [["1/95.9 s", "1/50 s", "1/48 s"]] * 4,
    "visibility": [[12.0, 0.4, 3.0], [0.02, NAN, 7.9], [None] * 3, [0.1, 0.1, 0.1]],
    "level": [["visible", "safe", "marginal"], ["safe", "safe", None], [None] * 3, ["safe"] * 3],
    "worst_signal_pct": [[18.0, 100.0, 50.0], [18.0, 18.0, None], [None] * 3, [18.0] * 3],
    "safe_ranges_deg": [[(172.7, 172.9), (179.0, 360.0)], [], [], []],
    "refused": [None, None, "readout_ms: <b>21</b> is too long", None],
    "computed": [True, True, True, False], "present": (0, 1), "safe_below": 1.0,
    "visible_from": 8.0, "columns_in_time": False,
}
DESCRIBED = ("rates", "columns", "visibility", "level", "refused", "computed", "present")


def drawn(theme="dark", **changed):
    return shutter_map(**{**GIVEN, **changed}, theme=theme)


def test_cells_hold_what_was_given():
    cells = named(drawn(), "cells")
    expected = np.full((4, 3), NAN)
    expected[0] = visibility_share([12, 0.4, 3], safe_below=1, visible_from=8)
    expected[1, 0] = visibility_share(0.02, safe_below=1, visible_from=8)
    assert_array_equal(cells.z, expected)
    assert list(cells.customdata[0][1]) == ["23.976", 172.8, "1/50 s", 0.4, "safe", 100.0]
    assert list(cells.customdata[1][1]) == ["24", 172.8, "1/50 s", None, "unknown", 18.0]
    assert list(cells.customdata[1][2]) == ["24", 180.0, "1/48 s", None, None, None]
    assert list(cells.customdata[2][0])[3:] == list(cells.customdata[3][0])[3:] == [None] * 3
    assert "safe" not in cells.text[2][0].lower() + cells.text[3][0].lower()
    assert cells.text[0][0] == (
        "23.976 frames/s, 90°, 1/95.9 s<br>( # ) VISIBLE, V 12, worst at 18 % signal"
    )


def test_marks_say_the_level_and_only_of_cells_that_have_one():
    marks = named(drawn(), "marks")
    assert dict(zip(zip(marks.y, marks.x, strict=True), marks.text, strict=True)) == {
        (0, 0): "( # )", (0, 1): "( = )", (0, 2): "( ~ )", (1, 0): "( = )", (1, 1): "( ? )",
    }


def test_a_cell_that_only_tears_says_so():
    figure = drawn(level=[["visible", "visible", "marginal"], *GIVEN["level"][1:]])
    marks, said = named(figure, "marks"), named(figure, "cells").text[0]
    assert list(marks.text[:3]) == ["( # )", "( # )<br>tear", "( ~ )"]
    assert [text.endswith(", it tears") for text in said] == [False, True, False]
    unmeasured = drawn(level=[["visible"] * 3, ["visible"] * 3, [None] * 3, ["safe"] * 3])
    assert named(unmeasured, "marks").text[4] == "( # )<br>tear"


def test_nothing_unknown_refused_or_to_come_is_safe():
    levels = cell_levels(**{
        key: GIVEN[key] for key in ("visibility", "level", "refused", "computed")
    })
    assert levels[1] == [Level.SAFE, Level.UNKNOWN, None]
    assert levels[2] == levels[3] == [None] * 3
    torn = cell_levels(visibility=[[NAN]], level=[["visible"]], refused=[None], computed=[True])
    assert torn == [[Level.VISIBLE]]
    refused = cell_levels(visibility=[[0.1]], level=[["safe"]], refused=["no"], computed=[True])
    assert refused == [[None]]


def test_rows_without_cells_say_why():
    figure = drawn()
    empty = named(figure, "empty")
    assert (list(empty.y), list(empty.text)) == ([2, 3], ["cannot be run", "not computed yet"])
    said = named(figure, "cells").text
    assert said[2][1] == (
        "48 frames/s: cannot be run<br>readout_ms: &lt;b&gt;21&lt;/b&gt; is too long"
    )
    assert said[3][1] == "60 frames/s: not computed yet"
    assert said[1][2] == "24 frames/s: longer than the frame"


def test_ranges_lie_where_the_dial_has_them():
    line = named(drawn(), "safe ranges")
    expected = place_on_dial([172.7, 172.9, 179, 360], ANGLES)
    assert_allclose(np.array(line.x, dtype=float), [*expected[:2], NAN, *expected[2:], NAN])
    assert_allclose(expected, [(172.7 - 90) / 82.8, 1 + 0.1 / 7.2, 1 + 6.2 / 7.2, 2.5])
    assert set(line.y) == {-0.49, None}
    pointers = named(drawn(), "middle of ranges")
    assert_allclose(pointers.x, [expected[:2].mean(), expected[2:].mean()])
    assert line.text[0] == "safe from 172.7° to 172.9°"


def test_ranges_of_a_rate_without_a_dial_are_not_drawn():
    figure = drawn(safe_ranges_deg=[[], [], [(10.0, 20.0)], []])
    assert len(named(figure, "safe ranges").x) == 0


def test_the_shot_is_outlined_twice_and_unknown_is_dotted():
    shapes = drawn().layout.shapes
    present = [shape for shape in shapes if shape.name == "present"]
    assert [(shape.x0 + shape.x1, shape.y0 + shape.y1) for shape in present] == [(2, 0)] * 2
    unknown = [shape for shape in shapes if shape.name == "unknown"]
    assert [(shape.x0 + shape.x1, shape.y0 + shape.y1) for shape in unknown] == [(2, 2)]
    assert unknown[0].line.dash == "dot"
    assert not any(shape.name == "present" for shape in drawn(present=None).layout.shapes)


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_both_themes_read(theme):
    figure = drawn(theme)
    for text, paper in texts_and_papers(figure, theme):
        assert contrast_ratio(text, paper) >= 4.5, (text, paper)
    marks, cells = named(figure, "marks"), named(figure, "cells")
    for x, y, colour in zip(marks.x, marks.y, marks.textfont.color, strict=True):
        if not np.isnan(cells.z[y][x]):
            paper = "#" + "".join(f"{value:02x}" for value in ink(cells.z[y][x]))
            assert contrast_ratio(colour, paper) >= 4.5


def test_axes_name_the_dial():
    assert drawn().layout.xaxis.title.text == "Shutter angle on the dial (°)"
    assert drawn(columns_in_time=True).layout.xaxis.title.text == "Shutter speed on the dial (s)"
    assert list(drawn().layout.yaxis.ticktext) == GIVEN["rates"]
    assert drawn().layout.yaxis.range == (3.5, -0.5)  # the first rate on top
    assert drawn().layout.xaxis.range == (-0.5, 2.5)
    assert least_width_px(9) <= 336


def test_the_sentence_counts_the_same_cells():
    assert described(**{key: GIVEN[key] for key in DESCRIBED}) == (
        "Map of 4 frame rates and 3 shutter settings: 2 safe, 1 marginal, 1 unknown, 1 visible;"
        " set now: 23.976 frames/s at 172.8°, safe; cannot be run: 48 frames/s;"
        " not computed yet: 1 of the rates."
    )
