"""From the options of a command to the shot they describe."""

from fractions import Fraction

import click

from bandcheck.cli.screen import note
from bandcheck.errors import AskedError, OutOfRangeError
from bandcheck.shoot.asked import Given, given_exposure, given_shot
from bandcheck.shoot.shot import Shot

__all__ = ["asked_shot"]


def asked_shot(
    given: Given, *, fps: Fraction | None = None, rate_option: str = "--fps",
    unsaid_angle_deg: Fraction | None = None, tell_unsaid: bool = True,
) -> Shot:
    """Shot that the options describe; `shoot.asked.given_shot` for a command.

    Parameters
    ----------
    given
        The options as typed.
    fps
        Frame rate to use in place of `--fps` [frames/s].
    rate_option
        Option that the frame rate was typed after, for messages.
    unsaid_angle_deg
        Shutter angle to take where the options name no shutter [deg].
    tell_unsaid
        Whether to say so.

    Returns
    -------
    Shot
        Profiles loaded, defaults filled in.

    Raises
    ------
    click.UsageError
        An option is missing, or two contradict each other.
    OutOfRangeError
        A value cannot be, beside the others.
    ProfileError
        A profile is missing or faulty.
    """
    rate = fps if fps is not None else given.fps
    try:
        if tell_unsaid and unsaid_angle_deg is not None and rate is not None and (
            given_exposure(given, fps=rate) is None
        ):
            note(f"no shutter given: {float(unsaid_angle_deg):g} deg is taken as the wanted one")
        return given_shot(given, fps=fps, unsaid_angle_deg=unsaid_angle_deg)
    except AskedError as error:
        raise click.UsageError(str(error)) from error
    except OutOfRangeError as error:
        if error.argument == "--fps" != rate_option:
            raise OutOfRangeError(rate_option, error.value, error.accepted) from error
        raise
