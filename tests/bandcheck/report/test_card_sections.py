"""Tests, voids, sources and cautions follow from the question."""

from dataclasses import replace
from fractions import Fraction

import pytest
from card_cases import camera, crowded_card, plain_card, shots, wall
from plain_shots import mains_lamp, plain_camera, plain_optics, plain_shot

from bandcheck.report.card_sections import input_lines, sections
from bandcheck.report.wording import CAUTIONS
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.card_figures import card_figures


def card(**changed):
    parts = {"wall": wall(), "camera": camera(), "angle": 270, **changed}
    shot = plain_shot(**parts)
    return card_figures({shot.fps: shot}, pocket=False)


def part(figures, title):
    return next(each.lines for each in sections(figures) if each.title.startswith(title))


def text(figures, title):
    return " / ".join(part(figures, title))


def test_sections_stand_in_this_order():
    assert [each.title for each in sections(plain_card())] == [
        "Test it before the shoot", "What voids this card", "Asked for, and taken",
        "Lamps and moire", "Grades, viewer and cautions",
    ]
    assert all(each.lines for each in sections(plain_card()))


def test_the_test_begins_with_a_fault_that_must_show():
    # The worst cell of the map, so that a blind test is found out.
    figures = plain_card()
    cells = [each for rate in figures.rates for each in rate.map_cells]
    worst = max(cells, key=lambda each: each.visibility)
    assert f"{float(worst.angle_deg):g}° at " in text(figures, "Test it")


def test_where_no_fault_can_be_shown_none_is_asked_for():
    figures = card(camera=camera(angles_deg=(Fraction(270),)))
    assert "must show" not in text(figures, "Test it")


@pytest.mark.parametrize(("changed", "says", "not_said"), [
    ({}, ("common reference", "Phase outside", "Any lamp"), ("brightness moved", "Another clock")),
    ({"genlock": "free"}, ("Another clock",), ("common reference", "Phase outside")),
    ({"content_fps": Fraction(0)}, ("common reference",), ("Phase outside",)),
    ({"lamps": (mains_lamp(),)}, ("A lamp added",), ("Any lamp",)),
    ({"wall": wall(brightness_control="pwm")}, ("brightness moved from 100 %",), ()),
    ({"viewing": Viewing(push_stops=1.5)}, ("pushed by more than 1.5 stops",), ()),
])
def test_what_voids_the_card_follows_from_the_question(changed, says, not_said):
    found = text(card(**changed), "What voids")
    assert all(each in found for each in says)
    assert not any(each in found for each in not_said)


def test_a_phase_is_tested_only_where_there_is_one():
    assert "bar that moves" in text(card(), "Test it")
    assert "bar that moves" not in text(card(content_fps=Fraction(0)), "Test it")


def test_a_drift_that_may_stand_still_is_named():
    lamp = mains_lamp(name="house lights", mains_hz=50.0, mains_tolerance=0.001)
    assert "* lamp house lights may stand still" in text(card(fps=25, lamps=(lamp,)), "Test it")
    assert "*" not in text(card(), "Test it")


def test_what_was_asked_is_repeated():
    found = text(card(
        phase_s=0.001, levels=(1.0, 0.035), brightness=0.55, panel_rotation_deg=90, wall_fps=48,
        content_fps=Fraction(24),
    ), "Asked")
    for each in ("270°", "48 frames/s", "genlocked", "24 times a second", "1 ms", "100, 3.5 %",
                 "55 %", "turned 90°"):
        assert each in found, each


def test_what_nobody_gave_is_told():
    assert "Not given: wall: gray clock not known" in text(card(), "Asked")
    assert "shutter not rounded" in text(
        card(camera=camera(shutter_whole_lines=None)), "Asked"
    )


def test_lamps_are_told_rate_by_rate():
    lines = part(crowded_card(), "Lamps")
    assert lines[0].count("safe") + lines[0].count("marginal") + lines[0].count("visible") == 9
    assert lines[0].endswith("200 unknown")


def test_what_was_not_checked_is_named_with_what_it_needs():
    found = text(card(), "Lamps")
    for each in ("Not checked", "moire", "--focal-mm", "--distance-m", "lamps (none given)"):
        assert each in found, each


def test_moire_is_told_where_it_was_looked_at():
    figures = card(
        optics=plain_optics(), wall=wall(pitch_mm=2.6, refreshes_per_frame=16),
        camera=plain_camera(rows_px=512, columns_px=910, sensor_width_mm=24.0,
                            angles_deg=(Fraction(270),), sensor_height_mm=13.5),
    )
    lines = part(figures, "Lamps")
    assert lines[0].startswith("Moire: ")
    assert lines[1].startswith("LED grid: ")


def test_thresholds_viewer_and_cautions_are_stated():
    found = text(card(viewing=Viewing(safe_below=0.7, visible_from=6.5, view_heights=2.5,
                                      flare_nits=0.1, grade_contrast=1.4)), "Grades")
    for each in ("below 0.7", "up to 6.5", "2.5 picture heights", "0.1 cd/m²", "100 cd/m²",
                 "× 1.4", *CAUTIONS):
        assert each in found, each


def test_people_in_the_room_are_warned_of():
    # At 2 % signal so few refreshes light that the wall pulses at its frame rate.
    assert "Flashing" in text(card(), "Grades")
    assert "flashes at" in text(card(levels=(1.0, 0.02)), "Grades")


def test_inputs_have_their_sources():
    lines = {(each.about, each.what): each for each in input_lines(plain_card())}
    lines_of_wall = lines["wall", "scan lines"]
    assert (lines_of_wall.value, lines_of_wall.source) == ("16", "maker's sheet")
    readout = lines["camera", "readout"]
    assert (readout.value, readout.source) == ("8 ms", "no source given")
    assert lines["camera", "angles"].value.startswith("90, 144, 172.8")


def test_figures_that_only_moire_hangs_on_are_left_out():
    figures = card(wall=wall(pitch_mm=2.6, emitter_fill=0.3))
    assert not {"pitch", "emitter fill"} & {each.what for each in input_lines(figures)}


def test_a_lamp_that_is_not_looked_at_is_no_safe_lamp():
    figures = card_figures({**shots(24, lamps=(mains_lamp(),)), Fraction(48): "too fast"})
    assert "48 unknown" in text(figures, "Lamps")
    without = replace(figures, rates=figures.rates[:1])
    assert "48" not in text(without, "Lamps")
