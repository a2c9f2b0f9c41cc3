"""Faults, observations and reasons have their words; no fault of the wall gets a shutter."""

import re
from itertools import product

import pytest
from fault_matrix import COLUMNS, MATRIX, consistent_with, outcomes

from bandcheck.cli.main import COMMANDS, bandcheck
from bandcheck.report import identify_text as words
from bandcheck.report.identify_json import identify_values
from bandcheck.report.identify_text import command_line, identify_text
from bandcheck.verdict.fault_signs import BASIS, FAULTS, HELPING_COMMAND, SIDES
from bandcheck.verdict.identify import identify

ON_THE_WALL = [fault for fault in FAULTS if SIDES[fault] == "wall"]
SHUTTER = re.compile(r"shutter|angle|speed|exposure|settings", re.IGNORECASE)


def up_to_two_observations():
    single = [(key, answer) for key in COLUMNS for answer in (True, False)]
    yield {}
    yield from ({key: answer} for key, answer in single)
    yield from (dict(pair) for pair in product(single, single) if pair[0][0] < pair[1][0])


def complete_sets(fault):
    for answers in product(*(outcomes(fault, key) for key in COLUMNS)):
        yield {key: answer for key, (answer, _) in zip(COLUMNS, answers, strict=True)}


def test_everything_has_its_words():
    for table in (words.FAULT_NAMES, words.SHOWS, words.REMEDIES):
        assert tuple(table) == FAULTS
    assert tuple(words.QUESTIONS) == tuple(words.WHY_IT_TELLS) == COLUMNS
    assert set(words.REASONS) == set(BASIS)
    assert all(text.endswith("?") for text in words.QUESTIONS.values())
    assert all(text.endswith(".") for text in [*words.REASONS.values(), *words.REMEDIES.values()])


def test_lines_are_short_and_the_answer_comes_first():
    for seen in up_to_two_observations():
        lines = identify_text(identify(seen)).splitlines()
        assert max(map(len, lines)) <= 80
        assert all(line == line.rstrip() and line.isprintable() for line in lines)
        possible = consistent_with(seen)
        if not possible:
            assert lines[0].startswith("No single fault explains ")
        elif len(possible) == 1:
            assert lines[0] == words.FAULT_NAMES[possible[0]]
        else:
            assert f"{len(possible)} of 9 faults may be it." in lines[0]
            assert lines[2].startswith("Next test: ")


@pytest.mark.parametrize("fault", ON_THE_WALL)
def test_a_fault_on_the_wall_never_gets_a_shutter(fault):
    advice = f"{words.SHOWS[fault]} {words.REMEDIES[fault]} {command_line(fault)}"
    assert not SHUTTER.search(advice)
    for seen in complete_sets(fault):
        found = identify(seen)
        told, _, against = identify_text(found).partition("\nIt is not\n")
        assert against
        assert not SHUTTER.search(told)
        only = identify_values(found)["possible"]
        assert [each["command"] for each in only] == [HELPING_COMMAND[fault]]
        assert not SHUTTER.search(f"{only[0]['to_do']} {only[0]['command_line']}")


def test_what_may_be_on_the_wall_or_in_time_is_tested_before_anything_is_advised():
    told = identify_text(identify({"stays_on_same_leds": True}))
    assert "Wall fault" in told
    assert "Uneven scan lines" in told
    assert told.index("Next test: changes_with_shutter") < told.index("Find a shutter")


@pytest.mark.parametrize("fault", [each for each in FAULTS if HELPING_COMMAND[each]])
def test_the_command_that_helps_exists_and_takes_what_is_named(fault):
    name, *rest = command_line(fault).removeprefix("bandcheck ").split()
    assert name in COMMANDS
    command = bandcheck.get_command(None, name)
    if rest[0] == "show":
        command, rest = command.get_command(None, "show"), []
    options = {option for each in command.params for option in each.opts}
    assert {each for each in rest if each.startswith("--")} <= options


def test_a_lamp_is_named_to_the_command_only_where_it_is_a_lamp():
    assert [fault for fault in FAULTS if "--lamp" in (command_line(fault) or "")] == [
        "lamp_flicker"
    ]


def test_other_tests_say_what_they_leave():
    told = identify_text(identify({}))
    # by hand: four yes, three no, two either: (5 x 5 + 4 x 5 ...) / 9 = 50 / 9
    assert "changes_with_shutter (leaves 5.6 on average)" in told


def test_one_answer_at_a_time_for_two_faults():
    told = identify_text(identify({"stays_on_same_leds": True, "moves_with_camera": True}))
    first, second = told.split("\n\n  ? ")[1:]
    assert "No single fault explains moves_with_camera=yes and stays_on_same_leds=yes." in told
    assert "Without this answer: Uneven scan lines, Wall fault, LED grid." in first
    assert second.startswith("Tilt the camera a little")


def test_faults_with_one_reason_are_told_together():
    told = identify_text(identify({"vanishes_with_focus": True})).partition("It is not\n")[2]
    sentence = words.REASONS["wider_than_leds"]
    assert " ".join(told.split()) == (
        "vanishes_with_focus=yes - Timing bands, Uneven scan lines, Tear, Wall fault, Gray steps, "
        f"Slow flicker of the wall, Lamp flicker. {sentence}"
    )


def test_json_holds_what_the_text_says():
    values = identify_values(identify({"stays_on_same_leds": False, "changes_with_shutter": True}))
    assert values["schema"] == "bandcheck.identify/1"
    assert values["seen"] == {"stays_on_same_leds": "no", "changes_with_shutter": "yes"}
    assert [each["fault"] for each in values["possible"]] == [
        "timing_bands", "tear", "slow_flicker", "lamp_flicker",
    ]
    assert values["found"] is None
    assert values["contradiction"] is None
    test = values["next_test"]
    assert (test["observation"], test["if_yes"]) == ("remains_with_wall_black", ["lamp_flicker"])
    assert test["expected_left"] == (1 * 1 + 3 * 3) / 4  # by hand: one in four, or three in four
    assert {each["observation"] for each in values["other_tests"]} < set(MATRIX["moire"])
    grid = next(each for each in values["ruled_out"] if each["fault"] == "led_grid")
    assert (grid["observation"], grid["would_be"]) == ("stays_on_same_leds", "yes")
    assert grid["basis"] == "imaging.sampling"
