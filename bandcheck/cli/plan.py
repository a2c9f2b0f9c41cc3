"""`bandcheck plan`: a whole shoot, set-up by set-up."""

from collections.abc import Iterable
from typing import Any

import click

from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.failures import one_line
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, note, progressed, say
from bandcheck.report.plan_table import plan_csv, plan_json
from bandcheck.report.plan_text import plan_text, resolved_text
from bandcheck.shoot.plan_file import load_plan
from bandcheck.verdict.plan_agreement import PlanAgreement, plan_agreement

__all__ = ["command"]

_CORES = 2


def _shown(items: Iterable[Any], length: int) -> Iterable[Any]:
    return progressed(items, label="plan", length=length)


def _content(ending: str, found: PlanAgreement) -> bytes:
    if ending == ".csv":
        return plan_csv(found).encode("utf-8-sig")  # the mark tells spreadsheets the encoding
    text = json_text(plan_json(found)) if ending == ".json" else plan_text(found)
    return f"{text}\n".encode()


@click.command(
    "plan", cls=PlainCommand,
    example="bandcheck plan night-train\n"
            "bandcheck plan shoot.toml --output agreed.csv\n"
            "bandcheck plan shoot.toml --resolved",
)
@click.argument("plan", metavar="FILE", required=True)
@click.option("--resolved", is_flag=True,
              help="Show what holds in each set-up and who stated it, and compute nothing.")
@output_option(".csv", ".json", ".txt", what="File to write the agreement to")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, plan: str, resolved: bool, output: Output | None, fail_on: str | None,
    as_json: bool,
) -> None:
    """Say which settings suit everything in a shoot plan."""
    loaded = load_plan(plan)
    if resolved:
        say(resolved_text(loaded))
        return
    found = plan_agreement(loaded, workers=_CORES, progress=_shown)
    if output is not None:
        output.write(_content(output.ending, found))
        note(one_line(f"{output.given}: written"))
    if as_json:
        say(json_text(plan_json(found)))
    else:
        say(plan_text(found))
    failed(ctx, fail_on, found.level)
