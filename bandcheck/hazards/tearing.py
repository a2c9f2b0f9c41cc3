"""Two pictures in one camera frame: whether a phase exists that avoids it, and what a phase does.

Rows that straddle a change of the wall's picture hold a mixture of the old and the new one, and the
rows above and below them show different pictures. How far those differ is not in it: where content
moves, every mixed row counts.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.timing.genlock import (
    CleanPhaseRange,
    clean_phase_margin_s,
    clean_phase_range,
    clean_phase_slack_s,
    largest_clean_angle_deg,
)
from bandcheck.timing.picture_changes import PictureChanges, mixed_rows, picture_changes
from bandcheck.timing.rates import beat_range_hz, locked_ratio, roll_time_s
from bandcheck.vision.level import Finding, Level

__all__ = ["Tearing", "tearing"]

RowRanges = tuple[tuple[int, int], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Tearing:
    """What becomes of the wall's picture changes in the camera's frame.

    Attributes
    ----------
    finding
        Level and reason: `still_content`, `phase_needed` (safe on condition of a phase inside the
        range), `phase_clean`, `phase_at_edge`, `phase_outside`, `no_clean_phase`, `runs_free`,
        `exposure_scheme`. Locked: value is the time that exposure, readout and change need, limit
        the rest that the wall gives [s]. Free: value is the roll time [s].
    possible_clean
        Whether some phase is clean for good; None: not known.
    phase_from_s, phase_to_s, phase_best_s, phase_repeats_every_s
        Clean phases and the middle of them, from the start of a wall frame that brings a new
        picture to the first row's opening [s]; None where there are none or any is good.
    slack_s
        Width of that range [s]; negative: by how much it fails.
    largest_clean_angle_deg
        Largest angle that has a clean phase [deg].
    mixed_rows
        First and last row, from the top, of each run of rows that hold two pictures in one frame or
        another; None where the phase is not known. An exposure shorter than the line time may tear
        between two rows and mix none.
    """

    finding: Finding
    possible_clean: bool | None = None
    phase_from_s: float | None = None
    phase_to_s: float | None = None
    phase_best_s: float | None = None
    phase_repeats_every_s: float | None = None
    slack_s: float | None = None
    largest_clean_angle_deg: float | None = None
    mixed_rows: RowRanges | None = None


def _finding(
    level: Level, reason: str, *, value: float | None = None, limit: float | None = None,
    figures: dict[str, float] | None = None,
) -> Finding:
    return Finding(
        hazard="tearing", level=level, value=value, limit=limit, unit="s", reason=reason,
        figures=figures or {},
    )


def _row_ranges(mixed: NDArray[np.bool_]) -> RowRanges:
    edges = np.flatnonzero(np.diff(mixed.astype(np.int8), prepend=0, append=0))
    return tuple((int(first), int(after) - 1) for first, after in edges.reshape(-1, 2))


def _free(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction, wall_tolerance: float,
    camera_tolerance: float,
) -> Tearing:
    """Every phase comes by in turn, the torn ones among them."""
    change_fps = min(wall_fps, content_fps)
    slowest_hz, fastest_hz = beat_range_hz(
        wall_fps=change_fps, camera_fps=camera_fps, wall_tolerance=wall_tolerance,
        camera_tolerance=camera_tolerance,
    )
    roll_s = roll_time_s(wall_fps=change_fps, camera_fps=camera_fps)
    return Tearing(
        finding=_finding(
            Level.VISIBLE, "runs_free", value=roll_s if np.isfinite(roll_s) else None,
            figures={"beat_slowest_hz": slowest_hz, "beat_fastest_hz": fastest_hz},
        ),
        possible_clean=False,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Placed:
    """What a known phase does: time it may slip, the same for the last row itself, mixed rows."""

    margin_s: float
    last_row_margin_s: float
    mixed: NDArray[np.bool_]


def _placed(
    *, changes: PictureChanges, phase_s: float, exposure_s: float, readout_s: float, rows_px: int,
    change_spread_s: float,
) -> _Placed:
    # The clean range gives the last row one line more than it needs: once with it, once without.
    margin_s, last_row_margin_s = clean_phase_margin_s(
        changes=changes, phase_s=phase_s, exposure_s=exposure_s,
        readout_s=[readout_s, readout_s * (rows_px - 1) / rows_px],
        change_spread_s=change_spread_s,
    )
    mixed = mixed_rows(
        changes=changes, phase_s=phase_s, exposure_s=exposure_s, readout_s=readout_s,
        rows=rows_px, change_spread_s=change_spread_s,
    )
    return _Placed(
        margin_s=float(margin_s), last_row_margin_s=float(last_row_margin_s), mixed=mixed
    )


def _grade(*, clean: CleanPhaseRange | None, placed: _Placed | None) -> tuple[Level, str]:
    if placed is None:
        return (Level.SAFE, "phase_needed") if clean else (Level.VISIBLE, "no_clean_phase")
    if placed.margin_s >= 0:
        return Level.SAFE, "phase_clean"
    if placed.last_row_margin_s >= 0:
        return Level.MARGINAL, "phase_at_edge"
    return Level.VISIBLE, "phase_outside" if clean else "no_clean_phase"


def _locked(
    *, changes: PictureChanges, camera_fps: Fraction, exposure_s: float, readout_s: float,
    change_spread_s: float, readout_down: bool, placed: _Placed | None,
) -> Tearing:
    rest_s = float(changes.longest_rest[1])
    clean = clean_phase_range(
        changes=changes, exposure_s=exposure_s, readout_s=readout_s,
        change_spread_s=change_spread_s,
    )
    level, reason = _grade(clean=clean, placed=placed)
    return Tearing(
        finding=_finding(
            level, reason, value=exposure_s + readout_s + change_spread_s, limit=rest_s,
            figures={
                "phase_margin_s": placed.margin_s,
                "mixed_row_count": float(np.count_nonzero(placed.mixed)),
            } if placed else None,
        ),
        possible_clean=clean is not None,
        phase_from_s=clean.from_s if clean else None,
        phase_to_s=clean.to_s if clean else None,
        phase_best_s=clean.best_s if clean else None,
        phase_repeats_every_s=clean.repeats_every_s if clean else None,
        slack_s=float(clean_phase_slack_s(
            rest_s=rest_s, exposure_s=exposure_s, readout_s=readout_s,
            change_spread_s=change_spread_s,
        )),
        largest_clean_angle_deg=float(largest_clean_angle_deg(
            rest_s=rest_s, camera_fps=camera_fps, readout_s=readout_s,
            change_spread_s=change_spread_s,
        )),
        mixed_rows=_row_ranges(placed.mixed[::1 if readout_down else -1]) if placed else None,
    )


def tearing(
    *, camera_fps: Fraction, wall_fps: Fraction, content_fps: Fraction, exposure_s: float,
    readout_s: float, rows_px: int, phase_s: float | None = None,
    genlock: Literal["locked", "free"] = "locked", change_spread_s: float = 0.0,
    readout_tolerance_s: float = 0.0, readout_down: bool = True,
    exposure_scheme: Literal["single", "multi", "global_reset"] = "single",
    wall_tolerance: float = 0.0, camera_tolerance: float = 0.0,
) -> Tearing:
    """Verdict on tears for one setting.

    A clean phase exists where `T + readout + spread <= rest`, rest the longest time that the wall
    holds one picture in every camera frame, `1/(q F_c)` for an even cadence (physics page 5). A
    free-running wall passes through every phase, so that no range of clean ones holds. A phase of
    less than one line time outside the range mixes no row and is marginal (project choice).

    Parameters
    ----------
    camera_fps, wall_fps, content_fps
        Frame rates of camera and wall, and of the picture changes, 0 for a still picture
        [frames/s].
    exposure_s
        Exposure as the shutter makes it, above 0 [s].
    readout_s, readout_tolerance_s
        Rows times line time, 0 for a global shutter, and its error either way [s]; the longer
        readout is the worse, and a frame is the longest there can be.
    rows_px, readout_down
        Rows of the sensor, and whether they are read from the top.
    phase_s
        From the start of a wall frame that brings a new picture to the first row's opening [s];
        None: not known.
    genlock
        "locked" or "free".
    change_spread_s
        Time that a change of picture takes [s].
    exposure_scheme
        Any but "single" exposes rows in ways that this model does not describe: unknown.
    wall_tolerance, camera_tolerance
        Errors of the frame clocks (ratios); they matter where the wall runs free.

    Returns
    -------
    Tearing
        Finding and figures; nothing is rounded.

    Raises
    ------
    OutOfRangeError
        A rate or time is out of range, or locked rates have no small ratio.
    """
    if genlock not in ("locked", "free"):
        raise OutOfRangeError("genlock", genlock, "'locked' or 'free'")
    require("exposure_s", exposure_s, "a time above 0 s", above=0)
    require("rows_px", rows_px, "at least one row", at_least=1)
    for argument, time_s in (
        ("readout_s", readout_s), ("readout_tolerance_s", readout_tolerance_s),
        ("change_spread_s", change_spread_s),
    ):
        require(argument, time_s, "a time of 0 s or more", at_least=0)
    if genlock == "locked":
        locked_ratio(wall_fps=wall_fps, camera_fps=camera_fps)
    changes = picture_changes(wall_fps=wall_fps, content_fps=content_fps, camera_fps=camera_fps)
    if changes is None:
        return Tearing(
            finding=_finding(Level.SAFE, "still_content"), possible_clean=True, mixed_rows=()
        )
    if exposure_scheme != "single":
        return Tearing(finding=_finding(Level.UNKNOWN, "exposure_scheme"))
    if genlock == "free":
        return _free(
            wall_fps=wall_fps, content_fps=content_fps, camera_fps=camera_fps,
            wall_tolerance=wall_tolerance, camera_tolerance=camera_tolerance,
        )
    longest_s = min(readout_s + readout_tolerance_s, max(readout_s, float(1 / camera_fps)))
    placed = None if phase_s is None else _placed(
        changes=changes, phase_s=phase_s, exposure_s=exposure_s, readout_s=longest_s,
        rows_px=rows_px, change_spread_s=change_spread_s,
    )
    return _locked(
        changes=changes, camera_fps=camera_fps, exposure_s=exposure_s, readout_s=longest_s,
        change_spread_s=change_spread_s, readout_down=readout_down, placed=placed,
    )
