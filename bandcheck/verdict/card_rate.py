"""What a card says of one frame rate: what to dial and how far off is allowed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from bandcheck.levels.codes import full_range_code_at_least
from bandcheck.shoot.shot import Shot
from bandcheck.timing.shutter import stops_between
from bandcheck.verdict.assess import Assessment, assess
from bandcheck.verdict.card_shutters import graded_exposures_s, plain_angle_deg
from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.remedies import dial_of
from bandcheck.verdict.roll_test import RollTest, roll_test
from bandcheck.verdict.settings import DialSetting, SafeRange, Settings, safe_settings
from bandcheck.vision.level import Level

__all__ = ["Dialled", "RateAnswer", "SafeLevelCodes", "graded_dial", "rate_answer"]

_SLACK_DEG = 1e-9

_ALIKE_STOPS = 0.1
"""Exposures within this are alike to whoever looks, so that the quietest of them is dialled:
project choice."""

_NEAR_STOPS = 1 / 3
"""How far the best of what is not safe may lie from the wanted exposure: project choice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SafeLevelCodes:
    """The lowest safe level of the wall's signal.

    Attributes
    ----------
    signal
        Signal 0..1 from which up the setting is safe.
    code_8, code_10, code_12
        Smallest full-range codes that are no darker.
    """

    signal: float
    code_8: int
    code_10: int
    code_12: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Dialled:
    """The setting that a card says to dial at one rate.

    Attributes
    ----------
    assessment
        Its verdict and figures, as for any other shot.
    allowed
        The range in which timing stays safe: how far off it may be; None where it is not safe.
    stops_from_wanted
        Its exposure against the wanted one [stops].
    lowest_safe
        Level of the wall's signal from which up it is safe; None: not even white is.
    roll_test
        How long to roll a test of it.
    """

    assessment: Assessment
    allowed: SafeRange | None
    stops_from_wanted: float
    lowest_safe: SafeLevelCodes | None
    roll_test: RollTest

    @property
    def shot(self) -> Shot:
        """The shot with this setting."""
        return self.assessment.shot

    @property
    def level(self) -> Level:
        """Its verdict."""
        return self.assessment.overall


@dataclass(frozen=True, kw_only=True, slots=True)
class RateAnswer:
    """What was found for one rate.

    Attributes
    ----------
    wanted
        Verdict on the setting that was asked for.
    settings
        Safe settings near it.
    dialled
        The wanted setting where it is safe and on the dial; else the quietest of the safe ones
        that lie within a tenth of a stop of the nearest; where none is safe the quietest marginal
        one within a third of a stop, or the nearest marginal one; None where there is none.
    """

    wanted: Assessment
    settings: Settings
    dialled: Dialled | None


def _codes(signal: float | None) -> SafeLevelCodes | None:
    if signal is None:
        return None
    return SafeLevelCodes(
        signal=signal, code_8=int(full_range_code_at_least(signal, bits=8)),
        code_10=int(full_range_code_at_least(signal, bits=10)),
        code_12=int(full_range_code_at_least(signal, bits=12)),
    )


def graded_dial(shot: Shot, exposures_s: Sequence[Fraction]) -> tuple[DialSetting, ...]:
    """Grades of some shutter settings of a shot, in the order given.

    Parameters
    ----------
    shot
        The shot; its own exposure is not looked at.
    exposures_s
        Exposures [s].

    Returns
    -------
    tuple of DialSetting
        To the last bit what a check of each would say.
    """
    if not exposures_s:
        return ()
    grades = exposure_grades(shot, np.array([float(each) for each in exposures_s]))
    return tuple(
        DialSetting(
            angle_deg=360 * exposure * shot.fps, exposure_s=exposure, level=grades.level(index),
            visibility=float(grades.worst_visibility[index]),
        )
        for index, exposure in enumerate(exposures_s)
    )


def _stops(shot: Shot, exposure: Fraction) -> float:
    return float(stops_between(
        from_exposure_s=float(shot.exposure_s), to_exposure_s=float(exposure)
    ))


def _safe_candidates(
    shot: Shot, settings: Settings, dial: Sequence[Fraction] | None
) -> list[Fraction]:
    """Safe settings that the dial has [s]; the wanted one first, where it is among them."""
    wanted_safe = settings.wanted.level is Level.SAFE
    turn = 360 * shot.fps
    if dial is None:
        plain = [
            plain_angle_deg(from_deg=each.from_deg, to_deg=each.to_deg, best_deg=each.best_deg)
            for each in settings.ranges
        ]
        return [*([shot.exposure_s] if wanted_safe else []), *(angle / turn for angle in plain)]
    found = [each.exposure_s for each in settings.dial if each.level is Level.SAFE]
    if wanted_safe and shot.exposure_s in dial:
        found.insert(0, shot.exposure_s)
    return found


def _chosen(
    shot: Shot, settings: Settings, dial: Sequence[Fraction] | None
) -> Fraction | None:
    """Exposure to dial [s]: the wanted one, a safe one near it, or else the best marginal one."""
    safe = [
        each for each in graded_dial(shot, _safe_candidates(shot, settings, dial))
        if each.level is Level.SAFE
    ]
    if safe and safe[0].exposure_s == shot.exposure_s:
        return shot.exposure_s
    if safe:
        nearest = min(abs(_stops(shot, each.exposure_s)) for each in safe)
        alike = [
            each for each in safe
            if abs(_stops(shot, each.exposure_s)) <= nearest + _ALIKE_STOPS
        ]
        return min(alike, key=lambda each: each.visibility).exposure_s
    quietest_s = None if settings.quietest is None else settings.quietest.exposure_s
    return _marginal(shot, graded_dial(shot, graded_exposures_s(
        shot, dial=dial, also_s=(shot.exposure_s, quietest_s)
    )))


def _marginal(shot: Shot, known: Sequence[DialSetting]) -> Fraction | None:
    """The quietest marginal setting near the wanted one, or the nearest of those farther off."""
    marginal = [each for each in known if each.level is Level.MARGINAL]
    near = [each for each in marginal if abs(_stops(shot, each.exposure_s)) <= _NEAR_STOPS]
    if near:
        return min(near, key=lambda each: each.visibility).exposure_s
    return min(
        (each.exposure_s for each in marginal),
        key=lambda exposure: abs(_stops(shot, exposure)), default=None,
    )


def _range_around(settings: Settings, angle_deg: float) -> SafeRange | None:
    for each in settings.ranges:
        if each.from_deg - _SLACK_DEG <= angle_deg <= each.to_deg + _SLACK_DEG:
            return each
    return None


def _dialled(wanted: Assessment, settings: Settings, exposure: Fraction) -> Dialled:
    shot = wanted.shot
    at_dial = replace(shot, exposure_s=exposure)
    assessment = wanted if exposure == shot.exposure_s else assess(at_dial, fixes=False)
    allowed = None
    if graded_dial(shot, [exposure])[0].level is Level.SAFE:
        allowed = _range_around(settings, float(at_dial.angle_deg))
        if allowed is None:
            # Farther from the wanted setting than the ranges told beside it.
            allowed = _range_around(safe_settings(at_dial), float(at_dial.angle_deg))
    return Dialled(
        assessment=assessment, allowed=allowed, stops_from_wanted=_stops(shot, exposure),
        lowest_safe=_codes(assessment.banding.lowest_safe_level), roll_test=roll_test(at_dial),
    )


def rate_answer(shot: Shot) -> RateAnswer:
    """What a card says of a shot at its rate.

    Parameters
    ----------
    shot
        The shot with the wanted setting.

    Returns
    -------
    RateAnswer
        Each figure as `assess` and `safe_settings` give it for the same question.

    Raises
    ------
    OutOfRangeError
        The wall cannot run as it is described.
    """
    wanted, settings = assess(shot, fixes=False), safe_settings(shot)
    exposure = _chosen(shot, settings, dial_of(shot))
    return RateAnswer(
        wanted=wanted, settings=settings,
        dialled=None if exposure is None else _dialled(wanted, settings, exposure),
    )
