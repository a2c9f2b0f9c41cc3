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


WALL_OPTICS = """pitch_mm = 2.6
emitter_fill = 0.4
emitter_shape = "square"
"""

CAMERA_OPTICS = """columns_px = 3840
sensor_width_mm = 24
mosaic = "bayer"
low_pass_px = 0.5
photosite_fill = 0.9
"""


def profile_files(folder, *, optics=False):
    """Write the three plain profiles; arguments that make a good shot of them."""
    wall, camera = (WALL + WALL_OPTICS, CAMERA + CAMERA_OPTICS) if optics else (WALL, CAMERA)
    for name, text in (("wall", wall), ("camera", camera), ("lamp", LAMP)):
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return ["--wall", str(folder / "wall.toml"), "--camera", str(folder / "camera.toml")]
