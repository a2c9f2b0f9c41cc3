"""A card as plain values for JSON: its whole question, and each figure unrounded."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from bandcheck.report.card_sections import input_lines, sections
from bandcheck.report.change_wording import assumption_sentence
from bandcheck.report.tables import assessment_table, settings_table
from bandcheck.shoot.card_file import CARD_SCHEMA
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.assess import Assessment
from bandcheck.verdict.card_figures import CardFigures, CardRate
from bandcheck.verdict.card_rate import Dialled
from bandcheck.verdict.roll_test import RollTest
from bandcheck.verdict.settings import DialSetting, SafeRange

__all__ = ["card_values"]

_NOT_LOOKED_FOR = ("schema", "sensitive_to")
"""What a check tells and the verdicts of a card leave out, as they leave out fixes."""


def card_values(figures: CardFigures) -> dict[str, Any]:
    """A card as plain values.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    dict
        Texts, numbers, lists and None alone; what cannot be had is None. `question` and
        `per_rate` hold everything that the figures come from, and `input_hash` their hash; the
        verdicts and settings have the keys of `check --json` and `settings --json`.
    """
    values: dict[str, Any] = {
        "schema": CARD_SCHEMA, "version": figures.version, "date": figures.date,
        "input_hash": figures.input_hash,
        "rates": [_rate(rate) for rate in figures.rates],
        "sensitive_to": figures.sensitive_to,
        "assumptions": [assumption_sentence(each) for each in figures.assumptions],
        "inputs": [
            {"about": each.about, "what": each.what, "value": each.value, "source": each.source,
             "measured": None}
            for each in input_lines(figures)
        ],
        "sections": [{"title": each.title, "lines": each.lines} for each in sections(figures)],
        "question": figures.question, "per_rate": figures.per_rate,
    }
    plain: dict[str, Any] = _plain(values)
    return plain


def _plain(value: Any) -> Any:
    """Value with lists for sequences, and None for a number that is not finite."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(each) for each in value]
    return value


def _rate(rate: CardRate) -> dict[str, Any]:
    answer = rate.answer
    if answer is None:
        return {"fps": rate_text(rate.fps), "refused": rate.refused}
    return {
        "fps": rate_text(rate.fps), "refused": None, "wanted": _verdict(answer.wanted),
        "settings": settings_table(answer.settings),
        "dialled": None if answer.dialled is None else _dialled(answer.dialled),
        "graded": [_setting(each) for each in rate.graded],
        "map": [each and _setting(each) for each in rate.map_cells],
    }


def _verdict(assessment: Assessment) -> dict[str, Any]:
    table = assessment_table(assessment)
    findings: Any = table["findings"]
    return {
        **{key: value for key, value in table.items() if key not in _NOT_LOOKED_FOR},
        "findings": [
            {key: value for key, value in each.items() if key != "fixes"} for each in findings
        ],
    }


def _dialled(dialled: Dialled) -> dict[str, Any]:
    lowest = dialled.lowest_safe
    return {
        **_verdict(dialled.assessment), "stops_from_wanted": dialled.stops_from_wanted,
        "allowed": None if dialled.allowed is None else _range(dialled.allowed),
        "lowest_safe_codes": None if lowest is None else {
            "code_8_bit": lowest.code_8, "code_10_bit": lowest.code_10,
            "code_12_bit": lowest.code_12,
        },
        "roll_test": _roll_test(dialled.roll_test),
    }


def _range(each: SafeRange) -> dict[str, Any]:
    return {"from_deg": each.from_deg, "to_deg": each.to_deg, "best_deg": each.best_deg}


def _roll_test(test: RollTest) -> dict[str, Any]:
    return {
        "at_least_s": test.at_least_s, "shows_all": test.shows_all,
        "drifts": [
            {"source": each.source, "name": each.name, "quickest_s": each.quickest_s,
             "longest_s": each.longest_s}
            for each in test.drifts
        ],
    }


def _setting(each: DialSetting) -> dict[str, Any]:
    return {
        "angle_deg": float(each.angle_deg), "exposure_s": float(each.exposure_s),
        "level": each.level.value, "visibility": each.visibility,
    }
