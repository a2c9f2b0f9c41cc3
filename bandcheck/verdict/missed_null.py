"""A null that an exposure misses only because the wall runs at a rate of its own."""

from collections.abc import Mapping
from dataclasses import replace

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import nearest_small_ratio
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.row_sampling import exposure_used_s
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["missed_null"]


def missed_null(shot: Shot, case: LightCase) -> Mapping[str, float] | None:
    """Figures of a null that the exposure would be if the wall kept pace with the camera.

    Parameters
    ----------
    shot
        The shot, not safe as it is.
    case
        The way in which its wall pulses.

    Returns
    -------
    dict or None
        `null_fps`, `wall_fps`: the rate of the wall, p/q of the camera's, at which the exposure
        would be safe, and the one it runs at; `null_refreshes`, `refreshes`: whole refreshes that
        the exposure would hold there, and those it holds here; `null_angle_deg`: where the null
        lies at the wall's own rate, above 360 out of reach. None where wall and camera are locked,
        the refresh is not tied to the frame, the rates have such a ratio already, the exposure
        would not be safe there either, or is half a refresh or more away.
    """
    ratio = nearest_small_ratio(wall_fps=shot.wall_fps, camera_fps=shot.fps)
    null_fps = ratio * shot.fps
    exposure_s = exposure_used_s(shot)
    refreshes = exposure_s * case.timing.refreshes / case.timing.cycle_s
    there = refreshes * float(null_fps / shot.wall_fps)
    whole = round(there)
    nearer = abs(there - whole) < abs(refreshes - whole) < 0.5  # never where the rates fit already
    if not case.locked_to_frame or not nearer or whole == 0:
        return None
    in_pace = replace(shot, wall_fps=null_fps, genlock="locked")
    try:
        cells = wall_cells(
            in_pace, levels=shot.levels, exposure_s=[exposure_s], nominal=True, extremes=False
        )
    except OutOfRangeError:  # a wall that cannot run at that rate
        return None
    if not cells.visibility.max() < shot.viewing.safe_below:
        return None
    return {
        "null_fps": float(null_fps), "wall_fps": float(shot.wall_fps),
        "null_refreshes": float(whole), "refreshes": refreshes,
        "null_angle_deg": 360 * exposure_s * float(shot.fps) * whole / refreshes,
    }
