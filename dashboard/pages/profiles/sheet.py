"""A profile as it is typed: a text for each figure and each source, and the TOML that they make.

Whatever is typed has a place in the TOML: what is no number is written as a text, which the
profile's own check then refuses by its key. So a sheet with faults goes through a link unchanged.
"""

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Final, Literal

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_faults import document
from bandcheck.shoot.profile_keys import Key, quoted
from bandcheck.shoot.profiles import (
    KINDS,
    KindName,
    Profile,
    parse_camera,
    parse_lamp,
    parse_wall,
)

__all__ = [
    "LONGEST_TYPED", "NOT_CHOSEN", "Faults", "Shape", "Sheet", "keys_of", "profile_or_faults",
    "shape_of", "sheet_of", "sheet_text", "too_long",
]

LONGEST_TYPED: Final = 20_000
"""Letters of one field beyond which it is left out: no profile has a figure so long."""

NOT_CHOSEN: Final = "-"
"""What stands in a list where none of its words is chosen."""

Shape = Literal["text", "choice", "number", "list"]

_PARSERS: Mapping[KindName, Callable[..., Profile]] = {
    "wall": parse_wall, "camera": parse_camera, "lamp": parse_lamp,
}
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?=\.?[0-9])(?P<whole>[0-9]*)(?P<part>\.[0-9]*)?(?P<power>[eE][+-]?[0-9]+)?"
)
_LONGEST_NUMBER = 60
_TOO_LONG = "{} characters are not accepted; at most {}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """What is typed.

    Attributes
    ----------
    kind
        What it describes.
    figures, sources
        Text by key; a key without text is left out.
    """

    kind: KindName
    figures: Mapping[str, str]
    sources: Mapping[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class Faults:
    """What is wrong with a sheet, where it stands.

    Attributes
    ----------
    figures, sources
        Fault by key, on one line.
    other
        Faults that belong to no field.
    """

    figures: Mapping[str, str]
    sources: Mapping[str, str]
    other: tuple[str, ...]

    def __len__(self) -> int:
        """How many there are."""
        return len(self.figures) + len(self.sources) + len(self.other)


@cache
def keys_of(kind: KindName) -> Mapping[str, Key]:
    """Keys of a kind of profile by their names, in the order of a file."""
    return {key.name: key for key in KINDS[kind].keys}


@cache
def shape_of(key: Key) -> Shape:
    """How a key's figure is typed: as it is, chosen, as a number, or with commas between."""
    example = tomllib.loads(f"value = {key.example}")["value"]
    schema: Mapping[str, Any] = key.schema
    if isinstance(example, bool) or schema["type"] == "literal":
        return "choice"
    if isinstance(example, str):
        return "text"
    return "list" if key.accepted.startswith("a list") else "number"


def sheet_of(text: str, kind: KindName, *, file: str) -> Sheet:
    """Sheet that a TOML text fills, faults and all.

    Parameters
    ----------
    text
        What a profile file holds.
    kind
        What it has to describe.
    file
        Name for messages.

    Returns
    -------
    Sheet
        Figures as they are spelled in the text.

    Raises
    ------
    ProfileError
        The text is no TOML, or says something that has no field: that cannot be shown.
    """
    tables = document(text, file=file)
    try:
        _PARSERS[kind](text, file=file)
    except ProfileError as error:
        if _placed(error.faults, kind).other or not tables.keys() <= {kind, "source"}:
            raise ProfileError(file, error.faults) from None
    return Sheet(
        kind=kind, figures=_typed(tables.get(kind), kind),
        sources=_typed(tables.get("source"), kind),
    )


def _typed(table: object, kind: KindName) -> dict[str, str]:
    if not isinstance(table, dict):
        return {}
    texts = {name: _written(table[name]) for name in keys_of(kind) if name in table}
    return {name: text for name, text in texts.items() if text}


def _written(value: object) -> str:
    """A value of TOML as it is typed; what no figure can be stands for itself."""
    if isinstance(value, list):
        return ", ".join("[…]" if isinstance(each, list) else _written(each) for each in value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and value.bit_length() > 256:
        return f"a number of {value.bit_length()} bits"
    if isinstance(value, str | int | Decimal):
        return str(value)
    return "a table" if isinstance(value, dict) else str(value)


def sheet_text(sheet: Sheet) -> str:
    """TOML text of a sheet.

    Parameters
    ----------
    sheet
        What is typed.

    Returns
    -------
    str
        TOML without syntax errors, whatever is typed; a text that is too long is left out.
    """
    keys = keys_of(sheet.kind)
    figures = {name: text for name, text in sheet.figures.items() if _holds(text)}
    sources = {name: text for name, text in sheet.sources.items() if _holds(text)}
    lines = [f"[{sheet.kind}]"]
    lines += [f"{name} = {_spelled(key, figures[name])}" for name, key in keys.items()
              if name in figures]
    if sources:
        lines += ["", "[source]"]
        lines += [f"{name} = {_quoted(sources[name])}" for name in keys if name in sources]
    return "\n".join(lines) + "\n"


def _holds(text: str) -> bool:
    return bool(text.strip()) and len(text) <= LONGEST_TYPED


def _spelled(key: Key, text: str) -> str:
    shape, text = shape_of(key), text.strip()
    if shape == "text":
        return _quoted(text)
    if shape == "choice":
        return text if text in ("true", "false") else _quoted(text)
    if shape == "list" or ("," in text and "list" in key.accepted):  # one for all, or three
        inner = text.removeprefix("[").removesuffix("]")
        return f"[{', '.join(_number(part.strip()) for part in inner.split(','))}]"
    return _number(text)


def _number(text: str) -> str:
    """A number as TOML writes it; as a text what is none, such as 1/50."""
    found = _NUMBER.fullmatch(text) if len(text) <= _LONGEST_NUMBER else None
    if found is None:
        return _quoted(text.strip("\"'"))
    sign, whole, part, power = (each or "" for each in found.groups())
    whole = whole.lstrip("0") or "0"
    return f"{sign}{whole}{part + '0' if part == '.' else part}{power}"


def _quoted(text: str) -> str:
    """A text as TOML writes it, with what TOML does not take as it is spelled out."""
    whole = text.encode("utf-8", "replace").decode()  # half of a pair of surrogates is no letter
    return quoted(whole).replace("\x7f", "\\u007f")


def profile_or_faults(text: str, kind: KindName) -> Profile | Faults:
    """Profile of a TOML text, or what is wrong with it by field.

    Parameters
    ----------
    text
        TOML.
    kind
        What it has to describe.

    Returns
    -------
    Profile or Faults
        Never both.
    """
    try:
        return _PARSERS[kind](text, file=kind)
    except ProfileError as error:
        return _placed(error.faults, kind)


def _placed(lines: tuple[str, ...], kind: KindName) -> Faults:
    """Faults beside their fields; several of one key stand one after the other."""
    figures: dict[str, str] = {}
    sources: dict[str, str] = {}
    other: list[str] = []
    for line in lines:
        about, _, what = line.partition(": ")
        place = sources if about.startswith("[source] ") else figures
        names = about.removeprefix("[source] ").split(", ")
        if what and set(names) <= keys_of(kind).keys():
            for name in names:
                place[name] = f"{place[name]}; {what}" if name in place else what
        else:
            other.append(line)
    return Faults(figures=figures, sources=sources, other=tuple(other))


def too_long(texts: Mapping[str, str]) -> dict[str, str]:
    """Faults of texts that are left out, by key."""
    return {
        name: _TOO_LONG.format(len(text), LONGEST_TYPED)
        for name, text in texts.items() if len(text) > LONGEST_TYPED
    }
