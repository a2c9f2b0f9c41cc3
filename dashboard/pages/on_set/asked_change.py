"""The change that is asked for: what was typed, read beside the shot that stood before."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.profiles import load_camera, shipped_folder, shipped_names
from bandcheck.shoot.shot import Shot
from bandcheck.shoot.written import RATE
from bandcheck.verdict.change import ChangeOnTheDay, change_on_the_day
from dashboard.fields import shutter_given

__all__ = ["AskedChange", "asked_change"]


@dataclass(frozen=True, kw_only=True, slots=True)
class AskedChange:
    """A change as far as it can be answered.

    Attributes
    ----------
    change
        The answer; None while nothing is asked or something cannot be.
    errors
        Field to what is wrong with it, on one line.
    """

    change: ChangeOnTheDay | None = None
    errors: Mapping[str, str] = field(default_factory=dict)


def asked_change(shot: Shot, question: Mapping[str, str]) -> AskedChange:
    """Answer to the change that a question asks for.

    Parameters
    ----------
    shot
        The setting that stood before.
    question
        Texts as typed; "to_fps" and "to_shutter" are looked at.

    Returns
    -------
    AskedChange
        Without answer and errors where neither is typed. Never raises for what was typed.
    """
    errors: dict[str, str] = {}
    to_fps = _rate(question.get("to_fps", "").strip(), errors)
    to_exposure_s = _exposure(
        question.get("to_shutter", "").strip(), to_fps or shot.fps, errors
    )
    if errors or (to_fps is None and to_exposure_s is None):
        return AskedChange(errors=errors)
    try:
        return AskedChange(change=change_on_the_day(
            shot, to_fps=to_fps, to_exposure_s=to_exposure_s, modes=_shipped_modes
        ))
    except OutOfRangeError as error:
        about = "to_shutter" if error.argument == "to_exposure_s" else "wall"
        return AskedChange(errors={about: _line(error)})


def _rate(text: str, errors: dict[str, str]) -> Fraction | None:
    try:
        return RATE.value(text, argument="to_fps") if text else None
    except OutOfRangeError as error:
        errors["to_fps"] = _line(error)
        return None


def _exposure(text: str, fps: Fraction, errors: dict[str, str]) -> Fraction | None:
    """Exposure that a shutter means at a rate [s]."""
    if not text:
        return None
    try:
        way, value = shutter_given(text, argument="to_shutter")
    except OutOfRangeError as error:
        errors["to_shutter"] = _line(error)
        return None
    return value if way == "speed" else value / (360 * fps)


def _line(error: OutOfRangeError) -> str:
    return str(error).removeprefix(f"{error.argument}: ")


def _shipped_modes() -> list[Camera]:
    """Camera modes to look among for another one of the same body."""
    folder = shipped_folder() / "cameras"
    return [load_camera(folder / f"{name}.toml") for name in shipped_names("camera")]
