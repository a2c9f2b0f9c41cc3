"""The agreement of a plan as one JSON object and as CSV."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from io import StringIO
from typing import Any

from bandcheck.report.card_csv import harmless
from bandcheck.report.plan_wording import assumed_sentences, mend_sentence
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_shots import resolved
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.plan_agreement import PlanAgreement
from bandcheck.verdict.plan_ramp import RampSpan
from bandcheck.verdict.plan_results import (
    Cell,
    Chosen,
    Mend,
    Pair,
    RampAgreement,
    SetUpAgreement,
)
from bandcheck.verdict.plan_turns import Turns

__all__ = ["PLAN_SCHEMA", "plan_csv", "plan_json"]

PLAN_SCHEMA = "bandcheck.plan/1"

_HEADINGS = (
    "setup", "fps", "camera", "surface", "role", "wanted_deg", "wanted_level",
    "wanted_visibility", "dial_deg", "inside", "dial_level", "from_deg", "to_deg", "blocked_by",
    "changes", "refused",
)


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return rate_text(value)
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(each) for each in value]
    return value


def _pair(pair: Pair, plan: Plan, name: str) -> dict[str, Any]:
    values = resolved(
        plan, plan.setup(name), plan.cameras[pair.camera], plan.surfaces[pair.surface]
    )
    tear = pair.wanted.tear
    return {
        "camera": pair.camera, "surface": pair.surface, "role": pair.role,
        "level": pair.wanted.level.value, "visibility": dict(pair.wanted.visibility),
        "tear": None if tear is None else {"level": tear[0].value, "reason": tear[1]},
        "phase_s": pair.wanted.phase_s, "genlock": pair.shot.genlock,
        "wall_fps": rate_text(pair.shot.wall_fps),
        "values": {
            key: {"value": _plain(each.value), "stated_by": each.by}
            for key, each in values.items()
        },
    }


def _chosen(chosen: Chosen | None) -> dict[str, Any] | None:
    return None if chosen is None else {
        "dials": [
            {"camera": each.camera, "angle_deg": float(each.angle_deg), "inside": each.inside}
            for each in chosen.dials
        ],
        "allowed": chosen.allowed_deg, "level": chosen.level.value,
        "visibility": chosen.visibility,
        "phases_s": [
            {"camera": camera, "from_s": low, "to_s": high}
            for camera, (low, high) in chosen.phases_s
        ],
        "stops_from_wanted": chosen.stops_from_wanted,
    }


def _mend(mend: Mend, wanted_deg: float) -> dict[str, Any]:
    return {
        "parts": [
            {"change": each.change, "device": str(each.device), "value": each.value}
            for each in mend.parts
        ],
        "opened": [
            {"cameras": each.cameras, "common": each.ranges_deg} for each in mend.opened
        ],
        "text": mend_sentence(mend, wanted_deg=wanted_deg),
    }


def _cell(cell: Cell, plan: Plan, name: str) -> dict[str, Any]:
    wanted = float(cell.pairs[0].shot.angle_deg) if cell.pairs else None
    return {
        "fps": rate_text(cell.fps), "level": cell.level.value, "wanted_deg": wanted,
        "common": cell.common_deg, "chosen": _chosen(cell.chosen),
        "blocked_by": [str(each) for each in cell.blocked_by],
        "changes": [_mend(each, wanted) for each in cell.mends if wanted is not None],
        "pairs": [_pair(each, plan, name) for each in cell.pairs],
        "refused": cell.refused or None,
    }


def _setup(found: SetUpAgreement, plan: Plan) -> dict[str, Any]:
    return {
        "name": found.name, "level": found.level.value, "common": found.common_deg,
        "common_s": found.common_s, "blocked_by": [str(each) for each in found.blocked_by],
        "cells": [_cell(each, plan, found.name) for each in found.cells],
    }


def _spans(spans: Sequence[RampSpan] | None) -> list[dict[str, Any]] | None:
    return None if spans is None else [
        {"from_fps": each.from_fps, "to_fps": each.to_fps, "level": each.level.value}
        for each in spans
    ]


def _ramp(ramp: RampAgreement) -> dict[str, Any]:
    return {
        "name": ramp.name, "setup": ramp.setup, "from_fps": rate_text(ramp.from_fps),
        "to_fps": rate_text(ramp.to_fps), "keeps": ramp.keeps, "level": ramp.level.value,
        "refused": ramp.refused or None,
        "pairs": [
            {"camera": each.camera, "surface": each.surface, "follows": each.figures.follows,
             "refreshes_per_frame": each.figures.refreshes,
             "failing": _spans(each.figures.failing), "stuck": _spans(each.figures.stuck),
             "why_stuck": each.figures.why_stuck or None,
             "failing_if_refreshes_held": _spans(each.figures.held)}
            for each in ramp.pairs
        ],
    }


def _turns(turns: Turns) -> dict[str, Any]:
    return {
        "name": turns.name, "fps": rate_text(turns.fps), "level": turns.level.value,
        "common": turns.common_deg, "refused": turns.refused or None,
        "turns": [
            {"camera": each.camera, "slot": each.slot.slot, "offset_s": float(each.slot.offset_s),
             "largest_angle_deg": each.slot.largest_angle_deg,
             "stops_lost": each.slot.stops_lost, "level": each.wanted.level.value,
             "safe": each.safe_deg, "phase_s": each.phase_s}
            for each in turns.turns
        ],
    }


def plan_json(agreement: PlanAgreement) -> dict[str, Any]:
    """The agreement of a plan as plain values, unrounded.

    Parameters
    ----------
    agreement
        From `plan_agreement`.

    Returns
    -------
    dict
        Schema `bandcheck.plan/1`; angles in degrees, times in seconds.
    """
    return {
        "schema": PLAN_SCHEMA, "name": agreement.plan.name, "level": agreement.level.value,
        "setups": [_setup(each, agreement.plan) for each in agreement.setups],
        "ramps": [_ramp(each) for each in agreement.ramps],
        "turns": [_turns(each) for each in agreement.turns],
        "assumptions": list(assumed_sentences(agreement)),
    }


def _rows(agreement: PlanAgreement) -> Iterator[tuple[object, ...]]:
    for found in agreement.setups:
        for cell in found.cells:
            if cell.refused and not cell.pairs:
                yield (found.name, rate_text(cell.fps), *[""] * 13, cell.refused)
            for pair in cell.pairs:
                yield (found.name, rate_text(cell.fps), *_pair_cells(pair, cell), cell.refused)


def _pair_cells(pair: Pair, cell: Cell) -> tuple[object, ...]:
    wanted = float(pair.shot.angle_deg)
    chosen: tuple[object, ...] = ("", "", "", "", "")
    if cell.chosen is not None:
        dial = next(each for each in cell.chosen.dials if each.camera == pair.camera)
        chosen = (float(dial.angle_deg), "yes" if dial.inside else "no", cell.chosen.level.value,
                  *cell.chosen.allowed_deg)
    return (
        pair.camera, pair.surface, pair.role, wanted, pair.wanted.level.value,
        pair.wanted.worst_visibility, *chosen, ", ".join(map(str, cell.blocked_by)),
        " ".join(mend_sentence(each, wanted_deg=wanted) for each in cell.mends),
    )


def plan_csv(agreement: PlanAgreement) -> str:
    """The agreement of a plan as CSV: a row for each rate, camera and surface of each set-up.

    Parameters
    ----------
    agreement
        From `plan_agreement`.

    Returns
    -------
    str
        With headings; no cell starts a formula.
    """
    content = StringIO()
    writer = csv.writer(content, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    for row in _rows(agreement):
        writer.writerow([each if isinstance(each, float) else harmless(str(each)) for each in row])
    return content.getvalue()
