"""From a card's file to the question on the screen, so that the link holds all of it."""

from collections.abc import Callable, Mapping
from dataclasses import asdict, fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from bandcheck.errors import ProfileError
from bandcheck.shoot.card_file import card_shot
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profile_text import profile_text
from bandcheck.shoot.profiles import load_lamp, shipped_folder, shipped_names
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from dashboard.fields import APART, FIELDS, OWN
from dashboard.state import Question, asked, toml_key

__all__ = ["LARGEST_CARD_BYTES", "CardError", "card_question", "shot_texts"]

LARGEST_CARD_BYTES = 256_000
"""Of what is read of a card: its question, and not its figures."""

_MOST_DIGITS = 17


class CardError(ValueError):
    """A card's file cannot be used here; says why on one line."""


def card_question(text: object, question: Mapping[str, str]) -> Question:
    """Question of a card.

    Parameters
    ----------
    text
        The card's file, or of it the members that its question is read from.
    question
        What is on the screen: what says nothing about the shot is kept of it.

    Returns
    -------
    dict
        Texts as they would be typed, profiles inside.

    Raises
    ------
    CardError
        No card, or one with something in it that the screen has no field for.
    """
    if not isinstance(text, str) or len(text.encode("utf-8", "replace")) > LARGEST_CARD_BYTES:
        raise CardError(f"more than {LARGEST_CARD_BYTES // 1000} kB of question; no card has that")
    try:
        shot = card_shot(text.encode("utf-8", "replace"), file="card")
        texts = shot_texts(shot)
    except ProfileError as error:
        raise CardError("; ".join(error.faults)) from error
    kept = {name: question[name] for name, each in FIELDS.items()
            if each.part in APART and name in question}
    _refuse_loss(shot, asked(texts).shot)
    return {**kept, **texts}


def _refuse_loss(shot: Shot, read: Shot | None) -> None:
    """Refuse a card whose question does not come back whole from the fields."""
    if read == shot:
        return
    lost = [each.name for each in fields(Shot)
            if read is None or getattr(read, each.name) != getattr(shot, each.name)]
    raise CardError(
        f"this screen has no field for something in the card ({', '.join(lost)}); "
        "bandcheck change --card reads it"
    )


def shot_texts(shot: Shot) -> Question:
    """A shot as the texts that would be typed for it.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    dict
        Profiles as the user's own; what is usual is left out.
    """
    texts: Question = {
        "wall": OWN, toml_key("wall"): profile_text(shot.wall),
        "camera": OWN, toml_key("camera"): profile_text(shot.camera),
        **_lamps(shot.lamps),
        "fps": rate_text(shot.fps), "shutter": _shutter(shot),
        "wall_fps": "" if shot.wall_fps == shot.fps else rate_text(shot.wall_fps),
        "content_fps": "" if shot.content_fps == shot.wall_fps else rate_text(shot.content_fps),
        "genlock": shot.genlock, "panel_rotation": str(shot.panel_rotation_deg),
        "change_spread_ms": _typed(shot.change_spread_s * 1e3, shot.change_spread_s, _thousandth),
        "levels": ",".join(_percent(each) for each in shot.levels),
        "brightness_pct": _typed(100 * shot.brightness, shot.brightness, _hundredth),
    }
    if shot.phase_s is not None:
        texts["phase_ms"] = _typed(shot.phase_s * 1e3, shot.phase_s, _thousandth)
    for name, value in _numbers(shot).items():
        if name in FIELDS and value is not None:
            texts[name] = _typed(value, value, float)
    if shot.optics is not None:
        optics = shot.optics
        for name, mm in (("distance_m", optics.distance_mm), ("focus_m", optics.focus_mm)):
            if mm is not None:
                texts[name] = _typed(mm / 1e3, mm, _thousandfold)
    return {name: text for name, text in texts.items()
            if text and (name not in FIELDS or text != FIELDS[name].usual)}


def _numbers(shot: Shot) -> dict[str, Any]:
    return {**asdict(shot.viewing), **(asdict(shot.optics) if shot.optics else {})}


def _lamps(lamps: tuple[Lamp, ...]) -> Question:
    """Lamps by name where they are shipped; there is room for one of another kind."""
    folder = shipped_folder() / "lamps"
    shipped = {name: load_lamp(folder / f"{name}.toml") for name in shipped_names("lamp")}
    names = [
        next((name for name, each in shipped.items() if each == lamp), OWN) for lamp in lamps
    ]
    own = [lamp for lamp, name in zip(lamps, names, strict=True) if name == OWN]
    texts = {"lamp": ",".join(names)}
    return {**texts, toml_key("lamp"): profile_text(own[0])} if own else texts


def _shutter(shot: Shot) -> str:
    """Shutter in the way it was set, exactly."""
    if shot.shutter_set_as == "angle":
        text = _typed(float(shot.angle_deg), shot.angle_deg, Fraction)
        if Fraction(text) == shot.angle_deg:
            return text
    return f"{shot.exposure_s.numerator}/{shot.exposure_s.denominator}"


def _typed(near: float, value: float | Fraction, read: Callable[[str], float | Fraction]) -> str:
    """Shortest number that is read as a value, near to what it must be."""
    texts = (
        format(Decimal(f"{near:.{digits}g}"), "f") for digits in range(1, _MOST_DIGITS + 1)
    )
    return next((text for text in texts if read(text) == value), repr(near))


def _percent(level: float) -> str:
    """A level in percent: its shortest decimal with the point moved, which is read exactly."""
    return format((100 * Decimal(repr(level))).normalize(), "f")


def _hundredth(text: str) -> float:
    return float(text) / 100


def _thousandth(text: str) -> float:
    return float(text) / 1e3


def _thousandfold(text: str) -> float:
    return float(text) * 1e3
