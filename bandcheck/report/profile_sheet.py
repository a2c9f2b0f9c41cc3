"""A profile as a sheet: each figure with its unit and where it comes from."""

import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from itertools import zip_longest
from textwrap import wrap

from bandcheck.shoot.profile_keys import Key
from bandcheck.shoot.profiles import KINDS, KindName, Profile

__all__ = ["Figure", "figures_not_stated", "kind_of", "profile_figures", "profile_sheet"]

_UNITS = {
    "mm": "mm", "px": "px", "deg": "deg", "hz": "Hz", "mhz": "MHz", "fps": "frames/s", "ms": "ms",
    "us": "us", "nits": "cd/m2", "pct": "%", "ppm": "ppm", "speeds": "s",
}

_NAMES = ("name", "body", "mode")
"""Keys that need no source: whoever writes the profile chooses them."""

TAKEN = "not stated: taken"
"""Stands for the source of a figure that the profile leaves to what is usual."""

NO_SOURCE = "no source given"


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """One figure of a profile.

    Attributes
    ----------
    key
        Its key in the file.
    written
        Its value as it stands in a file.
    unit
        Unit of the value; empty for words and ratios.
    source
        Where it comes from; empty for names.
    """

    key: str
    written: str
    unit: str
    source: str

    @property
    def value(self) -> object:
        """Number, text, truth or list of them, in the unit of the key."""
        return tomllib.loads(f"value = {self.written}")["value"]


def kind_of(profile: Profile) -> KindName:
    """Whether a profile is of a wall, a camera or a lamp."""
    return next(name for name, kind in KINDS.items() if isinstance(profile, kind.make))


def profile_figures(profile: Profile) -> tuple[Figure, ...]:
    """Figures that a profile has, in the order of its keys.

    Parameters
    ----------
    profile
        Wall, camera or lamp.

    Returns
    -------
    tuple of Figure
        Those stated, and those that are taken where nothing is stated.
    """
    usual = {each.name: each.default for each in fields(profile)}
    found = []
    for key in _keys(profile):
        value = _value(profile, key)
        if value is None or value == ():
            continue
        default = usual[key.field]
        stated = key.name in profile.source or getattr(profile, key.field) != default
        without_source = "" if key.name in _NAMES else NO_SOURCE if stated else TAKEN
        found.append(Figure(
            key=key.name, written=_tidy(key.written(value)), unit=_unit(key.name),
            source=profile.source.get(key.name, without_source),
        ))
    return tuple(found)


def figures_not_stated(profile: Profile) -> tuple[str, ...]:
    """Keys for which a profile has no figure."""
    return tuple(key.name for key in _keys(profile) if _value(profile, key) in (None, ()))


def profile_sheet(profile: Profile, *, width: int = 80) -> str:
    """A profile as text.

    Parameters
    ----------
    profile
        Wall, camera or lamp.
    width
        Longest line, in letters.

    Returns
    -------
    str
        Its name, a line or more for each figure, and the keys that have none.
    """
    figures = [each for each in profile_figures(profile) if each.key != "name"]
    lines = wrap(f"{profile.name} ({kind_of(profile)})", width)
    lines.append("")
    key_width = max(len(each.key) for each in figures) + 2
    value_width = (width - key_width) // 2
    for each in figures:
        value = f"{each.written.strip(chr(34))} {each.unit}".strip()
        cells = [(each.key, key_width), (value, value_width), (each.source, value_width)]
        lines.extend(_row(cells))
    missing = figures_not_stated(profile)
    if missing:
        lines += ["", *wrap(f"Not stated: {', '.join(missing)}", width, subsequent_indent="  ")]
    return "\n".join(lines)


def _row(cells: Iterable[tuple[str, int]]) -> Iterator[str]:
    columns = [
        [part.ljust(width) for part in wrap(text, width - 2) or [""]] for text, width in cells
    ]
    blanks = [" " * width for _, width in cells]
    for parts in zip_longest(*columns):
        filled = (part or blank for part, blank in zip(parts, blanks, strict=True))
        yield "".join(filled).rstrip()


def _keys(profile: Profile) -> tuple[Key, ...]:
    return KINDS[kind_of(profile)].keys


def _value(profile: Profile, key: Key) -> object:
    value: object = getattr(profile, key.field)
    return value if key.part is None else value[key.part]  # type: ignore[index]


def _tidy(written: str) -> str:
    """A number without the zeros that end its decimals."""
    if re.fullmatch(r"-?[0-9]+\.[0-9]+", written):
        return written.rstrip("0").rstrip(".")
    return written


def _unit(key: str) -> str:
    return _UNITS.get(key.rpartition("_")[2], "")
