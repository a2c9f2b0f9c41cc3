"""The card that is asked for: what was typed, and the files that come of it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from bandcheck.errors import OutOfRangeError
from bandcheck.report.card import CARD_ENDINGS, card_file
from bandcheck.report.card_page import Paper
from bandcheck.report.rounding import rate_words
from bandcheck.shoot.asked_rates import given_at_rates
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.card_figures import CardFigures, card_figures
from dashboard.fields import FIELDS
from dashboard.state import Asked, asked

__all__ = ["AskedCard", "asked_card", "card_files", "figures_of", "file_stem", "rates_phrase"]

_MOST_RATES = 10
_LONGEST_NAME = 40


@dataclass(frozen=True, kw_only=True, slots=True)
class AskedCard:
    """A card as far as it can be read.

    Attributes
    ----------
    read
        The question; a card needs its shot.
    rates
        Frame rates of the card, that of the shot among them [frames/s].
    date, version
        As they are printed; empty where they are left blank.
    paper
        Of PDF and PNG.
    errors
        Field to what is wrong with it, of those that are the card's own.
    """

    read: Asked
    rates: tuple[Fraction, ...] = ()
    date: str = ""
    version: str = ""
    paper: Paper = "a4"
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def shot(self) -> Shot | None:
        """The shot; None where the card cannot be made."""
        return None if self.errors else self.read.shot


def asked_card(question: Mapping[str, str]) -> AskedCard:
    """Card that a question describes, or what is missing or wrong.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    AskedCard
        Never raises for what was typed.
    """
    read, errors = asked(question), {}
    values: dict[str, Any] = {}
    for name, each in FIELDS.items():
        text = question.get(name, "").strip() or each.usual
        if each.part != "card" or not text:
            continue
        try:
            values[name] = text if each.kind is None else each.kind.value(text, argument=name)
        except OutOfRangeError as error:
            errors[name] = str(error).removeprefix(f"{name}: ")
    if values["paper"] not in (FIELDS["paper"].choices or {}):
        errors["paper"] = "choose one of the list"
    rates = _rates(values.get("card_rates", ()), read)
    if len(rates) > _MOST_RATES:
        errors["card_rates"] = f"{len(rates)} rates with the shot's own; at most {_MOST_RATES}"
    return AskedCard(
        read=read, rates=rates, date=values.get("date", ""), paper=values["paper"],
        version=values.get("card_version", ""), errors=errors,
    )


def _rates(listed: tuple[Fraction, ...], read: Asked) -> tuple[Fraction, ...]:
    """Rates of the card, that of the shot first where it is not in the list."""
    if read.shot is None or read.shot.fps in listed:
        return listed
    return (read.shot.fps, *listed)


def figures_of(card: AskedCard) -> CardFigures:
    """Figures of a card, those of the pocket card too.

    Parameters
    ----------
    card
        One with a shot.

    Returns
    -------
    CardFigures
        As `bandcheck card` has them for the same question.

    Raises
    ------
    OutOfRangeError
        No rate can be run.
    """
    if card.read.given is None:
        raise ValueError("a card without a shot")
    return card_figures(
        given_at_rates(card.read.given, card.rates), date=card.date, version=card.version
    )


def card_files(figures: CardFigures, *, paper: Paper) -> dict[str, bytes]:
    """A card in each of its forms, by the ending of a file's name."""
    return {
        ending: card_file(figures, ending=ending, paper=paper) for ending in CARD_ENDINGS
    }


def file_stem(card: AskedCard) -> str:
    """Name of a card's files without its ending: wall, camera and date, safe on any system."""
    if card.shot is None:
        return "card"
    names = (card.shot.wall.name, card.shot.camera.name)
    plain = [re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:_LONGEST_NAME] for name in names]
    return "_".join(each for each in ("card", *plain, card.date) if each)


def rates_phrase(card: AskedCard) -> str:
    """How many rates, and which."""
    named = ", ".join(rate_words(rate) for rate in card.rates)
    return f"{len(card.rates)} {'rate' if len(card.rates) == 1 else 'rates'}: {named} frames/s"
