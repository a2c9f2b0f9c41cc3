"""Fields bear the names of the options, and what they show as usual is what a shot takes."""

from fractions import Fraction

import pytest

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.asked import Given
from dashboard.fields import APART, FIELDS, shutter_given
from dashboard.state import asked


def test_every_field_is_one_of_the_question():
    ours = {"shutter", "rates"}  # the shutter in one field, the rates of the map
    ours |= {name for name, each in FIELDS.items() if each.part in APART}
    assert set(FIELDS) - ours <= set(Given.__dataclass_fields__)
    said_in_shutter = {"angle", "speed", "exposure_ms", "shutter_hz"}
    assert set(Given.__dataclass_fields__) - said_in_shutter <= set(FIELDS)


def test_what_is_usual_can_be_typed_and_changes_nothing():
    whole = {"wall": "side-2.8", "camera": "cine-a-wide"}
    usual = {name: each.usual for name, each in FIELDS.items() if each.usual}
    assert asked({**whole, **usual}).shot == asked(whole).shot


def test_every_field_explains_itself_in_a_line():
    for each in FIELDS.values():
        assert each.explanation.endswith(".")
        assert len(each.explanation) < 100


@pytest.mark.parametrize("text", ["", "fast", "0", "1/0", "-180", "nan", "1//50", "361"])
def test_no_shutter(text):
    with pytest.raises(OutOfRangeError, match="an angle above 0"):
        shutter_given(text, argument="shutter")


def test_a_shutter_is_an_angle_or_a_time():
    assert shutter_given("172.8°", argument="shutter") == ("angle", Fraction("172.8"))
    assert shutter_given("1/50", argument="shutter") == ("speed", Fraction(1, 50))
