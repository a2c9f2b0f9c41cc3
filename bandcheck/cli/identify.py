"""`bandcheck identify`: from what is seen on set to which fault it is."""

from difflib import get_close_matches

import click

from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.screen import json_option, say, say_json
from bandcheck.report.identify_json import identify_values
from bandcheck.report.identify_text import identify_text
from bandcheck.verdict.fault_signs import OBSERVATIONS, Observation
from bandcheck.verdict.identify import identify

__all__ = ["command"]

_ANSWERS = {"yes": True, "no": False}
_LONGEST_SHOWN = 60


def _refusal(typed: str, why: str) -> click.UsageError:
    shown = typed if len(typed) <= _LONGEST_SHOWN else f"{typed[:_LONGEST_SHOWN]}…"
    return click.UsageError(f"--seen: '{shown}' is not accepted; {why}")


def _observed(typed: str) -> tuple[Observation, bool]:
    """One observation and its answer, of KEY=yes or KEY=no."""
    key, equals, answer = (each.strip().casefold() for each in typed.partition("="))
    key = key.replace("-", "_")
    if key not in OBSERVATIONS:
        near = get_close_matches(key[:_LONGEST_SHOWN], OBSERVATIONS, n=1)
        hint = f"did you mean {near[0]}? " if near else ""
        raise _refusal(typed, f"{hint}KEY is one of {', '.join(OBSERVATIONS)}")
    if not equals or answer not in _ANSWERS:
        raise _refusal(typed, f"{key}=yes or {key}=no")
    return key, _ANSWERS[answer]


def _seen(
    _ctx: click.Context, _option: click.Parameter, typed: tuple[str, ...]
) -> dict[Observation, bool]:
    """Everything observed, each observation once."""
    seen: dict[Observation, bool] = {}
    for key, answer in map(_observed, typed):
        if seen.setdefault(key, answer) is not answer:
            raise click.UsageError(f"--seen: {key} is both yes and no; keep one of them")
    return seen


@click.command(
    "identify", cls=PlainCommand,
    example="bandcheck identify\n"
            "bandcheck identify --seen seen_by_eye=no --seen changes_with_shutter=yes",
)
@click.option(
    "--seen", multiple=True, metavar="KEY=yes|no", callback=_seen,
    help=f"One observation; repeat for others. KEY: {', '.join(OBSERVATIONS)}.",
)
@json_option
def command(seen: dict[Observation, bool], as_json: bool) -> None:
    """Say from what is seen which fault it is, and the next test.

    Without --seen the first question is asked; leave out what you are not sure of.
    """
    found = identify(seen)
    if as_json:
        say_json(identify_values(found))
    else:
        say(identify_text(found))
