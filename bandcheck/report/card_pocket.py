"""The pocket card: verdicts that a thumb picks by rate and dial value, offline."""

import json
from collections.abc import Iterator
from fractions import Fraction
from html import escape
from pathlib import Path
from typing import Any

from bandcheck.report.card_rows import RateRow, rate_rows
from bandcheck.report.rounding import angle_text, exposure_text, visibility_text
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.verdict.card_figures import CardFigures, CardRate
from bandcheck.verdict.card_rate import RateAnswer
from bandcheck.verdict.card_shutters import dial_shows_times
from bandcheck.verdict.settings import DialSetting
from bandcheck.vision.level import Level

__all__ = ["pocket_data", "pocket_html", "pocket_script", "pocket_style"]

_FOLDER = Path(__file__).with_name("pocket")
_MOST_OFFERED = 4
_DECIMALS = 10**6


def pocket_style() -> str:
    """Style sheet of the page."""
    return (_FOLDER / "card.css").read_text(encoding="utf-8")


def pocket_script() -> str:
    """Script of the page."""
    return (_FOLDER / "pocket.js").read_text(encoding="utf-8")


def _names(each: DialSetting, *, in_time: bool) -> list[str]:
    """What a setting may be called exactly: the way of the dial first."""
    names = []
    if (Fraction(each.angle_deg) * _DECIMALS).denominator == 1:
        names.append(angle_text(each.angle_deg).removesuffix("°"))
    if each.exposure_s.numerator == 1:
        names.append(exposure_text(each.exposure_s).removesuffix(" s"))
    return names[::-1] if in_time else names


def _why(each: DialSetting, limits: tuple[float, float], *, moving: bool) -> str:
    """What a setting's verdict rests on."""
    if each.level is Level.UNKNOWN:
        return "an input is missing"
    shown = f"V {visibility_text(each.visibility, limits=limits)}"
    if each.level is Level.VISIBLE:
        torn = not each.visibility >= limits[1]
        return f"tears at any phase · {shown}" if torn else f"bands show · {shown}"
    return f"if a phase without tear is kept · {shown}" if moving else shown


def _told(row: RateRow) -> dict[str, str]:
    return {
        "room": f"{row.allowed}\n{row.room}".strip(),
        "phase": f"{row.phase}\n{row.phase_note}".strip(),
        "lowest": f"{row.lowest}\n{row.codes}".strip(), "roll": row.roll.removesuffix(" *"),
    }


def _with_picture(level: Level, why: str, answer: RateAnswer) -> tuple[Level, str]:
    """Verdict that takes in what no shutter changes: moire and the wall's grid."""
    for each in () if answer.wanted.moire is None else answer.wanted.moire.findings:
        if each.level > level:
            level, why = each.level, f"{each.hazard}, at any shutter"
    return level, why


def _settings(rate: CardRate, row: RateRow) -> Iterator[dict[str, Any]]:
    if rate.shot is None or rate.answer is None:
        return
    viewing, dialled = rate.shot.viewing, rate.answer.dialled
    moving = rate.answer.wanted.tearing.finding.reason != "still_content"
    in_time = dial_shows_times(rate.shot.camera)
    for each in rate.graded:
        names = _names(each, in_time=in_time)
        if not names:
            continue
        level, why = _with_picture(each.level, _why(
            each, (viewing.safe_below, viewing.visible_from), moving=moving
        ), rate.answer)
        value: dict[str, Any] = {
            "names": names, "angle": float(each.angle_deg), "level": level.value, "why": why,
        }
        if dialled is not None and dialled.shot.exposure_s == each.exposure_s:
            value |= {"told": _told(row), "level": dialled.level.value}
            value["why"] = row.level_note or why
        yield value


def _rate(rate: CardRate, row: RateRow) -> dict[str, Any]:
    settings = list(_settings(rate, row))
    told = [each["names"][0] for each in settings if "told" in each]
    first = told[0] if told else settings[0]["names"][0] if settings else ""
    safe = [each for each in settings if each["level"] == "safe" and "told" not in each]
    angle = next((each["angle"] for each in settings if each["names"][0] == first), 0.0)
    near = sorted(safe, key=lambda each: abs(each["angle"] - angle))[:_MOST_OFFERED]
    offered = [*(told if row.level is Level.SAFE else []), *(each["names"][0] for each in near)]
    return {
        "fps": float(rate.fps), "refused": row.refused, "first": first,
        "offered": offered[:_MOST_OFFERED], "settings": settings,
    }


def pocket_data(figures: CardFigures) -> dict[str, Any]:
    """Everything that the pocket card can show, as plain values.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    dict
        For each rate its graded dial settings by every exact name, with verdict and reason; what
        is not among them the page calls unknown.
    """
    return {
        "marks": {level.value: mark.strip("( )") for level, mark in LEVEL_MARKS.items()},
        "rates": [
            _rate(rate, row) for rate, row in zip(figures.rates, rate_rows(figures), strict=True)
        ],
    }


def _rate_choice(place: int, fps: str) -> str:
    checked = " checked" if place == 0 else ""
    long = ' class="long"' if len(fps) > 4 else ""
    return (f'<label><input type="radio" name="rate" value="{place}"{checked}>'
            f"<span{long}>{escape(fps)}</span></label>")


def pocket_html(figures: CardFigures) -> str:
    """The pocket card's part of the page.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    str
        HTML; every text from a profile is escaped.
    """
    shot = figures.shot
    choices = "".join(
        _rate_choice(place, row.fps) for place, row in enumerate(rate_rows(figures))
    )
    data = json.dumps(pocket_data(figures), allow_nan=False).replace("<", "\\u003c")
    facts = "".join(
        f'<dt>{label}</dt><dd id="{name}">unknown</dd>' for name, label in (
            ("room", "shutter may be"), ("phase", "phase without tear"),
            ("lowest", "lowest wall level,<br>8·10·12 bit"), ("roll", "roll a test for"),
        )
    )
    return f"""<section class="pocket" aria-label="Pocket card">
<h1>{escape(shot.wall.name)} · {escape(shot.camera.name)}</h1>
<noscript><p>Scripts are off: read the tables below.</p></noscript>
<fieldset><legend>frames/s</legend><div class="rates">{choices}</div></fieldset>
<label class="label" for="dial">shutter on the dial, as an angle or as 1/time</label>
<div class="dial"><button type="button" id="less" aria-label="previous setting">−</button>
<input id="dial" inputmode="text" autocomplete="off" spellcheck="false" maxlength="20">
<button type="button" id="more" aria-label="next setting">+</button></div>
<p class="label" id="none" hidden></p>
<div class="offered" id="offered" role="group" aria-label="safe settings"></div>
<div class="verdict unknown" id="verdict" role="status" aria-live="polite">
<span class="mark" id="mark" aria-hidden="true"></span>
<div><div class="word" id="word">UNKNOWN</div><div class="why" id="why">not computed</div></div>
</div>
<dl class="facts">{facts}</dl>
</section>
<script type="application/json" id="held">{data}</script>
"""
