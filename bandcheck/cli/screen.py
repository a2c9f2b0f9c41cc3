"""What a command shows: results on standard output, everything else on standard error.

Commands print through these functions alone. A reader that leaves early (`| head`) stops the
printing, not the command: its exit status stays the one of its verdict.
"""

import json
import math
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import PurePath
from typing import Any, TextIO, TypeVar

import click

__all__ = ["json_option", "json_text", "note", "progressed", "say", "say_json", "stop_printing"]

_Item = TypeVar("_Item")
_Function = TypeVar("_Function", bound=Callable[..., Any])


def json_option(function: _Function) -> _Function:
    """Give a command `--json`; it arrives as `as_json`."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON object and nothing else."
    )(function)


def say(text: str = "") -> None:
    """Print a result on standard output.

    Raises
    ------
    click.UsageError
        Standard output cannot be written, for instance because a disk is full.
    """
    try:
        click.echo(text)
    except BrokenPipeError:
        stop_printing()
    except OSError as error:
        stop_printing()
        raise click.UsageError(f"standard output: cannot be written ({error.strerror})") from error


def stop_printing() -> None:
    """Let nothing more reach standard output, neither from now on nor when the program ends."""
    _to_nowhere(sys.stdout)


def note(text: str) -> None:
    """Print a message on standard error; where nobody can read it, go on without."""
    try:
        click.echo(text, err=True)
    except OSError:
        _to_nowhere(sys.stderr)


def say_json(value: Mapping[str, object]) -> None:
    """Print one JSON object on standard output."""
    say(json_text(value))


def json_text(value: Mapping[str, object]) -> str:
    """One JSON object as text.

    Parameters
    ----------
    value
        Keys and numbers, texts, fractions (written as text), paths, arrays, or mappings and
        sequences of them.

    Returns
    -------
    str
        Strict JSON: a figure that is not finite is null.

    Raises
    ------
    TypeError
        A value has no form in JSON.
    """
    return json.dumps(_plain(value), indent=2, allow_nan=False)


def _plain(value: object) -> object:
    if hasattr(value, "tolist"):  # arrays and scalars of numpy, without importing it
        value = value.tolist()
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, Fraction | PurePath):
        return str(value)
    if isinstance(value, Mapping):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, Sequence | set | frozenset) and not isinstance(value, bytes):
        return [_plain(each) for each in value]
    raise TypeError(f"{type(value).__name__} has no form in JSON")


def progressed(items: Iterable[_Item], *, label: str, length: int | None = None) -> Iterator[_Item]:
    """Pass on items, with a progress bar on standard error where that is a terminal.

    Parameters
    ----------
    items
        Anything to go through.
    label
        What is being done.
    length
        Number of items, where `len(items)` is not to be had.

    Yields
    ------
    object
        Each item.
    """
    if not sys.stderr.isatty():
        yield from items
        return
    with click.progressbar(items, label=label, length=length, file=sys.stderr) as bar:
        yield from bar


def _to_nowhere(stream: TextIO) -> None:
    """Send what is still to be written to a stream away, so that it fails only once."""
    try:
        descriptor = stream.fileno()
    except (AttributeError, OSError, ValueError):  # not a file of this process
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, descriptor)
    os.close(nowhere)
