"""Figures of the main screen hold the figures of bandcheck."""

import base64
import json

import numpy as np
import pytest
from cli_run import run
from screen_parts import of_type

from dashboard.pages.stage import answers
from dashboard.pages.stage.drawn import gray_levels, in_time, picture_s, tear
from dashboard.state import asked, question_of

SETTING = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")
QUESTION = question_of("?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8")
SHOT = asked(QUESTION).shot
ANSWERED = {"search": ""}


def trace(figure, name):
    return next(each for each in figure.data if each.name == name)


def test_gray_levels_are_those_of_check():
    figure, told = gray_levels(SHOT, "dark")
    drawn = trace(figure, "V")
    said = json.loads(run("check", *SETTING, "--json").stdout)["banding"]["levels"]
    by_signal = dict(zip(np.round(drawn.x, 6), drawn.y, strict=True))
    for each in said:
        assert by_signal[round(each["signal_pct"], 6)] == pytest.approx(each["visibility"], 1e-12)
    assert "not safe at white" in told


def test_the_two_pictures_are_those_of_the_command(tmp_path):
    views = answers.frames(ANSWERED, "crop", QUESTION)
    for image, gain in zip(of_type(views, "Img"), ("1", "10"), strict=True):
        path = tmp_path / f"{gain}.png"
        run("frame", *SETTING, "--view", "crop", "--gain", gain, "--output", path)
        assert base64.b64decode(image.src.partition(",")[2]) == path.read_bytes()


@pytest.mark.parametrize(("span", "longest_s"), [
    ("frame", 1 / 24 + 0.01), ("refresh", 4.01 / 24 / 160), ("slot", 7 / 24 / 160 / 16),
])
def test_time_is_shown_from_a_frame_down_to_slots(span, longest_s):
    figure, told = in_time(SHOT, span, "light")
    low, high = figure.layout.xaxis.range
    assert 0 < (high - low) / 1e3 <= longest_s
    assert "0 is drawn" in told


def test_a_tear_is_drawn_where_the_command_says():
    said = json.loads(run("check", *SETTING, "--phase-ms", "30", "--json").stdout)["tearing"]
    figure, told = tear(SHOT, 0.030, "dark")
    mixed = trace(figure, "mixed rows")
    assert [[low, low + size - 1] for low, size in zip(mixed.base, mixed.y, strict=True)] == (
        said["mixed_rows"]
    )
    assert f"{said['mixed_rows'][0][0]} to {said['mixed_rows'][0][1]}" in told


def test_the_slider_spans_a_picture_and_begins_at_the_best_phase():
    longest, value = answers.phase_range(ANSWERED, QUESTION)
    assert longest == pytest.approx(1000 / 24)
    said = json.loads(run("check", *SETTING, "--json").stdout)["tearing"]
    assert value == pytest.approx(1e3 * said["phase_best_s"])
    assert answers.phase_range(ANSWERED, {**QUESTION, "phase_ms": "3"})[1] == pytest.approx(3)
    still = asked({**QUESTION, "content_fps": "0"}).shot
    assert picture_s(still) == pytest.approx(1 / 24)


def test_moire_without_a_lens_says_what_is_missing():
    _, style, told = answers.focus_figure(ANSWERED, "focus", "dark", QUESTION)
    assert style == {"display": "none"}
    assert "--" not in told
    assert "Focal length" in told


def test_nothing_is_drawn_for_no_question():
    for draw in (answers.ripple_figure, answers.tear_figure):
        arguments = (None, "dark") if draw is answers.ripple_figure else (None, 3, "dark")
        assert draw(*arguments, QUESTION)[1] == {"display": "none"}
    assert answers.frames(None, "whole", QUESTION) == []
