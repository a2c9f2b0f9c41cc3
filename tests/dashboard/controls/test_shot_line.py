"""A shot in a sentence, and what is missing of one."""

from dataclasses import replace
from fractions import Fraction

from plain_shots import mains_lamp, plain_shot
from screen_parts import of_type, texts

from dashboard import ids
from dashboard.controls.shot_line import apart_box, not_whole, shot_fields, shot_sentence, slips
from dashboard.state import Asked


def test_a_sentence_names_who_films_what_and_how_it_is_set():
    assert shot_sentence(plain_shot(angle=Fraction("172.8"))) == (
        "plain wall filmed by plain camera at 24 frames/s, 172.8° (1/50 s)"
    )
    timed = replace(plain_shot(), shutter_set_as="time", lamps=(mains_lamp(),))
    assert shot_sentence(timed).endswith("24 frames/s, 1/48 s (180°), with mains lamp")


def test_what_is_missing_is_named():
    assert "Choose a wall and a camera mode: then" in " ".join(
        texts(not_whole(Asked(missing=("wall", "camera")), "then"))
    )
    said = " ".join(texts(not_whole(Asked(errors={"fps": "is wrong"}), "then")))
    assert "Camera rate" in said
    assert "is wrong" in said


def test_slips_are_a_list_of_fields():
    items = of_type(slips("No:", {"to_fps": "one", "to_shutter": "two"}), "Li")
    assert [texts(each) for each in items] == [["New rate: ", "one"], ["New shutter: ", "two"]]


def test_a_field_of_its_own_screen_says_its_slips_there():
    box = apart_box("to_fps", {"to_fps": "48"})
    assert box.children[-1].id == ids.refused("to_fps")
    assert of_type(box, "Input")[0].id == ids.field("to_fps")
    assert of_type(box, "Input")[0].value == "48"


def test_the_fields_of_the_shot_fold_away():
    fold = shot_fields("The shot", {"fps": "25"}, opened=False)
    asked_for = [each.id["ask"] for each in of_type(fold, "Input", "Select")]
    assert asked_for == ["wall", "camera", "fps", "shutter"]
    assert fold.open is False
