"""`bandcheck plan`: a whole shoot, set-up by set-up."""

from collections.abc import Iterable
from typing import Any

import click

from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.failures import one_line
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, note, progressed, say
from bandcheck.cli.values import FILE
from bandcheck.report.plan_compare_text import compare_json, compare_text
from bandcheck.report.plan_table import plan_csv, plan_json
from bandcheck.report.plan_text import plan_text, resolved_text
from bandcheck.shoot.plan_file import load_plan
from bandcheck.verdict.plan_agreement import PlanAgreement, plan_agreement
from bandcheck.verdict.plan_compare import PlanComparison, plan_comparison
from bandcheck.vision.level import Level

__all__ = ["command"]

_CORES = 2

_FILES = "a plan's file, or two with --compare: the old one and the new one"


def _shown(items: Iterable[Any], length: int) -> Iterable[Any]:
    return progressed(items, label="plan", length=length)


def _text(found: PlanAgreement | PlanComparison) -> str:
    return compare_text(found) if isinstance(found, PlanComparison) else plan_text(found)


def _json(found: PlanAgreement | PlanComparison) -> str:
    if isinstance(found, PlanComparison):
        return json_text(compare_json(found))
    return json_text(plan_json(found))


def _content(ending: str, found: PlanAgreement | PlanComparison) -> bytes:
    if ending == ".csv" and isinstance(found, PlanAgreement):
        return plan_csv(found).encode("utf-8-sig")  # the mark tells spreadsheets the encoding
    return f"{_json(found) if ending == '.json' else _text(found)}\n".encode()


def _found(files: tuple[str, ...], *, compare: bool) -> PlanAgreement | PlanComparison:
    if not compare:
        return plan_agreement(load_plan(files[0]), workers=_CORES, progress=_shown)
    return plan_comparison(load_plan(files[0]), load_plan(files[1]))


def _refuse(
    files: tuple[str, ...], *, compare: bool, resolved: bool, output: Output | None,
    as_json: bool,
) -> None:
    if len(files) != 1 + compare:
        raise click.UsageError(f"FILE: {len(files)} given; {_FILES}")
    beside = {"--compare": compare, "--json": as_json, "--output": output is not None}
    for option, given in beside.items():
        if resolved and given:
            raise click.UsageError(f"--resolved: not together with {option}")
    if compare and output is not None and output.ending == ".csv":
        raise click.UsageError("--output: with --compare a name ending in .json or .txt")


@click.command(
    "plan", cls=PlainCommand,
    example="bandcheck plan night-train\n"
            "bandcheck plan shoot.toml --output agreed.csv\n"
            "bandcheck plan shoot.toml --resolved\n"
            "bandcheck plan --compare monday.toml tuesday.toml",
)
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=FILE)
@click.option("--compare", is_flag=True,
              help="Compare two plans, the old one first: what changed, what is void.")
@click.option("--resolved", is_flag=True,
              help="Show what holds in each set-up and who stated it, and compute nothing.")
@output_option(".csv", ".json", ".txt", what="File to write the agreement to")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, files: tuple[str, ...], compare: bool, resolved: bool,
    output: Output | None, fail_on: str | None, as_json: bool,
) -> None:
    """Say which settings suit everything in a shoot plan."""
    _refuse(files, compare=compare, resolved=resolved, output=output, as_json=as_json)
    if resolved:
        say(resolved_text(load_plan(files[0])))
        return
    found = _found(files, compare=compare)
    if output is not None:
        output.write(_content(output.ending, found))
        note(one_line(f"{output.given}: written"))
    say(_json(found) if as_json else _text(found))
    level: Level = found.level
    failed(ctx, fail_on, level)
