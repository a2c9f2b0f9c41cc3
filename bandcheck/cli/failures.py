"""From what went wrong to an exit status and one plain line."""

import os
import re
import sys
import traceback
from collections.abc import Iterable
from difflib import get_close_matches

import click

__all__ = [
    "BAD_INPUT", "DONE", "FAILED_ON", "INTERRUPTED", "OUR_FAULT", "TRACEBACK_VARIABLE", "failure",
    "one_line", "option_name", "with_nearest",
]

DONE = 0
OUR_FAULT = 1
BAD_INPUT = 2
FAILED_ON = 3
INTERRUPTED = 130

TRACEBACK_VARIABLE = "BANDCHECK_TRACEBACK"
"""Environment variable that, when set, shows the traceback of a fault of our own."""

_LONG_WORD = re.compile(r"(\S{180})\S{20,}?(?=[').,:;]*(?:\s|$))")


def failure(error: BaseException) -> tuple[int, str]:
    """Exit status and one line for an error that ended a command.

    Parameters
    ----------
    error
        What was raised.

    Returns
    -------
    status, line
        Bad input names the option or file, the value and what is accepted; a fault of our own
        says so, and how to see where it happened.
    """
    if isinstance(error, click.Abort | KeyboardInterrupt):
        return INTERRUPTED, "interrupted"
    if isinstance(error, click.ClickException):
        return BAD_INPUT, one_line(_LONG_WORD.sub(r"\1…", _usage(error)))
    if isinstance(error, OSError):
        return BAD_INPUT, one_line(f"the system refused: {error}")
    from bandcheck.errors import OutOfRangeError, ProfileError  # slow to import, seldom needed

    if isinstance(error, OutOfRangeError | ProfileError):
        return BAD_INPUT, one_line(str(error))
    if os.environ.get(TRACEBACK_VARIABLE):
        traceback.print_exception(error, file=sys.stderr)
    return OUR_FAULT, one_line(
        f"this is a fault of bandcheck, not of what you gave it: {type(error).__name__}: {error} "
        f"(set {TRACEBACK_VARIABLE}=1 and run again to see where)"
    )


def one_line(text: str) -> str:
    """Text on one line, with everything that could steer a terminal spelled out."""
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode("ascii")
        for char in " ".join(text.split())
    )


def option_name(parameter: click.Parameter | None) -> str:
    """Name of an option or argument as it is typed, the longest where it has several."""
    if parameter is None:
        return "argument"
    if isinstance(parameter, click.Option):
        return max(parameter.opts, key=len)
    return parameter.human_readable_name


def with_nearest(message: str, word: str, known: Iterable[str]) -> str:
    """Message followed by the known word that is most like the one given, or by all of them."""
    known = list(known)
    near = get_close_matches(word[:80], known, n=1)
    return f"{message}; " + (f"did you mean {near[0]}?" if near else f"known: {', '.join(known)}")


def _usage(error: click.ClickException) -> str:
    context = getattr(error, "ctx", None)
    if isinstance(error, click.NoSuchOption):
        return _no_such_option(error.option_name, context)
    if isinstance(error, click.MissingParameter):
        return f"{option_name(error.param)}: missing; {_accepted(error.param)}"
    if isinstance(error, click.BadOptionUsage):
        parameter = _parameter(context, error.option_name)
        if parameter is not None and not getattr(parameter, "is_flag", False):
            return f"{error.option_name}: its value is missing; {_accepted(parameter)}"
    message = error.message.rstrip(".")
    if isinstance(error, click.BadParameter) and error.param is not None:
        return f"{option_name(error.param)}: {message}"
    return message


def _no_such_option(name: str, context: click.Context | None) -> str:
    if context is None:
        return f"{name}: no such option"
    known = [
        option for parameter in context.command.get_params(context)
        if isinstance(parameter, click.Option) for option in parameter.opts
        if option.startswith("--")
    ]
    near = get_close_matches(name[:80], known, n=1)
    hint = f"did you mean {near[0]}?" if near else f"see {context.command_path} --help"
    return f"{name}: no such option of {context.command_path}; {hint}"


def _parameter(context: click.Context | None, name: str) -> click.Parameter | None:
    if context is None:
        return None
    parameters = context.command.get_params(context)
    return next((each for each in parameters if name in each.opts), None)


def _accepted(parameter: click.Parameter | None) -> str:
    """Words for what a parameter takes."""
    kind = getattr(parameter, "type", None)
    if isinstance(kind, click.Choice):
        return f"one of {', '.join(map(str, kind.choices))}"
    words: str = getattr(kind, "accepted", "a value")
    return words
