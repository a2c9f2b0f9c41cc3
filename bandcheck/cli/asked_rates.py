"""The same shot at several frame rates, as the options describe it."""

from collections.abc import Sequence
from fractions import Fraction

import click

from bandcheck.errors import AskedError
from bandcheck.shoot.asked import Given
from bandcheck.shoot.asked_rates import given_at_rates
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
    try:
        return given_at_rates(given, rates)
    except AskedError as error:
        raise click.UsageError(str(error)) from error
