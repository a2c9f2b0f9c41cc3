"""A change line by line: what a screen says and what the text of 80 columns says are one."""

from fractions import Fraction

import pytest
from plain_shots import free_wall, plain_camera, plain_shot, plain_wall

from bandcheck.report.change_lines import (
    CLOSING,
    answer_sentences,
    camera_lines,
    card_sentence,
    near_heading,
    near_lines,
    range_cells,
    wall_lines,
)
from bandcheck.report.change_sides import (
    clean_phase_phrase,
    refresh_phrase,
    refreshes_phrase,
    setting_phrase,
    side_figure,
    side_rows,
)
from bandcheck.report.change_text import change_text
from bandcheck.verdict.change import change_on_the_day

CASES = {
    "a rate": (plain_shot(), "48"),
    "a slow wall": (plain_shot(wall=plain_wall(refreshes_per_frame=7)), "30"),
    "a rate beyond": (plain_shot(camera=plain_camera(max_fps=Fraction(60))), "100"),
    "a wall that runs free": (plain_shot(wall=free_wall(), genlock="free"), "25"),
    "a time": (plain_shot(shutter_set_as="time"), "60"),
    "nothing": (plain_shot(), "24"),
}


@pytest.fixture(scope="module", params=CASES)
def change(request):
    shot, to_fps = CASES[request.param]
    return change_on_the_day(shot, to_fps=Fraction(to_fps))


def squeezed(text):
    return " ".join(text.split())


def test_the_text_holds_every_line(change):
    text = squeezed(change_text(change))
    lines = [setting_phrase(change), *answer_sentences(change), card_sentence(change), CLOSING]
    lines += [each.text for each in (*camera_lines(change), *wall_lines(change))]
    lines += [" ".join(each) for each in side_rows(change)]
    if change.near is not None:
        lines.append(near_heading(change, change.near))
        lines += [each.text for each in near_lines(change.near)]
        lines += [" ".join(range_cells(each)) for each in change.near.ranges[:3]]
    assert [each for each in map(squeezed, lines) if each not in text] == []


def test_a_card_that_is_there_is_said_to_be_there():
    change = change_on_the_day(plain_shot(), to_fps=Fraction(48))
    assert card_sentence(change).startswith("The old card's line, if there is one, for 24")
    assert card_sentence(change, of_card=True).startswith("The card's line for 24 frames/s")
    same = change_on_the_day(plain_shot())
    assert card_sentence(same).endswith("still holds: nothing has changed.")


def test_what_answers_for_the_bands_can_be_named():
    change = change_on_the_day(plain_shot(), to_fps=Fraction(48))
    [line] = [each.text for each in wall_lines(change, bands="row {rate}") if "bands" in each.text]
    assert line.endswith("for its bands: row 24.")


def test_old_and_new_by_hand():
    # 160 refreshes in 1/24 s are 3840 Hz; kept a frame they would be 7680 Hz at 48.
    change = change_on_the_day(plain_shot(), to_fps=Fraction(48))
    assert setting_phrase(change) == "48 frames/s, 180° (1/96 s)"
    assert (refreshes_phrase(change.old), refresh_phrase(change.old)) == ("160", "3840 Hz")
    rows = {name.strip(): sides for name, *sides in side_rows(change)}
    assert rows["Camera's rate"] == ["24 frames/s", "48 frames/s"]
    assert rows["Time"] == ["1/48 s", "1/96 s"]
    assert rows["Exposure"] == ["", "1 stop less light"]
    # The picture stays for 1/24 s; exposure 1/48 s and 8 ms of readout leave 12.833 ms.
    assert clean_phase_phrase(change.old.tearing) == "0 to 12.83 ms"
    assert rows["Clean phase"][0] == "0 to 12.83 ms"


def test_a_tear_that_decides_is_said_beside_the_figure():
    # 360 deg leave no time for the readout: it tears whatever the bands are.
    torn = change_on_the_day(plain_shot(), to_exposure_s=Fraction(1, 24)).new.side
    clean = change_on_the_day(plain_shot()).new.side
    assert side_figure(torn).endswith("; tears")
    assert not side_figure(clean).endswith("tears")
    assert clean_phase_phrase(torn.tearing) == "none: it tears"


def test_what_cannot_be_run_has_no_column():
    camera = plain_camera(max_fps=Fraction(60))
    change = change_on_the_day(plain_shot(camera=camera), to_fps=Fraction(100))
    rows = side_rows(change)
    assert [now for _, _, now in rows[3:-1]] == ["-"] * 6
    assert rows[2][2] == "1/200 s"
    assert "Cannot be run." in answer_sentences(change)[0]
