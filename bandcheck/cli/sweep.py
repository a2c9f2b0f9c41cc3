"""`bandcheck sweep`: shutter angles x frame rates x gray levels."""

import textwrap
from fractions import Fraction

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.options import Given, shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, progressed, say
from bandcheck.cli.values import ANGLES, RATES
from bandcheck.errors import OutOfRangeError
from bandcheck.report.change_wording import levels_phrase
from bandcheck.report.sweep_table import sweep_csv, sweep_json, sweep_npz, sweep_text
from bandcheck.report.wording import CAUTIONS
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.sweep import Sweep, sweep_of_shots

__all__ = ["command"]

_EVERY_DEGREE = tuple(Fraction(degrees) for degrees in range(1, 361))
_CORES = 2


def _content(ending: str, result: Sweep, shot: Shot) -> bytes:
    """What to write to a file of this ending."""
    if ending == ".csv":
        return sweep_csv(result).encode()
    if ending == ".json":
        return f"{json_text(sweep_json(result))}\n".encode()
    if ending == ".npz":
        return sweep_npz(result)
    from bandcheck.report.pictures import sweep_heat_map  # slow: fonts and pillow

    return sweep_heat_map(
        result, title=(f"{shot.wall.name} x {shot.camera.name}", levels_phrase(result.levels)),
        safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from,
    )


def _shots(given: Given, rates: tuple[Fraction, ...]) -> dict[Fraction, Shot | str]:
    """Shot at each rate, or why there is none; where there is none at all the first refusal."""
    shots: dict[Fraction, Shot | str] = {}
    refused: list[OutOfRangeError] = []
    for rate in rates:
        try:
            shots[rate] = asked_shot(
                given, fps=rate, unsaid_angle_deg=Fraction(180), tell_unsaid=False
            )
        except OutOfRangeError as error:
            shots[rate] = str(error)
            refused.append(error)
    if len(refused) == len(shots):
        raise refused[0]
    return shots


@click.command(
    "sweep", cls=PlainCommand,
    example="bandcheck sweep --wall side-2.8 --camera cine-a-wide --rates 24,25,30,48\n"
            "bandcheck sweep --wall side-2.8 --camera studio-f --fps 25 --output map.png",
)
@shot_options
@click.option("--angles", type=ANGLES, metavar=ANGLES.name,
              help="Shutter angles.  [default: 1:360:1]")
@click.option("--rates", type=RATES, metavar=RATES.name, help="Frame rates.  [default: --fps]")
@output_option(".csv", ".json", ".npz", ".png", what="Table or heat map to write")
@json_option
def command(
    given: Given, angles: tuple[Fraction, ...] | None, rates: tuple[Fraction, ...] | None,
    output: Output | None, as_json: bool,
) -> None:
    """Compute shutter angles by frame rates by gray levels."""
    rates = rates or (() if given.fps is None else (given.fps,))
    if not rates:
        raise click.UsageError("--rates: missing; frame rates, or one as --fps")
    shots = _shots(given, rates)
    shot = next(each for each in shots.values() if isinstance(each, Shot))
    result = sweep_of_shots(
        shots, angles_deg=angles or _EVERY_DEGREE, levels=shot.levels, workers=_CORES,
        progress=lambda done, length: progressed(done, label="sweep", length=length),
    )
    if output is not None:
        output.write(_content(output.ending, result, shot))
    if as_json:
        say(json_text(sweep_json(result)))
        return
    limits = (shot.viewing.safe_below, shot.viewing.visible_from)
    head = f"{shot.wall.name}  x  {shot.camera.name}\n{levels_phrase(result.levels)}"
    text = f"{head}\n\n{sweep_text(result, limits=limits)}\n\n{CAUTIONS[0]}"
    say("\n".join(
        part for line in text.splitlines()
        for part in (textwrap.wrap(line, 80, subsequent_indent="  ") or [""])
    ))
