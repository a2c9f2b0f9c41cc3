"""A shot: one wall, one camera, the lamps in the picture and how all are set."""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.wall import Wall

__all__ = ["DARK_LEVELS", "DEFAULT_LEVELS", "Optics", "Shot", "Viewing"]

DEFAULT_LEVELS = (1.0, 0.5, 0.18)
"""Signal levels that decide unless the user names others (physics page 4: project choice)."""

DARK_LEVELS = (0.1, 0.05, 0.02, 0.01)
"""Signal levels that are always shown beside them."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Optics:
    """Lens and geometry; distances from the sensor plane, as on lens scales.

    Attributes
    ----------
    focal_mm, f_number, distance_mm, focus_mm
        Focal length, f-number, distance of the wall and distance focused on (None: not known).
    yaw_deg, tilt_deg, roll_deg
        Turn of the wall against the camera, -90..90 exclusive for yaw and tilt.
    squeeze
        Horizontal squeeze of an anamorphic lens, 1 for a spherical one.
    """

    focal_mm: float
    distance_mm: float
    f_number: float | None = None
    focus_mm: float | None = None
    yaw_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    squeeze: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Viewing:
    """Who looks at the delivered picture, and from where the grades count.

    Attributes
    ----------
    peak_nits, flare_nits
        White of the viewer's display and what is added to its black [cd/m2].
    view_heights
        Viewing distance in picture heights.
    picture_aspect
        Width over height of the picture.
    push_stops
        Stops by which the picture may be brightened later.
    safe_below, visible_from
        Visibility below which a fault is safe, and from which it is visible.
    grade_contrast
        Factor by which the grade multiplies modulation.
    """

    peak_nits: float = 100.0
    flare_nits: float = 0.05
    view_heights: float = 3.0
    picture_aspect: float = 16 / 9
    push_stops: float = 0.0
    safe_below: float = 1.0
    visible_from: float = 8.0
    grade_contrast: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Shot:
    """Everything that decides what the camera records of the wall.

    Attributes
    ----------
    fps, wall_fps, content_fps
        Frame rates of camera, wall and of the picture changes on the wall (0: it stands still).
    exposure_s
        Exposure of one row as set, 0 < exposure <= 1 / fps, exact.
    shutter_set_as
        Whether the shutter was set as an angle or as a time.
    phase_s
        From the start of a wall frame to the first row's opening; None: not known.
    levels
        Signal levels 0..1 that decide, brightest first.
    brightness
        Brightness setting of the wall, 0..1.
    change_spread_s
        Time over which the wall's picture changes from one frame to the next.
    panel_rotation_deg
        How the panels hang: 0, 90, 180 or 270.
    """

    wall: Wall
    camera: Camera
    lamps: tuple[Lamp, ...] = ()
    fps: Fraction
    exposure_s: Fraction
    shutter_set_as: Literal["angle", "time"] = "angle"
    wall_fps: Fraction
    content_fps: Fraction
    genlock: Literal["locked", "free"] = "locked"
    phase_s: float | None = None
    levels: tuple[float, ...] = DEFAULT_LEVELS
    brightness: float = 1.0
    change_spread_s: float = 0.0
    panel_rotation_deg: Literal[0, 90, 180, 270] = 0
    optics: Optics | None = None
    viewing: Viewing = field(default_factory=Viewing)

    def __post_init__(self) -> None:
        if not 0 < self.exposure_s * self.fps <= 1:
            raise OutOfRangeError(
                "exposure", f"{float(self.exposure_s) * 1e3:g} ms",
                f"above 0 and no longer than a frame, {1e3 / float(self.fps):g} ms at this rate",
            )
        if self.camera.readout_s * self.fps > 1:
            raise OutOfRangeError(
                "readout_ms", self.camera.readout_s * 1e3,
                f"no longer than a frame, {1e3 / float(self.fps):g} ms at this rate",
            )

    @property
    def angle_deg(self) -> Fraction:
        """Shutter angle, exact."""
        return 360 * self.exposure_s * self.fps
