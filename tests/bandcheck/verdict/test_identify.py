"""Each fault is found from whatever can be seen of it, by tests that separate as well as can be."""

from fractions import Fraction
from itertools import combinations, permutations, product

import pytest
from fault_matrix import COLUMNS, MATRIX, consistent_with, expected_left, outcomes

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.identify import (
    contradiction,
    fault_tests,
    identify,
    next_test,
    possible_faults,
)

MOST_TESTS = 5


@pytest.fixture(scope="module")
def every_assignment():
    """All 3^9 ways of having seen each thing, not seen it, or not looked."""
    return [
        {key: answer for key, answer in zip(COLUMNS, answers, strict=True) if answer is not None}
        for answers in product((None, True, False), repeat=len(COLUMNS))
    ]


@pytest.fixture(scope="module")
def by_count(every_assignment):
    """Possible faults of every assignment, by the matrix written by hand."""
    return {frozenset(seen.items()): consistent_with(seen) for seen in every_assignment}


def complete(fault):
    """Every complete set of observations that a fault can give."""
    for answers in product(*(outcomes(fault, key) for key in COLUMNS)):
        yield {key: answer for key, (answer, _) in zip(COLUMNS, answers, strict=True)}


def test_every_assignment_leaves_what_brute_force_leaves(every_assignment, by_count):
    assert len(by_count) == 3**9
    for seen in every_assignment:
        assert possible_faults(seen) == by_count[frozenset(seen.items())]


def test_nothing_seen_leaves_every_fault_and_the_test_that_splits_them_three_to_six():
    assert possible_faults({}) == tuple(MATRIX)
    first = next_test({})
    assert first.observation == "stays_on_same_leds"
    assert first.if_yes == ("uneven_scan_lines", "wall_fault", "led_grid")
    # by hand: three in nine leave three, six in nine leave six
    assert first.expected_left == Fraction(3 * 3 + 6 * 6, 9)
    assert len(first.if_no) == 6


@pytest.mark.parametrize("fault", MATRIX)
def test_every_complete_set_finds_its_fault_alone(fault):
    sets = list(complete(fault))
    assert len(sets) == 2 ** list(MATRIX[fault].values()).count("e")
    for seen in sets:
        found = identify(seen)
        assert found.found == fault
        assert found.possible == (fault,)
        assert {each.fault for each in found.ruled_out} == set(MATRIX) - {fault}
        assert (found.contradiction, found.tests) == (None, ())


def test_every_order_of_asking_ends_at_the_same_faults(every_assignment, by_count):
    """From any set of answers one more leaves a part of it, and the same part in any order.

    Every order of asking is a path of such steps, so all of them are covered.
    """
    steps = 0
    for seen in every_assignment:
        after = set(possible_faults(seen))
        for key, answer in seen.items():
            before = {each: told for each, told in seen.items() if each != key}
            alone = set(by_count[frozenset({(key, answer)})])
            assert after == set(possible_faults(before)) & alone
            steps += 1
    assert steps == 9 * 2 * 3**8


def test_the_order_in_which_answers_are_told_does_not_matter():
    seen = {"seen_by_eye": True, "stays_on_same_leds": True, "vanishes_with_focus": False,
            "changes_with_shutter": False}
    answers = {repr(identify(dict(order))) for order in permutations(seen.items())}
    assert len(answers) == 1


def test_the_next_test_leaves_fewest_by_count(every_assignment, by_count):
    looked_at = 0
    for seen in every_assignment:
        possible = by_count[frozenset(seen.items())]
        open_keys = [key for key in COLUMNS if key not in seen]
        left = {key: expected_left(seen, key) for key in open_keys} if len(possible) > 1 else {}
        telling = {key: value for key, value in left.items() if value < len(possible)}
        tests = fault_tests(seen)
        assert {test.observation: test.expected_left for test in tests} == telling
        if len(possible) <= 1:
            assert next_test(seen) is None
            continue
        best = next_test(seen)
        assert best.expected_left == min(telling.values())
        assert best.observation == next(
            key for key in COLUMNS if telling.get(key) == best.expected_left
        )
        for answer, left_by in ((True, best.if_yes), (False, best.if_no)):
            assert left_by == by_count[frozenset({*seen.items(), (best.observation, answer)})]
        looked_at += 1
    assert looked_at > 1000


@pytest.mark.parametrize("fault", MATRIX)
def test_asking_the_next_test_again_and_again_finds_the_fault(fault):
    open_ends = [{}]
    while open_ends:
        seen = open_ends.pop()
        test = next_test(seen)
        if test is None:
            assert possible_faults(seen) == (fault,)
            assert 2 <= len(seen) <= MOST_TESTS
            continue
        open_ends += [
            {**seen, test.observation: answer} for answer, _ in outcomes(fault, test.observation)
        ]


def test_contradictions_are_named_by_a_smallest_set(every_assignment, by_count):
    sizes = set()
    for seen in every_assignment:
        clash = contradiction(seen)
        assert (clash is None) == bool(by_count[frozenset(seen.items())])
        if clash is None:
            continue
        size = len(clash.observations)
        sizes.add(size)
        smallest = next(
            number for number in range(1, 10)
            if any(not by_count[frozenset(part)] for part in combinations(seen.items(), number))
        )
        assert size == smallest
        assert not by_count[frozenset((key, seen[key]) for key in clash.observations)]
    assert min(sizes) == 2
    assert max(sizes) > 3


def test_a_contradiction_says_what_each_answer_costs():
    seen = {"stays_on_same_leds": True, "moves_with_camera": True, "vanishes_with_focus": False}
    found = identify(seen)
    assert (found.possible, found.found, found.tests) == ((), None, ())
    clash = found.contradiction
    assert clash.observations == ("moves_with_camera", "stays_on_same_leds")
    assert clash.without == {
        "moves_with_camera": ("uneven_scan_lines", "wall_fault"),
        "stays_on_same_leds": ("timing_bands", "tear", "slow_flicker", "lamp_flicker"),
    }
    assert len(found.ruled_out) == len(MATRIX)


def test_a_fault_is_ruled_out_by_the_first_observation_against_it():
    found = identify({"vanishes_with_focus": True, "stays_on_same_leds": False})
    assert found.found == "moire"
    against = {each.fault: (each.observation, each.sign.answer) for each in found.ruled_out}
    assert against["wall_fault"] == ("stays_on_same_leds", "yes")
    assert against["tear"] == ("vanishes_with_focus", "no")


@pytest.mark.parametrize(("seen", "words"), [
    ({"stays_on_leds": True}, "stays_on_leds"), ({"seen_by_eye": "yes"}, "True for yes"),
    ({"seen_by_eye": 1}, "True for yes"), ({"seen_by_eye": None}, "True for yes"),
])
@pytest.mark.parametrize("ask", [possible_faults, fault_tests, next_test, contradiction, identify])
def test_what_is_no_observation_is_refused(ask, seen, words):
    with pytest.raises(OutOfRangeError, match=words):
        ask(seen)
