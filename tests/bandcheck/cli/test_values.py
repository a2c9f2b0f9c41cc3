"""Text after an option is read exactly or refused, whatever it is."""

from contextlib import suppress
from fractions import Fraction

import click
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bandcheck.cli.values import (
    ANGLE,
    ANGLES,
    CONTENT_RATE,
    LEVELS,
    RATE,
    RATES,
    REGION,
    SPEED,
    exact,
    number,
    whole,
)
from bandcheck.errors import OutOfRangeError

OPTION = click.Option(["--thing"])

POSITIVE = number("N", above=0)
KINDS = {
    "positive": POSITIVE, "exact": exact("N", at_least=0),
    "whole": whole("N", at_least=1, at_most=9), "rate": RATE, "content rate": CONTENT_RATE,
    "angle": ANGLE, "speed": SPEED,
    "levels": LEVELS, "angles": ANGLES, "rates": RATES, "region": REGION,
}
NEVER = [
    "", " ", "nan", "NaN", "inf", "-inf", "infinity", "abc", "-1", "1_0", "1,5,", ",", "1 2",
    "0x10", "1e999999999", "1e-999999999", "9" * 5000, "24/0", "0/0", "1/-2", "\0", "٢٤", "1..2",
    "--", "1:2", "--fps", "1:360:0.1:2", "½",
]


def read(kind, text):
    return kind.convert(text, OPTION, None)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("text", NEVER, ids=lambda text: ascii(text[:12]))
def test_never_accepted(kind, text):
    with pytest.raises(OutOfRangeError) as refusal:
        read(kind, text)
    assert str(refusal.value).startswith("--thing: ")
    assert str(refusal.value).endswith(kind.accepted)
    assert len(str(refusal.value)) < 300


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@settings(derandomize=True, deadline=None, max_examples=60)
@given(text=st.text(alphabet="0123456789.,:/eE+- \tnaif", max_size=12))
def test_any_text_is_read_or_refused(kind, text):
    with suppress(OutOfRangeError):  # anything else that is raised fails the test
        read(kind, text)


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        (RATE, "24", Fraction(24)),
        (RATE, "23.976", Fraction(24000, 1001)),
        (RATE, " 24000/1001 ", Fraction(24000, 1001)),
        (CONTENT_RATE, "0", Fraction(0)),
        (CONTENT_RATE, "0.0", Fraction(0)),
        (CONTENT_RATE, "29.97", Fraction(30000, 1001)),
        (RATES, "25, 23.976,25,24", (Fraction(25), Fraction(24000, 1001), Fraction(24))),
        (ANGLE, "172.8", Fraction(864, 5)),
        (ANGLE, "360", Fraction(360)),
        (SPEED, "1/50", Fraction(1, 50)),
        (SPEED, "0.02", Fraction(1, 50)),
        (LEVELS, "100,50,18", (1.0, 0.5, 0.18)),
        (LEVELS, "18, 0.5,100,18.0", (1.0, 0.18, 0.005)),
        (ANGLES, "90:91:0.25", tuple(Fraction(n, 4) for n in range(360, 365))),
        (ANGLES, "1:2:0.4", (Fraction(1), Fraction(7, 5), Fraction(9, 5))),
        (ANGLES, "45:45:1", (Fraction(45),)),
        (ANGLES, "180,172.8,180", (Fraction(864, 5), Fraction(180))),
        (REGION, "0,10,640,1", (0, 10, 640, 1)),
        (exact("N", above=0), "16.384", Fraction(2048, 125)),
        (number("N", above=-90, below=90), "-89.5", -89.5),
        (number("N", above=-90, below=90), "+1e1", 10.0),
        (whole("N", at_least=1, at_most=9), "9", 9),
    ],
)
def test_read_exactly(kind, text, expected):
    assert read(kind, text) == expected
    assert type(read(kind, text)) is type(expected)


def test_a_tenth_of_a_degree_over_the_whole_dial_has_3591_angles():
    angles = read(ANGLES, "1:360:0.1")
    assert len(angles) == 3591  # 359 degrees, ten steps each, and the first
    assert angles[1718] == Fraction(1728, 10)
    assert angles[-1] == 360


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (ANGLE, "361"), (ANGLE, "0"), (SPEED, "0"), (RATE, "0"), (RATE, "100001"),
        (LEVELS, "120"), (LEVELS, "0"), (LEVELS, "50,,18"), (LEVELS, "100.0001"),
        (ANGLES, "0:10:1"), (ANGLES, "1:361:1"), (ANGLES, "10:9:1"), (ANGLES, "1:10:0"),
        (ANGLES, "1:10:-1"), (ANGLES, "1:360:0.0000001"), (ANGLES, "10:20"), (ANGLES, "180,361"),
        (REGION, "0,0,0,5"), (REGION, "-1,0,5,5"), (REGION, "0,0,5"), (REGION, "0,0,1.5,5"),
        (REGION, "0,0,10000000,5"), (RATES, "24,0"), (CONTENT_RATE, "0/1"),
        (exact("N", above=0), "1/50"), (whole("N", at_least=1, at_most=9), "2.5"),
    ],
)
def test_just_outside(kind, text):
    with pytest.raises(OutOfRangeError):
        read(kind, text)


@pytest.mark.parametrize(
    ("bounds", "inside", "outside", "words"),
    [
        ({"above": 0}, ["1e-9", "7"], ["0", "-1e-9"], "a number above 0"),
        ({"at_least": 0}, ["0"], ["-1e-9"], "a number from 0"),
        ({"at_least": 0, "at_most": 9}, ["0", "9"], ["-1e-9", "9.000001"], "a number from 0 to 9"),
        ({"above": 0, "at_most": 100}, ["100"], ["0", "100.1"], "a number above 0 and at most 100"),
        ({"above": -90, "below": 90}, ["89.9"], ["90", "-90"], "a number above -90 and below 90"),
        ({}, ["-1e9"], ["nan"], "a number"),
    ],
)
def test_bounds_and_their_words(bounds, inside, outside, words):
    kind = number("N", **bounds)
    assert kind.accepted == words
    for text in inside:
        assert read(kind, text) == float(text)
    for text in outside:
        with pytest.raises(OutOfRangeError):
            read(kind, text)


def test_a_default_passes_as_it_is():
    assert read(LEVELS, (1.0, 0.5)) == (1.0, 0.5)
