"""What one key of a profile may hold: its check, its units, and the way back to text.

A key's unit is the ending of its name, and from it follow the field it fills and the power of ten
between the two: `clock_mhz` fills `clock_hz`, `refresh_tolerance_pct` fills `refresh_tolerance`.
TOML's numbers arrive as decimals, so no conversion rounds more than once and each has an inverse.

The checks are run by pydantic's own engine, pydantic_core, without the models on top of it: these
take as long to import as numpy, the engine a tenth of that.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from pydantic_core import CoreSchema, core_schema

from bandcheck.timing.rates import frame_rate
from bandcheck.timing.shutter import shutter_angle, shutter_speed

__all__ = [
    "Key", "angle_step", "angles", "choice", "flag", "label", "number", "pulse_counts",
    "quoted", "rate", "speeds", "text_schema", "whole", "wholes",
]

LONGEST_TEXT = 200
LONGEST_LIST = 1000

# Figures beyond these places are no measurement, and as fractions they would fill the memory.
_DECIMAL_PLACES = 40

# Controls, line ends, lone surrogates, and the marks that turn the direction of a line.
_UNPRINTABLE = re.compile("[\x00-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")

_SMALLEST_STEP_DEG = Fraction("0.001")

_UNITS = {
    "mm": ("mm", 0, "_mm"), "px": ("pixels", 0, "_px"), "deg": ("degrees", 0, "_deg"),
    "hz": ("Hz", 0, "_hz"), "mhz": ("MHz", 6, "_hz"), "fps": ("frames a second", 0, "_fps"),
    "ms": ("ms", -3, "_s"), "us": ("us", -6, "_s"), "nits": ("cd/m2", 0, "_nits"),
    "pct": ("%", -2, ""), "ppm": ("parts in a million", -6, ""),
}


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Key:
    """One key of a profile.

    Attributes
    ----------
    name, meaning, accepted
        The key, what it says, and what it may hold, in words.
    example
        A value as it stands in a file.
    field, part
        Field that it fills, and which element of it where it fills only one.
    required
        Whether every profile must have it.
    schema
        Check that gives the field's value.
    written
        Text in a file of the field's value.
    """

    name: str
    meaning: str
    accepted: str
    example: str
    field: str
    schema: CoreSchema
    written: Callable[[Any], str]
    part: int | None = None
    required: bool = False


def _unit(name: str) -> tuple[str, int, str]:
    stem, _, ending = name.rpartition("_")
    unit, exponent, suffix = _UNITS.get(ending, ("", 0, f"_{ending}"))
    return unit, exponent, stem + suffix if stem else name


def _range(above: float | None, at_least: float | None, at_most: float) -> str:
    from_where = f"from {at_least:g} to" if above is None else f"above {above:g} and up to"
    return f"{from_where} {Decimal(str(at_most)):f}"


def _decimal(value: object) -> object:
    return Decimal(value) if type(value) is int else value


def number(
    name: str, meaning: str, *, example: str, at_most: float, above: float | None = None,
    at_least: float | None = None, field: str | None = None, part: int | None = None,
) -> Key:
    """Key for a number with its bounds, in the unit of its name."""
    unit, exponent, known_field = _unit(name)
    scale = Fraction(10) ** exponent
    schema = core_schema.decimal_schema(
        decimal_places=_DECIMAL_PLACES,
        gt=None if above is None else Decimal(str(above)),
        ge=None if at_least is None else Decimal(str(at_least)), le=Decimal(str(at_most)),
    )

    def si(value: Decimal) -> float:
        return float(Fraction(value) * scale)

    def written(value: float) -> str:
        return format(Decimal(repr(float(value))).scaleb(-exponent), "f")

    return Key(
        name=name, meaning=meaning, example=example, field=field or known_field, part=part,
        accepted=f"a number {_range(above, at_least, at_most)}{unit and f', in {unit}'}",
        schema=core_schema.no_info_after_validator_function(
            si, core_schema.no_info_before_validator_function(_decimal, schema)
        ),
        written=written,
    )


def whole(
    name: str, meaning: str, *, example: str, at_most: int, at_least: int = 1,
    required: bool = False,
) -> Key:
    """Key for a whole number."""
    return Key(
        name=name, meaning=meaning, example=example, field=name, required=required,
        accepted=f"a whole number from {at_least} to {at_most}",
        schema=core_schema.int_schema(ge=at_least, le=at_most), written=str,
    )


def wholes(name: str, meaning: str, *, example: str, at_most: int) -> Key:
    """Key for a list of whole numbers."""
    return Key(
        name=name, meaning=meaning, example=example, field=name,
        accepted=f"a list of whole numbers from 1 to {at_most}",
        schema=_tuple(core_schema.int_schema(ge=1, le=at_most)), written=_list(str),
    )


def pulse_counts(name: str, meaning: str, *, example: str, at_most: int) -> Key:
    """Key for a whole number that holds for red, green and blue, or a list of the three."""
    three = _tuple(core_schema.int_schema(ge=1, le=at_most), length=3)

    def written(value: tuple[int, ...]) -> str:
        return str(value[0]) if len(set(value)) == 1 else _list(str)(value)

    return Key(
        name=name, meaning=meaning, example=example, field=name,
        accepted=f"a whole number from 1 to {at_most}, or a list of three for red, green and blue",
        schema=core_schema.no_info_before_validator_function(
            lambda value: [value] * 3 if type(value) is int else value, three
        ),
        written=written,
    )


def choice(
    name: str, meaning: str, *accepted: str, example: str | None = None, required: bool = False
) -> Key:
    """Key for one word out of a few."""
    *first, last = (f'"{word}"' for word in accepted)
    return Key(
        name=name, meaning=meaning, example=f'"{example or accepted[0]}"', field=name,
        required=required, accepted=f"{', '.join(first)} or {last}",
        schema=core_schema.literal_schema(list(accepted)), written=quoted,
    )


def flag(name: str, meaning: str, *, example: str) -> Key:
    """Key for yes or no."""
    return Key(
        name=name, meaning=meaning, example=example, field=name, accepted="true or false",
        schema=core_schema.bool_schema(), written=lambda value: str(value).lower(),
    )


def label(name: str, meaning: str, *, example: str, required: bool = False) -> Key:
    """Key for a name."""
    return Key(
        name=name, meaning=meaning, example=f'"{example}"', field=name, required=required,
        accepted=f"text of 1 to {LONGEST_TEXT} letters without control characters",
        schema=text_schema(), written=quoted,
    )


def rate(name: str, meaning: str, *, example: str) -> Key:
    """Key for a frame rate, read as a fraction."""
    return Key(
        name=name, meaning=meaning, example=example, field=name,
        accepted='a frame rate above 0 and up to 100000, such as 24, 23.976 or "24000/1001"',
        schema=core_schema.no_info_plain_validator_function(frame_rate),
        written=_fraction_written,
    )


def angle_step(name: str, meaning: str, *, example: str) -> Key:
    """Key for the step of a dial, read as a fraction."""
    return Key(
        name=name, meaning=meaning, example=example, field=name,
        accepted=f"a number from {float(_SMALLEST_STEP_DEG):g} to 360, in degrees",
        schema=core_schema.no_info_plain_validator_function(_step), written=_fraction_written,
    )


def angles(name: str, meaning: str, *, example: str) -> Key:
    """Key for a list of shutter angles, read as fractions."""
    return Key(
        name=name, meaning=meaning, example=example, field=name,
        accepted="a list of angles above 0 and up to 360, in degrees",
        schema=_tuple(core_schema.no_info_plain_validator_function(shutter_angle)),
        written=_list(_fraction_written),
    )


def speeds(name: str, meaning: str, *, example: str) -> Key:
    """Key for a list of shutter speeds, read as fractions of a second."""
    return Key(
        name=name, meaning=meaning, example=example, field=f"{name}_s",
        accepted='a list of speeds up to 1 s, such as "1/50" or 0.02',
        schema=_tuple(core_schema.no_info_plain_validator_function(_speed)),
        written=_list(lambda value: f'"{value.numerator}/{value.denominator}"'),
    )


def text_schema() -> CoreSchema:
    """Check of a text that fits on a line and says something."""

    def printable(value: str) -> str:
        if not value.strip() or _UNPRINTABLE.search(value):
            raise ValueError(value)
        return value

    return core_schema.no_info_after_validator_function(
        printable, core_schema.str_schema(min_length=1, max_length=LONGEST_TEXT)
    )


def quoted(text: str) -> str:
    """A printable text as TOML writes it."""
    # JSON's escapes are a subset of TOML's.
    import json

    return json.dumps(text, ensure_ascii=False)


def _tuple(item: CoreSchema, *, length: int | None = None) -> CoreSchema:
    items = core_schema.list_schema(
        item, min_length=length or 1, max_length=length or LONGEST_LIST,
    )
    return core_schema.no_info_after_validator_function(tuple, items)


def _list(written: Callable[[Any], str]) -> Callable[[tuple[Any, ...]], str]:
    return lambda values: f"[{', '.join(map(written, values))}]"


def _step(value: str | float) -> Fraction:
    step = shutter_angle(value)
    if step < _SMALLEST_STEP_DEG:
        raise ValueError(value)
    return step


def _speed(value: str | float) -> Fraction:
    speed = shutter_speed(value)
    if speed > 1:
        raise ValueError(value)
    return speed


def _fraction_written(value: Fraction) -> str:
    digits = Decimal(value.numerator) / Decimal(value.denominator)
    if Fraction(digits) == value:
        return format(digits.normalize(), "f")
    return f'"{value.numerator}/{value.denominator}"'
