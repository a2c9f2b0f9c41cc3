"""A card of several rates: its order, its map, its hash, and rates that cannot be run."""

from dataclasses import replace
from fractions import Fraction

import pytest
from card_cases import DIAL, crowded_card, plain_card, shots
from plain_shots import mains_lamp, plain_optics, plain_shot

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.card_file import question_hash
from bandcheck.shoot.question import question_shot, shot_question
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.card_figures import card_figures
from bandcheck.verdict.card_rate import graded_dial, rate_answer
from bandcheck.verdict.most_sensitive import most_sensitive_inputs


def test_rates_stand_in_the_order_asked_for():
    assert [each.fps for each in plain_card().rates] == [24, 25]
    assert [each.fps for each in crowded_card().rates][-3:] == [Fraction(25, 2), 12, 200]


def test_a_rate_says_what_it_would_say_alone():
    for each in plain_card().rates:
        assert each.answer == rate_answer(each.shot)


def test_grades_and_map_are_those_of_each_setting():
    for rate in plain_card().rates:
        exposures = [each.exposure_s for each in rate.graded]
        assert rate.graded == graded_dial(rate.shot, exposures)
        assert [each.angle_deg for each in rate.map_cells] == list(DIAL)
        assert set(rate.map_cells) <= set(rate.graded)


def test_a_short_card_grades_what_is_told_and_no_more():
    asked = shots(24, angle="172.8")
    short = card_figures(asked, pocket=False)
    whole = card_figures(asked)
    assert short.rates[0].map_cells == whole.rates[0].map_cells
    assert set(short.rates[0].graded) <= set(whole.rates[0].graded)
    assert short.input_hash == whole.input_hash


def test_a_rate_that_cannot_be_run_stands_with_its_reason():
    last = crowded_card().rates[-1]
    assert last.refused.startswith("--fps: 200")
    assert (last.shot, last.answer, last.graded, last.map_cells) == (None, None, (), ())


def test_a_wall_that_cannot_carry_a_rate_refuses_it_alone():
    # 40 refreshes of 16 lines, 409 counts at 8 MHz and 1 us take 33.4 ms: 24 fps do, 30 do not.
    asked = shots(24, 30)
    asked = {
        rate: replace(shot, wall=replace(shot.wall, clock_hz=8e6, line_switch_s=1e-6))
        for rate, shot in asked.items()
    }
    at_24, at_30 = card_figures(asked, pocket=False).rates
    assert at_24.refused is None
    assert at_30.refused


def test_a_card_of_no_rate_at_all_is_refused_with_the_first_reason():
    with pytest.raises(OutOfRangeError, match="too fast"):
        card_figures({Fraction(200): "too fast", Fraction(300): "faster still"})
    with pytest.raises(OutOfRangeError, match="none"):
        card_figures({})


def test_the_question_makes_the_shot_again_at_every_rate():
    figures = plain_card()
    for rate in figures.rates:
        question = {**figures.question, **figures.per_rate[str(rate.fps)]}
        assert question_shot(question, file="card") == rate.shot


def test_the_hash_is_of_question_and_rates():
    figures = plain_card()
    assert figures.input_hash == question_hash(figures.question, figures.per_rate)


def test_date_and_version_are_printed_and_leave_the_hash_alone():
    asked = shots(24)
    one = card_figures(asked, date="2026-03-02", version="1", pocket=False)
    other = card_figures(asked, pocket=False)
    assert (one.date, one.version, other.date, other.version) == ("2026-03-02", "1", "", "")
    assert one.input_hash == other.input_hash


BASE = plain_shot()


@pytest.mark.parametrize("changed", [
    replace(BASE, wall=replace(BASE.wall, counts_per_refresh=410)),
    replace(BASE, wall=replace(BASE.wall, source={"drive": "measured"})),
    replace(BASE, camera=replace(BASE.camera, readout_tolerance_s=1e-7)),
    replace(BASE, lamps=(mains_lamp(),)), replace(BASE, exposure_s=Fraction(1, 50)),
    replace(BASE, levels=(1.0,)), replace(BASE, phase_s=0.0), replace(BASE, genlock="free"),
    replace(BASE, shutter_set_as="time"), replace(BASE, brightness=0.9),
    replace(BASE, optics=plain_optics()), replace(BASE, content_fps=Fraction(12)),
    replace(BASE, viewing=Viewing(safe_below=0.999)), replace(BASE, panel_rotation_deg=180),
    replace(BASE, change_spread_s=1e-6), replace(BASE, wall_fps=Fraction(48)),
], ids=str)
def test_every_input_changes_the_hash(changed):
    assert question_hash(shot_question(changed), {}) != question_hash(shot_question(BASE), {})
    assert question_hash(shot_question(BASE), {}) == question_hash(shot_question(plain_shot()), {})


def test_what_decides_most_is_told_of_the_first_setting_to_be_dialled():
    figures = plain_card()
    assert figures.sensitive_to == most_sensitive_inputs(figures.answers[0].dialled.shot)
    assert figures.sensitive_to


def test_moire_is_there_where_optics_are():
    assert plain_card().moire is None
    shot = plain_shot(
        optics=plain_optics(), wall=replace(BASE.wall, pitch_mm=2.6, refreshes_per_frame=16),
        camera=replace(BASE.camera, rows_px=512, columns_px=910, sensor_width_mm=24.0,
                       sensor_height_mm=13.5, angles_deg=DIAL),
    )
    figures = card_figures({Fraction(24): shot}, pocket=False)
    assert {each.hazard for each in figures.moire.findings} == {"moire", "grid"}
