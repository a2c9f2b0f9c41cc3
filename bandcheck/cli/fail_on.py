"""The option by which a script is told of a verdict: an exit status of its own."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

from bandcheck.cli.failures import FAILED_ON
from bandcheck.vision.level import Level

__all__ = ["fail_on_option", "failed"]

_Function = TypeVar("_Function", bound=Callable[..., Any])


def fail_on_option(function: _Function) -> _Function:
    """Give a command `--fail-on`; it arrives as `fail_on`."""
    return click.option(
        "--fail-on", type=click.Choice(["marginal", "visible"]),
        help="End with status 3 if the verdict is that bad or worse, or unknown.",
    )(function)


def failed(ctx: click.Context, fail_on: str | None, level: Level) -> None:
    """End the command with its own status if the verdict is as bad as asked, or unknown."""
    if fail_on is not None and (level is Level.UNKNOWN or level >= Level(fail_on)):
        ctx.exit(FAILED_ON)
