"""What stands at each rate and in the map, for every way in which a rate may turn out."""

from dataclasses import replace
from fractions import Fraction

import pytest
from card_cases import camera, crowded_card, plain_card, shots, wall
from plain_shots import mains_lamp, plain_shot

from bandcheck.report.card_map import map_columns, map_rows
from bandcheck.report.card_rows import rate_rows
from bandcheck.verdict.card_figures import card_figures
from bandcheck.vision.level import Level


def row(shot, **settings):
    found, = rate_rows(card_figures({shot.fps: shot}, pocket=False, **settings))
    return found


def one(*, angle="270", fps=24, **changed):
    parts = {"wall": wall(), "camera": camera(), **changed}
    return row(plain_shot(angle=angle, fps=fps, **parts))


def test_a_safe_setting():
    found = one()
    assert (found.fps, found.dial, found.dial_note) == ("24", "270°", "1/32 s")
    assert (found.level, found.level_note) == (Level.SAFE, "if the phase is kept")
    assert found.wanted == "as wanted"
    # Hand count: 1/24 s frame, 1/32 s open, 8 ms readout leave 2.4167 ms.
    assert (found.phase, found.phase_note) == ("0.00 to 2.41 ms", "set 1.21 · slack 2.41 ms")
    assert found.clean_angle == "290.8°"  # 360 - 8 ms of 41.667 ms, rounded down
    assert found.roll == "10 s"
    assert found.reasons == ()


def test_a_wanted_setting_that_is_not_safe_says_why_and_what_instead():
    found = one(angle="172.8")
    assert found.dial == "270°"
    assert found.wanted == "wanted 172.8° is visible; 0.64 stop more light"
    assert any("refreshes" in reason for reason in found.reasons)


def test_a_picture_that_stands_still_has_no_phase():
    found = one(content_fps=Fraction(0))
    assert (found.phase, found.level_note, found.clean_angle) == ("any", "", "360°")


def test_a_wall_that_runs_free_has_no_phase():
    found = one(genlock="free")
    assert (found.phase, found.clean_angle, found.level) == ("none", "none", Level.VISIBLE)
    assert "tear" in found.level_note


def test_an_exposure_that_is_too_long_says_by_how_much():
    # 360 deg at 24 fps and 8 ms readout: 8 ms too long.
    found = one(angle="360", camera=camera(angles_deg=(Fraction(360),)))
    assert (found.phase, found.phase_note) == ("none", "8 ms too long")
    assert (found.dial, found.dial_note, found.allowed) == ("none", "no safe setting", "no room")
    assert found.level is Level.VISIBLE


def test_an_exposure_scheme_that_is_not_modelled_is_unknown_everywhere():
    found = one(camera=camera(exposure_scheme="multi"))
    assert found.level is Level.UNKNOWN
    assert (found.dial, found.lowest, found.roll) == ("none", "—", "—")
    assert (found.phase, found.clean_angle) == ("unknown", "unknown")


def test_a_dial_of_times_is_told_in_times():
    times = (Fraction(1, 32), Fraction(1, 48), Fraction(1, 60))
    found = one(camera=camera(angles_deg=(), speeds_s=times))
    assert (found.dial, found.dial_note) == ("1/32 s", "270°")


def test_whole_lines_are_told_where_they_differ():
    found = one(camera=camera(shutter_whole_lines=True, rows_px=510))
    assert "made 1/" in found.dial_note


def test_a_range_that_no_hand_holds_is_one_value_only():
    found = one(camera=camera(shutter="global", readout_s=0.0))
    assert (found.allowed, found.room) == ("this only", "room under 0.001°")


def test_other_ranges_name_the_dial_where_it_has_them():
    also = rate_rows(plain_card())[0].also
    assert all("°" in each for each in also)
    step = one(camera=camera(angles_deg=(), angle_step_deg=Fraction(2)), angle="180")
    assert any(each.endswith("(not on the dial)") for each in step.also)
    assert any("° (" in each and each.endswith("°)") for each in step.also)


def test_a_lamp_that_may_stand_marks_the_time_of_the_test():
    found = one(fps=25, lamps=(mains_lamp(mains_hz=50.0, mains_tolerance=0.001),))
    assert found.roll.endswith(" *")


def test_a_rate_that_cannot_be_run_says_so_and_nothing_else():
    found = rate_rows(crowded_card())[-1]
    assert found.refused.startswith("--fps: 200")
    assert (found.dial, found.level) == ("—", Level.UNKNOWN)


def test_the_map_has_a_cell_for_each_column_and_rate():
    figures = crowded_card()
    columns, rows = map_columns(figures), map_rows(figures)
    assert columns == ("90°", "144°", "172.8°", "180°", "270°", "360°")
    assert [each.fps for each in rows][:3] == ["24", "23.976", "25"]
    assert len(rows) == len(figures.rates) - 1
    assert all(len(each.cells) == len(columns) for each in rows)


def test_a_cell_says_tear_where_only_the_tear_shows():
    cell = map_rows(plain_card())[0].cells[-1]
    assert (cell.level, cell.text) == (Level.VISIBLE, "tear")


def test_a_cell_that_cannot_be_graded_holds_a_question():
    figures = card_figures(shots(24, camera=camera(exposure_scheme="multi")))
    assert {(each.level, each.text) for each in map_rows(figures)[0].cells} == {
        (Level.UNKNOWN, "?")
    }


def test_times_longer_than_a_frame_are_left_blank():
    times = tuple(Fraction(1, each) for each in (24, 32, 48, 96))
    figures = card_figures(shots(24, 48, camera=camera(angles_deg=(), speeds_s=times)))
    assert map_columns(figures) == ("1/96", "1/48", "1/32", "1/24")
    assert [cell is None for cell in map_rows(figures)[1].cells] == [False, False, True, True]


@pytest.mark.parametrize("visibility", [0.9999, 7.9999])
def test_no_cell_shows_a_number_of_another_grade(visibility):
    rate = plain_card().rates[0]
    cell = replace(rate.map_cells[0], visibility=visibility, level=Level.SAFE)
    figures = replace(plain_card(), rates=(replace(rate, map_cells=(cell,)),))
    assert float(map_rows(figures)[0].cells[0].text) < visibility + 1e-9
