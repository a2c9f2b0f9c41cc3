"""`bandcheck measure`: a frame grab back into numbers."""

from typing import Any

import click

from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.measure_saved import refuse_original, saved_text
from bandcheck.cli.measured_files import Asked, measured_files
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, note, say
from bandcheck.cli.values import FILE, REGION, Typed, number, whole
from bandcheck.shoot.asked import Given
from bandcheck.shoot.written import CARD_DATE

__all__ = ["command"]

_HZ = number("HZ", above=0, at_most=10_000_000, unit="of hertz")
_MS = number("MS", above=0, at_most=1000, unit="of milliseconds")
_ERROR = number("MS", at_least=0, at_most=1000, unit="of milliseconds")
_ROWS = whole("N", at_least=1, at_most=200_000)
_GAMMA = number("GAMMA", at_least=0.1, at_most=10)
_SCALE = number("ROWS", above=0, at_most=1000)
_APART = whole("N", at_least=1, at_most=1_000_000)
_DATE = Typed.of(CARD_DATE)


@click.command(
    "measure", cls=PlainCommand,
    example="bandcheck measure grab.png --source-hz 100\n"
            "bandcheck measure grab.png --camera cine-a-wide --region 200,0,1500,1080\n"
            "bandcheck measure grab.png --source-hz 3840 --camera camera.toml \\\n"
            "    --save-to camera-measured.toml --date 2026-03-02\n"
            "bandcheck measure one.png two.png --series later --fps 24 --readout-ms 8",
)
@click.argument("files", nargs=-1, required=True, type=FILE, metavar="FILE...")
@click.option("--source-hz", type=_HZ, metavar=_HZ.name, multiple=True,
              help="Known frequency of the light, taken as exact; repeat for several lights.")
@click.option("--readout-ms", type=_MS, metavar=_MS.name,
              help="Known readout, for all the rows that are read.  [default: the camera's]")
@click.option("--readout-error-ms", type=_ERROR, metavar=_ERROR.name, default=0.0,
              help="One standard deviation of --readout-ms.  [default: 0]")
@click.option("--rows-read", type=_ROWS, metavar=_ROWS.name,
              help="Rows that the sensor reads.  [default: the camera's, else the picture's]")
@click.option("--rows-kept", type=_ROWS, metavar=_ROWS.name,
              help="Rows of these that the picture shows, after a crop.  [default: all]")
@click.option("--row-scale", type=_SCALE, metavar=_SCALE.name,
              help="Sensor rows in a row of the picture, where --rows-kept does not say it.")
@click.option("--region", "regions", type=REGION, metavar=REGION.name, multiple=True,
              help="Part of the picture; repeat for a picture of several levels.  "
                   "[default: found, and said]")
@click.option("--along", type=click.Choice(["rows", "columns"]), default="rows",
              help="columns: the sensor's rows stand upright in the picture.")
@click.option("--transfer", type=click.Choice(["srgb", "bt709", "linear", "gamma"]),
              help="How light became codes.  [default: srgb; linear for a CSV]")
@click.option("--gamma", type=_GAMMA, metavar=_GAMMA.name,
              help="Exponent of --transfer gamma.  [default: 2.2]")
@click.option("--series", type=click.Choice(["later", "upside-down", "levels"]),
              help="What several files or regions are: the same some frames later, the second one "
                   "with the camera turned over, or the gray levels of --levels, brightest first.")
@click.option("--frames-apart", type=_APART, metavar=_APART.name, default=1,
              help="Camera frames between the two pictures of --series later.  [default: 1]")
@click.option("--date", type=_DATE, metavar=_DATE.name, help="Date to note with --save-to.")
@shot_options
@output_option(".toml", option="--save-to",
               what="Copy of the profile that the figure goes into, with the figure and its source")
@output_option(".png", ".json", what="Picture of rows, spectrum and fit, or the figures")
@json_option
def command(given: Given, files: tuple[str, ...], save_to: Output | None, date: str | None,
            output: Output | None, as_json: bool, **options: Any) -> None:
    """Turn bands in a frame grab into readout, source and contrast.

    FILE is a PNG, JPEG or TIFF picture of 8 or 16 bit, or a CSV of row means; metadata is ignored.
    A known light gives the readout: --source-hz, --lamp, or --wall with --fps. A known readout
    gives the source: --readout-ms or --camera. With wall, camera, rate and shutter the contrast is
    compared with the predicted one.
    """
    asked = Asked(given=given, files=files, **options)
    if save_to is not None:
        refuse_original(save_to, given, files, date)
    found = measured_files(asked)
    table = json_text(found.table) if as_json or output is not None else ""
    saved = None if save_to is None else saved_text(found.reading, asked, date or "")
    if output is not None:
        output.write(f"{table}\n".encode() if output.ending == ".json" else found.picture())
    if save_to is not None and saved is not None:
        save_to.write(saved.encode())
        note(f"{save_to.given}: written; the profile it came from is as it was")
    say(table if as_json else found.text)
