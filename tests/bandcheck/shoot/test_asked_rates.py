"""One question at several frame rates."""

from dataclasses import replace
from fractions import Fraction

import pytest
from plain_shots import plain_camera, plain_wall

from bandcheck.errors import AskedError, OutOfRangeError
from bandcheck.shoot.asked import Given
from bandcheck.shoot.asked_rates import given_at_rates

GIVEN = Given(
    wall=plain_wall(), camera=plain_camera(max_fps=Fraction(50)), fps=Fraction(24),
    angle=Fraction(180),
)


def test_each_rate_has_its_shot_in_the_order_asked():
    asked = given_at_rates(GIVEN, [Fraction(25), Fraction(24)])
    assert list(asked) == [25, 24]
    assert [(each.fps, each.wall_fps, each.exposure_s) for each in asked.values()] == [
        (25, 25, Fraction(1, 50)), (24, 24, Fraction(1, 48)),
    ]


def test_a_rate_that_cannot_be_says_why_by_the_option_it_was_typed_after():
    asked = given_at_rates(GIVEN, [Fraction(24), Fraction(60)])
    assert asked[Fraction(60)].startswith("--rates: 60")
    assert "at most 50 frames/s, the highest rate of this mode" in asked[Fraction(60)]
    assert asked[Fraction(24)].fps == 24
    slow = replace(GIVEN, fps=Fraction(60))
    assert given_at_rates(slow, [Fraction(60), Fraction(24)])[Fraction(60)].startswith("--fps: 60")


def test_no_rate_at_all_is_refused():
    with pytest.raises(OutOfRangeError, match=r"--rates: .*at most 50"):
        given_at_rates(GIVEN, [Fraction(60), Fraction(100)])
    with pytest.raises(AskedError, match="--angle"):
        given_at_rates(Given(wall=plain_wall(), camera=plain_camera()), [Fraction(24)])
