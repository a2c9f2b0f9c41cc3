"""The verdict on one shot: findings with reasons, figures and what to change."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from bandcheck.hazards.banding import banding_finding
from bandcheck.hazards.tearing import Tearing
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.assumptions import shot_assumptions
from bandcheck.verdict.banding_report import BandingReport, banding_report
from bandcheck.verdict.exposure_grades import exposure_grades, shot_tearing
from bandcheck.verdict.light_cases import Assumption
from bandcheck.verdict.missed_null import missed_null
from bandcheck.verdict.moire_scene import moire_missing
from bandcheck.verdict.most_sensitive import most_sensitive_inputs
from bandcheck.verdict.remedies import (
    Change,
    lamp_changes,
    phase_changes,
    present_state,
    shutter_changes,
    wall_changes,
)
from bandcheck.verdict.room_light import room_light_finding
from bandcheck.verdict.row_sampling import exposure_used_s
from bandcheck.vision.graded import graded_finding
from bandcheck.vision.level import Finding, Level, worst_level

if TYPE_CHECKING:
    from bandcheck.verdict.moire_report import MoireReport

__all__ = ["Assessment", "Fixed", "assess"]

_FIXES = 4
_CLEARLY_LESS = 0.7


@dataclass(frozen=True, kw_only=True, slots=True)
class Fixed:
    """A finding and what would mend it, the least change first.

    Attributes
    ----------
    finding
        The finding.
    fixes
        Changes, each recomputed; empty where the finding is safe or nothing was found.
    lamp
        Which lamp a finding of hazard "lamp" is about.
    """

    finding: Finding
    fixes: tuple[Change, ...] = ()
    lamp: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Assessment:
    """The verdict on one shot.

    Attributes
    ----------
    shot
        What was asked.
    exposure_used_s
        Exposure that the camera makes of what is set [s].
    overall
        Worst level of what was checked; comfort in the room is told beside it, not in it.
    findings
        One for each hazard that was looked at.
    checked, not_checked
        Hazards that the verdict is over, and those for which nothing was given.
    phase_condition_s
        From and to of the phase that the verdict counts on [s]; None: on none.
    banding, tearing, moire
        Figures behind the findings; moire None where something for it is missing.
    moire_missing
        What would have to be known to check moire and grid.
    sensitive_to
        Inputs that the verdict hangs on most.
    assumptions
        Figures that nobody gave.
    """

    shot: Shot
    exposure_used_s: float
    overall: Level
    findings: tuple[Fixed, ...]
    checked: tuple[str, ...]
    not_checked: tuple[str, ...]
    phase_condition_s: tuple[float, float] | None
    banding: BandingReport
    tearing: Tearing
    moire: "MoireReport | None"
    moire_missing: tuple[str, ...]
    sensitive_to: tuple[str, ...]
    assumptions: tuple[Assumption, ...]


def _banding(shot: Shot, report: BandingReport) -> Finding:
    unsafe = not report.nominal_visibility < shot.viewing.safe_below
    return banding_finding(
        visibility=report.visibility, nominal_visibility=report.nominal_visibility,
        standing=report.standing, rolling_shutter=shot.camera.shutter == "rolling",
        describable=shot.camera.exposure_scheme == "single",
        safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from,
        missed_null=missed_null(shot, report.case) if unsafe else None,
    )


def _of_sources(shot: Shot) -> list[tuple[Finding, str | None]]:
    """Findings of frame flicker and of every lamp."""
    names = ("flicker", *(lamp.name for lamp in shot.lamps))
    grades = exposure_grades(shot, np.array([float(shot.exposure_s)]), only=names)
    found: list[tuple[Finding, str | None]] = []
    for name, visibility in zip(grades.sources, grades.visibility[:, 0], strict=True):
        is_flicker = name == "flicker"
        found.append((graded_finding(
            hazard="flicker" if is_flicker else "lamp", visibility=float(visibility),
            safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from,
            safe_reason="frames_alike" if is_flicker else "lamp_steady_in_picture",
            seen_reason="frames_differ" if is_flicker else "lamp_bands",
        ), None if is_flicker else name))
    return found


def _deciding(report: BandingReport) -> float:
    """Signal level with the largest V of those that decide."""
    return max(
        (level for level in report.levels if level.decides), key=lambda level: level.visibility
    ).signal


def _moire(shot: Shot) -> "MoireReport | None":
    from bandcheck.verdict.moire_report import moire_report  # slow, and needs a lens

    return moire_report(shot, distances=False)


def _first_of_each_kind(changes: Sequence[Change]) -> tuple[Change, ...]:
    """The best of each kind of change, those first that lead to safe."""
    best: dict[str, Change] = {}
    for change in changes:
        best.setdefault(change.change, change)
    ranked = sorted(best.values(), key=lambda change: (change.mended, change.level))
    return tuple(ranked[:_FIXES])


def _fixes(
    shot: Shot, finding: Finding, lamp: str | None, wall_visibility: float
) -> tuple[Change, ...]:
    """What would mend a finding; changes that make it no better are left out."""
    if finding.level is Level.SAFE:
        if finding.reason == "phase_needed":
            return tuple(phase_changes(shot, wall_visibility=wall_visibility))
        return ()
    if finding.hazard in ("moire", "grid"):
        from bandcheck.verdict.moire_fixes import moire_fixes

        return moire_fixes(shot)[:_FIXES]
    if finding.hazard == "tearing":
        target = "tear"
        phases = phase_changes(shot, wall_visibility=wall_visibility)
        candidates = [*phases, *wall_changes(shot, target)]
    elif lamp is not None:
        target, candidates = lamp, [*shutter_changes(shot, lamp), *lamp_changes(shot)]
    else:
        target = "wall"
        candidates = [*shutter_changes(shot, target), *wall_changes(shot, target)]
    now = present_state(shot, target, wall_visibility=wall_visibility)
    better = [
        change for change in candidates
        if change.mended < now.mended
        or change.mended_visibility < _CLEARLY_LESS * now.mended_visibility
    ]
    return _first_of_each_kind(better)


def assess(shot: Shot, *, fixes: bool = True) -> Assessment:
    """Verdict on a shot's timing.

    Parameters
    ----------
    shot
        The shot.
    fixes
        Whether to look for what would mend each finding, and for what the answer hangs on.

    Returns
    -------
    Assessment
        Findings, figures, conditions and assumptions; nothing is rounded.

    Raises
    ------
    OutOfRangeError
        The wall cannot run as it is described.
    """
    report, torn = banding_report(shot), shot_tearing(shot)
    found = [(_banding(shot, report), None), (torn.finding, None), *_of_sources(shot)]
    moire = None if moire_missing(shot) else _moire(shot)
    if moire is not None:
        found += [(finding, None) for finding in moire.findings]
    checked = [finding for finding, _ in found]
    found.append((room_light_finding(shot), None))
    needs_phase = torn.finding.reason in ("phase_needed", "phase_clean")
    return Assessment(
        shot=shot, exposure_used_s=exposure_used_s(shot),
        overall=worst_level(finding.level for finding in checked),
        findings=tuple(
            Fixed(
                finding=finding, lamp=lamp,
                fixes=_fixes(shot, finding, lamp, report.visibility)
                if fixes and finding.hazard != "comfort" else (),
            )
            for finding, lamp in found
        ),
        checked=tuple(dict.fromkeys(finding.hazard for finding in checked)),
        not_checked=() if moire else ("moire", "grid"),
        phase_condition_s=(torn.phase_from_s, torn.phase_to_s)
        if needs_phase and torn.phase_from_s is not None and torn.phase_to_s is not None else None,
        banding=report, tearing=torn, moire=moire,
        moire_missing=moire_missing(shot),
        sensitive_to=most_sensitive_inputs(shot, level=_deciding(report)) if fixes else (),
        assumptions=shot_assumptions(shot, report.case),
    )
