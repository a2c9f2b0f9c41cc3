"""Faults of a profile's text, each as one plain line: the key, the value, what is accepted."""

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal, InvalidOperation
from functools import cache
from itertools import islice
from typing import Any

from pydantic_core import CoreConfig, SchemaValidator, ValidationError, core_schema

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_keys import Key, text_schema

__all__ = [
    "LARGEST_BYTES", "checked_fields", "document", "fault", "plain_name", "source_faults",
    "with_nearest",
]

LARGEST_BYTES = 256 * 1024

_STRICTLY = CoreConfig(strict=True, extra_fields_behavior="forbid", allow_inf_nan=False)

_LONGEST_SHOWN = 60
_MOST_FAULTS = 50

# Sixteen names in a row: no profile nests like that, and the reader's time grows with the square.
_DEEP_KEY = re.compile(
    r"""(?<![\w"'-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){16}"""
)
_TOML_PLACE = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)
_TOO_DEEP = "nested deeper than any profile; a profile is one table of keys and [source]"


def plain_name(text: str) -> str:
    """A file's or key's name on one line, shortened, with nothing that steers a terminal."""
    shown = "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape").decode()
        for letter in text[: _LONGEST_SHOWN * 4]
    )
    longest = _LONGEST_SHOWN * 3
    return shown if len(text) <= longest else f"{shown[:longest]}… ({len(text)} characters)"


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value[:_LONGEST_SHOWN + 1]}"'
    if isinstance(value, int):
        return str(value) if value.bit_length() < 256 else f"a number of {value.bit_length()} bits"
    if isinstance(value, list):
        inner = ", ".join(map(_toml, value[:_LONGEST_SHOWN]))
        return f"[{inner}]"
    return "a table" if isinstance(value, dict) else str(value)


def fault(key: str, value: object, accepted: str) -> str:
    """One line that names a key, its value as TOML spells it, and what is accepted."""
    shown = plain_name(_toml(value))
    if len(shown) > _LONGEST_SHOWN + 2:
        shown = f"{shown[:_LONGEST_SHOWN]}…"
        shown += f" ({len(value)} characters)" if isinstance(value, str) else ""
    return f"{plain_name(key)}: {shown} is not accepted; {accepted}"


def with_nearest(message: str, word: str, known: Iterable[str], *, most: int = 1) -> str:
    """A message with the known words that are most like the one given, if any is."""
    from difflib import get_close_matches

    near = get_close_matches(word[:_LONGEST_SHOWN], list(known), n=most, cutoff=0.5)
    return f"{message}; nearest: {', '.join(near)}" if near else message


def document(text: str, *, file: str) -> dict[str, Any]:
    """What a TOML text says, numbers with a point as decimals.

    Parameters
    ----------
    text
        The file's text.
    file
        Its name for messages.

    Returns
    -------
    dict
        Tables and keys.

    Raises
    ------
    ProfileError
        Too large, nested too deep, or no TOML; the line is named.
    """
    size = len(text.encode("utf-8", "surrogatepass"))
    if size > LARGEST_BYTES:
        raise ProfileError(file, [f"{size} bytes; a profile has at most {LARGEST_BYTES}"])
    deep = _DEEP_KEY.search(text)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        raise ProfileError(file, [f"line {line}: {_TOO_DEEP}"])
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except RecursionError:
        raise ProfileError(file, [_TOO_DEEP]) from None
    except ValueError as error:
        raise ProfileError(file, [_not_toml(str(error), text)]) from None


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        # An exponent beyond what decimals hold: no key accepts that, nor infinity.
        return Decimal("-inf" if text.startswith("-") else "inf")


def _not_toml(message: str, text: str) -> str:
    place = _TOML_PLACE.fullmatch(message)
    if place is None:
        return f"not TOML: {plain_name(message)}"
    what, line, column = place.groups()
    where = f"line {line}, column {column}" if line else f"line {text.count(chr(10)) + 1}, its end"
    return f"{where}: not TOML: {plain_name(what[:1].lower() + what[1:])}"


@cache
def _validator(keys: tuple[Key, ...]) -> SchemaValidator:
    fields = {
        key.name: core_schema.typed_dict_field(key.schema, required=False) for key in keys
    }
    return SchemaValidator(core_schema.typed_dict_schema(fields, config=_STRICTLY))


def checked_fields(
    typed: Mapping[str, object], keys: tuple[Key, ...]
) -> tuple[dict[str, Any], list[str]]:
    """Fields of the profile that a table fills, and the faults of the rest.

    Parameters
    ----------
    typed
        The table as read.
    keys
        What it may hold.

    Returns
    -------
    fields, faults
        Values by field, those without fault only; one line for each faulty, unknown or missing
        key.
    """
    bad: dict[str, list[int]] = {}
    values: dict[str, Any] = {}
    try:
        values = _validator(keys).validate_python(dict(typed))
    except ValidationError as error:
        for each in error.errors(include_url=False, include_context=False, include_input=False):
            name, *place = each["loc"]
            bad.setdefault(str(name), []).extend(part for part in place if isinstance(part, int))
        values = _validator(keys).validate_python(
            {name: value for name, value in typed.items() if name not in bad}
        )
    known = {key.name: key for key in keys}
    faults = [
        _key_fault(known[name], typed[name], places) if name in known
        else with_nearest(f"{plain_name(name)}: no such key", name, known)
        for name, places in list(bad.items())[:_MOST_FAULTS]
    ]
    if len(bad) > _MOST_FAULTS:
        faults.append(f"and {len(bad) - _MOST_FAULTS} more keys with faults")
    faults += [
        f"{key.name}: missing; {key.accepted}"
        for key in keys if key.required and key.name not in typed
    ]
    return _fields(values, keys), faults


def _fields(values: Mapping[str, Any], keys: tuple[Key, ...]) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    for key in keys:
        if key.name not in values:
            continue
        value = values[key.name]
        if key.part is not None:
            parts = list(fields.get(key.field, (1.0, 1.0, 1.0)))
            parts[key.part] = value
            value = tuple(parts)
        fields[key.field] = value
    return fields


def _key_fault(key: Key, value: object, places: list[int]) -> str:
    if not (places and isinstance(value, list)):
        return fault(key.name, value, key.accepted)
    line = fault(key.name, value[places[0]], key.accepted)
    more = len(set(places)) - 1
    return f"{line} (number {places[0] + 1} of the list{f', and {more} more' if more else ''})"


def source_faults(
    source: object, typed: Mapping[str, object], keys: tuple[Key, ...]
) -> list[str]:
    """Faults of the table that says where figures come from.

    Parameters
    ----------
    source
        What the file has as `[source]`.
    typed, keys
        The profile's own table, and what it may hold.

    Returns
    -------
    list of str
        One line for each entry that names no figure of the profile or says nothing.
    """
    if not isinstance(source, dict):
        return [fault("[source]", source, "a table with one text for each figure")]
    known = {key.name for key in keys}
    says = SchemaValidator(text_schema(), _STRICTLY)

    def lines() -> Iterator[str]:
        for name, text in source.items():
            shown = f"[source] {plain_name(name)}"
            if name not in typed:
                what = "the profile does not give it" if name in known else "no such key"
                yield with_nearest(f"{shown}: {what}", name, typed)
            elif not says.isinstance_python(text):
                yield fault(shown, text, 'where the figure comes from, such as "assumed"')

    return list(islice(lines(), _MOST_FAULTS))
