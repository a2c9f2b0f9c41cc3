"""The command `bandcheck`: which commands exist; each is imported only when it runs."""

import os
import sys
from collections.abc import Mapping, Sequence

import click
from click.shell_completion import shell_complete

from bandcheck.cli.commands import Entry, LazyGroup
from bandcheck.cli.failures import DONE, failure
from bandcheck.cli.screen import note, say, stop_printing

__all__ = ["COMMANDS", "bandcheck", "exit_status"]

_COMPLETE_VARIABLE = "_BANDCHECK_COMPLETE"

COMMANDS: Mapping[str, Entry] = {
    "check": Entry(
        "bandcheck.cli.check", "Say whether a setting is safe, why, and what to change."
    ),
    "settings": Entry(
        "bandcheck.cli.settings",
        "List safe shutter settings, and what the wall could do.",
    ),
    "sweep": Entry(
        "bandcheck.cli.sweep", "Compute shutter angles by frame rates by gray levels."
    ),
    "frame": Entry(
        "bandcheck.cli.frame", "Compute the frame that the camera would record."
    ),
    "moire": Entry(
        "bandcheck.cli.moire",
        "Say whether LEDs and photosites beat, and where to focus.",
    ),
    "card": Entry(
        "bandcheck.cli.card", "Make the safe-settings card, and the pocket card for a phone."
    ),
    "change": Entry(
        "bandcheck.cli.change",
        "Say what a new rate or shutter does, and what is safe.",
    ),
    "identify": Entry(
        "bandcheck.cli.identify",
        "Say from what is seen which fault it is, and the next test.",
    ),
    "plan": Entry(
        "bandcheck.cli.plan", "Say which settings suit everything in a shoot plan."
    ),
    "measure": Entry(
        "bandcheck.cli.measure",
        "Turn bands in a frame grab into readout, source and contrast.",
    ),
    "profiles": Entry(
        "bandcheck.cli.profiles", "List, show, check and start wall, camera and lamp profiles."
    ),
    "dashboard": Entry(
        "bandcheck.cli.dashboard", "Serve the dashboard until it is interrupted (Ctrl-C)."
    ),
}
"""Every command that exists, in the order of `bandcheck --help`."""


def _show_version(ctx: click.Context, _option: click.Parameter, wanted: bool) -> None:
    if not wanted or ctx.resilient_parsing:
        return
    from importlib.metadata import PackageNotFoundError, version

    try:
        say(f"bandcheck {version('bandcheck')}")
    except PackageNotFoundError:
        say("bandcheck, run from its source without being installed")
    ctx.exit()


@click.group(
    cls=LazyGroup, entries=COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_show_version,
    help="Show the version and end.",
)
def bandcheck() -> None:
    """Say whether a camera setting will show bands, tears, flicker or moire on an LED wall.

    Every command explains itself: bandcheck COMMAND --help
    """


def exit_status(arguments: Sequence[str] | None = None) -> int:
    """Run one command and turn whatever comes of it into an exit status.

    Parameters
    ----------
    arguments
        What follows `bandcheck` on the command line; None: this process's own.

    Returns
    -------
    int
        Exit status; a failure has been told on standard error in one line.
    """
    completing = os.environ.get(_COMPLETE_VARIABLE)
    try:
        if completing:  # a shell asks what could be typed next
            return shell_complete(bandcheck, {}, "bandcheck", _COMPLETE_VARIABLE, completing)
        typed = list(sys.argv[1:] if arguments is None else arguments)
        with bandcheck.make_context("bandcheck", typed) as context:
            bandcheck.invoke(context)
        return DONE
    except click.exceptions.Exit as end:
        return end.exit_code
    except (Exception, KeyboardInterrupt) as error:
        if isinstance(error, OSError):  # perhaps of printing help; a second failure would show
            stop_printing()
        if isinstance(error, BrokenPipeError):  # help whose reader has gone
            return DONE
        status, line = failure(error)
        note(f"bandcheck: {line}")
        return status
