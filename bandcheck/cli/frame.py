"""`bandcheck frame`: the frame that the camera would record."""

from collections.abc import Callable

import click
import numpy as np

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.options import shot_options
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, json_text, progressed, say
from bandcheck.cli.values import whole
from bandcheck.report.frame_wording import frame_csv, frame_table, frame_text
from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.recorded_frame import RecordedFrame, recorded_frame

__all__ = ["command"]

_WIDTH = whole("PX", at_least=100, at_most=16_384)
_NUMBER = whole("N", at_least=0, at_most=1_000_000)


@click.command(
    "frame", cls=PlainCommand,
    example="bandcheck frame --wall side-2.8 --camera cine-a-wide --fps 24 --angle 172.8\n"
            "bandcheck frame --wall side-2.8 --camera studio-f --fps 24 --angle 90 --json",
)
@click.option(
    "--view", type=click.Choice(["whole", "crop"]), default="whole",
    help="Picture: the whole frame at delivery size, or its middle row for row.",
)
@click.option(
    "--width", type=_WIDTH, metavar=_WIDTH.name, default=None,
    help="Picture: width of the whole frame.  [default: the camera's delivery_columns_px]",
)
@click.option(
    "--gain", type=click.Choice(["1", "10"]), default="1",
    help="Picture: factor on the contrast of bands, LED grid and moire.",
)
@click.option(
    "--frame-number", "number", type=_NUMBER, metavar=_NUMBER.name, default=0,
    help="Number of the camera frame, from 0.",
)
@shot_options
@output_option(".png", ".csv", ".json", what="Picture or rows to write")
@json_option
def command(
    given: Given, view: str, gain: str, width: int | None, number: int, output: Output | None,
    as_json: bool,
) -> None:
    """Compute the frame that the camera would record.

    Rows are those of a flat picture of the first of --levels. The picture shows a gray ramp and two
    bars that move from picture to picture; it is a simulation.
    """
    shot = asked_shot(given)
    frame = recorded_frame(shot, signals=np.array(shot.levels[:1]), number=number)
    table = ""
    if as_json or (output is not None and output.ending == ".json"):
        table = json_text(frame_table(frame))
    if output is not None:
        output.write(_content(
            output.ending, frame, table=table,
            draw=lambda: _picture(shot, number, view=view, gain=float(gain), width=width),
        ))
    say(table if as_json else frame_text(frame))


def _content(
    ending: str, frame: RecordedFrame, *, table: str, draw: Callable[[], bytes]
) -> bytes:
    """What to write to a file of this ending."""
    if ending == ".json":
        return f"{table}\n".encode()
    return frame_csv(frame).encode() if ending == ".csv" else draw()


def _picture(
    shot: Shot, number: int, *, view: str, gain: float, width: int | None
) -> bytes:
    """Picture of the frame over a ramp of gray levels."""
    from bandcheck.report.frame_picture import RAMP_SIGNALS, frame_picture  # slow: fonts, pillow

    return frame_picture(
        recorded_frame(shot, signals=RAMP_SIGNALS, number=number), whole=view == "whole",
        gain=gain, columns=width or shot.camera.delivery_columns_px,
        progress=lambda parts, count: progressed(parts, label="picture", length=count),
    )
