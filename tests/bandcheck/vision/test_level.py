import dataclasses
from itertools import permutations, product

import pytest

from bandcheck.errors import OutOfRangeError
from bandcheck.vision.level import Finding, Level, worst_level

BEST_FIRST = (Level.SAFE, Level.MARGINAL, Level.UNKNOWN, Level.VISIBLE)


def test_levels_compare_by_how_bad_they_are():
    for (i, a), (j, b) in product(enumerate(BEST_FIRST), repeat=2):
        assert (a < b, a <= b, a > b, a >= b) == (i < j, i <= j, i > j, i >= j)
        assert (a < b.value, a <= b.value, a > b.value, a >= b.value) == (
            i < j, i <= j, i > j, i >= j
        )
        assert (a == b) == (i == j)


def test_levels_are_their_words():
    assert [str(level) for level in BEST_FIRST] == ["safe", "marginal", "unknown", "visible"]
    assert Level("unknown") is Level.UNKNOWN
    assert {Level.SAFE: 1}["safe"] == 1


def test_severities_there_and_back():
    assert [level.severity for level in BEST_FIRST] == [0, 1, 2, 3]
    assert tuple(Level.of_severity(number) for number in range(4)) == BEST_FIRST


@pytest.mark.parametrize("bad", [-1, 4])
def test_other_severities_are_refused(bad):
    with pytest.raises(OutOfRangeError, match=f"severity: {bad} .* from 0 to 3"):
        Level.of_severity(bad)


def test_another_word_is_no_level():
    with pytest.raises(ValueError, match="perfect"):
        assert Level.SAFE < "perfect"


def test_the_worst_comes_out_of_any_order():
    for order in permutations(BEST_FIRST):
        assert worst_level(order) is Level.VISIBLE
        assert worst_level(order[:1]) is order[0]
    assert worst_level([Level.SAFE, Level.UNKNOWN, Level.MARGINAL]) is Level.UNKNOWN
    assert worst_level([Level.MARGINAL, Level.SAFE]) is Level.MARGINAL


def test_nothing_graded_is_not_safe():
    assert worst_level([]) is Level.UNKNOWN
    assert worst_level(iter(())) is Level.UNKNOWN


def test_a_finding_cannot_be_changed():
    finding = Finding(
        hazard="banding", level=Level.SAFE, value=0.5, limit=1.0, unit="", reason="even_light"
    )
    assert finding.figures == {}
    with pytest.raises(dataclasses.FrozenInstanceError):
        finding.level = Level.VISIBLE
    with pytest.raises(TypeError):
        Finding("banding", Level.SAFE, None, None, "", "even_light")
