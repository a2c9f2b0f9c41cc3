"""Observations as they stand in the question: a line of text that an address can hold."""

from collections.abc import Mapping
from typing import Any

from bandcheck.verdict.fault_signs import OBSERVATIONS, Observation

__all__ = ["observations_of", "seen_text"]

_ANSWERS = {"yes": True, "no": False}


def observations_of(text: str) -> dict[Observation, bool]:
    """Observations of a text such as "seen_by_eye=no,steps_in_ramp=yes".

    Parameters
    ----------
    text
        As in an address; what is no observation is left out.

    Returns
    -------
    dict
        Observation to whether it was seen.
    """
    told = dict(part.strip().partition("=")[::2] for part in text.split(","))
    return {key: _ANSWERS[told[key]] for key in OBSERVATIONS if told.get(key) in _ANSWERS}


def seen_text(answers: Mapping[Any, str | None]) -> str:
    """Text of answers "yes" and "no"; any other answer means that nobody looked.

    Parameters
    ----------
    answers
        Observation to answer.

    Returns
    -------
    str
        What `observations_of` reads.
    """
    return ",".join(
        f"{key}={answers[key]}" for key in OBSERVATIONS if answers.get(key) in _ANSWERS
    )
