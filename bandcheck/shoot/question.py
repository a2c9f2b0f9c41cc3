"""A shot as plain values that JSON can hold, and back: the whole question of a card.

The profiles travel inside as the text of profile files, so that a card answers for itself wherever
it is opened, and each figure comes back exact to the digit.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from fractions import Fraction
from typing import Any

from bandcheck.errors import OutOfRangeError, ProfileError, require
from bandcheck.shoot.profile_faults import plain_name, with_nearest
from bandcheck.shoot.profile_text import profile_text
from bandcheck.shoot.profiles import parse_camera, parse_lamp, parse_wall
from bandcheck.shoot.shot import Optics, Shot, Viewing
from bandcheck.timing.rates import rate_text

__all__ = ["PER_RATE", "question_shot", "shot_question"]

PER_RATE = ("fps", "exposure_s", "wall_fps", "content_fps")
"""Keys of a question that change with the frame rate."""

_Read = Callable[[str, Any], Any]

_EXACT = re.compile(r"[0-9]{1,300}(?:/[0-9]{1,300})?")
_MOST_LEVELS = 1000
_MOST_LAMPS = 100


def shot_question(shot: Shot) -> dict[str, Any]:
    """Shot as plain values.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    dict
        A key for each field of the shot, in SI units: profiles as TOML text, rates and exposure
        as exact fractions in text, the rest as numbers, texts, lists and None.
    """
    return {
        "wall": profile_text(shot.wall),
        "camera": profile_text(shot.camera),
        "lamps": [profile_text(lamp) for lamp in shot.lamps],
        "fps": rate_text(shot.fps),
        "exposure_s": str(shot.exposure_s),
        "shutter_set_as": shot.shutter_set_as,
        "wall_fps": rate_text(shot.wall_fps),
        "content_fps": rate_text(shot.content_fps),
        "genlock": shot.genlock,
        "phase_s": shot.phase_s,
        "levels": list(shot.levels),
        "brightness": shot.brightness,
        "change_spread_s": shot.change_spread_s,
        "panel_rotation_deg": shot.panel_rotation_deg,
        "optics": None if shot.optics is None else asdict(shot.optics),
        "viewing": asdict(shot.viewing),
    }


def question_shot(question: object, *, file: str) -> Shot:
    """Shot of a question.

    Parameters
    ----------
    question
        What `shot_question` gave, perhaps by way of a JSON file.
    file
        Name for messages.

    Returns
    -------
    Shot
        Equal to the one the question was made of.

    Raises
    ------
    ProfileError
        The question is not whole or holds what cannot be: all faults at once.
    """
    values, faults = _read_object(question, _READERS, "question")
    if not faults:
        try:
            shot = Shot(**values)
        except OutOfRangeError as error:
            faults = [f"question.{error}"]
        else:
            faults = list(_faults_together(shot))
    if faults:
        raise ProfileError(plain_name(file), faults)
    return shot


def _faults_together(shot: Shot) -> Iterator[str]:
    """Values that are fine alone and not beside the others."""
    viewing, highest_fps = shot.viewing, shot.camera.max_fps
    if viewing.visible_from < viewing.safe_below:
        yield (f"question.viewing.visible_from: {viewing.visible_from:g} is below safe_below, "
               f"{viewing.safe_below:g}")
    if shot.content_fps > shot.wall_fps:
        yield (f"question.content_fps: {shot.content_fps} is above wall_fps, {shot.wall_fps}")
    if highest_fps is not None and shot.fps > highest_fps:
        yield f"question.fps: {shot.fps} is above the camera's max_fps, {highest_fps}"


def _read_object(
    given: object, readers: Mapping[str, _Read], where: str
) -> tuple[dict[str, Any], list[str]]:
    """Values of an object's keys, and its faults."""
    if not isinstance(given, Mapping):
        return {}, [f"{where}: missing; an object with the keys of a shot"]
    values, faults = {}, list(_key_faults(given, readers, where))
    for key, read in readers.items():
        if key not in given:
            continue
        try:
            values[key] = read(f"{where}.{key}", given[key])
        except OutOfRangeError as error:
            faults.append(str(error))
        except ProfileError as error:
            faults += [f"{error.file}: {each}" for each in error.faults]
    return values, faults


def _key_faults(
    given: Mapping[Any, object], readers: Mapping[str, _Read], where: str
) -> Iterator[str]:
    for key in given:
        if key not in readers:
            yield with_nearest(f"{where}.{plain_name(str(key))}: no such key", str(key), readers)
    for key in readers:
        if key not in given:
            yield f"{where}.{key}: missing"


def _profile(parse: Callable[..., Any]) -> _Read:
    def read(name: str, value: object) -> Any:
        return parse(_text(name, value), file=name)

    return read


def _text(name: str, value: object) -> str:
    if not isinstance(value, str):
        raise OutOfRangeError(name, value, "the text of a profile")
    return value


def _several(read_one: _Read, *, most: int, least: int = 0) -> _Read:
    def read(name: str, value: object) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple) or not least <= len(value) <= most:
            raise OutOfRangeError(name, value, f"a list of {least} to {most}")
        return tuple(read_one(f"{name}[{place}]", each) for place, each in enumerate(value))

    return read


def _exact(*, above: Fraction | None = None) -> _Read:
    def read(name: str, value: object) -> Fraction:
        accepted = "a fraction in text, such as '24000/1001'"
        accepted += "" if above is None else f", above {above}"
        if not isinstance(value, str) or not _EXACT.fullmatch(value):
            raise OutOfRangeError(name, value, accepted)
        top, _, bottom = value.partition("/")
        if bottom and int(bottom) == 0:
            raise OutOfRangeError(name, value, accepted)
        exact = Fraction(int(top), int(bottom or 1))
        if above is not None and exact <= above:
            raise OutOfRangeError(name, value, accepted)
        return exact

    return read


def _number(accepted: str, **bounds: float) -> _Read:
    def read(name: str, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or (
            isinstance(value, int) and value.bit_length() > 64
        ):
            raise OutOfRangeError(name, value, accepted)
        return float(require(name, value, accepted, **bounds))

    return read


def _word(*known: object) -> _Read:
    def read(name: str, value: object) -> Any:
        for each in known:
            if type(value) is type(each) and value == each:
                return value
        raise OutOfRangeError(name, value, f"one of {', '.join(map(str, known))}")

    return read


def _or_none(read_one: _Read) -> _Read:
    return lambda name, value: None if value is None else read_one(name, value)


def _part(make: type[Optics] | type[Viewing], readers: Mapping[str, _Read]) -> _Read:
    def read(name: str, value: object) -> Any:
        values, faults = _read_object(value, readers, name)
        if faults:
            raise ProfileError(name, [each.removeprefix(f"{name}.") for each in faults])
        return make(**values)

    return read


_ABOVE_0 = _number("a number above 0", above=0)
_FROM_0 = _number("a number from 0 up", at_least=0)
_LEVEL = _number("a signal level above 0 and up to 1", above=0, at_most=1)
_HALF_TURN = _number("an angle above -90 and below 90 deg", above=-90, below=90)

_OPTICS: Mapping[str, _Read] = {
    "focal_mm": _ABOVE_0, "distance_mm": _ABOVE_0, "f_number": _or_none(_ABOVE_0),
    "focus_mm": _or_none(_ABOVE_0), "yaw_deg": _HALF_TURN, "tilt_deg": _HALF_TURN,
    "roll_deg": _number("an angle from -180 to 180 deg", at_least=-180, at_most=180),
    "squeeze": _ABOVE_0,
}
_VIEWING: Mapping[str, _Read] = {
    "peak_nits": _ABOVE_0, "flare_nits": _FROM_0, "view_heights": _ABOVE_0,
    "picture_aspect": _ABOVE_0,
    "push_stops": _number("a number from -20 to 20", at_least=-20, at_most=20),
    "safe_below": _ABOVE_0, "visible_from": _ABOVE_0, "grade_contrast": _ABOVE_0,
}
_RATE = _exact(above=Fraction(0))
_READERS: Mapping[str, _Read] = {
    "wall": _profile(parse_wall), "camera": _profile(parse_camera),
    "lamps": _several(_profile(parse_lamp), most=_MOST_LAMPS),
    "fps": _RATE, "exposure_s": _RATE, "shutter_set_as": _word("angle", "time"),
    "wall_fps": _RATE, "content_fps": _exact(), "genlock": _word("locked", "free"),
    "phase_s": _or_none(_FROM_0), "levels": _several(_LEVEL, least=1, most=_MOST_LEVELS),
    "brightness": _LEVEL, "change_spread_s": _FROM_0,
    "panel_rotation_deg": _word(0, 90, 180, 270),
    "optics": _or_none(_part(Optics, _OPTICS)), "viewing": _part(Viewing, _VIEWING),
}
