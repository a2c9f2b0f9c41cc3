"""Verdicts and settings as tables for other programs: unrounded, units in the keys."""

from typing import TYPE_CHECKING

from bandcheck.report.change_wording import (
    assumption_sentence,
    change_sentence,
    condition_sentences,
    not_checked_sentence,
)
from bandcheck.report.wording import finding_sentence
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.assess import Assessment, Fixed
from bandcheck.verdict.banding_report import BandingReport
from bandcheck.verdict.remedies import Change
from bandcheck.verdict.row_sampling import exposure_used_s

if TYPE_CHECKING:
    from bandcheck.verdict.moire_report import MoireReport
    from bandcheck.verdict.settings import Settings

__all__ = [
    "Table", "assessment_table", "change_table", "moire_table", "setting_table", "settings_table",
]

Table = dict[str, object]


def change_table(change: Change) -> Table:
    """One change as keys and numbers."""
    return {
        "side": change.side, "change": change.change, "value": change.value,
        "unit": change.unit, "level": change.mended.value,
        "visibility": change.mended_visibility, "overall": change.level.value,
        "overall_visibility": change.visibility, "stops": change.stops, "blur": change.blur,
        "figures": dict(change.figures), "text": change_sentence(change),
    }


def setting_table(shot: Shot) -> Table:
    """What was asked."""
    return {
        "fps": rate_text(shot.fps), "angle_deg": float(shot.angle_deg),
        "exposure_s": float(shot.exposure_s), "exposure_used_s": exposure_used_s(shot),
        "genlock": shot.genlock, "phase_s": shot.phase_s,
        "content_fps": rate_text(shot.content_fps),
    }


def _wall(assessment: Assessment) -> Table:
    case, wall = assessment.banding.case, assessment.shot.wall
    return {
        "name": wall.name, "fps": rate_text(assessment.shot.wall_fps),
        "refreshes_per_frame": case.timing.refreshes,
        "refresh_hz": case.timing.refreshes / case.timing.cycle_s,
        "scan_lines": case.timing.scan_lines, "counts_per_refresh": case.counts_per_refresh,
        "gray_bits": (case.full_scale + 1).bit_length() - 1 if wall.gray_bits is None
        else wall.gray_bits,
        "used_fraction": case.timing.used_fraction,
    }


def _finding(assessment: Assessment, fixed: Fixed) -> Table:
    finding = fixed.finding
    return {
        "hazard": finding.hazard, "level": finding.level.value, "value": finding.value,
        "limit": finding.limit, "unit": finding.unit, "reason": finding.reason,
        "lamp": fixed.lamp, "text": finding_sentence(assessment, fixed),
        "figures": dict(finding.figures), "fixes": [change_table(fix) for fix in fixed.fixes],
    }


def _banding(report: BandingReport) -> Table:
    lowest = report.lowest_safe_level
    return {
        "levels": [
            {
                "signal_pct": 100 * level.signal, "counts": level.counts,
                "decides": level.decides, "ripple_pct": 100 * level.ripple,
                "fmi": level.modulation, "stops": level.stops, "visibility": level.visibility,
                "effective_refresh_hz": level.effective_refresh_hz,
                "strongest_hz": level.strongest_hz,
                "frame_ripple_pct": 100 * level.frame_ripple, "colour": level.colour,
            }
            for level in report.levels
        ],
        "band_pitch_rows": report.band_pitch_rows, "bands_per_frame": report.bands_per_frame,
        "roll_hz": report.roll_hz, "standing": report.standing,
        "lowest_safe_level_pct": None if lowest is None else 100 * lowest,
    }


def _tearing(assessment: Assessment) -> Table:
    found = assessment.tearing
    return {
        "possible_clean": found.possible_clean, "phase_from_s": found.phase_from_s,
        "phase_to_s": found.phase_to_s, "phase_best_s": found.phase_best_s,
        "phase_repeats_every_s": found.phase_repeats_every_s, "slack_s": found.slack_s,
        "largest_clean_angle_deg": found.largest_clean_angle_deg,
        "mixed_rows": None if found.mixed_rows is None else [list(run) for run in found.mixed_rows],
    }


def moire_table(report: "MoireReport | None") -> Table | None:
    """Moire and grid as keys and numbers; distances in metres."""
    if report is None:
        return None
    from bandcheck.imaging.sampling import COLOURS

    lines = report.lines
    return {
        "lines": [
            {
                "m": int(lines.m[row]), "n": int(lines.n[row]),
                "colour": COLOURS[lines.colour[row]],
                "grid": bool(lines.grid[row]), "kx": float(lines.kx[row]),
                "ky": float(lines.ky[row]), "contrast": float(lines.contrast[row]),
                "graded_contrast": float(lines.graded_contrast[row]),
                "fringes_per_width": float(lines.fringes_per_width[row]),
                "fringes_per_height": float(lines.fringes_per_height[row]),
                "direction_deg": float(lines.direction_deg[row]),
                "visibility": float(lines.visibility[row]),
                "worst_place": [float(lines.worst_across[row]), float(lines.worst_down[row])],
            }
            for row in range(lines.m.size)
        ],
        "pitch_photosites": report.pitch_photosites, "blur_pitches": report.blur_pitches,
        "safe_focus_m": [[low / 1e3, high / 1e3] for low, high in report.safe_focus_mm],
        "safe_distance_m": [[low / 1e3, high / 1e3] for low, high in report.safe_distance_mm],
        "trade_rule_m": report.rule_mm / 1e3, "to_find_out": list(report.to_find_out),
    }


def assessment_table(assessment: Assessment) -> Table:
    """A verdict as one object (schema `bandcheck.check/1`)."""
    viewing = assessment.shot.viewing
    return {
        "schema": "bandcheck.check/1", "setting": setting_table(assessment.shot),
        "wall": _wall(assessment), "camera": {"name": assessment.shot.camera.name},
        "overall": assessment.overall.value, "checked": list(assessment.checked),
        "not_checked": list(assessment.not_checked),
        "not_checked_text": not_checked_sentence(assessment),
        "conditions": list(condition_sentences(assessment)),
        "limits": {"safe_below": viewing.safe_below, "visible_from": viewing.visible_from},
        "findings": [_finding(assessment, fixed) for fixed in assessment.findings],
        "banding": _banding(assessment.banding), "tearing": _tearing(assessment),
        "moire": moire_table(assessment.moire),
        "sensitive_to": list(assessment.sensitive_to),
        "assumptions": [assumption_sentence(each) for each in assessment.assumptions],
    }


def settings_table(settings: "Settings") -> Table:
    """Safe settings as one object (schema `bandcheck.settings/1`)."""
    wanted, shot = settings.wanted, settings.shot
    fps = float(shot.fps)
    return {
        "schema": "bandcheck.settings/1",
        "wanted": {
            "fps": rate_text(shot.fps), "angle_deg": float(shot.angle_deg),
            "exposure_s": float(shot.exposure_s), "level": wanted.level.value,
            "visibility": wanted.visibility,
        },
        "ranges": [
            {
                "from_deg": each.from_deg, "to_deg": each.to_deg, "best_deg": each.best_deg,
                "lowest_safe_level_pct": None if each.lowest_safe_level is None
                else 100 * each.lowest_safe_level,
                "visibility_max": each.visibility_max,
                "stops_from_wanted": each.stops_from_wanted, "blur_against_180": each.blur,
                "dial_deg": each.dial_deg, "best_s": each.best_deg / 360 / fps,
            }
            for each in settings.ranges
        ],
        "dial": [
            {
                "angle_deg": float(each.angle_deg), "speed": str(each.exposure_s),
                "level": each.level.value, "visibility": each.visibility,
            }
            for each in settings.dial
        ],
        "quietest": None if settings.quietest is None else {
            "angle_deg": float(settings.quietest.angle_deg),
            "level": settings.quietest.level.value, "visibility": settings.quietest.visibility,
        },
        "wall_side": [change_table(each) for each in settings.wall_side],
        "lamp_side": [change_table(each) for each in settings.lamp_side],
        "blocked_by": list(settings.blocked_by),
    }

