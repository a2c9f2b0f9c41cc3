"""`bandcheck settings`: what may be set instead."""

from fractions import Fraction

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, say
from bandcheck.report.tables import settings_table
from bandcheck.report.verdict_text import settings_text
from bandcheck.shoot.asked import Given
from bandcheck.verdict.settings import safe_settings

__all__ = ["command"]


@click.command(
    "settings", cls=PlainCommand,
    example="bandcheck settings --wall side-2.8 --camera cine-a-wide --fps 25 --angle 180\n"
            "bandcheck settings --wall side-2.8 --camera studio-f --fps 25 --speed 1/50",
)
@shot_options
@output_option(".txt", ".json", what="File to write the settings to")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, given: Given, output: Output | None, fail_on: str | None, as_json: bool
) -> None:
    """List safe shutter settings, and what the wall could do."""
    settings = safe_settings(asked_shot(given, unsaid_angle_deg=Fraction(180)))
    wants_table = as_json or (output is not None and output.ending == ".json")
    table = json_text(settings_table(settings)) if wants_table else ""
    text = settings_text(settings)
    if output is not None:
        output.write(f"{table if output.ending == '.json' else text}\n".encode())
    say(table if as_json else text)
    failed(ctx, fail_on, settings.wanted.level)
