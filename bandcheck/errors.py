"""The three ways in which bandcheck says no to what it was given.

All are `ValueError`s whose text stands alone on one line: where the value came from, the value
itself and what would have been accepted.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["AskedError", "OutOfRangeError", "ProfileError", "require"]

_LONGEST_VALUE_SHOWN = 60


def _shown(value: object) -> str:
    if isinstance(value, np.ndarray | np.generic):
        value = value.tolist()
    text = value if isinstance(value, str) else repr(value)
    text = " ".join(text.split())
    if len(text) > _LONGEST_VALUE_SHOWN:
        text = f"{text[:_LONGEST_VALUE_SHOWN]}… ({len(text)} characters)"
    return f"'{text}'" if isinstance(value, str) else text


class OutOfRangeError(ValueError):
    """An argument or option lies outside what is possible.

    Parameters
    ----------
    argument
        Name of the argument, or the option as it is typed.
    value
        What was given.
    accepted
        What would have been taken, in words.
    """

    def __init__(self, argument: str, value: object, accepted: str) -> None:
        super().__init__(f"{argument}: {_shown(value)} is not accepted; {accepted}")
        self.argument = argument
        self.value = value
        self.accepted = accepted


class AskedError(ValueError):
    """A question is not whole, or says two things at once.

    Parameters
    ----------
    argument
        Option or options that it is about, as typed.
    what
        What is missing or what contradicts what.
    """

    def __init__(self, argument: str, what: str) -> None:
        super().__init__(f"{argument}: {what}")
        self.argument = argument
        self.what = what


class ProfileError(ValueError):
    """A profile file says something that cannot be used.

    Parameters
    ----------
    file
        The file's name as the user gave it.
    faults
        One line for each fault: the key, the value and what is accepted.
    """

    def __init__(self, file: str, faults: Sequence[str]) -> None:
        super().__init__(f"{file}: {'; '.join(faults)}")
        self.file = file
        self.faults = tuple(faults)


def require(
    argument: str, value: ArrayLike, accepted: str, *, above: float | None = None,
    at_least: float | None = None, at_most: float | None = None, below: float | None = None,
) -> NDArray[np.float64]:
    """Array of floats, refused unless every element is finite and inside the bounds.

    Parameters
    ----------
    argument
        Name to put in the message.
    value
        Number or array of any shape.
    accepted
        What is accepted, in words, for the message.
    above, at_least, at_most, below
        Bounds; None leaves a side open.

    Returns
    -------
    ndarray
        The value as float64, shape kept.

    Raises
    ------
    OutOfRangeError
        Not finite, or outside a bound.
    """
    array = np.asarray(value, dtype=np.float64)
    good = np.isfinite(array)
    for bound, inside in (
        (above, np.greater), (at_least, np.greater_equal),
        (at_most, np.less_equal), (below, np.less),
    ):
        if bound is not None:
            good &= inside(array, bound)
    if not good.all():
        raise OutOfRangeError(argument, array[~good][0], accepted)
    return array
