"""The tear as drawn: mixed rows, clean phases and the phase now, from the verdict's own values."""

from dataclasses import replace

import pytest
from figure_parts import contrast_ratio, named, texts_and_papers
from numpy.testing import assert_allclose
from plain_shots import plain_shot

from bandcheck.verdict.exposure_grades import shot_tearing
from dashboard.figures.look import LOOKS
from dashboard.figures.phase_bar import clean_windows_ms, described, phase_bar

SHOT = plain_shot(angle="172.8", phase_s=0.02)


def values(shot=SHOT):
    """Arguments of the figure, from the verdict."""
    found = shot_tearing(shot)
    return {
        "rows_px": shot.camera.rows_px, "mixed_rows": found.mixed_rows,
        "possible_clean": found.possible_clean, "clean_from_s": found.phase_from_s,
        "clean_to_s": found.phase_to_s, "best_s": found.phase_best_s,
        "repeats_every_s": found.phase_repeats_every_s, "phase_s": shot.phase_s,
        "picture_s": 1 / float(shot.content_fps or shot.wall_fps),
    }


def words(figure):
    return [each.text for each in figure.layout.annotations]


def test_mixed_rows_are_hatched_where_they_are():
    figure = phase_bar(**values(), theme="dark")
    zone, frame = named(figure, "mixed rows"), named(figure, "frame")
    (first, last), = shot_tearing(SHOT).mixed_rows
    assert (zone.base[0], zone.base[0] + zone.y[0]) == (first, last + 1)
    assert zone.marker.pattern.shape == "/"
    assert (frame.base[0], frame.y[0]) == (0, 2160)
    assert figure.layout.yaxis.range[0] > figure.layout.yaxis.range[1]


def test_clean_phases_by_hand():
    # 24 pictures a second: 1/24 s less 20 ms and 8 ms is 13.667 ms
    figure = phase_bar(**values(), theme="dark")
    window = named(figure, "clean phases")
    assert_allclose(window.x[:5], [0, 0, 13.666667, 13.666667, 0], rtol=1e-6)
    assert_allclose(named(figure, "best phase").x, [6.8333333])
    assert_allclose(named(figure, "phase now").x, [20, 20])
    assert_allclose(figure.layout.xaxis2.range, [0, 1e3 / 24])
    assert "now 20 ms" in words(figure)


@pytest.mark.parametrize(("given", "windows"), [
    ((0.001, 0.004, 0.01, 0.02), [(1, 4), (11, 14)]),  # comes again within the picture
    ((0.018, 0.023, 0.02, 0.02), [(0, 3), (18, 20)]),  # runs on into the next picture
    ((0.025, 0.027, 0.02, 0.02), [(5, 7)]),  # given in a later one
    ((0.0, 0.02, 0.02, 0.02), [(0, 20)]),
    ((0.005, 0.005, 0.02, 0.02), [(5, 5)]),  # one phase and no other
    ((None, None, None, 0.02), []),
])
def test_windows_inside_one_picture(given, windows):
    keys = ("from_s", "to_s", "repeats_every_s", "picture_s")
    found = clean_windows_ms(**dict(zip(keys, given, strict=True)))
    assert_allclose(found, windows, atol=1e-9)


def test_a_phase_of_a_later_picture_is_folded():
    late = {**values(), "phase_s": 0.02 + 3 / 24}
    assert_allclose(named(phase_bar(**late, theme="dark"), "phase now").x, [20, 20])
    rounded = {**values(), "phase_s": -1e-22}
    assert_allclose(named(phase_bar(**rounded, theme="dark"), "phase now").x, [0, 0], atol=1e-15)
    early = {**values(), "phase_s": -0.001}
    assert_allclose(named(phase_bar(**early, theme="dark"), "phase now").x[0], 1e3 / 24 - 1)


def test_unknown_is_said_and_never_drawn_clean():
    unknown = {**values(), "mixed_rows": None, "possible_clean": None, "clean_from_s": None,
               "clean_to_s": None, "best_s": None, "repeats_every_s": None, "phase_s": None}
    figure = phase_bar(**unknown, theme="dark")
    assert words(figure) == ["Rows not known", "Not known which phase is clean"]
    assert len(named(figure, "clean phases").x) == len(named(figure, "mixed rows").y) == 0
    assert {"best phase", "phase now"}.isdisjoint(trace.name for trace in figure.data)


def test_no_clean_phase_and_any_phase():
    long = values(plain_shot(angle=300, phase_s=0.001))
    assert words(phase_bar(**long, theme="dark"))[:2] == ["Mixed rows", "No phase is clean"]
    still = values(replace(SHOT, content_fps=0))
    assert words(phase_bar(**still, theme="dark"))[:2] == ["No mixed row", "Any phase is clean"]
    free = values(replace(SHOT, genlock="free"))
    assert words(phase_bar(**free, theme="dark"))[:2] == ["Rows not known", "No phase is clean"]


def test_a_label_at_either_end_stays_inside():
    for phase_s, anchor in ((0.0, "left"), (0.02, "center"), (0.0416, "right")):
        figure = phase_bar(**{**values(), "phase_s": phase_s}, theme="dark")
        assert figure.layout.annotations[-1].xanchor == anchor


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_both_themes_read(theme):
    figure = phase_bar(**values(), theme=theme)
    for text, paper in texts_and_papers(figure, theme):
        assert contrast_ratio(text, paper) >= 4.5, (text, paper)
    assert named(figure, "clean phases").fillcolor == LOOKS[theme].rule
    assert contrast_ratio(named(figure, "clean").textfont.color, LOOKS[theme].rule) >= 4.5


def test_the_sentence_says_the_same():
    given = values()
    given.pop("best_s")
    assert described(**given) == (
        "Frame of 2160 rows: mixed rows 451 to 2159; phase now 20 ms,"
        " clean phases 0 to 13.667 ms."
    )
    unknown = {**given, "mixed_rows": None, "possible_clean": None, "clean_from_s": None,
               "clean_to_s": None, "repeats_every_s": None, "phase_s": None}
    assert described(**unknown) == (
        "Frame of 2160 rows: which rows are mixed is not known; phase now not known,"
        " which phase is clean is not known."
    )
