"""V and ripple against gray level hold what was given."""

import itertools

import numpy as np
import pytest
from figure_parts import contrast_ratio, named, texts_and_papers
from numpy.testing import assert_allclose, assert_array_equal

from dashboard.figures.gray_ripple import described, graded_levels, gray_ripple

NAN = np.nan
GIVEN = {
    "signal_pct": [100, 50, 18, 5, 1], "visibility": [0.0, 0.04, 1.0, 8.0, NAN],
    "ripple_pct": [0.0, 0.01, 0.2, 3.0, NAN], "decides": [True, True, True, False, False],
    "lowest_safe_pct": 20.0, "safe_below": 1.0, "visible_from": 8.0,
}


def drawn(theme="dark", **changed):
    return gray_ripple(**{**GIVEN, **changed}, theme=theme)


def test_points_hold_what_was_given_from_dark_to_bright():
    figure = drawn()
    line, ripple = named(figure, "V"), named(figure, "ripple")
    assert_array_equal(line.x, [1, 5, 18, 50, 100])
    assert_array_equal(line.y, [NAN, 8, 1, 0.04, NAN])
    assert_array_equal(ripple.y, [NAN, 3, 0.2, 0.01, 0])
    assert (figure.layout.yaxis.type, figure.layout.xaxis.type) == ("log", "log")


def test_what_the_scale_cannot_hold_stands_on_its_edge_with_its_value():
    off = named(drawn(), "off the scale")
    assert_array_equal(off.x, [1, 100])
    assert_array_equal(off.customdata, [NAN, 0])
    assert_array_equal(off.y, [8, 0.01])
    assert "V 0.00 ( = ) safe" in off.hovertext[1]
    assert "V ? ( ? ) unknown" in off.hovertext[0]
    assert "ripple not known" in off.hovertext[0]


def test_levels_at_the_limits_and_none_without_a_number():
    levels = graded_levels(
        [0.999, 1, 7.999, 8, NAN, None], safe_below=1.0, visible_from=8.0
    )
    assert levels == ["safe", "marginal", "marginal", "visible", "unknown", "unknown"]


def runs(figure):
    return [trace for trace in figure.data if trace.name == "levels"]


def test_every_level_has_the_line_of_its_grade_under_it():
    found = runs(drawn())
    assert [each.hovertext[0] for each in found] == ["unknown", "visible", "marginal", "safe"]
    assert [each.line.dash for each in found] == ["dot", "dashdot", "dash", "solid"]
    marks = named(drawn(), "marks")
    assert list(marks.text) == ["( ? )", "( # )", "( ~ )", "( = )"]
    assert all(run.x[0] < at < run.x[1] for run, at in zip(found, marks.x, strict=True))
    # between a better level and a worse one nothing was looked at: it goes to the worse
    ends = [(each.x[0], each.x[1]) for each in found]
    assert_allclose(ends, [(10**-0.03, 1), (1, 18), (18, 50), (50, 100 * 10**0.03)])
    assert all(one[1] == other[0] for one, other in itertools.pairwise(ends))


def test_a_mark_that_would_touch_its_neighbour_is_left_to_the_line():
    figure = drawn(signal_pct=[100, 50, 18, 17, 16], visibility=[0.1, 0.1, 0.1, 3.0, 0.1])
    assert list(named(figure, "marks").text) == ["( = )"]
    assert [each.line.dash for each in runs(figure)] == ["solid", "dash", "solid"]
    lost = drawn(signal_pct=[100, 50, 18, 17, 16], visibility=[0.1, 0.1, 0.1, NAN, 0.1])
    assert list(named(lost, "marks").text) == ["( ? )", "( = )"]


def test_points_that_decide_are_filled():
    symbols = named(drawn(), "V").marker.symbol
    assert list(symbols) == ["circle-open"] * 2 + ["circle"] * 3
    assert "does not decide" in named(drawn(), "V").hovertext[1]
    assert "does not decide" not in named(drawn(), "V").hovertext[2]


def test_limits_and_the_lowest_safe_level_are_drawn_and_named():
    figure = drawn()
    shapes = {shape.name: shape for shape in figure.layout.shapes}
    assert (shapes["safe below"].y0, shapes["visible from"].y0) == (1, 8)
    assert (shapes["safe below"].line.dash, shapes["visible from"].line.dash) == (
        "solid", "dashdot"
    )
    assert shapes["lowest safe level"].x0 == shapes["lowest safe level"].x1 == 20
    words = [each.text for each in figure.layout.annotations]
    assert {"safe below 1", "visible from 8", "safe from 20 % up"} <= set(words)
    none = drawn(lowest_safe_pct=None)
    assert "not safe at white" in [each.text for each in none.layout.annotations]
    assert "lowest safe level" not in [shape.name for shape in none.layout.shapes]


def test_the_axis_of_v_holds_every_value():
    high = drawn(visibility=[0.1, 0.1, 0.1, 300.0, 1000.0]).layout.yaxis.range[1]
    assert high > 3
    assert_allclose(drawn().layout.yaxis.range[0], -2)
    quiet = drawn(visibility=[0.1, 0.2, 0.3, 0.4, NAN])
    assert_allclose(quiet.layout.yaxis.range[0], -1)
    assert_array_equal(named(quiet, "off the scale").x, [1])


def test_nothing_known_at_all_is_drawn_as_unknown():
    figure = drawn(visibility=[NAN] * 5, ripple_pct=[NAN] * 5, lowest_safe_pct=None)
    assert list(named(figure, "marks").text) == ["( ? )"]
    assert runs(drawn(signal_pct=[], visibility=[], ripple_pct=[], decides=[])) == []


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_both_themes_read(theme):
    for text, paper in texts_and_papers(drawn(theme), theme):
        assert contrast_ratio(text, paper) >= 4.5, (text, paper)


def test_the_sentence_has_the_same_numbers():
    keys = ("signal_pct", "visibility", "lowest_safe_pct", "safe_below", "visible_from")
    assert described(**{key: GIVEN[key] for key in keys}) == (
        "Visibility by gray level: 100 % V 0.00 safe, 50 % V 0.04 safe, 18 % V 1.0 marginal,"
        " 5 % V 8.0 visible, 1 % V ? unknown; safe from 20 % signal up."
    )
    assert described(
        signal_pct=[], visibility=[], lowest_safe_pct=None, safe_below=1, visible_from=8
    ).endswith("not safe at white.")
