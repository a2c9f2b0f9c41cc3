"""What is to be measured with: typed figures, and what the shot says beside them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from bandcheck.errors import OutOfRangeError
from bandcheck.measure.known import Known, Light, with_profiles
from bandcheck.measure.picture_bands import Region
from bandcheck.measure.row_light import Along, PictureTransfer
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.profiles import (
    load_camera,
    load_lamp,
    load_wall,
    parse_camera,
    parse_lamp,
    parse_wall,
)
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.agreement import Measured
from dashboard.fields import FIELDS, PROFILE_FIELDS
from dashboard.state import Question, asked, chosen_profiles, in_words, search_of, toml_key

__all__ = [
    "OWN_FIELDS", "AskedMeasure", "asked_measure", "camera_of", "measured_with", "own_camera_lost",
]

OWN_FIELDS = tuple(name for name, each in FIELDS.items() if each.part == "measure")
"""Fields of this screen."""

_TAKES: Mapping[str, frozenset[str]] = {
    "nothing": frozenset(), "camera": frozenset({"camera"}),
    "wall": frozenset({"camera", "wall"}), "lamp": frozenset({"camera", "lamp"}),
    "all": frozenset(PROFILE_FIELDS),
}
_READERS: Mapping[Any, tuple[Callable[..., Any], Callable[..., Any]]] = {
    "wall": (parse_wall, load_wall), "camera": (parse_camera, load_camera),
    "lamp": (parse_lamp, load_lamp),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class AskedMeasure:
    """What is known and wanted, as far as it can be read.

    Attributes
    ----------
    known
        What is known beside the picture.
    region, along, transfer, gamma
        How it is to be read; see `picture_bands`.
    shot
        Setting that the contrast is compared with; None: none.
    date
        Date of the measurement; empty where it is not typed.
    errors
        Field to what is wrong with it, on one line.
    """

    known: Known = field(default_factory=Known)
    region: Region | None = None
    along: Along = "rows"
    transfer: PictureTransfer | None = None
    gamma: float | None = None
    shot: Shot | None = None
    date: str = ""
    errors: Mapping[str, str] = field(default_factory=dict)


def measured_with(question: Mapping[str, str]) -> str:
    """Query of all that a measurement hangs on; what a figure is taken with is no part of it."""
    return search_of({name: text for name, text in question.items() if name != "measured_on"})


def asked_measure(question: Mapping[str, str]) -> AskedMeasure:
    """What a question says about a measurement, or what is wrong with it.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    AskedMeasure
        Never raises for what was typed.
    """
    errors: dict[str, str] = {}
    values = _values(question, errors)
    takes = _TAKES.get(values["from_shot"], frozenset())
    profiles = {
        kind: chosen_profiles(question, kind, *_READERS[kind], errors) if kind in takes else ()
        for kind in _READERS
    }
    rates = [_rate(question, name, errors) for name in ("wall_fps", "fps")]
    _refuse_pairs(values, errors)
    if errors:
        return AskedMeasure(errors=errors, date=values.get("measured_on", ""))
    try:
        known = with_profiles(
            replace(_typed(values), camera_fps=rates[1]), lamps=profiles["lamp"],
            camera=next(iter(profiles["camera"]), None), wall=next(iter(profiles["wall"]), None),
            wall_fps=rates[0] or rates[1],
        )
    except OutOfRangeError as error:
        return AskedMeasure(errors={"from_shot": in_words(f"{error.value}: {error.accepted}")},
                            date=values.get("measured_on", ""))
    shot = asked(question).shot if profiles["wall"] and profiles["camera"] else None
    if shot is not None:
        shot = replace(shot, lamps=profiles["lamp"])
    transfer = values["transfer"]
    return AskedMeasure(
        known=known, region=values.get("region"), along=values["along"], shot=shot,
        transfer=None if transfer == "assumed" else transfer, date=values.get("measured_on", ""),
        gamma=values["gamma"] if transfer == "gamma" else None,
    )


def _values(question: Mapping[str, str], errors: dict[str, str]) -> dict[str, Any]:
    """What the fields of this screen say; what is wrong goes to the errors."""
    values: dict[str, Any] = {}
    for name in OWN_FIELDS:
        each = FIELDS[name]
        text = question.get(name, "").strip() or each.usual
        if each.choices is not None:
            values[name] = text
            if text not in each.choices:
                errors[name] = "choose one of the list"
        elif text and each.kind is not None:
            try:
                values[name] = each.kind.value(text, argument=name)
            except OutOfRangeError as error:
                errors[name] = str(error).removeprefix(f"{name}: ")
    return values


def _rate(question: Mapping[str, str], name: str, errors: dict[str, str]) -> Fraction | None:
    each = FIELDS[name]
    text = question.get(name, "").strip() or each.usual
    if not text or each.kind is None:
        return None
    try:
        rate: Fraction = each.kind.value(text, argument=name)
    except OutOfRangeError as error:
        errors[name] = str(error).removeprefix(f"{name}: ")
        return None
    return rate


def _refuse_pairs(values: Mapping[str, Any], errors: dict[str, str]) -> None:
    kept, read = values.get("rows_kept"), values.get("rows_read")
    if values.get("row_scale") is not None and kept is not None:
        errors["row_scale"] = "give it or the rows kept; each says the same"
    if kept is not None and read is not None and kept > read:
        errors["rows_kept"] = f"{kept}; from 1 to the rows read, {read}"
    if values.get("readout_error_ms") and "readout_ms" not in values:
        errors.setdefault("readout_error_ms", "goes with a readout that is typed")


def _typed(values: Mapping[str, Any]) -> Known:
    readout = values.get("readout_ms")
    return Known(
        lights=tuple(
            Light(name="", frequency_hz=Measured(value=each, uncertainty=0.0))
            for each in values.get("source_hz", ())
        ),
        readout=None if readout is None else Measured(
            value=readout / 1e3, uncertainty=values.get("readout_error_ms", 0.0) / 1e3
        ),
        rows_read=values.get("rows_read"), rows_kept=values.get("rows_kept"),
        row_scale=values.get("row_scale"),
    )


def camera_of(question: Question) -> Camera | None:
    """Camera of a question; None where it has none that can be read."""
    found: tuple[Camera, ...] = chosen_profiles(question, "camera", parse_camera, load_camera, {})
    return next(iter(found), None)


def own_camera_lost(question: Mapping[str, str]) -> bool:
    """Whether figures of a camera of the user's own, not in the shot, would be written over."""
    return bool(question.get(toml_key("camera"))) and question.get("camera") != "own"
