"""What a fault seen on set may be, as plain values for JSON."""

from bandcheck.report.identify_text import (
    FAULT_NAMES,
    QUESTIONS,
    REASONS,
    REMEDIES,
    SHOWS,
    WHY_IT_TELLS,
    command_line,
)
from bandcheck.verdict.fault_signs import BASIS, HELPING_COMMAND, SIDES, Fault
from bandcheck.verdict.identify import Contradiction, FaultTest, Identification, RuledOut

__all__ = ["identify_values"]

Values = dict[str, object]


def _fault(fault: Fault) -> Values:
    return {
        "fault": fault, "name": FAULT_NAMES[fault], "side": SIDES[fault], "shows": SHOWS[fault],
        "to_do": REMEDIES[fault], "command": HELPING_COMMAND[fault],
        "command_line": command_line(fault),
    }


def _test(test: FaultTest) -> Values:
    return {
        "observation": test.observation, "question": QUESTIONS[test.observation],
        "why": WHY_IT_TELLS[test.observation], "expected_left": float(test.expected_left),
        "if_yes": list(test.if_yes), "if_no": list(test.if_no),
    }


def _ruled_out(each: RuledOut) -> Values:
    return {
        "fault": each.fault, "observation": each.observation, "would_be": each.sign.answer,
        "reason": each.sign.reason, "text": REASONS[each.sign.reason],
        "basis": BASIS[each.sign.reason],
    }


def _contradiction(clash: Contradiction) -> Values:
    return {
        "observations": list(clash.observations),
        "without": {each: list(faults) for each, faults in clash.without.items()},
    }


def identify_values(found: Identification) -> Values:
    """What the observations come to as one object (schema `bandcheck.identify/1`).

    Parameters
    ----------
    found
        What `identify` gives.

    Returns
    -------
    dict
        `found`: the fault if one is left; `next_test` and `contradiction`: null where there is
        none; `expected_left`: faults left on average after a test.
    """
    tests = [_test(test) for test in found.tests]
    return {
        "schema": "bandcheck.identify/1",
        "seen": {each: "yes" if answer else "no" for each, answer in found.seen.items()},
        "found": found.found, "possible": [_fault(fault) for fault in found.possible],
        "ruled_out": [_ruled_out(each) for each in found.ruled_out],
        "contradiction": None if found.contradiction is None
        else _contradiction(found.contradiction),
        "next_test": tests[0] if tests else None, "other_tests": tests[1:],
    }
