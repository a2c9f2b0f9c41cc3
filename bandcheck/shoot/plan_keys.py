"""The keys of a shoot plan: one list for each kind of table.

A key of `QUESTION_KEYS` may stand in [defaults] and in any set-up; some of them in a device too.
What a set-up says goes before its camera, the camera before the surface, and all of them before
[defaults].
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from pydantic_core import CoreSchema, core_schema

from bandcheck.shoot.profile_keys import (
    LONGEST_LIST,
    Key,
    choice,
    label,
    number,
    quoted,
    rate,
    text_schema,
    whole,
)
from bandcheck.shoot.profile_models import CAMERA_KEYS, LAMP_KEYS, WALL_KEYS
from bandcheck.timing.rates import exact_number, frame_rate, rate_text
from bandcheck.timing.shutter import shutter_angle, shutter_speed

__all__ = [
    "CAMERA_TABLE", "DEFAULT_TABLE", "INTERLEAVE_TABLE", "LAMP_TABLE", "MEASURABLE", "PLAN_TABLE",
    "PROFILE_KEYS", "QUESTION_KEYS", "RAMP_TABLE", "SETUP_TABLE", "SURFACE_TABLE", "TAKEN",
]

_MOST_RATES = 40
_A_RATE = 'frame rates above 0 and up to 100000, such as [24, 23.976, "24000/1001"]'


def _several(item: CoreSchema, most: int) -> CoreSchema:
    return core_schema.no_info_after_validator_function(
        lambda values: tuple(dict.fromkeys(values)),
        core_schema.list_schema(item, min_length=1, max_length=most),
    )


def _plain(read: Callable[[Any], Any]) -> CoreSchema:
    return core_schema.no_info_plain_validator_function(read)


def _names(name: str, meaning: str, *, example: str) -> Key:
    def written(values: tuple[str, ...]) -> str:
        return f"[{', '.join(map(quoted, values))}]"

    return Key(
        name=name, meaning=meaning, example=example, field=name, written=written,
        accepted=f"a list of names, such as {example}",
        schema=_several(text_schema(), LONGEST_LIST),
    )


def _or_none(key: Key) -> Key:
    """Same list, which may be empty."""
    kept = core_schema.no_info_after_validator_function(
        lambda values: tuple(dict.fromkeys(values)),
        core_schema.list_schema(text_schema(), max_length=LONGEST_LIST),
    )
    return replace(key, schema=kept)


def _rates(name: str, meaning: str) -> Key:
    def written(values: tuple[Fraction, ...]) -> str:
        shown = (rate_text(each) for each in values)
        return f"[{', '.join(quoted(each) if '/' in each else each for each in shown)}]"

    return Key(
        name=name, meaning=meaning, example="[24, 25, 48]", field=name, written=written,
        accepted=f"a list of up to {_MOST_RATES} {_A_RATE}",
        schema=_several(_plain(frame_rate), _MOST_RATES),
    )


def _content_rate(value: object) -> Fraction:
    if value == 0:
        return Fraction(0)
    return frame_rate(value)  # type: ignore[arg-type]


def _angle() -> Key:
    return Key(
        name="angle_deg", meaning="shutter angle wanted; this or speed", example="172.8",
        field="angle_deg", accepted="an angle above 0 and up to 360, in degrees",
        schema=_plain(shutter_angle), written=_fraction_written,
    )


def _speed() -> Key:
    return Key(
        name="speed", meaning="shutter speed wanted; this or angle_deg", example='"1/50"',
        field="speed", accepted='a speed above 0 s, such as "1/50" or 0.02',
        schema=_plain(shutter_speed), written=_fraction_written,
    )


def _fraction_written(value: Fraction) -> str:
    exact = 10**6 * value
    if exact.denominator == 1:
        return f"{float(value):.6f}".rstrip("0").rstrip(".")
    return f'"{value.numerator}/{value.denominator}"'


def _levels() -> Key:
    def read(values: object) -> tuple[float, ...]:
        if not isinstance(values, list) or not 0 < len(values) <= LONGEST_LIST:
            raise ValueError(values)
        exact = {exact_number(each, argument="levels_pct", accepted="") for each in values}
        if not all(0 < each <= 100 for each in exact):
            raise ValueError(values)
        return tuple(float(each / 100) for each in sorted(exact, reverse=True))

    return Key(
        name="levels_pct", meaning="signal levels that the content uses", example="[100, 50, 18]",
        field="levels", accepted="a list of levels above 0 and up to 100, in %",
        schema=_plain(read),
        written=lambda values: f"[{', '.join(f'{100 * each:g}' for each in values)}]",
    )


def _turn(name: str, meaning: str) -> Key:
    return number(name, meaning, at_least=-89.9, at_most=89.9, example="20")


_SHUTTER = (_angle(), _speed())
_LENS = (
    number("focal_mm", "focal length", above=0, at_most=10_000, example="35"),
    number("f_number", "f-number", above=0, at_most=1000, example="2.8"),
    number("focus_m", "distance focused on, from the sensor plane", above=0, at_most=100_000,
           example="4"),
    number("squeeze", "squeeze of an anamorphic lens; 1 unless stated", above=0, at_most=10,
           example="2"),
    number("roll_deg", "turn of the camera about its axis; 0 unless stated", at_least=-180,
           at_most=180, example="0"),
)
_PLACE = (
    number("distance_m", "distance of the surface from the sensor plane", above=0, at_most=100_000,
           example="6"),
    _turn("yaw_deg", "turn of the surface about the vertical; 0 unless stated"),
    _turn("tilt_deg", "lean of the surface; 0 unless stated"),
)
_WALL = (
    _levels(),
    number("brightness_pct", "brightness setting of the surface; 100 unless stated", above=0,
           at_most=100, example="80"),
    rate("wall_fps", "frame rate of the surface; the camera's unless stated", example="48"),
    replace(
        rate("content_fps", "rate at which the picture changes; the surface's unless stated",
             example="24"),
        schema=_plain(_content_rate),
        accepted="0 for a still picture, or a frame rate up to 100000, such as 24 or 23.976",
    ),
    number("change_spread_ms", "time that a change of picture takes; 0 unless stated", at_least=0,
           at_most=1000, example="0.5"),
)
_VIEWER = (
    number("view_heights", "viewing distance in picture heights", above=0, at_most=1000,
           example="3"),
    number("flare_nits", "light added to the viewer's black", at_least=0, at_most=100_000,
           example="0.05"),
    number("push_stops", "stops by which the picture may be brightened later", at_least=-20,
           at_most=20, example="1"),
    number("grade_contrast", "factor by which the grade multiplies contrast", above=0, at_most=100,
           example="1.2"),
    number("safe_below", "visibility below which a fault is safe", above=0, at_most=1000,
           example="1"),
    number("visible_from", "visibility from which a fault is visible", above=0, at_most=1000,
           example="8"),
)
_LOCK = choice("genlock", "whether this device follows the common reference; locked unless stated",
               "locked", "free")
_PHASE = number("phase_ms", "from a tick of the common reference to the start of this device's "
                "frame, for a camera the first row's opening; not known unless stated", at_least=0,
                at_most=10_000, example="3.2")
_ROTATION = Key(
    name="panel_rotation_deg", meaning="how the panels hang; 0 unless stated", example="90",
    field="panel_rotation_deg", accepted="0, 90, 180 or 270",
    schema=core_schema.literal_schema([0, 90, 180, 270]), written=str,
)
_LIKE = label("like", "name of another of this kind, from which everything not said here is taken",
              example="wide")
_NAME = label("name", "what you call it", example="main", required=True)
_LAMPS = _or_none(_names("lamps", "lamps whose light falls into the picture", example='["desk"]'))

QUESTION_KEYS: tuple[Key, ...] = (
    *_SHUTTER, *_LENS, *_PLACE, *_WALL, *_VIEWER, _rates("rates", "frame rates wanted"), _LAMPS,
)
"""Keys that [defaults] and any set-up may hold."""

PLAN_TABLE: tuple[Key, ...] = (
    label("name", "name of the shoot", example="night train", required=True),
    label("note", "whatever is to be remembered", example="stage 2, March"),
)

DEFAULT_TABLE: tuple[Key, ...] = (*QUESTION_KEYS, _LOCK, _ROTATION)

SURFACE_TABLE: tuple[Key, ...] = (
    _NAME, _LIKE,
    label("wall", "wall profile: a shipped name, or a file beside the plan", example="side-2.8"),
    choice("kind", "what it is; a wall unless stated", "wall", "ceiling", "floor", "practical"),
    choice("role", "how cameras see it; in_shot unless stated", "in_shot", "reflected",
           "lighting_only"),
    whole("refreshes_per_frame", "refreshes a frame that it is set to, in place of the profile's",
          at_most=100_000, example="150"),
    _LOCK, _PHASE, _ROTATION, *_PLACE, *_WALL,
)

_DIAL = ("readout_ms", "readout_tolerance_ms", "rate_tolerance_ppm", "shutter_whole_lines",
         "angles_deg", "speeds", "angle_step_deg", "max_fps")

PROFILE_KEYS: tuple[Key, ...] = tuple(key for key in CAMERA_KEYS if key.name in _DIAL)
"""Figures of a camera's profile that the plan may put another in place of."""

CAMERA_TABLE: tuple[Key, ...] = (
    _NAME, _LIKE,
    label("profile", "camera profile: a shipped name, or a file beside the plan",
          example="cine-a-wide"),
    _LOCK, _PHASE, *_SHUTTER, *_LENS, *PROFILE_KEYS,
)

LAMP_TABLE: tuple[Key, ...] = (
    _NAME, _LIKE,
    label("profile", "lamp profile: a shipped name, or a file beside the plan",
          example="mains-50-tungsten"),
)

SETUP_TABLE: tuple[Key, ...] = (
    _NAME, _LIKE,
    label("camera", "name of the camera; this or cameras", example="A"),
    _names("cameras", "names of the cameras that run together", example='["A", "B"]'),
    _names("surfaces", "surfaces that they see, each as its own role says", example='["main"]'),
    _names("reflected", "surfaces that they see in something shiny only", example='["main"]'),
    _names("lighting_only", "surfaces of which they see the light only", example='["ceiling"]'),
    *QUESTION_KEYS,
)

RAMP_TABLE: tuple[Key, ...] = (
    _NAME, label("setup", "name of the set-up that it happens in", example="wide", required=True),
    replace(rate("from_fps", "rate at which it begins", example="24"), required=True),
    replace(rate("to_fps", "rate at which it ends", example="48"), required=True),
    choice("keeps", "what of the shutter stays; angle unless stated", "angle", "time"),
)

INTERLEAVE_TABLE: tuple[Key, ...] = (
    _NAME,
    replace(_names("cameras", "cameras in the order of their turns", example='["A", "B"]'),
            required=True),
    label("surface", "wall that shows each camera its own picture", example="main", required=True),
    whole("wall_multiple", "frames of the wall in a frame of the cameras", at_most=64, example="2",
          required=True),
    _rates("rates", "frame rates of the cameras; those of [defaults] unless stated"),
)

TAKEN: dict[str, Any] = {
    "angle_deg": Fraction(180), "genlock": "locked", "panel_rotation_deg": 0, "brightness": 1.0,
    "change_spread_s": 0.0, "yaw_deg": 0.0, "tilt_deg": 0.0, "roll_deg": 0.0, "squeeze": 1.0,
    "lamps": (),
}
"""What is taken where nobody states it, by field."""

MEASURABLE = {
    "surface": {key.name for key in (*WALL_KEYS, *SURFACE_TABLE)},
    "camera": {key.name for key in (*CAMERA_KEYS, *CAMERA_TABLE)},
    "lamp": {key.name for key in (*LAMP_KEYS, *LAMP_TABLE)},
}
"""Keys that somebody may have measured, by kind of device."""
