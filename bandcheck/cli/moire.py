"""`bandcheck moire`: fringes at one geometry, and where there are none."""

from dataclasses import replace
from fractions import Fraction

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, progressed, say
from bandcheck.report.change_wording import needed_for_moire
from bandcheck.report.moire_text import (
    map_csv,
    map_subtitle,
    map_table,
    moire_answer_table,
    moire_level,
    moire_text,
)
from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_fixes import moire_fixes
from bandcheck.verdict.moire_map import MapKind, moire_map
from bandcheck.verdict.moire_report import moire_report
from bandcheck.verdict.moire_scene import moire_missing

__all__ = ["command"]

_ANY_RATE = Fraction(24)
_CORES = 2


def _map_file(shot: Shot, kind: MapKind, output: Output) -> bytes:
    found = moire_map(
        shot, kind=kind, workers=_CORES,
        progress=lambda rows, length: progressed(rows, label="moire map", length=length),
    )
    if output.ending == ".json":
        return f"{json_text(map_table(found))}\n".encode()
    if output.ending == ".csv":
        return map_csv(found).encode()
    from bandcheck.report.pictures import moire_map_picture

    return moire_map_picture(
        found, title=(f"{shot.wall.name} x {shot.camera.name}", map_subtitle(shot)),
        safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from,
    )


@click.command(
    "moire", cls=PlainCommand,
    example="bandcheck moire --wall side-2.8 --camera cine-a-wide --focal-mm 35 \\\n"
            "    --f-number 2.8 --distance-m 6 --focus-m 4",
)
@shot_options
@click.option(
    "--map", "kind", type=click.Choice(["focus", "focal"]),
    help="Map distance by focus or by focal length into --output.",
)
@output_option(".txt", ".json", ".csv", ".png", what="File for the answer, or for the map")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, given: Given, kind: MapKind | None, output: Output | None,
    fail_on: str | None, as_json: bool,
) -> None:
    """Say whether LEDs and photosites beat, and where to focus."""
    # Neither rate nor shutter matters to fringes.
    given = replace(given, fps=given.fps or _ANY_RATE)
    shot = asked_shot(given, unsaid_angle_deg=Fraction(180), tell_unsaid=False)
    missing = moire_missing(shot)
    if missing:
        raise click.UsageError(f"moire: missing {needed_for_moire(missing)}")
    _refuse_form(kind, output)
    report, fixes = moire_report(shot), moire_fixes(shot)
    if report is None:
        raise click.UsageError(f"moire: missing {needed_for_moire(moire_missing(shot))}")
    table = json_text(moire_answer_table(shot, report, fixes))
    text = moire_text(shot, report, fixes)
    if output is not None and kind is not None:
        output.write(_map_file(shot, kind, output))
    elif output is not None:
        output.write(f"{table if output.ending == '.json' else text}\n".encode())
    say(table if as_json else text)
    failed(ctx, fail_on, moire_level(report))


def _refuse_form(kind: MapKind | None, output: Output | None) -> None:
    """Refuse a map without a file, and endings that the answer or the map does not have."""
    if kind is not None and output is None:
        raise click.UsageError("--map: needs --output, a name ending in .png, .csv or .json")
    if output is None:
        return
    endings = (".txt", ".json") if kind is None else (".png", ".csv", ".json")
    if output.ending not in endings:
        what = "without --map" if kind is None else "of a map"
        raise click.UsageError(
            f"--output: '{output.given}' is not accepted {what}; a name ending in"
            f" {' or '.join(endings)}"
        )
