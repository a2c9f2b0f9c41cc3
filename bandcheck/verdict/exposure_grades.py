"""Everything about timing that depends on the exposure, for many exposures of one shot."""

from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.tearing import Tearing, tearing
from bandcheck.shoot.shot import Shot
from bandcheck.timing.shutter import whole_line_exposure_s
from bandcheck.verdict.frame_flicker import frame_flicker
from bandcheck.verdict.lamp_cells import lamp_light, lamp_visibility
from bandcheck.verdict.light_cases import ASSUMED_RATE_TOLERANCE, light_cases
from bandcheck.verdict.row_sampling import exposure_used_s, line_time_s, row_sampling
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.just_noticeable import severities
from bandcheck.vision.level import Level

__all__ = ["ExposureGrades", "exposure_grades", "made_exposures_s", "shot_tearing", "with_angle"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class ExposureGrades:
    """Grades of A exposures against each thing that pulses or changes.

    Attributes
    ----------
    sources
        "wall", "flicker" and the names of the lamps: what the rows of `visibility` are.
    visibility
        V of each source, the worst of the levels that decide, shape (sources, A); NaN where the
        camera's exposure scheme is not one that the model describes.
    torn
        Whether no phase at all keeps the picture changes out of the exposure, shape (A,).
    severity
        Worst grade of all, 0 to 3 as in `Level.severity`, shape (A,).
    """

    sources: tuple[str, ...]
    visibility: FloatArray
    torn: NDArray[np.bool_]
    severity: NDArray[np.int8]

    @property
    def worst_visibility(self) -> FloatArray:
        """Largest V of all sources, shape (A,)."""
        return np.asarray(self.visibility.max(axis=0))

    def level(self, index: int = 0) -> Level:
        """Worst grade of one exposure."""
        return Level.of_severity(int(self.severity[index]))


def made_exposures_s(shot: Shot, exposure_s: FloatArray) -> FloatArray:
    """Exposures that the shot's camera makes of those that are asked for [s]."""
    line = line_time_s(shot.camera)
    if not shot.camera.shutter_whole_lines or line == 0:
        return exposure_s
    return whole_line_exposure_s(
        exposure_s=exposure_s, line_time_s=line, frame_s=1 / float(shot.fps)
    )


def with_angle(shot: Shot, angle_deg: Fraction) -> Shot:
    """Same shot at another shutter angle."""
    return replace(shot, exposure_s=angle_deg / (360 * shot.fps))


def shot_tearing(shot: Shot) -> Tearing:
    """Picture changes in the frame of a shot."""
    camera, wall = shot.camera, shot.wall
    return tearing(
        camera_fps=shot.fps, wall_fps=shot.wall_fps, content_fps=shot.content_fps,
        exposure_s=exposure_used_s(shot), readout_s=camera.readout_s, rows_px=camera.rows_px,
        phase_s=shot.phase_s, genlock=shot.genlock, change_spread_s=shot.change_spread_s,
        readout_tolerance_s=camera.readout_tolerance_s or 0.0, readout_down=camera.readout_down,
        exposure_scheme=camera.exposure_scheme,
        wall_tolerance=_known(wall.rate_tolerance), camera_tolerance=_known(camera.rate_tolerance),
    )


def _known(tolerance: float | None) -> float:
    return ASSUMED_RATE_TOLERANCE if tolerance is None else tolerance


def _torn(shot: Shot, made: FloatArray) -> NDArray[np.bool_]:
    """Whether no phase is clean; a wall that runs free tears whatever the exposure is."""
    found = shot_tearing(shot)
    if found.finding.reason in ("still_content", "exposure_scheme"):
        return np.zeros(made.shape, dtype=np.bool_)
    if found.largest_clean_angle_deg is None:
        return np.ones(made.shape, dtype=np.bool_)
    longest = found.largest_clean_angle_deg / (360 * float(shot.fps))
    return np.asarray(made > longest * (1 + 1e-9))


def exposure_grades(
    shot: Shot, exposure_s: FloatArray, *, only: tuple[str, ...] | None = None,
    wall_visibility: FloatArray | None = None,
) -> ExposureGrades:
    """Grade exposures of a shot against its wall, its lamps and the wall's picture changes.

    Parameters
    ----------
    shot
        The shot; its own exposure is not looked at.
    exposure_s
        Exposures asked for [s], shape (A,); what the camera makes of them is graded.
    only
        Sources that are wanted, in their order; None: all.
    wall_visibility
        V of the wall where it has been computed already, shape (A,).

    Returns
    -------
    ExposureGrades
        Shapes (A,).
    """
    made = made_exposures_s(shot, np.asarray(exposure_s, dtype=np.float64))
    viewing = shot.viewing
    wanted = tuple(
        source for source in ("wall", "flicker", *(lamp.name for lamp in shot.lamps))
        if only is None or source in only
    )
    visibility = np.array([
        wall_visibility if source == "wall" and wall_visibility is not None
        else _visibility(shot, source, made)
        for source in wanted
    ])
    if shot.camera.exposure_scheme != "single":
        visibility = np.full_like(visibility, np.nan)
    severity = severities(
        visibility, safe_below=viewing.safe_below, visible_from=viewing.visible_from
    ).max(axis=0)
    torn = _torn(shot, made)
    return ExposureGrades(
        sources=wanted, visibility=visibility, torn=torn,
        severity=np.where(torn, Level.VISIBLE.severity, severity).astype(np.int8),
    )


def _visibility(shot: Shot, source: str, made: FloatArray) -> FloatArray:
    """V of one source for exposures as made, the worst of the levels that decide."""
    if source in ("wall", "flicker"):
        cases = light_cases(shot.wall, shot.wall_fps)
        if source == "flicker":
            return frame_flicker(shot, cases=cases, levels=shot.levels, exposure_s=made)
        cells = wall_cells(
            shot, levels=shot.levels, exposure_s=made, cases=cases, extremes=False
        )
        return np.asarray(cells.visibility.max(axis=0))
    rows = row_sampling(shot)
    lamp = next(lamp for lamp in shot.lamps if lamp.name == source)
    return lamp_visibility(
        lamp_light(lamp, rows), rows=rows, viewing=shot.viewing, exposure_s=made
    )
