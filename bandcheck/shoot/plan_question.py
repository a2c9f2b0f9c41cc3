"""A plan as plain values that JSON can hold: everything that its settings hang on, and its hash."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from bandcheck.shoot.plan import Plan, SetUp
from bandcheck.shoot.plan_shots import resolved
from bandcheck.shoot.profile_text import profile_text
from bandcheck.timing.rates import rate_text

__all__ = ["plan_hash", "plan_question"]


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(each) for each in value]
    return value


def _setup(plan: Plan, setup: SetUp) -> dict[str, Any]:
    return {
        "name": setup.name, "cameras": list(setup.cameras), "surfaces": dict(setup.surfaces),
        "lamps": list(setup.lamps), "rates": [rate_text(fps) for fps in setup.rates],
        "values": {
            camera: {
                surface: {
                    key: _plain(stated.value)
                    for key, stated in resolved(
                        plan, setup, plan.cameras[camera], plan.surfaces[surface]
                    ).items()
                }
                for surface in setup.surfaces
            }
            for camera in setup.cameras
        },
    }


def plan_question(plan: Plan) -> dict[str, Any]:
    """A plan as plain values.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    dict
        Profiles as TOML text, and every value that holds in each set-up, whoever stated it.
    """
    return {
        "name": plan.name,
        "surfaces": {name: profile_text(each.wall) for name, each in plan.surfaces.items()},
        "cameras": {name: profile_text(each.camera) for name, each in plan.cameras.items()},
        "lamps": {name: profile_text(each.lamp) for name, each in plan.lamps.items()},
        "setups": [_setup(plan, each) for each in plan.setups],
        "ramps": [
            {"name": each.name, "setup": each.setup, "from_fps": rate_text(each.from_fps),
             "to_fps": rate_text(each.to_fps), "keeps": each.keeps}
            for each in plan.ramps
        ],
        "interleaves": [
            {"name": each.name, "cameras": list(each.cameras), "surface": each.surface,
             "wall_multiple": each.wall_multiple,
             "rates": [rate_text(fps) for fps in each.rates]}
            for each in plan.interleaves
        ],
    }


def plan_hash(question: Mapping[str, Any]) -> str:
    """SHA-256 of a plan's question: 64 hexadecimal digits, the same wherever it is read."""
    canonical = json.dumps(
        question, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False
    )
    return hashlib.sha256(canonical.encode("ascii")).hexdigest()
