"""Everything that a safe-settings card says, as figures: one question at several frame rates."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.card_file import question_hash
from bandcheck.shoot.question import PER_RATE, shot_question
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.card_rate import RateAnswer, graded_dial, rate_answer
from bandcheck.verdict.card_shutters import graded_exposures_s, map_exposures_s
from bandcheck.verdict.light_cases import Assumption
from bandcheck.verdict.moire_report import MoireReport
from bandcheck.verdict.most_sensitive import most_sensitive_inputs
from bandcheck.verdict.remedies import dial_of
from bandcheck.verdict.settings import DialSetting

__all__ = ["CardFigures", "CardRate", "card_figures"]

@dataclass(frozen=True, kw_only=True, slots=True)
class CardRate:
    """One frame rate of a card.

    Attributes
    ----------
    fps
        The camera's frame rate.
    shot
        The shot at that rate with the wanted setting; None where it cannot be run.
    refused
        Why it cannot be run; None where it can.
    answer
        What was found.
    graded
        Every shutter setting whose grade was computed, rising.
    map_cells
        Grade of each column of the map; None where the setting does not exist at this rate.
    """

    fps: Fraction
    shot: Shot | None = None
    refused: str | None = None
    answer: RateAnswer | None = None
    graded: tuple[DialSetting, ...] = ()
    map_cells: tuple[DialSetting | None, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class CardFigures:
    """A card.

    Attributes
    ----------
    rates
        In the order asked for.
    question
        The whole question at the first rate that can be run, as `shot_question` gives it.
    per_rate
        What differs from it at the others, by `rate_text`.
    input_hash
        SHA-256 of question, rates and what differs, in hexadecimal.
    assumptions
        Figures that nobody gave, of all rates.
    sensitive_to
        Inputs that the verdict on the first setting to be dialled hangs on most.
    moire
        Moire and the wall's grid; None where something for it is missing.
    date, version
        As given; empty where not.
    """

    rates: tuple[CardRate, ...]
    question: Mapping[str, Any]
    per_rate: Mapping[str, Mapping[str, Any]]
    input_hash: str
    assumptions: tuple[Assumption, ...]
    sensitive_to: tuple[str, ...]
    moire: MoireReport | None = None
    date: str = ""
    version: str = ""

    @property
    def shot(self) -> Shot:
        """The shot at the first rate that can be run."""
        return next(each.shot for each in self.rates if each.shot is not None)

    @property
    def answers(self) -> tuple[RateAnswer, ...]:
        """What was found, for the rates that can be run."""
        return tuple(each.answer for each in self.rates if each.answer is not None)


def _answered(asked: Mapping[Fraction, Shot | str]) -> dict[Fraction, RateAnswer | str]:
    """Answer for each rate, or why there is none."""
    def answered(shot: Shot | str) -> RateAnswer | str:
        if isinstance(shot, str):
            return shot
        try:
            return rate_answer(shot)
        except OutOfRangeError as error:
            return str(error)

    return {rate: answered(shot) for rate, shot in asked.items()}


def _graded_rates(
    shots: Sequence[Shot], answers: Sequence[RateAnswer], *, pocket: bool
) -> list[CardRate]:
    """Rates with the grades of their dial settings."""
    dialled = [
        None if each.dialled is None else each.dialled.shot.exposure_s for each in answers
    ]
    columns = map_exposures_s(shots, [
        exposure if each.dialled and each.dialled.allowed else None
        for each, exposure in zip(answers, dialled, strict=True)
    ])

    def graded(index: int) -> CardRate:
        shot, own = shots[index], columns[index]
        must = (*own, shot.exposure_s, dialled[index])
        exposures = graded_exposures_s(
            shot, dial=dial_of(shot), also_s=must
        ) if pocket else tuple(sorted({each for each in must if each is not None}))
        grades = graded_dial(shot, exposures)
        known = dict(zip(exposures, grades, strict=True))
        return CardRate(
            fps=shot.fps, shot=shot, answer=answers[index], graded=grades,
            map_cells=tuple(None if each is None else known.get(each) for each in own),
        )

    return [graded(index) for index in range(len(shots))]


def _differing(shot: Shot) -> dict[str, Any]:
    """What may differ from rate to rate in the question of a shot."""
    question = shot_question(shot)
    return {key: question[key] for key in PER_RATE}


def card_figures(
    asked: Mapping[Fraction, Shot | str], *, date: str = "", version: str = "",
    pocket: bool = True,
) -> CardFigures:
    """Figures of a card.

    Parameters
    ----------
    asked
        Frame rate to the shot at that rate with the wanted setting, or to the reason why it
        cannot be run; at least one, in the order wanted. The shots are alike but for the rate
        and what follows from it.
    date, version
        Put on the card as they are.
    pocket
        Whether to grade the many dial settings that only a pocket card shows, beside those that
        are told anyway.

    Returns
    -------
    CardFigures
        Nothing is rounded.

    Raises
    ------
    OutOfRangeError
        No rate can be run; the first one's reason.
    """
    answers = _answered(asked)
    ran = {rate: each for rate, each in answers.items() if isinstance(each, RateAnswer)}
    if not ran:
        shown = ", ".join(rate_text(rate) for rate in asked) or "none"
        raise OutOfRangeError("rates", shown, str(next(iter(answers.values()), "one or more")))
    shots = [shot for rate, shot in asked.items() if rate in ran and isinstance(shot, Shot)]
    graded = {each.fps: each for each in _graded_rates(
        shots, list(ran.values()), pocket=pocket
    )}
    rates = tuple(
        graded[rate] if rate in graded else CardRate(fps=rate, refused=str(answers[rate]))
        for rate in asked
    )
    question = shot_question(shots[0])
    per_rate = {
        rate_text(rate): _differing(shot) if isinstance(shot, Shot) else {"fps": rate_text(rate)}
        for rate, shot in asked.items()
    }
    return CardFigures(
        rates=rates, question=question, per_rate=per_rate,
        input_hash=question_hash(question, per_rate), date=date, version=version,
        assumptions=tuple(dict.fromkeys(
            each for answer in ran.values() for each in answer.wanted.assumptions
        )),
        sensitive_to=next(
            (most_sensitive_inputs(each.dialled.shot) for each in ran.values() if each.dialled),
            (),
        ),
        moire=next(iter(ran.values())).wanted.moire,
    )
