"""What a card prints of each frame rate: figures put into words."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from bandcheck.report.rounding import (
    angle_text,
    at_most_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    room_text,
    seconds_text,
    shutter_text,
    stops_text,
)
from bandcheck.report.wording import HAZARD_NAMES, finding_sentence
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.assess import Assessment, Fixed
from bandcheck.verdict.card_figures import CardFigures, CardRate
from bandcheck.verdict.card_rate import Dialled, RateAnswer
from bandcheck.verdict.card_shutters import dial_shows_times
from bandcheck.verdict.settings import DialSetting, SafeRange
from bandcheck.vision.level import Level

__all__ = ["RateRow", "rate_rows", "trouble"]

_MOST_DECIMALS = 3
"""A range that needs more to be written down is one that no hand holds."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RateRow:
    """One frame rate in words.

    Attributes
    ----------
    fps
        The rate.
    dial, dial_note
        What to dial, as the dial shows it, and the same as time or angle.
    level, level_note
        Its verdict, and what is wrong with it where something is.
    wanted
        The setting that was asked for and its verdict, and how the exposure differs from it.
    allowed, room
        How far off the dial may be.
    phase, phase_note
        Phases without a tear, the best of them and the slack.
    clean_angle
        Largest angle without a tear.
    lowest, codes
        Lowest safe level of the wall, and its codes at 8, 10 and 12 bit.
    roll
        How long to roll a test.
    also
        Other safe ranges, each with the setting of the dial in it.
    reasons
        Why the wanted setting is not safe, and then why the one to be dialled is not.
    refused
        Why the rate cannot be run; empty where it can.
    """

    fps: str
    dial: str = "—"
    dial_note: str = ""
    level: Level = Level.UNKNOWN
    level_note: str = ""
    wanted: str = ""
    allowed: str = "—"
    room: str = ""
    phase: str = "—"
    phase_note: str = ""
    clean_angle: str = "—"
    lowest: str = "—"
    codes: str = ""
    roll: str = "—"
    also: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    refused: str = ""


def trouble(assessment: Assessment) -> str:
    """What keeps a setting from being safe, in a word or two."""
    names = (HAZARD_NAMES[each.finding.hazard] for each in _unsafe(assessment))
    return ", ".join(dict.fromkeys(
        name if name[:2].isupper() else name.lower() for name in names
    ))


def _unsafe(assessment: Assessment) -> list[Fixed]:
    return [
        each for each in assessment.findings
        if each.finding.level is not Level.SAFE and each.finding.hazard in assessment.checked
    ]


def _reasons(assessment: Assessment) -> tuple[str, ...]:
    """A sentence for everything that keeps a setting from being safe."""
    return tuple(finding_sentence(assessment, each) for each in _unsafe(assessment))


def _phase(assessment: Assessment) -> tuple[str, str]:
    """Clean phases and what to set."""
    torn = assessment.tearing
    if torn.finding.reason == "still_content":
        return "any", "the picture stands still"
    if torn.possible_clean is None:
        return "unknown", "exposure scheme not modelled"
    if torn.finding.reason == "runs_free":
        return "none", "wall and camera run free"
    if torn.phase_from_s is None or torn.phase_to_s is None or torn.phase_best_s is None:
        missing_ms = -1e3 * (torn.slack_s or 0.0)
        return "none", f"{number_text(missing_ms, decimals=2)} ms too long"
    ends = inward_range(1e3 * torn.phase_from_s, 1e3 * torn.phase_to_s)
    best = number_text(1e3 * torn.phase_best_s, decimals=2)
    slack = at_most_text(1e3 * (torn.slack_s or 0.0), decimals=2)
    if ends is None or len(ends[0].partition(".")[2]) > _MOST_DECIMALS:
        return f"{best} ms", "slack under 0.001 ms"
    return f"{ends[0]} to {ends[1]} ms", f"set {best} · slack {slack} ms"


def _clean_angle(assessment: Assessment) -> str:
    torn = assessment.tearing
    if torn.finding.reason == "still_content":
        return "360°"
    if torn.largest_clean_angle_deg is None:
        return "unknown" if torn.possible_clean is None else "none"
    if torn.largest_clean_angle_deg <= 0:
        return "none"
    return f"{at_most_text(torn.largest_clean_angle_deg, decimals=1)}°"


def _level_note(dialled: Dialled) -> str:
    """What is wrong, or what the verdict counts on."""
    wrong = trouble(dialled.assessment)
    kept = dialled.assessment.phase_condition_s is not None and not wrong
    return "if the phase is kept" if kept else wrong


def _allowed(dialled: Dialled) -> tuple[str, str]:
    own = dialled.allowed
    if own is None:
        return "no room", "not a safe setting"
    ends = inward_range(own.from_deg, own.to_deg)
    if ends is None or len(ends[0].partition(".")[2]) > _MOST_DECIMALS:
        return "this only", "room under 0.001°"
    room = room_text(value=float(dialled.shot.angle_deg), low=own.from_deg, high=own.to_deg)
    return f"{ends[0]} to {ends[1]}°", room


def _also(rate: CardRate, answer: RateAnswer, shot: Shot) -> tuple[str, ...]:
    """Safe ranges other than the one to be dialled, nearest first."""
    own = None if answer.dialled is None else answer.dialled.shot.exposure_s
    dial = [
        each for each in (*answer.settings.dial, *rate.graded) if each.level is Level.SAFE
    ]
    found = []
    for each in answer.settings.ranges:
        angle = None if own is None else float(own * shot.fps * 360)
        if angle is not None and each.from_deg - 1e-9 <= angle <= each.to_deg + 1e-9:
            continue
        found.append(_range_words(each, dial, shot))
    return tuple(found)


def _range_words(each: SafeRange, dial: Sequence[DialSetting], shot: Shot) -> str:
    ends = inward_range(each.from_deg, each.to_deg)
    span = f"{angle_text(each.best_deg)} only" if ends is None else f"{ends[0]} to {ends[1]}°"
    if each.dial_deg is None:
        offered = shot.camera.angles_deg or shot.camera.speeds_s or shot.camera.angle_step_deg
        return f"{span} (not on the dial)" if offered else span
    on_dial = each.dial_deg
    held = next((known for known in dial if abs(float(known.angle_deg) - on_dial) < 1e-6), None)
    if held is None:
        return span
    shown = shutter_text(
        exposure_s=held.exposure_s, fps=shot.fps, in_time=dial_shows_times(shot.camera)
    )
    return f"{shown} ({span})"


def _wanted(answer: RateAnswer, shot: Shot) -> str:
    asked = shutter_text(
        exposure_s=shot.exposure_s, fps=shot.fps, in_time=shot.shutter_set_as == "time"
    )
    dialled = answer.dialled
    if dialled is not None and dialled.shot.exposure_s == shot.exposure_s:
        return "as wanted"
    verdict = f"wanted {asked} is {answer.wanted.overall.value}"
    if answer.wanted.overall is Level.SAFE:
        verdict = f"wanted {asked} is not on the dial"
    return verdict if dialled is None else f"{verdict}; {stops_text(dialled.stops_from_wanted)}"


def _lowest(dialled: Dialled) -> tuple[str, str]:
    lowest = dialled.lowest_safe
    if lowest is None:
        return "none", "not even white"
    return (
        f"{number_text(100 * lowest.signal, decimals=2)} %",
        f"{lowest.code_8}·{lowest.code_10}·{lowest.code_12}",
    )


def _roll(dialled: Dialled) -> str:
    text = seconds_text(dialled.roll_test.at_least_s)
    return text if dialled.roll_test.shows_all else f"{text} *"


def _rate_row(rate: CardRate) -> RateRow:
    fps = rate_words(rate.fps)
    if rate.answer is None or rate.shot is None:
        return RateRow(fps=fps, refused=rate.refused or "cannot be run")
    answer, shot = rate.answer, rate.shot
    dialled = answer.dialled
    also, reasons = _also(rate, answer, shot), _reasons(answer.wanted)
    if dialled is None:
        phase, phase_note = _phase(answer.wanted)
        return RateRow(
            fps=fps, dial="none", dial_note="no safe setting",
            level=answer.wanted.overall, level_note=trouble(answer.wanted), allowed="no room",
            wanted=_wanted(answer, shot), also=also, reasons=reasons, phase=phase,
            phase_note=phase_note, clean_angle=_clean_angle(answer.wanted),
        )
    allowed, room = _allowed(dialled)
    phase, phase_note = _phase(dialled.assessment)
    lowest, codes = _lowest(dialled)
    exposure_s, in_time = dialled.shot.exposure_s, dial_shows_times(shot.camera)
    made_s = Fraction(dialled.assessment.exposure_used_s)
    note = angle_text(dialled.shot.angle_deg) if in_time else exposure_text(exposure_s)
    if abs(float(made_s / exposure_s) - 1) > 1e-9:
        note += f", made {exposure_text(made_s)}"
    return RateRow(
        fps=fps, dial=shutter_text(exposure_s=exposure_s, fps=shot.fps, in_time=in_time),
        dial_note=note, level=dialled.level, level_note=_level_note(dialled),
        wanted=_wanted(answer, shot), allowed=allowed, room=room, phase=phase,
        phase_note=phase_note, clean_angle=_clean_angle(dialled.assessment), lowest=lowest,
        codes=codes, roll=_roll(dialled), also=also,
        reasons=tuple(dict.fromkeys((*reasons, *_reasons(dialled.assessment)))),
    )


def rate_rows(figures: CardFigures) -> tuple[RateRow, ...]:
    """Every rate of a card in words."""
    return tuple(_rate_row(rate) for rate in figures.rates)
