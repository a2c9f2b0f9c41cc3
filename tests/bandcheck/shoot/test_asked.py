"""A question given field by field, without a command around it."""

from fractions import Fraction

import pytest

from bandcheck.errors import AskedError, OutOfRangeError
from bandcheck.shoot.asked import Given, given_exposure, given_shot
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall, shipped_names
from bandcheck.shoot.shot import DEFAULT_LEVELS, Viewing

WALL, CAMERA = shipped_names("wall")[0], shipped_names("camera")[0]


def test_what_is_not_given_is_the_default_of_a_shot():
    shot = given_shot(Given(wall=WALL, camera=CAMERA, fps=Fraction(24), angle=Fraction(180)))
    assert (shot.levels, shot.viewing, shot.genlock) == (DEFAULT_LEVELS, Viewing(), "locked")
    assert shot.wall_fps == shot.content_fps == 24
    assert shot.exposure_s == Fraction(1, 48)
    assert shot.optics is None


def test_profiles_may_be_given_as_they_are():
    lamp = shipped_names("lamp")[0]
    named = Given(wall=WALL, camera=CAMERA, lamp=(lamp,), fps=Fraction(25), speed=Fraction(1, 50))
    held = Given(
        wall=load_wall(WALL), camera=load_camera(CAMERA), lamp=(load_lamp(lamp),),
        fps=Fraction(25), speed=Fraction(1, 50),
    )
    assert given_shot(held) == given_shot(named)


@pytest.mark.parametrize("missing", ["wall", "camera", "fps", "angle"])
def test_what_is_missing_is_named_as_it_is_typed(missing):
    values = {"wall": WALL, "camera": CAMERA, "fps": Fraction(24), "angle": Fraction(180)}
    del values[missing]
    with pytest.raises(AskedError, match=f"^--{missing}: missing"):
        given_shot(Given(**values))


def test_two_ways_to_say_the_shutter_are_refused():
    with pytest.raises(AskedError, match="--angle and --speed: give one"):
        given_exposure(Given(angle=Fraction(180), speed=Fraction(1, 50)), fps=Fraction(24))


def test_an_exposure_fills_a_frame_at_most():
    assert given_exposure(Given(shutter_hz=Fraction(25)), fps=Fraction(25)) == (
        Fraction(1, 25), "time"
    )
    with pytest.raises(OutOfRangeError, match="--shutter-hz"):
        given_exposure(Given(shutter_hz=Fraction(25)), fps=Fraction(26))
