"""A plan in files that is quick to compute: two coarse walls, two cameras, a lamp."""

__all__ = ["OTHER", "plan_files"]

_WALL = """
[wall]
name = "coarse {refreshes}"
scan_lines = 4
drive = "repeated"
counts_per_refresh = 256
refreshes_per_frame = {refreshes}
transfer = "bt1886"
brightness_control = "current"
[source]
scan_lines = "maker's sheet"
"""

_CAMERA = """
[camera]
name = "{name}"
rows_px = 200
shutter = "rolling"
readout_ms = {readout}
shutter_whole_lines = false
readout_tolerance_ms = 0
angle_step_deg = 0.1
"""

_PLAN = """
[plan]
name = "quick shoot"
[defaults]
rates = [24, 25]
angle_deg = 170
levels_pct = [100]
[[surface]]
name = "main"
wall = "eight.toml"
[[surface]]
name = "top"
wall = "seven.toml"
role = "lighting_only"
[[camera]]
name = "A"
profile = "a.toml"
[[camera]]
name = "B"
profile = "b.toml"
[[lamp]]
name = "desk"
profile = "mains-50-tungsten"
[[setup]]
name = "one"
cameras = ["A", "B"]
surfaces = ["main"]
[[setup]]
name = "two"
camera = "A"
surfaces = ["main", "top"]
rates = [24]
"""

OTHER = """
[[ramp]]
name = "faster"
setup = "two"
from_fps = 24
to_fps = 25
[[interleave]]
name = "turns"
cameras = ["A", "B"]
surface = "main"
wall_multiple = 2
rates = [24]
"""


def plan_files(folder, *, added="", changed=()):
    """Write the plan and its profiles; the plan's path."""
    for name, refreshes in (("eight", 8), ("seven", 7)):
        (folder / f"{name}.toml").write_text(_WALL.format(refreshes=refreshes), encoding="utf-8")
    for name, readout in (("a", 8), ("b", 4)):
        text = _CAMERA.format(name=f"camera {name}", readout=readout)
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    text = _PLAN + added
    for old, new in changed:
        assert old in text
        text = text.replace(old, new)
    path = folder / "shoot.toml"
    path.write_text(text, encoding="utf-8")
    return path
