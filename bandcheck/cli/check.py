"""`bandcheck check`: one wall, one camera, one setting."""

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, say
from bandcheck.report.tables import assessment_table
from bandcheck.report.verdict_text import verdict_text
from bandcheck.shoot.asked import Given
from bandcheck.verdict.assess import assess

__all__ = ["command"]


@click.command(
    "check", cls=PlainCommand,
    example="bandcheck check --wall side-2.8 --camera cine-a-wide --fps 24 --angle 172.8\n"
            "bandcheck check --wall floor-3.9 --camera hybrid-d-full --fps 25 --speed 1/50",
)
@shot_options
@output_option(".txt", ".json", what="File to write the verdict to")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, given: Given, output: Output | None, fail_on: str | None, as_json: bool
) -> None:
    """Say whether a setting is safe, why, and what to change."""
    assessment = assess(asked_shot(given))
    wants_table = as_json or (output is not None and output.ending == ".json")
    table = json_text(assessment_table(assessment)) if wants_table else ""
    text = verdict_text(assessment)
    if output is not None:
        output.write(f"{table if output.ending == '.json' else text}\n".encode())
    say(table if as_json else text)
    failed(ctx, fail_on, assessment.overall)
