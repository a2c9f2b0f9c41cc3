"""The question of a screen: texts as typed, the address that holds them, the shot they describe.

A question is a flat object of texts, so that it goes through a browser and an address unchanged.
What is typed is kept whatever it is; what is wrong with it is said field by field.
"""

import base64
import binascii
import re
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, TypeVar
from urllib.parse import parse_qsl, urlencode

from bandcheck.errors import AskedError, OutOfRangeError, ProfileError
from bandcheck.shoot.asked import Given, given_shot
from bandcheck.shoot.profile_faults import LARGEST_BYTES
from bandcheck.shoot.profiles import (
    KindName,
    Profile,
    load_camera,
    load_lamp,
    load_wall,
    parse_camera,
    parse_lamp,
    parse_wall,
    shipped_folder,
    shipped_names,
)
from bandcheck.shoot.shot import Shot
from dashboard.fields import APART, FIELDS, OWN, PROFILE_FIELDS, shutter_given

__all__ = [
    "LARGEST_PROFILE_BYTES", "Asked", "Question", "asked", "chosen_profiles", "in_words",
    "plan_in_address", "question_of", "search_of", "shot_at", "toml_key",
]

Question = dict[str, str]
"""Field to text as typed; a field that is missing holds what is usual."""

LARGEST_PROFILE_BYTES: Final = 64_000
_LONGEST_SEARCH = 64_000
_LONGEST_PACKED_PLAN = 6000
_LONGEST_TEXT = 2000
_MOST_RATES = 16
_DAMAGED = "the link is damaged: these figures cannot be read from it; upload the file again"

_Profile = TypeVar("_Profile", bound=Profile)

_OPTION = re.compile(r"--([a-z][a-z-]*)")
_FIELD_OF = {"angle": "shutter", "speed": "shutter", "exposure": "shutter", "readout_ms": "camera"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """A question as far as it can be read.

    Attributes
    ----------
    shot
        The shot that it describes; None while something is missing or wrong.
    given
        What the shot is made of; None as above.
    rates
        Frame rates to compare.
    errors
        Field to what is wrong with it, on one line.
    missing
        Fields that have to be filled in first.
    """

    shot: Shot | None = None
    given: Given | None = None
    rates: tuple[Fraction, ...] = ()
    errors: Mapping[str, str] = field(default_factory=dict)
    missing: tuple[str, ...] = ()


def toml_key(kind: str) -> str:
    """Key under which a question holds the text of a profile, or plan, of the user's own."""
    return f"{kind}_toml"


_MOST_BYTES: Final[Mapping[str, int]] = {
    **{toml_key(kind): LARGEST_PROFILE_BYTES for kind in PROFILE_FIELDS},
    toml_key("plan"): LARGEST_BYTES,
}
"""Texts that an address may hold, and how long each may be."""


def search_of(question: Mapping[str, str]) -> str:
    """Address's query of a question, "?" included; empty where all is as usual.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    str
        Query that `question_of` reads back.
    """
    kept = {
        name: question[name] for name, each in FIELDS.items()
        if question.get(name, "") not in ("", each.usual)
    }
    for kind in PROFILE_FIELDS:
        if question.get(toml_key(kind)):  # used in the shot or not: what is typed is kept
            kept[toml_key(kind)] = _packed(question[toml_key(kind)])
    plan = question.get(toml_key("plan"), "")
    if plan and kept.get("plan") == OWN:
        if plan_in_address(question):
            kept[toml_key("plan")] = _packed(plan)
        else:
            del kept["plan"]
    return f"?{urlencode(kept, safe=',/')}" if kept else ""


def question_of(search: str | None) -> Question:
    """Question of an address's query; what is no part of a question is left out.

    Parameters
    ----------
    search
        Query, with or without its "?".

    Returns
    -------
    dict
        Texts as typed; a text of figures that is damaged becomes one that is refused by name.
    """
    question: Question = {}
    try:
        pairs = parse_qsl((search or "").lstrip("?")[:_LONGEST_SEARCH], max_num_fields=100)
    except ValueError:  # more fields than any question has
        return question
    for name, text in pairs:
        if name in FIELDS:
            question[name] = text[:_LONGEST_TEXT]
        elif name in _MOST_BYTES:
            question[name] = _unpacked(text, most_bytes=_MOST_BYTES[name])
    return question


def plan_in_address(question: Mapping[str, str]) -> bool:
    """Whether an address holds the question's plan: one that is shipped, or no long one."""
    return question.get("plan") != OWN or (
        len(_packed(question.get(toml_key("plan"), ""))) < _LONGEST_PACKED_PLAN
    )


def _packed(text: str) -> str:
    return base64.urlsafe_b64encode(zlib.compress(text.encode(), 9)).decode().rstrip("=")


def _unpacked(text: str, *, most_bytes: int) -> str:
    """Text that was packed; a line that no profile accepts where it is damaged."""
    try:
        raw = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
        unpacking = zlib.decompressobj()
        content = unpacking.decompress(raw, most_bytes)
        if unpacking.unconsumed_tail or not unpacking.eof:
            return ""
        return content.decode()
    except (ValueError, binascii.Error, zlib.error):
        return ""


def asked(question: Mapping[str, str]) -> Asked:
    """Shot that a question describes, or what is missing or wrong.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    Asked
        Never raises for what was typed.
    """
    errors: dict[str, str] = {}
    values = _values(question, errors)
    walls = chosen_profiles(question, "wall", parse_wall, load_wall, errors)
    cameras = chosen_profiles(question, "camera", parse_camera, load_camera, errors)
    lamps = chosen_profiles(question, "lamp", parse_lamp, load_lamp, errors)
    missing = tuple(
        kind for kind, found in (("wall", walls), ("camera", cameras))
        if not found and kind not in errors
    )
    rates = values.pop("rates", ())
    if errors or missing:
        return Asked(errors=errors, missing=missing)
    given = Given(wall=walls[0], camera=cameras[0], lamp=lamps, **values)
    try:
        return Asked(shot=given_shot(given), given=given, rates=rates)
    except (OutOfRangeError, AskedError) as error:
        return Asked(errors=_told(error))


def shot_at(given: Given, fps: Fraction) -> Shot | str:
    """Shot of a question at another camera rate, or why there is none.

    Parameters
    ----------
    given
        From `asked`.
    fps
        Camera's frame rate [frames/s].

    Returns
    -------
    Shot or str
        A wall or content without a rate of its own goes along.
    """
    try:
        return given_shot(given, fps=fps)
    except (OutOfRangeError, AskedError) as error:
        return next(iter(_told(error).values()))


def _told(error: OutOfRangeError | AskedError) -> dict[str, str]:
    """Field that an error is about, and the error without the option's name."""
    name = error.argument.split()[0].lstrip("-").replace("-", "_")
    name = _FIELD_OF.get(name, name)
    return {name if name in FIELDS else "fps": _line(error)}


def _line(error: OutOfRangeError | AskedError) -> str:
    """What an error says, in the words of the screen."""
    return in_words(str(error).removeprefix(f"{error.argument}: "))


def in_words(text: str) -> str:
    """Text with options called what the screen calls them."""
    return _OPTION.sub(_label, text)


def _label(option: re.Match[str]) -> str:
    """What the screen calls an option."""
    name = option[1].replace("-", "_")
    return f"\"{FIELDS[name].label}\"" if name in FIELDS else option[0]


def _values(question: Mapping[str, str], errors: dict[str, str]) -> dict[str, Any]:
    """What the typed fields say, by the names of `Given`; what is wrong goes to the errors."""
    values: dict[str, Any] = {}
    for name, each in FIELDS.items():
        if name in PROFILE_FIELDS or each.part in APART:
            continue
        text = question.get(name, "").strip() or each.usual
        if not text or (each.part == "lens" and text == each.usual):  # describes no lens
            continue
        try:
            if name == "shutter":
                way, value = shutter_given(text, argument=name)
                values[way] = value
            elif each.choices is not None:
                values[name] = _chosen(text, each.choices, name)
            elif each.kind is not None:
                values[name] = each.kind.value(text, argument=name)
        except OutOfRangeError as error:
            errors[name] = _line(error)
    if len(values.get("rates", ())) > _MOST_RATES:
        errors["rates"] = f"{len(values['rates'])} rates; at most {_MOST_RATES} side by side"
    return values


def _chosen(text: str, choices: Mapping[str, str], name: str) -> str:
    if text not in choices:
        raise OutOfRangeError(name, text, f"one of {', '.join(choices)}")
    return text


def chosen_profiles(
    question: Mapping[str, str], kind: KindName, parse: Callable[..., _Profile],
    load: Callable[[Path], _Profile], errors: dict[str, str],
) -> tuple[_Profile, ...]:
    """Profiles that are chosen: shipped ones, or the question's own text; faults go to errors."""
    chosen = [each for each in question.get(kind, "").split(",") if each]
    if not set(chosen) <= {OWN, *shipped_names(kind)}:
        errors[kind] = f"no {kind} of this name is shipped; choose one of the list"
        return ()
    folder = shipped_folder() / f"{kind}s"
    try:
        return tuple(
            parse(question.get(toml_key(kind)) or "", file=kind) if each == OWN
            else load(folder / f"{each}.toml")
            for each in chosen
        )
    except ProfileError as error:
        errors[kind] = _DAMAGED if not question.get(toml_key(kind)) else "; ".join(error.faults)
        return ()
