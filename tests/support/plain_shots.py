"""A plain wall, camera and shot, made in code, for tests of the verdict.

The wall of the figures of orientation: 24 fps, 160 refreshes of 409 counts a frame, 16 scan lines,
bit-reversed, no clock; the camera reads 2160 rows in 8 ms and its optics are not known.
"""

from fractions import Fraction

from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.shot import Optics, Shot
from bandcheck.shoot.wall import Wall

__all__ = [
    "FILM",
    "exposure_at",
    "free_wall",
    "global_camera",
    "mains_lamp",
    "plain_camera",
    "plain_optics",
    "plain_shot",
    "plain_wall",
    "pulsed_lamp",
]

FILM = Fraction(24)


def plain_wall(**changed):
    """Spread drive, every figure given that the timing asks for, but for what is named."""
    return Wall(**{
        "name": "plain wall", "scan_lines": 16, "drive": "spread", "counts_per_refresh": 409,
        "refreshes_per_frame": 160, "dealing": "bit_reversed", "transfer": "bt1886",
        "brightness_control": "current", "rate_tolerance": 0.0, **changed,
    })


def free_wall(**changed):
    """The same wall with a refresh of its own that is known to 1 %."""
    return plain_wall(**{
        "refreshes_per_frame": None, "refresh_hz": 3840.0, "rated_fps": FILM,
        "refresh_lock": "free", "refresh_tolerance": 0.01, **changed,
    })


def plain_camera(**changed):
    """Rolling shutter, any angle."""
    return Camera(**{
        "name": "plain camera", "rows_px": 2160, "shutter": "rolling", "readout_s": 0.008,
        "shutter_whole_lines": False, "readout_tolerance_s": 0.0, "rate_tolerance": 0.0, **changed,
    })


def global_camera(**changed):
    """All rows at once."""
    return plain_camera(**{"shutter": "global", "readout_s": 0.0, **changed})


def plain_optics(**changed):
    """35 mm from 6 m, focused on the wall."""
    return Optics(**{"focal_mm": 35.0, "distance_mm": 6000.0, "f_number": 4.0, **changed})


def mains_lamp(**changed):
    """Full ripple at twice 60 Hz, exactly held."""
    return Lamp(**{
        "name": "mains lamp", "kind": "mains", "mains_hz": 60.0, "mains_tolerance": 0.0,
        "modulation": 1.0, **changed,
    })


def pulsed_lamp(**changed):
    """A fixture that switches at 1200 Hz, lit for a quarter."""
    return Lamp(**{
        "name": "pulsed lamp", "kind": "pulsed", "pulse_hz": 1200.0, "duty": 0.25, **changed,
    })


def exposure_at(angle_deg, fps=FILM):
    """Exposure of a shutter angle, exact [s]."""
    return Fraction(angle_deg) / 360 / Fraction(fps)


def plain_shot(*, fps=FILM, angle=180, **changed):
    """Locked 1:1 at 24 fps and 180 deg, but for what is named; the wall goes with the camera."""
    fps = Fraction(fps)
    wall_fps = Fraction(changed.pop("wall_fps", fps))
    return Shot(**{
        "wall": plain_wall(), "camera": plain_camera(), "fps": fps, "wall_fps": wall_fps,
        "content_fps": wall_fps, "exposure_s": exposure_at(angle, fps), **changed,
    })
