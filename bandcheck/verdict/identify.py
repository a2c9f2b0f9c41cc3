"""From what is seen on set to which fault it is, and what to look at next.

Logic alone: a fault is possible as long as no answer goes against its sign in `fault_signs`.
How likely a fault is on a set is not known and plays no part.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.fault_signs import FAULTS, OBSERVATIONS, SIGNS, Fault, Observation, Sign

__all__ = [
    "Contradiction", "FaultTest", "Identification", "RuledOut", "Seen", "contradiction",
    "fault_tests", "identify", "next_test", "possible_faults",
]

Seen = Mapping[Observation, bool]
"""What was observed: True for yes; what was not looked at is left out."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultTest:
    """An observation that was not made yet, and how far it would lead.

    Attributes
    ----------
    observation
        What to look at.
    expected_left
        Faults left after it on average, exact.
    if_yes, if_no
        Faults left after either answer.
    """

    observation: Observation
    expected_left: Fraction
    if_yes: tuple[Fault, ...]
    if_no: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class RuledOut:
    """A fault that it cannot be, the first observation that says so, and the fault's own sign."""

    fault: Fault
    observation: Observation
    sign: Sign


@dataclass(frozen=True, kw_only=True, slots=True)
class Contradiction:
    """Observations that no single fault explains together.

    Attributes
    ----------
    observations
        As few as can be: leave out any one of them, and some fault explains the others of them.
    without
        For each of them, the faults possible if everything seen but this one holds.
    """

    observations: tuple[Observation, ...]
    without: Mapping[Observation, tuple[Fault, ...]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Identification:
    """What the observations come to.

    Attributes
    ----------
    seen
        The observations, in the order of `OBSERVATIONS`.
    possible, ruled_out
        Faults that explain all of them, and the others.
    contradiction
        None where a fault explains everything.
    tests
        What still tells possible faults apart, best first; empty where one is left, or none.
    """

    seen: Seen
    possible: tuple[Fault, ...]
    ruled_out: tuple[RuledOut, ...]
    contradiction: Contradiction | None
    tests: tuple[FaultTest, ...]

    @property
    def found(self) -> Fault | None:
        """The fault, where only one is left."""
        return self.possible[0] if len(self.possible) == 1 else None


def _checked(seen: Seen) -> dict[Observation, bool]:
    """The observations in the order of the table, refused where they are none."""
    for observation, answer in seen.items():
        if observation not in OBSERVATIONS:
            raise OutOfRangeError("seen", observation, f"one of {', '.join(OBSERVATIONS)}")
        if not isinstance(answer, bool):
            raise OutOfRangeError(f"seen: {observation}", answer, "True for yes, False for no")
    return {each: seen[each] for each in OBSERVATIONS if each in seen}


def _allows(sign: Sign, answer: bool) -> bool:
    return sign.answer == "either" or (sign.answer == "yes") is answer


def _left(faults: Iterable[Fault], observation: Observation, answer: bool) -> tuple[Fault, ...]:
    return tuple(fault for fault in faults if _allows(SIGNS[fault][observation], answer))


def possible_faults(seen: Seen) -> tuple[Fault, ...]:
    """Faults that explain every observation.

    Parameters
    ----------
    seen
        Observations, True for yes; none: every fault is possible.

    Returns
    -------
    tuple of str
        In the order of `FAULTS`; empty where the observations contradict each other.

    Raises
    ------
    OutOfRangeError
        Not an observation of `OBSERVATIONS`, or an answer that is not a bool.
    """
    left = FAULTS
    for observation, answer in _checked(seen).items():
        left = _left(left, observation, answer)
    return left


def fault_tests(seen: Seen) -> tuple[FaultTest, ...]:
    """Observations that would tell the possible faults apart, best first.

    Parameters
    ----------
    seen
        Observations made so far, True for yes.

    Returns
    -------
    tuple of FaultTest
        Ranked by `(p_yes |if_yes| + p_no |if_no|) / n`, the faults left on average if each of the
        n possible ones is as likely as any other and one whose sign is "either" answers either
        way as often; among equals that comes first which is less trouble. An observation that
        can leave no fewer is not among them: empty where one fault is left, or none.

    Raises
    ------
    OutOfRangeError
        As for `possible_faults`.
    """
    possible = possible_faults(seen)
    tests = []
    for observation in OBSERVATIONS:
        if observation in seen:
            continue
        if_yes, if_no = (_left(possible, observation, answer) for answer in (True, False))
        test = FaultTest(
            observation=observation, if_yes=if_yes, if_no=if_no,
            expected_left=_expected_left(yes=len(if_yes), no=len(if_no), possible=len(possible)),
        )
        if test.expected_left < len(possible):
            tests.append(test)
    return tuple(sorted(tests, key=lambda test: test.expected_left))


def _expected_left(*, yes: int, no: int, possible: int) -> Fraction:
    """Faults left on average, each possible one being as likely; see `fault_tests`."""
    if not possible:
        return Fraction(0)
    undecided = Fraction(yes + no - possible, 2)
    return ((yes - undecided) * yes + (no - undecided) * no) / possible


def next_test(seen: Seen) -> FaultTest | None:
    """The observation that leaves fewest faults on average; see `fault_tests`.

    Returns
    -------
    FaultTest or None
        None where one fault is left, or none.
    """
    return next(iter(fault_tests(seen)), None)


def contradiction(seen: Seen) -> Contradiction | None:
    """A smallest set of observations that no single fault explains; None where there is none.

    Parameters
    ----------
    seen
        Observations, True for yes.

    Returns
    -------
    Contradiction or None
        Of several smallest sets the first in the order of `OBSERVATIONS`.

    Raises
    ------
    OutOfRangeError
        As for `possible_faults`.
    """
    checked = _checked(seen)
    if possible_faults(checked):
        return None
    observations = next(
        chosen for size in range(1, len(checked) + 1) for chosen in combinations(checked, size)
        if not possible_faults({each: checked[each] for each in chosen})
    )
    return Contradiction(
        observations=observations,
        without={
            left_out: possible_faults(
                {each: answer for each, answer in checked.items() if each != left_out}
            )
            for left_out in observations
        },
    )


def identify(seen: Seen) -> Identification:
    """Everything that follows from what was observed.

    Parameters
    ----------
    seen
        Observations, True for yes, in any order.

    Returns
    -------
    Identification
        Possible faults, why not the others, contradictions and the next tests.

    Raises
    ------
    OutOfRangeError
        As for `possible_faults`.
    """
    checked = _checked(seen)
    possible = possible_faults(checked)
    against = {
        fault: next(
            observation for observation, answer in checked.items()
            if not _allows(SIGNS[fault][observation], answer)
        )
        for fault in FAULTS if fault not in possible
    }
    return Identification(
        seen=checked, possible=possible, contradiction=contradiction(checked),
        ruled_out=tuple(
            RuledOut(fault=fault, observation=observation, sign=SIGNS[fault][observation])
            for fault, observation in against.items()
        ),
        tests=fault_tests(checked),
    )
