"""`bandcheck card`: the page that both people sign."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import click

from bandcheck.cli.asked_rates import asked_at_rates
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.failures import one_line
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.plan_card import write_plan_card
from bandcheck.cli.screen import json_option, note, say, say_json
from bandcheck.cli.values import RATES, Typed
from bandcheck.errors import OutOfRangeError
from bandcheck.report.card import CARD_ENDINGS, card_file, card_level, card_text
from bandcheck.shoot.asked import Given
from bandcheck.shoot.written import CARD_DATE, CARD_VERSION
from bandcheck.verdict.card_figures import card_figures

__all__ = ["command"]

_MOST_RATES = 40
_UNSAID_ANGLE_DEG = Fraction(180)
_DATE = Typed.of(CARD_DATE)
_VERSION = Typed.of(CARD_VERSION)


def _asked_rates(given: Given, rates: tuple[Fraction, ...] | None) -> tuple[Fraction, ...]:
    """Rates of the card, that of `--fps` first where it is not in the list."""
    listed = rates or ()
    if given.fps is not None and given.fps not in listed:
        listed = (given.fps, *listed)
    if not listed:
        raise click.UsageError("--rates: missing; the camera's frame rates, such as 24,25,48")
    if len(listed) > _MOST_RATES:
        raise OutOfRangeError("--rates", len(listed), f"at most {_MOST_RATES} rates")
    return listed


def _names_shutter(given: Given) -> bool:
    said: tuple[Any, ...] = (given.angle, given.speed, given.exposure_ms, given.shutter_hz)
    return any(each is not None for each in said)


def _refuse_beside_plan(given: Given, rates: tuple[Fraction, ...] | None) -> None:
    """Refuse what a plan says for itself."""
    said = {"--wall": given.wall, "--camera": given.camera, "--lamp": given.lamp or None,
            "--fps": given.fps, "--rates": rates, "--angle": given.angle, "--speed": given.speed}
    for option, value in said.items():
        if value is not None:
            raise click.UsageError(f"{option}: not together with --plan, which says it by itself")


@click.command(
    "card", cls=PlainCommand,
    example="bandcheck card --wall stage-main-2.6 --camera cine-a-wide --rates 24,25,48\n"
            "bandcheck card --wall side-2.8 --camera cine-a-wide --fps 24 --output card.pdf\n"
            "bandcheck card --plan night-train --output shoot.pdf",
)
@shot_options
@click.option("--rates", type=RATES, metavar=RATES.name,
              help="Camera's frame rates, such as 24,25,48.  [default: --fps]")
@click.option("--plan", metavar="FILE",
              help="Card of a whole shoot plan, in place of one wall and camera.")
@click.option("--date", type=_DATE, metavar=_DATE.name,
              help="Date to print.  [default: a blank to fill in]")
@click.option("--card-version", type=_VERSION, metavar=_VERSION.name,
              help="Version of the card to print.  [default: a blank to fill in]")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4",
              help="Paper of PDF and PNG.  [default: a4]")
@output_option(*CARD_ENDINGS, what="Card to write")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, given: Given, rates: tuple[Fraction, ...] | None, plan: str | None,
    date: str | None, card_version: str | None, paper: Any, output: Output | None,
    fail_on: str | None, as_json: bool,
) -> None:
    """Make the safe-settings card, and the pocket card for a phone.

    The verdict is that on the settings to dial, the worst of all rates.
    """
    if plan is not None:
        _refuse_beside_plan(given, rates)
        level = write_plan_card(
            plan, date=date or "", version=card_version or "", paper=paper, output=output,
            as_json=as_json,
        )
        failed(ctx, fail_on, level)
        return
    listed = _asked_rates(given, rates)
    said = _names_shutter(given)
    asked = asked_at_rates(given if said else replace(given, angle=_UNSAID_ANGLE_DEG), listed)
    if not said:
        note(f"no shutter given: {float(_UNSAID_ANGLE_DEG):g} deg is taken as the wanted one")
    figures = card_figures(
        asked, date=date or "", version=card_version or "",
        pocket=as_json or (output is not None and output.ending in (".html", ".json")),
    )
    if output is not None:
        output.write(card_file(figures, ending=output.ending, paper=paper))
        note(one_line(f"{output.given}: written"))
    if as_json:
        from bandcheck.report.card_json import card_values

        say_json(card_values(figures))
    elif output is None:
        say(card_text(figures))
    failed(ctx, fail_on, card_level(figures))
