"""Shoot plans: found by name or file, read, and checked as a whole."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_devices import DeviceReader
from bandcheck.shoot.plan_keys import DEFAULT_TABLE, PLAN_TABLE
from bandcheck.shoot.plan_rules import plan_faults
from bandcheck.shoot.plan_setups import read_interleaves, read_ramps, read_setups
from bandcheck.shoot.plan_tables import (
    KINDS_OF_TABLES,
    Faults,
    Row,
    one_table,
    rows_of,
    shutter_faults,
    stated,
    table_faults,
)
from bandcheck.shoot.profile_faults import LARGEST_BYTES, document, plain_name, with_nearest
from bandcheck.shoot.profiles import shipped_folder

__all__ = ["load_plan", "parse_plan", "shipped_plans"]


def shipped_plans() -> tuple[str, ...]:
    """Names of the shipped plans, in the order of the alphabet."""
    return tuple(sorted(path.stem for path in (shipped_folder() / "plans").glob("*.toml")))


def load_plan(name_or_path: str | Path) -> Plan:
    """Plan of a shipped name or a file.

    Parameters
    ----------
    name_or_path
        A file's path if it ends in .toml, holds a separator or exists; else a shipped name.

    Returns
    -------
    Plan
        Read and without fault.

    Raises
    ------
    ProfileError
        No such plan, a file that cannot be read, or one with faults: all of them at once.
    """
    name = os.fspath(name_or_path)
    path = Path(name)
    is_path = isinstance(name_or_path, Path) or os.sep in name or name.endswith(".toml")
    if not is_path and not os.path.exists(name):
        if name not in shipped_plans():
            what = "no plan of this name is shipped, and no file is called so"
            raise ProfileError(plain_name(name), [with_nearest(what, name, shipped_plans())])
        path = shipped_folder() / "plans" / f"{name}.toml"
    return parse_plan(_file_text(path), file=name, folder=path.parent)


def _file_text(path: Path) -> str:
    file = plain_name(str(path))
    try:
        with path.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ProfileError(file, [f"line {line}: not UTF-8 text"]) from None
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL in it
        reason = getattr(error, "strerror", None) or "is no path"
        raise ProfileError(file, [f"cannot be read: {reason[:1].lower()}{reason[1:]}"]) from None


def parse_plan(text: str, *, file: str, folder: Path | None = None) -> Plan:
    """Plan of a TOML text.

    Parameters
    ----------
    text
        What a plan file holds.
    file
        Name for messages.
    folder
        Where the files that the plan names lie; None: the folder one is in.

    Returns
    -------
    Plan
        Read and without fault.

    Raises
    ------
    ProfileError
        Faults of the text, all of them at once.
    """
    shown = plain_name(file)
    tables = document(text, file=shown)
    faults = Faults()
    faults.add("", table_faults(tables))
    head, _ = one_table(tables, "plan", PLAN_TABLE, faults, required=True)
    defaults, typed = one_table(tables, "defaults", DEFAULT_TABLE, faults)
    faults.add("[defaults]", shutter_faults(typed))
    rows = {kind: rows_of(tables, kind, faults) for kind in KINDS_OF_TABLES}
    plan = _built(head, stated(defaults, "[defaults]"), rows, folder or Path(), faults)
    if plan is not None:
        faults.add("", plan_faults(plan))
    if plan is None or faults.lines:
        raise ProfileError(shown, faults.told)
    return plan


def _built(
    head: Mapping[str, Any], defaults: Mapping[str, Any], rows: Mapping[str, list[Row]],
    folder: Path, faults: Faults,
) -> Plan | None:
    """Plan of everything that is without fault; None where there is no name even."""
    devices = DeviceReader(folder=folder, faults=faults)
    surfaces = devices.surfaces(rows["surface"])
    cameras = devices.cameras(rows["camera"])
    lamps = devices.lamps(rows["lamp"])
    known = {
        kind: {row.name for row in rows[kind] if row.name}
        for kind in ("surface", "camera", "lamp", "setup")
    }
    setups = read_setups(
        rows["setup"], known=known, roles={each.name: each.role for each in surfaces.values()},
        defaults=defaults, faults=faults,
    )
    return Plan(
        name=head.get("name", ""), note=head.get("note", ""), defaults=defaults,
        surfaces=surfaces, cameras=cameras, lamps=lamps, setups=setups,
        ramps=read_ramps(rows["ramp"], known=known, faults=faults),
        interleaves=read_interleaves(
            rows["interleave"], known=known, defaults=defaults, faults=faults
        ),
    )
