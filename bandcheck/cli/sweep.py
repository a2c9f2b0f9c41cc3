"""`bandcheck sweep`: shutter angles x frame rates x gray levels."""

import textwrap
from dataclasses import replace
from fractions import Fraction

import click

from bandcheck.cli.asked_rates import asked_at_rates
from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, progressed, say
from bandcheck.cli.values import ANGLES, RATES
from bandcheck.errors import OutOfRangeError
from bandcheck.report.change_wording import levels_phrase
from bandcheck.report.rounding import rate_words
from bandcheck.report.sweep_table import sweep_csv, sweep_json, sweep_npz, sweep_text
from bandcheck.report.wording import CAUTIONS
from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.sweep import Sweep, sweep_of_shots

__all__ = ["command"]

_EVERY_DEGREE = tuple(Fraction(degrees) for degrees in range(1, 361))
_CORES = 2

_MOST_CELLS = 2_000_000
"""Angles x rates x levels, so that a slip of the pen does not fill memory: project choice."""


def _swept(
    given: Given, angles: tuple[Fraction, ...] | None, rates: tuple[Fraction, ...],
    slowest: Fraction,
) -> tuple[Fraction, ...]:
    """Angles to sweep: those that are listed, or every degree and the shutter that is named.

    A shutter that is longer than a frame of `slowest`, the slowest rate that can be run, fits none.
    """
    named = asked_shot(
        given, fps=given.fps or slowest, unsaid_angle_deg=_EVERY_DEGREE[-1], tell_unsaid=False
    )
    if angles is None:
        own = {named.angle_deg}
        if named.shutter_set_as == "time":
            own = {360 * named.exposure_s * rate for rate in rates}
        angles = tuple(sorted({*_EVERY_DEGREE, *(angle for angle in own if angle <= 360)}))
    if len(angles) * len(rates) * len(given.levels) > _MOST_CELLS:
        raise OutOfRangeError(
            "--angles", f"{len(angles)} angles x {len(rates)} rates x {len(given.levels)} levels",
            f"at most {_MOST_CELLS} cells in all: a larger step, or fewer rates or levels",
        )
    return angles


def _shots(given: Given, rates: tuple[Fraction, ...]) -> dict[Fraction, Shot | str]:
    """Shot at each rate, with a shutter that no rate refuses, as all of them are replaced."""
    return asked_at_rates(replace(
        given, angle=_EVERY_DEGREE[0], speed=None, exposure_ms=None, shutter_hz=None
    ), rates)


def _title(result: Sweep, shot: Shot) -> tuple[str, ...]:
    refused = ", ".join(rate_words(rate) for rate in result.refused)
    return (
        f"{shot.wall.name} x {shot.camera.name}",
        f"{levels_phrase(result.levels)}; genlock {shot.genlock}; worst over every phase;"
        " frame flicker and lamps in it, moire not",
        *((f"cannot be run at {refused} frames/s",) if refused else ()),
    )


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
        result, title=_title(result, shot), safe_below=shot.viewing.safe_below,
        visible_from=shot.viewing.visible_from,
    )


@click.command(
    "sweep", cls=PlainCommand,
    example="bandcheck sweep --wall side-2.8 --camera cine-a-wide --rates 24,25,30,48\n"
            "bandcheck sweep --wall side-2.8 --camera studio-f --fps 25 --output map.png",
)
@shot_options
@click.option("--angles", type=ANGLES, metavar=ANGLES.name,
              help="Shutter angles.  [default: 1:360:1 and the shutter that is named]")
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
    shot, *others = (each for each in shots.values() if isinstance(each, Shot))
    swept = _swept(given, angles, rates, min(each.fps for each in (shot, *others)))
    result = sweep_of_shots(
        shots, angles_deg=swept, levels=shot.levels, workers=_CORES,
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
