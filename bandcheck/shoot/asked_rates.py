"""The same shot at several frame rates."""

from collections.abc import Sequence
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.asked import Given, given_shot
from bandcheck.shoot.shot import Shot

__all__ = ["given_at_rates"]


def given_at_rates(given: Given, rates: Sequence[Fraction]) -> dict[Fraction, Shot | str]:
    """Shot at each rate, or why there is none.

    Parameters
    ----------
    given
        What was given; the shutter must be said.
    rates
        Frame rates that stand in for the one given [frames/s].

    Returns
    -------
    dict
        In the order of the rates; a wall or content without a rate of its own goes along.

    Raises
    ------
    AskedError, OutOfRangeError, ProfileError
        As `given_shot`; OutOfRangeError where no rate is left, with the first one's reason.
    """
    asked: dict[Fraction, Shot | str] = {}
    refused: list[OutOfRangeError] = []
    for rate in rates:
        try:
            asked[rate] = given_shot(given, fps=rate)
        except OutOfRangeError as error:
            refused.append(_named(error, listed=rate != given.fps))
            asked[rate] = str(refused[-1])
    if len(refused) == len(rates):
        raise refused[0]
    return asked


def _named(error: OutOfRangeError, *, listed: bool) -> OutOfRangeError:
    """Reason why a rate cannot be, by the option that it was typed after."""
    if listed and error.argument == "--fps":
        return OutOfRangeError("--rates", error.value, error.accepted)
    return error
