"""A card's JSON file back into the shot that it was made for."""

import hashlib
import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_faults import fault, plain_name
from bandcheck.shoot.question import question_shot
from bandcheck.shoot.shot import Shot

__all__ = ["CARD_SCHEMA", "card_shot", "load_card_shot", "question_hash"]

CARD_SCHEMA = "bandcheck.card/1"

LARGEST_BYTES = 16 * 1024 * 1024


def question_hash(
    question: Mapping[str, Any], per_rate: Mapping[str, Mapping[str, Any]]
) -> str:
    """SHA-256 of everything that a card's figures come from.

    Parameters
    ----------
    question
        The question at one rate, as `shot_question` gives it.
    per_rate
        What differs at each rate.

    Returns
    -------
    str
        64 hexadecimal digits; of JSON with sorted keys, no spaces, and ASCII alone, so that the
        same figures give the same hash wherever they are read.
    """
    canonical = json.dumps(
        {"question": question, "rates": per_rate}, sort_keys=True, separators=(",", ":"),
        ensure_ascii=True, allow_nan=False,
    )
    return hashlib.sha256(canonical.encode("ascii")).hexdigest()


def load_card_shot(path: str | Path) -> Shot:
    """Shot of a card's JSON file; see `card_shot`."""
    file = plain_name(str(path))
    try:
        with Path(path).open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL in it
        reason = getattr(error, "strerror", None) or "is no path"
        raise ProfileError(file, [f"cannot be read: {reason[:1].lower()}{reason[1:]}"]) from None
    return card_shot(content, file=str(path))


def card_shot(content: bytes, *, file: str) -> Shot:
    """Shot that a card was made for: the setting wanted at its first rate that can be run.

    Parameters
    ----------
    content
        The JSON file.
    file
        Name for messages.

    Returns
    -------
    Shot
        Profiles and all, from the file alone.

    Raises
    ------
    ProfileError
        No card, one of another kind, or one whose question is not the one that its hash was made
        of: then its figures no longer belong to it.
    """
    name = plain_name(file)
    card = _document(content, name)
    if card.get("schema") != CARD_SCHEMA:
        raise ProfileError(name, [fault("schema", card.get("schema"), f"'{CARD_SCHEMA}'")])
    shot = question_shot(card.get("question"), file=name)
    per_rate = card.get("per_rate")
    if not isinstance(per_rate, dict):
        raise ProfileError(name, ["per_rate: missing; an object with what differs at each rate"])
    try:
        belongs = question_hash(card["question"], per_rate) == card.get("input_hash")
    except RecursionError:  # nested deeper than it can be written, which no card is
        belongs = False
    if not belongs:
        raise ProfileError(name, [
            "input_hash: does not belong to this question; the file was changed after the card "
            "was made: make a new card"
        ])
    return shot


def _document(content: bytes, file: str) -> dict[str, Any]:
    if len(content) > LARGEST_BYTES:
        raise ProfileError(file, [f"larger than {LARGEST_BYTES} bytes, the most a card may have"])
    try:
        document = json.loads(
            content.decode("utf-8-sig"), parse_constant=_refused_constant, parse_float=_finite
        )
    except UnicodeDecodeError:
        raise ProfileError(file, ["not UTF-8 text"]) from None
    except (ValueError, RecursionError) as error:
        place = f"line {error.lineno}: " if isinstance(error, json.JSONDecodeError) else ""
        raise ProfileError(file, [f"{place}not JSON"]) from None
    if not isinstance(document, dict):
        raise ProfileError(file, ["not a card; a card is one JSON object"])
    return document


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):  # 1e999, which JSON allows and no card holds
        raise ValueError(text)
    return value


def _refused_constant(name: str) -> NoReturn:
    raise ValueError(name)
