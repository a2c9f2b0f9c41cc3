"""How the figures of a profile are laid out: groups, units, choices, what an empty field means."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import fields
from decimal import Decimal
from functools import cache
from typing import Any

from bandcheck.report.profile_sheet import profile_figures
from bandcheck.shoot.profile_faults import checked_fields
from bandcheck.shoot.profile_keys import Key
from bandcheck.shoot.profiles import KINDS, KindName
from dashboard.pages.profiles.sheet import keys_of

__all__ = ["choices_of", "groups_of", "taken_words", "unit_of"]

_GROUPS: Mapping[KindName, Sequence[tuple[str, str]]] = {
    "wall": (
        ("Name and size", "name pitch_mm columns_px rows_px module_rows_px cabinet_columns_px"
         " cabinet_angle_deg"),
        ("Scan and gray levels", "scan_lines scan_down drive counts_per_refresh gray_bits dealing"
         " min_pulse_counts"),
        ("Refresh and clock", "refreshes_per_frame refresh_hz rated_fps"
         " refreshes_per_frame_allowed clock_mhz line_switch_us frame_end refresh_lock"
         " refresh_tolerance_pct on_rate_change rate_tolerance_ppm latency_frames"),
        ("Light", "transfer gamma peak_nits brightness_control white_duty_red white_duty_green"
         " white_duty_blue emitter_fill emitter_shape"),
    ),
    "camera": (
        ("Name", "name body mode"),
        ("Shutter and readout", "shutter readout_ms readout_tolerance_ms readout_down"
         " shutter_whole_lines exposure_scheme max_fps on_rate_change rate_tolerance_ppm"),
        ("Dial: one of these, or none", "angles_deg speeds angle_step_deg"),
        ("Sensor", "columns_px rows_px sensor_width_mm sensor_height_mm mosaic low_pass_px"
         " photosite_fill"),
        ("Delivery", "delivery_columns_px delivery_filter"),
    ),
    "lamp": (
        ("Name and kind", "name kind modulation"),
        ("On the mains", "mains_hz mains_tolerance_pct"),
        ("Pulsed", "pulse_hz duty"),
    ),
}


def groups_of(kind: KindName) -> list[tuple[str, list[Key]]]:
    """Every key of a kind of profile, under the heading of its group."""
    keys = dict(keys_of(kind))
    groups = [
        (title, [keys.pop(name) for name in names.split()]) for title, names in _GROUPS[kind]
    ]
    return [*groups, ("More", list(keys.values()))] if keys else groups


def choices_of(key: Key) -> tuple[str, ...]:
    """Words that a chosen figure may be, as they are typed."""
    schema: Mapping[str, Any] = key.schema
    return tuple(schema["expected"]) if schema["type"] == "literal" else ("true", "false")


@cache
def _units(kind: KindName) -> Mapping[str, str]:
    """Unit by key, as the sheet of a profile that has every figure says it."""
    examples = {
        key.name: tomllib.loads(f"value = {key.example}", parse_float=Decimal)["value"]
        for key in KINDS[kind].keys
    }
    values, _ = checked_fields(examples, KINDS[kind].keys)
    return {each.key: each.unit for each in profile_figures(KINDS[kind].make(**values))}


def unit_of(key: Key, kind: KindName) -> str:
    """Unit of a figure; empty for words and ratios."""
    return _units(kind).get(key.name, "")


def taken_words(key: Key, kind: KindName) -> str:
    """What stands in an empty field: what is taken where nothing is stated."""
    if key.required:
        return "needed"
    defaults: dict[str, Any] = {each.name: each.default for each in fields(KINDS[kind].make)}
    usual = defaults[key.field]
    if usual is None or usual == ():
        return "not known"
    written = key.written(usual if key.part is None else usual[key.part])
    return f"taken: {written.strip(chr(34)).removesuffix('.0')}"
