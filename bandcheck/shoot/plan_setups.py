"""Set-ups, ramps and interleaved cameras of a plan."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from bandcheck.shoot.plan import Interleave, Ramp, Role, SetUp, Stated
from bandcheck.shoot.plan_tables import (
    Faults,
    Row,
    inherited,
    reference_faults,
    shutter_faults,
)
from bandcheck.shoot.profile_faults import fault
from bandcheck.timing.rates import rate_text

__all__ = ["read_interleaves", "read_ramps", "read_setups"]

Known = Mapping[str, set[str]]

_SEEN: Mapping[str, Role] = {"reflected": "reflected", "lighting_only": "lighting_only"}


def _rates(
    given: dict[str, Any], defaults: Mapping[str, Stated], row: Row, faults: Faults
) -> tuple[Fraction, ...]:
    said = given.pop("rates", None) or defaults.get("rates")
    if said is None:
        if "rates" not in row.typed:
            faults.add(row.place, ["rates: missing; here or in [defaults], such as [24, 25, 48]"])
        return ()
    rates: tuple[Fraction, ...] = said.value
    return rates


def _taken(given: dict[str, Stated], key: str, usual: tuple[str, ...] = ()) -> tuple[str, ...]:
    if key not in given:
        return usual
    value = given.pop(key).value
    return (value,) if isinstance(value, str) else tuple(value)


def _surfaces(
    given: dict[str, Stated], roles: Mapping[str, Role], row: Row, faults: Faults
) -> dict[str, Role]:
    """Surfaces that a set-up sees, in its order, with how it sees them."""
    seen: dict[str, Role] = {
        name: roles.get(name, "in_shot") for name in _taken(given, "surfaces")
    }
    for key, role in _SEEN.items():
        for name in _taken(given, key):
            if seen.get(name, role) != role and name in row.typed.get("surfaces", ()):
                faults.add(row.place, [f"{key}: {name} stands in surfaces too; once is enough"])
            seen[name] = role
    return seen


def read_setups(
    rows: list[Row], *, known: Known, roles: Mapping[str, Role],
    defaults: Mapping[str, Stated], faults: Faults,
) -> tuple[SetUp, ...]:
    """Set-ups of a plan.

    Parameters
    ----------
    rows
        Their tables.
    known
        Names that there are, by kind.
    roles
        How each surface is seen unless a set-up says otherwise.
    defaults
        What holds where a set-up says nothing.
    faults
        Where faults are told.

    Returns
    -------
    tuple of SetUp
        Those that have a camera and a surface.
    """
    told = inherited(rows, faults)
    found = []
    for row in rows:
        faults.add(row.place, shutter_faults(row.typed))
        if not row.name:
            continue
        given = dict(told[row.name])
        cameras = _taken(given, "camera") or _taken(given, "cameras")
        surfaces = _surfaces(given, roles, row, faults)
        lamps = _taken(given, "lamps", _taken(dict(defaults), "lamps"))
        rates = _rates(given, defaults, row, faults)
        if not cameras and not {"camera", "cameras"} & row.typed.keys():
            faults.add(row.place, ["camera: missing; a set-up needs one, or several as cameras"])
        if not surfaces and "surfaces" not in row.typed:
            faults.add(row.place, ["surfaces: missing; what the camera sees, such as [\"main\"]"])
        for key, names in (("camera", cameras), ("surface", surfaces), ("lamp", lamps)):
            faults.add(row.place, reference_faults(
                key if key == "camera" else f"{key}s", names, key, known[key]
            ))
        found.append(SetUp(
            name=row.name, cameras=cameras, surfaces=surfaces, lamps=lamps, rates=rates,
            given=given,
        ))
    if not rows:
        faults.add("", ["[[setup]]: missing; a plan has one set-up or more"])
    return tuple(found)


def read_ramps(rows: list[Row], *, known: Known, faults: Faults) -> tuple[Ramp, ...]:
    """Changes of rate in a plan; parameters as for `read_setups`."""
    found = []
    for row in rows:
        said = row.fields
        if "setup" in said:
            faults.add(row.place, reference_faults(
                "setup", [said["setup"]], "setup", known["setup"]
            ))
        if not {"name", "setup", "from_fps", "to_fps"} <= said.keys():
            continue
        if said["from_fps"] == said["to_fps"]:
            faults.add(row.place, [
                f"to_fps: {rate_text(said['to_fps'])} is not accepted; another rate than from_fps"
            ])
        found.append(Ramp(
            name=row.name, setup=said["setup"], from_fps=said["from_fps"], to_fps=said["to_fps"],
            keeps=said.get("keeps", "angle"),
        ))
    return tuple(found)


def read_interleaves(
    rows: list[Row], *, known: Known, defaults: Mapping[str, Stated], faults: Faults
) -> tuple[Interleave, ...]:
    """Cameras that take turns in a plan; parameters as for `read_setups`."""
    found = []
    for row in rows:
        said: dict[str, Any] = dict(row.fields)
        faults.add(row.place, reference_faults(
            "cameras", said.get("cameras", ()), "camera", known["camera"]
        ))
        if "surface" in said:
            faults.add(row.place, reference_faults(
                "surface", [said["surface"]], "surface", known["surface"]
            ))
        own = {"rates": Stated(value=said["rates"], by=row.name)} if "rates" in said else {}
        rates = _rates(own, defaults, row, faults)
        if not {"name", "cameras", "surface", "wall_multiple"} <= said.keys():
            continue
        if said["wall_multiple"] < len(said["cameras"]):
            faults.add(row.place, [fault(
                "wall_multiple", said["wall_multiple"],
                f"a frame of the wall for each of the {len(said['cameras'])} cameras, or more"
            )])
        found.append(Interleave(
            name=row.name, cameras=said["cameras"], surface=said["surface"],
            wall_multiple=said["wall_multiple"], rates=rates,
        ))
    return tuple(found)
