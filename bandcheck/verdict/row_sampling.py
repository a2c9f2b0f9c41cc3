"""From a shot to how its camera's rows meet its wall."""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from bandcheck.imaging.optics import wall_rows_per_camera_row
from bandcheck.imaging.rolling_shutter import scan_direction
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.shot import Shot
from bandcheck.timing.shutter import whole_line_exposure_s
from bandcheck.verdict.light_cases import ASSUMED_RATE_TOLERANCE, ASSUMED_REFRESH_TOLERANCE
from bandcheck.verdict.moire_scene import MoireScene, moire_scene

__all__ = ["RowSampling", "exposure_used_s", "line_time_s", "row_sampling"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RowSampling:
    """How a camera's rows meet a wall.

    Attributes
    ----------
    camera_fps, wall_fps
        Frame rates.
    clock_shared
        Whether camera and wall run from one reference.
    line_time_s, rows_px
        Line time [s], 0 for a global shutter; rows of the sensor.
    wall_rows_per_row, direction
        Wall rows in a camera row (None: optics not known); scan against readout.
    rate_tolerance
        How far the wall's rate against the camera's may err (ratio).
    readout_tolerance
        How far the readout may err, as a ratio of itself.
    softening
        What defocus leaves of light that repeats every S / j LED rows, for j = 0..S-1 of the S
        scan lines; None where the focus is not known.
    """

    camera_fps: Fraction
    wall_fps: Fraction
    clock_shared: bool
    line_time_s: float
    rows_px: int
    wall_rows_per_row: float | None = None
    direction: int = 1
    rate_tolerance: float = 0.0
    readout_tolerance: float = 0.0
    softening: tuple[float, ...] | None = None


def line_time_s(camera: Camera) -> float:
    """Time from one row's opening to the next's, 0 for a global shutter [s]."""
    return camera.readout_s / camera.rows_px if camera.shutter == "rolling" else 0.0


def exposure_used_s(shot: Shot) -> float:
    """Exposure that the camera makes of the one that is set: whole lines where it counts so [s]."""
    exposure = float(shot.exposure_s)
    line = line_time_s(shot.camera)
    if not shot.camera.shutter_whole_lines or line == 0:
        return exposure
    return float(
        whole_line_exposure_s(exposure_s=exposure, line_time_s=line, frame_s=1 / float(shot.fps))
    )


def _coupling(shot: Shot) -> float | None:
    """Wall rows in a camera row; None while a figure is missing."""
    optics, camera, pitch_mm = shot.optics, shot.camera, shot.wall.pitch_mm
    if optics is None or camera.sensor_height_mm is None or pitch_mm is None:
        return None
    return float(
        wall_rows_per_camera_row(
            focal_mm=optics.focal_mm, distance_mm=optics.distance_mm,
            focus_mm=optics.distance_mm if optics.focus_mm is None else optics.focus_mm,
            pitch_mm=pitch_mm, photosite_um=1e3 * camera.sensor_height_mm / camera.rows_px,
        )
    )


def _rate_tolerance(shot: Shot) -> float:
    """How far the wall's refresh against the camera's clock may err (ratio)."""
    wall, camera = shot.wall, shot.camera
    clocks = 0.0
    if shot.genlock == "free" or wall.refresh_lock == "free":
        clocks = sum(
            ASSUMED_RATE_TOLERANCE if own is None else own
            for own in (wall.rate_tolerance, camera.rate_tolerance)
        )
    if wall.refresh_lock == "frame":
        return clocks
    own = wall.refresh_tolerance
    return clocks + (ASSUMED_REFRESH_TOLERANCE if own is None else own)


@lru_cache(maxsize=64)
def _softened(scene: MoireScene, scan_lines: int, along_rows: bool) -> tuple[float, ...]:
    """Softening for every number of a scan's light waves; the same for j and S - j."""
    from bandcheck.imaging.lattice import scan_line_softening  # slow, and seldom needed

    half = np.arange(scan_lines // 2 + 1)
    factor = scan_line_softening(
        cycles_per_led_row=half / scan_lines, along_rows=along_rows, lattice=scene.lattice,
        sensor=scene.sensor, standpoint=scene.standpoint,
    )
    number = np.arange(scan_lines)
    return tuple(float(each) for each in factor[np.minimum(number, scan_lines - number)])


def _softening(shot: Shot) -> tuple[float, ...] | None:
    optics = shot.optics
    if optics is None or optics.focus_mm is None:
        return None
    scene = moire_scene(shot)
    if scene is None:
        return None
    return _softened(scene, shot.wall.scan_lines, shot.panel_rotation_deg in (0, 180))


def row_sampling(shot: Shot) -> RowSampling:
    """How the rows of a shot's camera meet its wall.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    RowSampling
        Plain numbers, in seconds and ratios.
    """
    camera = shot.camera
    line = line_time_s(camera)
    return RowSampling(
        camera_fps=shot.fps,
        wall_fps=shot.wall_fps,
        clock_shared=shot.genlock == "locked",
        line_time_s=line,
        rows_px=camera.rows_px,
        wall_rows_per_row=_coupling(shot),
        direction=scan_direction(
            panel_rotation_deg=shot.panel_rotation_deg, scan_down=shot.wall.scan_down,
            readout_down=camera.readout_down,
        ),
        rate_tolerance=_rate_tolerance(shot),
        readout_tolerance=(camera.readout_tolerance_s or 0.0) / camera.readout_s if line else 0.0,
        softening=_softening(shot),
    )
