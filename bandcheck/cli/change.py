"""`bandcheck change`: the rate or the shutter changes on the day."""

from collections.abc import Sequence
from dataclasses import fields, replace
from fractions import Fraction
from pathlib import Path

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.fail_on import fail_on_option, failed
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, say
from bandcheck.cli.values import ANGLE, FILE, RATE, SPEED
from bandcheck.errors import OutOfRangeError, ProfileError
from bandcheck.report.change_json import change_values
from bandcheck.report.change_text import change_text
from bandcheck.shoot.asked import Given
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.card_file import load_card_shot
from bandcheck.shoot.profiles import load_camera, load_profile, shipped_names
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.change import change_on_the_day
from bandcheck.verdict.trial import runs, shot_after

__all__ = ["command"]

_MOST_FILES = 200


def _refuse_both(ctx: click.Context) -> None:
    """A card is the whole question: nothing of it may be said beside it."""
    typed = [
        f"--{field.name.replace('_', '-')}" for field in fields(Given)
        if ctx.get_parameter_source(field.name) is click.core.ParameterSource.COMMANDLINE
    ]
    if typed:
        raise click.UsageError(
            f"{typed[0]}: given beside --card, which holds the whole question; leave one of them "
            "out, or say --from-fps, --from-angle or --from-speed"
        )


def _one_shutter(angle: Fraction | None, speed: Fraction | None, which: str) -> None:
    if angle is not None and speed is not None:
        raise click.UsageError(
            f"--{which}-angle and --{which}-speed: give one of them; each of them sets the shutter"
        )


def _exposure(
    which: str, fps: Fraction, angle: Fraction | None, speed: Fraction | None
) -> Fraction | None:
    """Exposure that an angle or a speed says [s]."""
    if angle is not None:
        return angle / (360 * fps)
    if speed is not None and speed * fps > 1:
        raise OutOfRangeError(
            f"--{which}-speed", str(speed),
            f"no longer than a frame, 1/{float(fps):g} s at {float(fps):g} frames/s",
        )
    return speed


def _of_card(
    card: str, fps: Fraction | None, angle: Fraction | None, speed: Fraction | None
) -> Shot:
    """Shot of a card, at another rate or shutter of its own where one is said."""
    shot = load_card_shot(card)
    rate = shot.fps if fps is None else fps
    if not runs(shot.camera, rate):
        raise OutOfRangeError(
            "--from-fps", float(rate), f"a rate that the card's camera runs: {shot.camera.name}"
        )
    exposure_s = _exposure("from", rate, angle, speed)
    if exposure_s is None:
        in_time = shot.shutter_set_as == "time"
        exposure_s = shot.exposure_s if in_time else shot.angle_deg / (360 * rate)
    return shot_after(shot, fps=rate, exposure_s=exposure_s)


def _of_options(
    given: Given, fps: Fraction | None, angle: Fraction | None, speed: Fraction | None
) -> Shot:
    """Shot of the shared options; --from-... are other names of three of them."""
    for name, value in (("fps", fps), ("angle", angle), ("speed", speed)):
        if value is not None and getattr(given, name) is not None:
            raise click.UsageError(f"--from-{name} and --{name}: give one of them; they are one")
    return asked_shot(replace(
        given, fps=fps or given.fps, angle=angle or given.angle, speed=speed or given.speed,
    ), rate_option="--from-fps" if fps else "--fps")


def _modes(camera_file: str | Camera | None) -> Sequence[Camera]:
    """Camera modes to look among: the shipped ones and those beside the camera's own file."""
    found = [load_camera(name) for name in shipped_names("camera")]
    if isinstance(camera_file, str) and camera_file not in shipped_names("camera"):
        for path in sorted(Path(camera_file).parent.glob("*.toml"))[:_MOST_FILES]:
            try:
                profile = load_profile(path)
            except ProfileError:  # somebody else's file; this is no place to check it
                continue
            if isinstance(profile, Camera):
                found.append(profile)
    return found


@click.command(
    "change", cls=PlainCommand,
    example="bandcheck change --card card.json --to-fps 48\n"
            "bandcheck change --wall side-2.8 --camera cine-a-wide --fps 24 --speed 1/48 \\\n"
            "    --to-fps 60",
)
@click.option("--card", type=FILE, metavar="CARD.json",
              help="Start from the question of this card, in place of the options below.")
@click.option("--from-fps", type=RATE, metavar=RATE.name,
              help="Rate to start from.  [default: the card's first, or --fps]")
@click.option("--from-angle", type=ANGLE, metavar=ANGLE.name,
              help="Angle to start from.  [default: the card's, or --angle]")
@click.option("--from-speed", type=SPEED, metavar=SPEED.name,
              help="Speed to start from.  [default: the card's, or --speed]")
@click.option("--to-fps", type=RATE, metavar=RATE.name,
              help="New frame rate.  [default: the old one]")
@click.option("--to-angle", type=ANGLE, metavar=ANGLE.name,
              help="New shutter angle.  [default: what the camera makes of the old one]")
@click.option("--to-speed", type=SPEED, metavar=SPEED.name,
              help="New shutter speed, such as 1/50.  [default: as for --to-angle]")
@shot_options
@output_option(".txt", ".json", what="File to write the answer to")
@fail_on_option
@json_option
@click.pass_context
def command(
    ctx: click.Context, given: Given, card: str | None, from_fps: Fraction | None,
    from_angle: Fraction | None, from_speed: Fraction | None, to_fps: Fraction | None,
    to_angle: Fraction | None, to_speed: Fraction | None, output: Output | None,
    fail_on: str | None, as_json: bool,
) -> None:
    """Say what a new rate or shutter does, and what is safe."""
    if to_fps is None and to_angle is None and to_speed is None:
        raise click.UsageError("--to-fps: missing; the new frame rate, or --to-angle or --to-speed")
    _one_shutter(to_angle, to_speed, "to")
    _one_shutter(from_angle, from_speed, "from")
    if card is None:
        shot = _of_options(given, from_fps, from_angle, from_speed)
    else:
        _refuse_both(ctx)
        shot = _of_card(card, from_fps, from_angle, from_speed)
    change = change_on_the_day(
        shot, to_fps=to_fps, modes=lambda: _modes(given.camera),
        to_exposure_s=_exposure("to", to_fps or shot.fps, to_angle, to_speed),
    )
    wants_table = as_json or (output is not None and output.ending == ".json")
    table = json_text(change_values(change)) if wants_table else ""
    text = change_text(change, of_card=card is not None)
    if output is not None:
        output.write(f"{table if output.ending == '.json' else text}\n".encode())
    say(table if as_json else text)
    failed(ctx, fail_on, change.level)
