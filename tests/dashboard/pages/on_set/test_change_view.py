"""A change on the screen says what the command's text says."""

from fractions import Fraction

import pytest
from plain_shots import plain_camera, plain_shot, plain_wall
from screen_parts import of_type, texts

from bandcheck.report.change_lines import (
    CLOSING,
    answer_sentences,
    camera_lines,
    card_sentence,
    near_lines,
    range_cells,
    wall_lines,
)
from bandcheck.report.change_sides import setting_phrase, side_rows
from bandcheck.verdict.change import change_on_the_day
from dashboard.pages.on_set.asked_change import asked_change
from dashboard.pages.on_set.change_view import answer_view, dial_to_take, more_view
from dashboard.state import asked

DIAL = tuple(Fraction(text) for text in ("90", "144", "172.8", "180", "270"))


def dialled_shot(**changed):
    return plain_shot(camera=plain_camera(angles_deg=DIAL, max_fps=Fraction(60)), **changed)


@pytest.mark.parametrize(("shot", "to_fps"), [
    (plain_shot(), 48), (dialled_shot(), 48), (plain_shot(angle=Fraction("172.8")), 25),
    (plain_shot(wall=plain_wall(refreshes_per_frame=7)), 30), (dialled_shot(), 100),
])
def test_every_line_that_the_command_says_is_on_the_screen(shot, to_fps):
    change = change_on_the_day(shot, to_fps=Fraction(to_fps))
    shown = texts([answer_view(change), *more_view(change)])
    said = [*answer_sentences(change), card_sentence(change), CLOSING, setting_phrase(change)]
    said += [each.text for each in camera_lines(change)]
    said += [each.text for each in wall_lines(change) if "bandcheck check" not in each.text]
    said += [cell.strip() for row in side_rows(change) for cell in row]
    if change.near is not None:
        said += [each.text for each in near_lines(change.near)]
        said += [cell for each in change.near.ranges[:3] for cell in range_cells(each)]
    assert [each for each in said if each not in shown] == []
    assert not any("--" in each for each in shown)


def test_the_answer_begins_with_the_setting_and_the_word():
    change = change_on_the_day(plain_shot(), to_fps=Fraction(48))
    said = texts(answer_view(change))
    assert said[0] == "48 frames/s, 180° (1/96 s)"
    assert change.level.value in said
    assert f"level-{change.level.value}" in answer_view(change).className


def test_what_cannot_be_run_is_unknown_and_has_no_figure():
    change = change_on_the_day(dialled_shot(), to_fps=Fraction(100))
    said = texts(answer_view(change))
    assert "unknown" in said
    assert "no figure" in said
    assert any("Cannot be run" in each for each in said)
    assert of_type(answer_view(change), "Button") == []


def test_the_dial_setting_that_is_offered_is_safe_when_it_is_taken():
    question = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "shutter": "172.8"}
    shot = asked(question).shot
    change = asked_change(shot, {"to_fps": "48"}).change
    [button] = of_type(answer_view(change), "Button")
    taken = button.id["dial"]
    assert f"Dial {taken}°" in " ".join(texts(answer_view(change)))
    assert button.children == f"Take {taken}°"
    new = asked_change(shot, {"to_fps": "48", "to_shutter": taken}).change
    assert (change.level.value, new.level.value, new.on_dial) == ("visible", "safe", True)
    assert of_type(answer_view(new), "Button") == []


def test_a_dial_in_times_is_offered_as_a_time():
    times = tuple(Fraction(1, each) for each in (50, 60, 96, 100, 125, 250))
    camera = plain_camera(speeds_s=times)
    shot = plain_shot(camera=camera, shutter_set_as="time")
    change = change_on_the_day(shot, to_fps=Fraction(25))
    taken = dial_to_take(change.near)
    assert "/" in taken
    assert Fraction(taken) in times
