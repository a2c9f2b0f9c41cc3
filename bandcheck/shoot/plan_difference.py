"""What differs between two plans, holder by holder: each value that somebody wrote otherwise."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from bandcheck.shoot.plan import Plan, SetUp, Stated
from bandcheck.shoot.plan_keys import (
    CAMERA_TABLE,
    DEFAULT_TABLE,
    SETUP_TABLE,
    SURFACE_TABLE,
)
from bandcheck.shoot.profiles import KINDS, KindName, Profile
from bandcheck.timing.rates import rate_text

__all__ = ["Difference", "Side", "plan_differences"]

Side = Literal["camera", "wall", "lamp", "plan"]

_KEYS = {
    key.field: key for table in (DEFAULT_TABLE, SETUP_TABLE, CAMERA_TABLE, SURFACE_TABLE)
    for key in table
}
_SIDE_OF_KEY: Mapping[str, Side] = {
    **dict.fromkeys((
        "angle_deg", "speed", "focal_mm", "f_number", "focus_m", "squeeze", "roll_deg", "rates",
        "push_stops", "flare_nits", "view_heights", "grade_contrast", "safe_below", "visible_from",
    ), "camera"),
    "lamps": "lamp",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """One value that is not what it was.

    Attributes
    ----------
    holder, name
        "plan", "defaults", "surface", "camera", "lamp", "setup", "ramp" or "interleave", and
        which of them.
    key
        What of it; empty where the whole is new or gone.
    old, new
        As a plan file has it; None where it says nothing, or the whole is not there.
    side
        Whose it is to look at.
    decides
        Whether settings hang on it; names, notes and sources do not.
    """

    holder: str
    name: str
    key: str
    old: str | None
    new: str | None
    side: Side
    decides: bool = True


def plan_differences(old: Plan, new: Plan) -> tuple[Difference, ...]:
    """Every value that two plans have otherwise.

    Parameters
    ----------
    old, new
        The plans.

    Returns
    -------
    tuple of Difference
        In the order of plan files. What a row takes from another that it is like stands at each
        of them.
    """
    return tuple(_differences(old, new))


def _differences(old: Plan, new: Plan) -> Iterator[Difference]:
    for key in ("name", "note"):
        if getattr(old, key) != getattr(new, key):
            yield Difference(
                holder="plan", name="", key=key, old=getattr(old, key) or None,
                new=getattr(new, key) or None, side="plan", decides=False,
            )
    yield from _values("defaults", "", _written(old.defaults), _written(new.defaults))
    yield from _devices("surface", "wall", _surface_figures(old), _surface_figures(new))
    yield from _devices("camera", "camera", _camera_figures(old), _camera_figures(new))
    yield from _devices("lamp", "lamp", _lamp_figures(old), _lamp_figures(new))
    yield from _devices("setup", None, _setup_figures(old), _setup_figures(new))
    yield from _devices("ramp", "camera", _ramp_figures(old), _ramp_figures(new))
    yield from _devices("interleave", "camera", _turn_figures(old), _turn_figures(new))


Figures = Mapping[str, str]


def _devices(
    holder: str, side: Side | None, old: Mapping[str, Figures], new: Mapping[str, Figures]
) -> Iterator[Difference]:
    for name in dict.fromkeys([*old, *new]):
        if name in old and name in new:
            yield from _values(holder, name, old[name], new[name], side=side)
            continue
        yield Difference(
            holder=holder, name=name, key="", side=side or "plan",
            old="there" if name in old else None, new="there" if name in new else None,
        )


def _values(
    holder: str, name: str, old: Figures, new: Figures, *, side: Side | None = None
) -> Iterator[Difference]:
    for key in dict.fromkeys([*old, *new]):
        before, after = old.get(key), new.get(key)
        if before != after:
            yield Difference(
                holder=holder, name=name, key=key, old=before, new=after,
                side=side or _SIDE_OF_KEY.get(_field(key), "wall"),
                decides=not key.startswith("source of ") and key != "profile's name",
            )


def _field(key: str) -> str:
    return next((field for field, each in _KEYS.items() if each.name == key), key)


def _written(given: Mapping[str, Stated]) -> dict[str, str]:
    """Stated values as a plan file has them, by key."""
    return {
        _KEYS[field].name: _KEYS[field].written(stated.value)
        for field, stated in given.items() if field in _KEYS
    }


def _profile_figures(profile: Profile, kind: KindName) -> dict[str, str]:
    """Figures of a profile as its file has them, with their sources."""
    figures: dict[str, str] = {}
    for key in KINDS[kind].keys:
        value: Any = getattr(profile, key.field)
        if key.part is not None:
            value = value[key.part]
        if value is not None and value != ():
            figures["profile's name" if key.name == "name" else key.name] = key.written(value)
    figures.update({f"source of {key}": text for key, text in profile.source.items()})
    return figures


def _surface_figures(plan: Plan) -> dict[str, Figures]:
    return {
        name: {
            **_profile_figures(each.wall, "wall"), "kind": each.kind, "role": each.role,
            **_written(each.given),
        }
        for name, each in plan.surfaces.items()
    }


def _camera_figures(plan: Plan) -> dict[str, Figures]:
    return {
        name: {**_profile_figures(each.camera, "camera"), **_written(each.given)}
        for name, each in plan.cameras.items()
    }


def _lamp_figures(plan: Plan) -> dict[str, Figures]:
    return {name: _profile_figures(each.lamp, "lamp") for name, each in plan.lamps.items()}


def _setup_figures(plan: Plan) -> dict[str, Figures]:
    def figures(setup: SetUp) -> dict[str, str]:
        seen = (
            name if role == "in_shot" else f"{name} ({role.replace('_', ' ')})"
            for name, role in setup.surfaces.items()
        )
        return {
            "cameras": ", ".join(setup.cameras), "surfaces": ", ".join(seen),
            "lamps": ", ".join(setup.lamps) or "none",
            "rates": ", ".join(map(rate_text, setup.rates)), **_written(setup.given),
        }

    return {each.name: figures(each) for each in plan.setups}


def _ramp_figures(plan: Plan) -> dict[str, Figures]:
    return {
        each.name: {
            "setup": each.setup, "from_fps": rate_text(each.from_fps),
            "to_fps": rate_text(each.to_fps), "keeps": each.keeps,
        }
        for each in plan.ramps
    }


def _turn_figures(plan: Plan) -> dict[str, Figures]:
    return {
        each.name: {
            "cameras": ", ".join(each.cameras), "surface": each.surface,
            "wall_multiple": str(each.wall_multiple),
            "rates": ", ".join(map(rate_text, each.rates)),
        }
        for each in plan.interleaves
    }
