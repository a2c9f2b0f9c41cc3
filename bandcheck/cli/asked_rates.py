"""The same shot at several frame rates, as the options describe it."""

from collections.abc import Sequence
from fractions import Fraction

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import Shot

__all__ = ["asked_at_rates"]


def asked_at_rates(given: Given, rates: Sequence[Fraction]) -> dict[Fraction, Shot | str]:
    """Shot at each rate, or why there is none.

    Parameters
    ----------
    given
        The options as typed; the shutter must be said.
    rates
        Frame rates that stand in for `--fps` [frames/s].

    Returns
    -------
    dict
        In the order of the rates; a wall or content without a rate of its own goes along.

    Raises
    ------
    click.UsageError, OutOfRangeError, ProfileError
        As `asked_shot`; OutOfRangeError where no rate is left, with the first one's reason.
    """
    asked: dict[Fraction, Shot | str] = {}
    refused: list[OutOfRangeError] = []
    for rate in rates:
        try:
            asked[rate] = asked_shot(
                given, fps=rate, rate_option="--fps" if rate == given.fps else "--rates"
            )
        except OutOfRangeError as error:
            refused.append(error)
            asked[rate] = str(error)
    if len(refused) == len(rates):
        raise refused[0]
    return asked
