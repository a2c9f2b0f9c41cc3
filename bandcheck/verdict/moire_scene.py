"""From a shot to the plain numbers that fringes are computed from."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bandcheck.shoot.shot import Shot

if TYPE_CHECKING:
    from bandcheck.hazards.moire import Viewer
    from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint

__all__ = ["MoireScene", "moire_missing", "moire_scene"]


@dataclass(frozen=True, kw_only=True, slots=True)
class MoireScene:
    """A shot in the plain numbers that fringes are computed from."""

    lattice: "LedLattice"
    sensor: "Sensor"
    standpoint: "Standpoint"
    viewer: "Viewer"


def moire_missing(shot: Shot) -> tuple[str, ...]:
    """What has to be known before moire can be computed and is not, by key or option.

    A focus that is not known is not among it: it is taken to be on the wall, the worst it can be.
    """
    optics = shot.optics
    return tuple(
        name for name, value in (
            ("focal_mm", optics and optics.focal_mm),
            ("distance_m", optics and optics.distance_mm),
            ("f_number", optics and optics.f_number),
            ("pitch_mm", shot.wall.pitch_mm),
            ("sensor_width_mm", shot.camera.sensor_width_mm),
            ("columns_px", shot.camera.columns_px),
        ) if value is None
    )


def moire_scene(shot: Shot) -> MoireScene | None:
    """Plain numbers of a shot; None while something is missing (`moire_missing`)."""
    wall, camera, optics, viewing = shot.wall, shot.camera, shot.optics, shot.viewing
    if (
        optics is None or optics.f_number is None or wall.pitch_mm is None
        or camera.sensor_width_mm is None or camera.columns_px is None
    ):
        return None
    from bandcheck.hazards.moire import Viewer  # slow, and many shots come without a lens
    from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint

    focus_mm = optics.distance_mm if optics.focus_mm is None else optics.focus_mm
    return MoireScene(
        lattice=LedLattice.of(
            pitch_mm=wall.pitch_mm, emitter_fill=wall.emitter_fill,
            emitter_shape=wall.emitter_shape, cabinet_angle_deg=wall.cabinet_angle_deg,
            cabinet_columns_px=wall.cabinet_columns_px,
        ),
        sensor=Sensor.of(
            columns_px=camera.columns_px, rows_px=camera.rows_px,
            width_mm=camera.sensor_width_mm, height_mm=camera.sensor_height_mm,
            mosaic=camera.mosaic, low_pass_px=camera.low_pass_px,
            photosite_fill=camera.photosite_fill,
            delivery_columns_px=camera.delivery_columns_px,
            delivery_filter=camera.delivery_filter,
        ),
        standpoint=Standpoint(
            focal_mm=optics.focal_mm, f_number=optics.f_number, distance_mm=optics.distance_mm,
            focus_mm=focus_mm, yaw_deg=optics.yaw_deg, tilt_deg=optics.tilt_deg,
            roll_deg=optics.roll_deg, squeeze=optics.squeeze,
        ),
        viewer=Viewer(
            luminance_nits=viewing.peak_nits, white_nits=viewing.peak_nits,
            flare_nits=viewing.flare_nits, view_heights=viewing.view_heights,
            picture_aspect=viewing.picture_aspect, grade_contrast=viewing.grade_contrast,
        ),
    )
