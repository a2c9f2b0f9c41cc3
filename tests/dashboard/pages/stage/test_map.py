"""The map of shutter settings: each cell what the command says, computed a rate at a time."""

import json

import pytest
from cli_run import run

from bandcheck.verdict.settings import safe_settings
from dashboard.pages.stage.instead import map_figure, map_step, ranges, tapped
from dashboard.pages.stage.shutter_rows import map_order, map_rates
from dashboard.state import asked, question_of

ANGLES = question_of("?wall=side-2.8&camera=cine-a-wide&shutter=180&rates=24,48,61")
TIMES = question_of("?wall=side-2.8&camera=studio-f&fps=25&shutter=1/50&rates=25,50,60")


def steps(question, *, level="worst"):
    found = []
    while True:
        step = map_step({"run": 1, "step": len(found), "level": level}, question)
        if step is None:
            return found
        found.append(step)


def whole(question, **more):
    found = steps(question, **more)
    rows = [None] * len(found)
    for each in found:
        rows[each["place"]] = each["row"]
    return {"run": 1, "fps": found[0]["fps"], "rows": rows}


def test_the_shots_own_rate_comes_first():
    assert steps(ANGLES)[0]["row"]["fps"] == "24"
    assert steps(TIMES)[0]["row"]["fps"] == "25"
    rates = map_rates(asked(question_of("?wall=side-2.8&camera=cine-a-wide&fps=33")))
    assert map_order(rates, rates[3])[0] == 3
    assert 33 in rates


@pytest.mark.parametrize("level", ["worst", "18"])
def test_a_cell_says_what_the_command_says(level):
    row = steps(ANGLES, level=level)[0]["row"]
    column = row["angle_deg"].index(144.0)
    more = [] if level == "worst" else ["--levels", level]
    said = json.loads(run(
        "sweep", "--wall", "side-2.8", "--camera", "cine-a-wide", "--rates", "24", "--angles",
        "144", *more, "--json",
    ).stdout)["rows"][0]
    assert row["level"][column] == said["level"]
    assert row["visibility"][column] == said["visibility"]
    assert row["worst_signal_pct"][column] == said["worst_signal_pct"]


def test_a_rate_that_cannot_be_run_says_why_and_has_no_level():
    row = whole(ANGLES)["rows"][2]
    assert "at most 60 frames/s" in row["refused"]
    assert set(row["level"]) == {None}


def test_a_tap_takes_what_the_dial_says():
    for question, in_time, wanted in ((ANGLES, False, ("24", "172.8")), (TIMES, True, None)):
        figure = map_figure(whole(question), None, "dark", question)[0]
        cells = [cell for row in figure.data[0].customdata for cell in row]
        taken = [tapped({"points": [{"customdata": list(cell)}]}, in_time=in_time)
                 for cell in cells if cell[1] is not None]
        for rate, shutter in taken:
            read = asked({**question, "fps": rate, "shutter": shutter})
            assert read.shot is not None, read.errors
            assert read.shot.shutter_set_as == ("time" if in_time else "angle")
        assert wanted is None or wanted in taken


def test_nothing_is_taken_from_an_empty_place():
    from dash import no_update

    for click in (None, {}, {"points": []}, {"points": [{}]}, {"points": [{"customdata": 3}]},
                  {"points": [{"customdata": ["61", None, None]}]}):
        assert tapped(click, in_time=False) == (no_update, no_update)


def test_the_exact_ranges_are_those_of_settings():
    view, safe = ranges({"search": ""}, ANGLES)
    found = safe_settings(asked(ANGLES).shot)
    assert view
    turn = 360 * 24
    assert [[turn * end for end in each] for each in safe["exposure_s"]] == [
        pytest.approx([each.from_deg, each.to_deg], rel=1e-12) for each in found.ranges
    ]
    figure = map_figure(whole(ANGLES), safe, "light", ANGLES)[0]
    drawn = next(each for each in figure.data if each.name == "safe ranges")
    assert len([x for x in drawn.x if x is not None]) == 2 * len(found.ranges)


def test_progress_is_told_until_all_is_there():
    rows = whole(ANGLES)
    part = {**rows, "rows": [rows["rows"][0], None, None]}
    assert map_figure(part, None, "dark", ANGLES)[3] == "Map: 1 of 3 rates computed."
    assert map_figure(rows, None, "dark", ANGLES)[3] == ""
    assert map_figure(None, None, "dark", ANGLES)[1] == {"display": "none"}
