"""The question: texts that survive an address, and what is read from them."""

import zlib
from base64 import urlsafe_b64encode
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bandcheck.shoot.profiles import load_wall, shipped_folder
from dashboard.fields import FIELDS, OWN
from dashboard.state import asked, question_of, search_of, shot_at

WHOLE = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": "24", "shutter": "172.8"}
WALL_TEXT = (shipped_folder() / "walls" / "side-2.8.toml").read_text()

texts = st.dictionaries(st.sampled_from(sorted(FIELDS)), st.text(max_size=60))


@settings(derandomize=True, deadline=None, max_examples=300)
@given(texts)
def test_an_address_gives_back_every_text_that_is_not_the_usual_one(question):
    kept = {name: text for name, text in question.items() if text not in ("", FIELDS[name].usual)}
    encodable = {
        name: text for name, text in kept.items()
        if text == text.encode("utf-8", "replace").decode()
    }
    assert question_of(search_of(encodable)) == encodable


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text(max_size=200))
def test_any_address_at_all_is_a_question(search):
    assert isinstance(question_of(search), dict)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(texts)
def test_whatever_is_typed_is_a_shot_or_is_refused_by_field(question):
    assume(not any("--" in text for text in question.values()))  # what is typed is told back
    read = asked({**WHOLE, **question})
    assert (read.shot is None) == bool(read.errors or read.missing)
    assert set(read.errors) <= set(FIELDS)
    assert all("\n" not in line and "--" not in line for line in read.errors.values())


def test_an_address_names_what_differs_from_the_usual():
    assert search_of({**WHOLE, "genlock": "locked"}) == (
        "?wall=stage-main-2.6&camera=cine-a-wide&shutter=172.8"
    )


def test_a_question_says_the_shot():
    shot = asked({**WHOLE, "wall_fps": "48", "levels": "80, 20"}).shot
    assert (shot.fps, shot.wall_fps, shot.levels) == (24, 48, (0.8, 0.2))
    assert shot.exposure_s == Fraction(1, 50)
    assert shot.shutter_set_as == "angle"
    assert asked({**WHOLE, "shutter": " 172.8° "}).shot.exposure_s == Fraction(1, 50)
    timed = asked({**WHOLE, "shutter": "1/50"}).shot
    assert (timed.exposure_s, timed.shutter_set_as) == (Fraction(1, 50), "time")


def test_what_is_missing_is_no_slip():
    read = asked({"fps": "25"})
    assert read.missing == ("wall", "camera")
    assert read.errors == {}


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("fps", "abc", "a frame rate above 0"),
        ("fps", "500", "at most 60 frames/s"),
        ("shutter", "1/10", "no longer than a frame"),
        ("shutter", "361", "an angle above 0 and up to 360 degrees"),
        ("phase_ms", "50", "one picture on the wall"),
        ("focal_mm", "35", "\"Wall distance\""),
        ("wall", "/etc/passwd", "choose one of the list"),
        ("wall", "../walls/side-2.8", "choose one of the list"),
        ("lamp", "no such lamp", "choose one of the list"),
        ("genlock", "perhaps", "one of locked, free"),
        ("visible_from", "0.5", "\"Safe below\""),
        ("rates", ",".join(map(str, range(1, 40))), "at most 16"),
    ],
)
def test_a_slip_is_said_beside_its_field(field, text, said):
    errors = asked({**WHOLE, field: text}).errors
    assert list(errors) == [field]
    assert said in errors[field]


@pytest.mark.parametrize("field", ["to_fps", "to_shutter", "card_rates", "date", "paper"])
def test_what_says_nothing_about_the_shot_leaves_it_and_is_kept(field):
    read = asked({**WHOLE, field: "no such thing"})
    assert (read.shot, read.errors) == (asked(WHOLE).shot, {})
    assert question_of(search_of({**WHOLE, field: "no such thing"}))[field] == "no such thing"


def test_a_wall_of_the_users_own_travels_in_the_address():
    own = {**WHOLE, "wall": OWN, "wall_toml": WALL_TEXT.replace("scan_lines = ", "# ")}
    shown = question_of(search_of({**own, "wall_toml": WALL_TEXT}))
    assert shown["wall_toml"] == WALL_TEXT
    assert asked(shown).shot.wall == load_wall("side-2.8")
    assert "scan_lines" in asked(own).errors["wall"]


def packed(content):
    return urlsafe_b64encode(zlib.compress(content)).decode().rstrip("=")


@pytest.mark.parametrize(
    "text", ["", "%%%", "AAAA", packed(b"\xff\xfe"), packed(b"x" * 10_000_000)],
    ids=["none", "no base 64", "no deflate", "no text", "a bomb"],
)
def test_a_damaged_link_is_said_to_be_damaged(text):
    question = {**WHOLE, **question_of(f"?wall={OWN}&wall_toml={text}")}
    assert "the link is damaged" in asked(question).errors["wall"]


def test_another_rate_is_a_shot_or_a_reason():
    given = asked(WHOLE).given
    assert shot_at(given, Fraction(48)).wall_fps == 48
    assert "at most" in shot_at(given, Fraction(500))
