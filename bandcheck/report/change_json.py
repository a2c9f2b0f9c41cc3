"""A change on the day as plain values for JSON: unrounded, units in the keys."""

from fractions import Fraction

from bandcheck.hazards.tearing import Tearing
from bandcheck.report.tables import settings_table
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.change import CameraBehaviour, ChangeOnTheDay, WallStays
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.trial import Side, Trial

__all__ = ["change_values"]

Values = dict[str, object]


def _case(case: LightCase) -> Values:
    timing = case.timing
    return {
        "refreshes_per_frame": timing.refreshes, "refresh_hz": timing.refreshes / timing.cycle_s,
        "counts_per_refresh": case.counts_per_refresh,
    }


def _shutter(fps: Fraction, exposure_s: Fraction) -> Values:
    return {
        "fps": rate_text(fps), "angle_deg": float(360 * exposure_s * fps),
        "exposure_s": float(exposure_s), "speed": str(exposure_s),
    }


def _tear(torn: Tearing) -> Values:
    return {
        "tear": torn.finding.level.value, "tear_reason": torn.finding.reason,
        "phase_from_s": torn.phase_from_s, "phase_to_s": torn.phase_to_s,
        "phase_best_s": torn.phase_best_s,
        "largest_clean_angle_deg": torn.largest_clean_angle_deg,
    }


def _stays(stays: WallStays) -> Values:
    return {
        "refused": stays.refused,
        "picture": None if stays.tearing is None else _tear(stays.tearing),
    }


def _side(side: Side | None) -> Values | None:
    if side is None:
        return None
    shot = side.shot
    return {
        **_shutter(shot.fps, shot.exposure_s), "level": side.level.value,
        "visibility": side.visibility, **_tear(side.tearing),
        "wall_fps": rate_text(shot.wall_fps), "content_fps": rate_text(shot.content_fps),
        "wall": [_case(case) for case in side.wall],
    }


def _trial(trial: Trial) -> Values:
    return {"name": trial.name, "refused": trial.refused, "setting": _side(trial.side)}


def _behaviour(behaviour: CameraBehaviour) -> Values:
    side = behaviour.trial.side
    return {
        "keeps": behaviour.kept, "angle_deg": float(behaviour.angle_deg),
        "exposure_s": float(behaviour.exposure_s), "speed": str(behaviour.exposure_s),
        "clamped": behaviour.clamped, "stops": behaviour.stops,
        "level": None if side is None else side.level.value,
        "visibility": None if side is None else side.visibility,
        "refused": behaviour.trial.refused,
    }


def change_values(change: ChangeOnTheDay) -> Values:
    """A change as one object (schema `bandcheck.change/1`).

    Parameters
    ----------
    change
        From `change_on_the_day`.

    Returns
    -------
    dict
        `near` has the keys of `settings --json`; what cannot be had is None.
    """
    return {
        "schema": "bandcheck.change/1",
        "overall": change.level.value,
        "old": _side(change.old), "new": _side(change.new.side), "refused": change.new.refused,
        "asked": {**_shutter(change.fps, change.exposure_s), "on_dial": change.on_dial},
        "stops": change.stops,
        "camera": {
            "name": change.old.shot.camera.name, "keeps": change.camera_does,
            "runs_rate": change.camera_can,
            "untouched": [_behaviour(each) for each in change.behaviours],
            "other_modes": [_trial(each) for each in change.other_modes],
        },
        "wall": {
            "name": change.old.shot.wall.name, "follows": change.wall_follows,
            "if_it_stays": None if change.wall_stays is None else _stays(change.wall_stays),
            "rule": change.wall_rule, "under_rule": [_trial(each) for each in change.wall_rules],
        },
        "near": None if change.near is None else settings_table(change.near),
        "card_holds": change.card_holds,
    }
