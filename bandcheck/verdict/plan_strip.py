"""What a strip of a plan's card says of a camera and a surface at the setting to be dialled."""

from dataclasses import dataclass

import numpy as np

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import made_exposures_s, shot_tearing
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.lowest_level import lowest_safe_levels
from bandcheck.verdict.roll_test import roll_test
from bandcheck.verdict.safe_ranges import Range

__all__ = ["StripFigures", "strip_figures"]


@dataclass(frozen=True, kw_only=True, slots=True)
class StripFigures:
    """Figures beside the verdict.

    Attributes
    ----------
    lowest_safe_level
        Signal 0..1 from which up the setting is safe; None: not even white is.
    roll_s, shows_all
        How long to roll a test [s], and whether every drift has been seen by then.
    tear
        Reason of the picture changes.
    phase_s
        From and to of the clean phases [s]; None: any, or none.
    clean_angle_deg
        Largest angle that has a clean phase [deg]; None: any, or none.
    """

    lowest_safe_level: float | None
    roll_s: float
    shows_all: bool
    tear: str
    phase_s: Range | None
    clean_angle_deg: float | None


def strip_figures(shot: Shot) -> StripFigures | None:
    """Figures of a shot with the setting that is to be dialled; None where it cannot be run."""
    try:
        lowest = lowest_safe_levels(
            shot, exposure_s=made_exposures_s(shot, np.array([float(shot.exposure_s)])),
            cases=light_cases(shot.wall, shot.wall_fps),
        )[0]
        torn, rolled = shot_tearing(shot), roll_test(shot)
    except OutOfRangeError:
        return None
    phase = None
    if torn.phase_from_s is not None and torn.phase_to_s is not None:
        phase = (torn.phase_from_s, torn.phase_to_s)
    return StripFigures(
        lowest_safe_level=None if np.isnan(lowest) else float(lowest),
        roll_s=rolled.at_least_s, shows_all=rolled.shows_all, tear=torn.finding.reason,
        phase_s=phase, clean_angle_deg=torn.largest_clean_angle_deg,
    )
