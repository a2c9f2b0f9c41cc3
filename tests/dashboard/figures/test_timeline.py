"""The drawn timeline holds the moments of the model, in ms and unrounded."""

from dataclasses import replace

import numpy as np
import pytest
from figure_parts import contrast_ratio, named, texts_and_papers
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import plain_shot, plain_wall

from bandcheck.verdict.recorded_rows import recorded_rows
from bandcheck.verdict.timeline import timeline as moments
from dashboard.figures.timeline import described, timeline

SHOT = plain_shot(angle="172.8", phase_s=0.003)
DESCRIBED = (
    "from_s", "to_s", "line", "lit", "refreshes_each", "row", "open_s", "close_s", "change_s",
)


def arrays(shot=SHOT, **changed):
    """Arguments of the figure, from the model."""
    found = moments(shot, **{"signal": 0.5, "from_s": 0.0, "to_s": 0.0501, "most": 900, **changed})
    slots = found.slots
    return {
        "from_s": found.from_s, "to_s": found.to_s, "line": found.line,
        "lit": {name: (lit.start_s, lit.end_s, lit.share) for name, lit in found.lit.items()},
        "refreshes_each": {name: lit.refreshes_each for name, lit in found.lit.items()},
        "slot_line": [] if slots is None else slots.line,
        "slot_start_s": [] if slots is None else slots.start_s,
        "slot_end_s": [] if slots is None else slots.end_s,
        "row": found.rows.row, "frame": found.rows.frame, "open_s": found.rows.open_s,
        "close_s": found.rows.close_s, "change_s": found.change_s,
        "change_spread_s": found.change_spread_s, "wall_frame_s": found.wall_frame_s,
        "camera_frame_s": found.camera_frame_s,
    }


def boxes(trace):
    """Start, end and height of the boxes of an outline."""
    x, y = np.array(trace.x).reshape(-1, 6), np.array(trace.y).reshape(-1, 6)
    assert_array_equal(x[:, [0, 2]], x[:, [1, 3]])
    assert np.isnan(x[:, 5]).all()
    return x[:, 0], x[:, 2], y[:, 1]


def test_pulses_rows_and_moments_are_the_models():
    given = arrays()
    figure = timeline(**given, theme="dark")
    start, end, height = boxes(named(figure, "white"))
    for drawn, expected in zip((start, end), given["lit"]["white"], strict=False):
        assert_array_equal(drawn, 1e3 * expected)
    assert_array_equal(height, 1)
    bars = np.array(named(figure, "row open").x).reshape(2, 9, 3)
    assert_array_equal(bars[..., 0], 1e3 * given["open_s"])
    assert_array_equal(bars[..., 1], 1e3 * given["close_s"])
    assert_array_equal(np.array(named(figure, "row open").y).reshape(2, 9, 3)[1, :, 0], range(9))
    for name, key in (
        ("picture changes", "change_s"), ("wall frame starts", "wall_frame_s"),
        ("camera frame starts", "camera_frame_s"),
    ):
        assert given[key].size > 0
        assert_array_equal(named(figure, name).x[::3], 1e3 * given[key])
    assert_allclose(figure.layout.xaxis.range, [0, 50.1])


def test_what_is_drawn_gives_back_what_the_rows_record():
    given = arrays(signal=0.3)
    figure = timeline(**given, theme="light")
    start, end, height = boxes(named(figure, "white"))
    bars = np.array(named(figure, "row open").x).reshape(2, 9, 3)[0]
    caught = [
        (np.maximum(np.minimum(end, close) - np.maximum(start, open_), 0) * height).sum()
        for open_, close, _ in bars
    ]
    case = moments(SHOT, signal=0.3, from_s=0, to_s=0.01, most=9).case
    recorded = recorded_rows(SHOT, case=case, levels=np.array([0.3]))["white"][0][given["row"]]
    # both are relative: the mean of the wall is the same for every row
    assert_allclose(caught / caught[0], recorded / recorded[0], rtol=1e-9)
    assert np.ptp(recorded) > 1e-4


def test_rows_stand_from_top_to_bottom_under_their_numbers():
    axis = timeline(**arrays(), theme="dark").layout.yaxis
    assert axis.range[0] > axis.range[1]
    assert list(axis.ticktext) == [
        "0", "270", "540", "810", "1080", "1349", "1619", "1889", "2159"
    ]


def test_blocks_are_as_high_as_their_share_and_said_to_be_blocks():
    given = arrays(most=50)
    figure = timeline(**given, theme="dark")
    _, _, height = boxes(named(figure, "white"))
    assert_array_equal(height, given["lit"]["white"][2])
    words = " ".join(each.text for each in figure.layout.annotations)
    assert f"each bar {given['refreshes_each']['white']} refreshes" in words
    assert given["refreshes_each"]["white"] > 1
    assert figure.layout.yaxis2.range == (0, height.max())
    one = timeline(**{**given, "refreshes_each": {"white": 1}}, theme="dark")
    assert "each bar one refresh" in " ".join(each.text for each in one.layout.annotations)


def test_slots_bear_the_numbers_of_their_lines_when_there_is_room():
    given = arrays(from_s=0.0, to_s=0.00026)
    figure = timeline(**given, theme="dark")
    start, end, _ = boxes(named(figure, "scan slots"))
    assert_array_equal(start, 1e3 * given["slot_start_s"])
    assert_array_equal(end, 1e3 * given["slot_end_s"])
    assert list(named(figure, "scan lines").text) == [str(each) for each in given["slot_line"]]
    assert named(figure, "scan lines").mode == "text"
    crowded = timeline(**arrays(), theme="dark")
    assert named(crowded, "scan lines").mode == "markers"
    assert any("zoom in" in each.text for each in crowded.layout.annotations)
    none = timeline(**arrays(most=300), theme="dark")
    assert "scan slots" not in [trace.name for trace in none.data]


def test_every_colour_has_a_lane():
    shot = replace(SHOT, wall=plain_wall(white_duty=(1.0, 0.6, 0.3)))
    given = arrays(shot)
    figure = timeline(**given, theme="dark")
    for colour in ("red", "green", "blue"):
        assert_array_equal(boxes(named(figure, colour))[1], 1e3 * given["lit"][colour][1])
    domains = [figure.layout[f"yaxis{number}"].domain for number in (2, 3, 4)]
    assert domains[0][0] > domains[1][1] > domains[1][0] > domains[2][1]


def test_a_slow_change_is_shaded_for_as_long_as_it_takes():
    figure = timeline(**arrays(replace(SHOT, change_spread_s=0.002)), theme="dark")
    shades = [shape for shape in figure.layout.shapes if shape.name == "change under way"]
    assert_allclose([(each.x0, each.x1) for each in shades],
                    [(0, 2), (1e3 / 24, 1e3 / 24 + 2)], atol=1e-9)
    assert len(timeline(**arrays(), theme="dark").layout.shapes) == 0


def test_black_and_a_window_between_frames_draw_nothing():
    shot = plain_shot(angle=10, phase_s=0.0)
    figure = timeline(**arrays(shot, signal=0.0, from_s=0.02, to_s=0.03), theme="dark")
    assert len(named(figure, "white").x) == len(named(figure, "row open").x) == 0


def test_it_can_be_zoomed_along_time_only():
    layout = timeline(**arrays(), theme="dark").layout
    assert layout.xaxis.fixedrange is False
    assert layout.yaxis.fixedrange is layout.yaxis2.fixedrange is True
    assert layout.dragmode == "zoom"


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_both_themes_read(theme):
    for text, paper in texts_and_papers(timeline(**arrays(), theme=theme), theme):
        assert contrast_ratio(text, paper) >= 4.5, (text, paper)


def test_the_sentence_counts_what_is_drawn():
    given = arrays()
    assert described(**{key: given[key] for key in DESCRIBED}) == (
        "Timeline from 0 to 50.1 ms: 193 pulses of scan line 0, 18 windows of 9 camera rows;"
        " row 0 open from 3 to 23 ms; changes of the picture: 2."
    )
    given = arrays(most=50)
    assert "49 blocks of 4 refreshes" in described(**{key: given[key] for key in DESCRIBED})
