"""The tables of a plan's text: which there are, what each row says, and what it inherits."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from bandcheck.shoot.plan import Stated
from bandcheck.shoot.plan_keys import (
    CAMERA_TABLE,
    INTERLEAVE_TABLE,
    LAMP_TABLE,
    RAMP_TABLE,
    SETUP_TABLE,
    SURFACE_TABLE,
)
from bandcheck.shoot.profile_faults import checked_fields, fault, plain_name, with_nearest
from bandcheck.shoot.profile_keys import Key

__all__ = [
    "KINDS_OF_TABLES", "Faults", "Row", "inherited", "one_table", "reference_faults", "rows_of",
    "shutter_faults", "stated", "table_faults",
]

KINDS_OF_TABLES: Mapping[str, tuple[Key, ...]] = {
    "surface": SURFACE_TABLE, "camera": CAMERA_TABLE, "lamp": LAMP_TABLE, "setup": SETUP_TABLE,
    "ramp": RAMP_TABLE, "interleave": INTERLEAVE_TABLE,
}
"""Tables of which a plan may have several, each with a name, and what they hold."""

_ONE_EACH = ("plan", "defaults")
_MEASURABLE = ("surface", "camera", "lamp")
_MOST_ROWS = 1000
_MOST_TOLD = 100


class Faults:
    """Faults that are being gathered, each once, with the place that they are in."""

    def __init__(self) -> None:
        self.lines: dict[str, None] = {}

    def add(self, place: str, found: Iterable[str]) -> None:
        """Keep faults of a place."""
        self.lines.update(dict.fromkeys(f"{place} {line}".lstrip() for line in found))

    @property
    def told(self) -> list[str]:
        """Lines for a message."""
        lines = list(self.lines)
        more = len(lines) - _MOST_TOLD
        return lines if more <= 0 else [*lines[:_MOST_TOLD], f"and {more} more faults"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One table of several of its kind.

    Attributes
    ----------
    kind, name, place
        Its kind, its name (empty where it has none), and how messages call it.
    fields
        What its faultless keys say.
    typed
        All of them as they stand in the file.
    measured
        Who measured what.
    """

    kind: str
    name: str
    place: str
    fields: Mapping[str, Any]
    typed: Mapping[str, Any]
    measured: Mapping[str, str] = field(default_factory=dict)


def table_faults(tables: Mapping[str, Any]) -> Iterator[str]:
    """Faults of what stands at the top of the file."""
    known = [*_ONE_EACH, *KINDS_OF_TABLES]
    for name, content in tables.items():
        if name in KINDS_OF_TABLES:
            if not isinstance(content, list) or not all(isinstance(each, dict) for each in content):
                yield f"[{name}]: write each {name} below a line of its own, [[{name}]]"
            elif len(content) > _MOST_ROWS:
                yield f"[[{name}]]: {len(content)} of them; at most {_MOST_ROWS}"
        elif name in _ONE_EACH:
            if not isinstance(content, dict):
                yield f"[{name}]: one table [{name}] with the keys below it is accepted"
        elif isinstance(content, dict | list):
            yield with_nearest(f"[{plain_name(name)}]: no such table", name, known)
        else:
            yield f"{plain_name(name)}: stands outside the tables; write it below [defaults]"


def one_table(
    tables: Mapping[str, Any], name: str, keys: tuple[Key, ...], faults: Faults, *,
    required: bool = False,
) -> tuple[dict[str, Any], Mapping[str, Any]]:
    """What a table that there is once says, and the same as it stands in the file."""
    typed = tables.get(name)
    if typed is None and required:
        faults.add("", [f"[{name}]: missing; its keys stand below a line that says [{name}]"])
    if not isinstance(typed, dict):
        return {}, {}
    fields, found = checked_fields(typed, keys)
    faults.add(f"[{name}]", found)
    return fields, typed


def rows_of(tables: Mapping[str, Any], kind: str, faults: Faults) -> list[Row]:
    """Tables of a kind; two of one name are a fault, and the first of them stays."""
    content = tables.get(kind, [])
    if not isinstance(content, list):
        return []
    rows: list[Row] = []
    seen: set[str] = set()
    for number, typed in enumerate(content[:_MOST_ROWS], start=1):
        if not isinstance(typed, dict):
            continue
        row = _row(kind, number, typed, faults)
        if row.name and row.name in seen:
            faults.add(row.place, [f"name: there is another {kind} of this name"])
            continue
        seen.add(row.name)
        rows.append(row)
    return rows


def _row(kind: str, number: int, typed: Mapping[str, Any], faults: Faults) -> Row:
    own = {
        key: value for key, value in typed.items()
        if kind not in _MEASURABLE or key != "measured"
    }
    fields, found = checked_fields(own, KINDS_OF_TABLES[kind])
    name = fields.get("name", "")
    place = f"[[{kind}]] {plain_name(name) if name else f'number {number}'},"
    faults.add(place, found)
    measured = typed.get("measured", {}) if kind in _MEASURABLE else {}
    if not isinstance(measured, dict):
        faults.add(place, [fault("measured", measured, "a table with one text for each figure")])
        measured = {}
    return Row(kind=kind, name=name, place=place, fields=fields, typed=typed, measured=measured)


def inherited(rows: list[Row], faults: Faults) -> dict[str, dict[str, Stated]]:
    """What each row says, with what it takes from those that it is like.

    Parameters
    ----------
    rows
        Rows of one kind.
    faults
        Where an unknown name, or rows that are like one another in a circle, are told.

    Returns
    -------
    dict
        Name to fields, each with the row that stated it.
    """
    by_name = {row.name: row for row in rows}
    told: dict[str, dict[str, Stated]] = {}
    circles: set[frozenset[str]] = set()
    for row in rows:
        chain, after = [row], row.fields.get("like")
        while after is not None:
            if after not in by_name:
                if len(chain) == 1:
                    faults.add(row.place, reference_faults("like", [after], row.kind, by_name))
                break
            if after in (each.name for each in chain):
                names = [each.name for each in chain]
                circle = names[names.index(after):]
                if frozenset(circle) not in circles:
                    circles.add(frozenset(circle))
                    faults.add(row.place, [
                        "like: goes round in a circle: "
                        + " is like ".join(map(plain_name, (*circle, after)))
                    ])
                break
            chain.append(by_name[after])
            after = chain[-1].fields.get("like")
        told[row.name] = _merged(chain)
    return told


def _merged(chain: list[Row]) -> dict[str, Stated]:
    """Fields of a row over those of the rows that it is like."""
    merged: dict[str, Stated] = {}
    for row in reversed(chain):
        own = {key: each for key, each in row.fields.items() if key not in ("name", "like")}
        for pair in (("angle_deg", "speed"), ("camera", "cameras")):
            # Two ways to say one thing: what is said nearer takes the place of both.
            if any(key in own for key in pair):
                merged = {key: each for key, each in merged.items() if key not in pair}
        merged.update(stated(own, f"{row.kind} {row.name}"))
    return merged


def stated(fields: Mapping[str, Any], by: str) -> dict[str, Stated]:
    """Values with who stated them."""
    return {key: Stated(value=value, by=by) for key, value in fields.items()}


def shutter_faults(typed: Mapping[str, Any]) -> Iterator[str]:
    """Two ways to say one thing in one table."""
    for one, other in (("angle_deg", "speed"), ("camera", "cameras")):
        if one in typed and other in typed:
            yield f"{one}, {other}: give one of them; each of them says the same thing"


def reference_faults(
    key: str, names: Iterable[str], kind: str, known: Iterable[str]
) -> Iterator[str]:
    """Names that no device or set-up has."""
    accepted = list(known)
    for name in names:
        if name not in accepted:
            yield with_nearest(
                fault(key, name, f"the name of a {kind} in this plan"), name, accepted
            )
