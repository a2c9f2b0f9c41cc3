"""A command with the shared options that does nothing but build the shot, and plain profiles."""

from fractions import Fraction

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.cli.commands import PlainCommand
from bandcheck.cli.options import shot_options

WALL = """
[wall]
name = "Test wall"
scan_lines = 16
drive = "spread"
counts_per_refresh = 409
refreshes_per_frame = 160
"""

CAMERA = """
[camera]
name = "Test camera"
rows_px = 2160
shutter = "rolling"
readout_ms = 8
max_fps = 60
"""

LAMP = """
[lamp]
name = "Test lamp"
kind = "mains"
mains_hz = 50
modulation = 0.3
"""


@click.command("shoot", cls=PlainCommand, example="bandcheck shoot --fps 24")
@shot_options
@click.option("--lenient", is_flag=True, help="Take 180 deg where no shutter is given.")
def command(given, lenient):
    """Build a shot."""
    return asked_shot(given, unsaid_angle_deg=Fraction(180) if lenient else None)


def profile_files(folder):
    """Write the three plain profiles; arguments that make a good shot of them."""
    for name, text in (("wall", WALL), ("camera", CAMERA), ("lamp", LAMP)):
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return ["--wall", str(folder / "wall.toml"), "--camera", str(folder / "camera.toml")]
