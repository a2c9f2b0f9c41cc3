"""What a change on the day means, line by line, for a page as for a screen: not wrapped yet."""

from dataclasses import dataclass
from typing import Literal

from bandcheck.report.change_sides import (
    clean_phase_phrase,
    outcome_phrase,
    refresh_phrase,
    refreshes_phrase,
)
from bandcheck.report.change_wording import change_sentence
from bandcheck.report.rounding import (
    angle_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    stops_text,
    visibility_text,
)
from bandcheck.report.wording import CAUTIONS, level_label
from bandcheck.verdict.change import CameraBehaviour, ChangeOnTheDay
from bandcheck.verdict.settings import SafeRange, Settings
from bandcheck.verdict.trial import Trial
from bandcheck.vision.level import Level

__all__ = [
    "CLOSING", "Line", "answer_sentences", "camera_lines", "card_sentence", "near_heading",
    "near_lines", "range_cells", "wall_lines",
]

CLOSING = (
    "Timing alone: the rate leaves moire as it was. Clean phase: start of a wall frame to the first"
    f" row's opening. {CAUTIONS[0]}"
)
"""What every answer has to say of itself."""

_RULES = {
    "keep_refresh": "Keeps its refresh",
    "keep_refreshes_per_frame": "Keeps its refreshes per frame",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an answer.

    Attributes
    ----------
    text
        Plain text of any length.
    place
        Whether it stands for itself, belongs under the line before it, or is one of a list.
    """

    text: str
    place: Literal["said", "under", "listed"] = "said"


def answer_sentences(change: ChangeOnTheDay) -> list[str]:
    """What has to be said beside the verdict: why it cannot be, and the one thing to dial."""
    told = []
    if change.new.side is None:
        told.append(f"Cannot be run. {change.new.refused}.")
    if not change.on_dial:
        told.append("The camera's dial does not have this shutter.")
    if change.near is not None and change.level is not Level.SAFE:
        told.append(_advice(change.near))
    return told


def _advice(near: Settings) -> str:
    """The one thing to dial instead."""
    dialled = next((each for each in near.ranges if each.dial_deg is not None), None)
    if dialled is not None and dialled.dial_deg is not None:
        time = exposure_text(dialled.dial_deg / 360 / float(near.shot.fps))
        return f"Dial {angle_text(dialled.dial_deg)} ({time}) instead: safe."
    if near.ranges:
        best = near.ranges[0]
        return f"Set {angle_text(best.best_deg)} instead: safe (not on a dial in steps)."
    return "No shutter setting is safe at this rate."


def _behaviour(change: ChangeOnTheDay, behaviour: CameraBehaviour) -> list[Line]:
    shot = change.old.shot
    angle, time = angle_text(behaviour.angle_deg), exposure_text(behaviour.exposure_s)
    if behaviour.kept == "angle":
        made = f"{angle} stays, {exposure_text(shot.exposure_s)} becomes {time}"
    elif behaviour.clamped:
        made = f"{exposure_text(shot.exposure_s)} does not fit the frame: cut to {time}, {angle}"
    else:
        made = f"{time} stays, {angle_text(shot.angle_deg)} becomes {angle}"
    does = " (this camera does)" if change.camera_does == behaviour.kept else ""
    stops = stops_text(behaviour.stops)
    lines = [Line(f"If it keeps the {behaviour.kept}{does}: {made}; {stops}.")]
    if change.camera_can:
        lines.append(Line(outcome_phrase(behaviour.trial), "under"))
    return lines


def camera_lines(change: ChangeOnTheDay) -> list[Line]:
    """What the camera makes of its shutter unasked, and whether it runs the rate.

    Parameters
    ----------
    change
        From `change_on_the_day`.

    Returns
    -------
    list of Line
        At least one.
    """
    camera, rate = change.old.shot.camera, rate_words(change.fps)
    lines = [line for each in change.behaviours for line in _behaviour(change, each)]
    if change.behaviours and change.camera_does is None:
        lines.append(Line(
            "Which of the two this camera does is not known: look at its display."
        ))
    if change.camera_can:
        top = "" if camera.max_fps is None else f" (its highest: {rate_words(camera.max_fps)})"
        return [*lines, Line(f"{camera.name} runs {rate} frames/s{top}.")]
    lines.append(Line(f"{camera.name} does not run {rate} frames/s."))
    lines += [
        Line(f"{mode.name} does: {outcome_phrase(mode)}. It reads another part of the sensor"
             " or reads it in another way: check moire and framing again.")
        for mode in change.other_modes
    ]
    if not change.other_modes:
        lines.append(Line("No other mode of this body that does is known."))
    return lines


def _rule(change: ChangeOnTheDay, trial: Trial) -> Line:
    stated = " (this wall does)" if change.wall_rule == trial.name else ""
    side = trial.side
    told = "" if side is None else f"{refreshes_phrase(side)} a frame, {refresh_phrase(side)}; "
    return Line(f"{_RULES[trial.name]}{stated}: {told}{outcome_phrase(trial)}")


def wall_lines(
    change: ChangeOnTheDay, *, bands: str = "bandcheck check --wall-fps {rate}"
) -> list[Line]:
    """Whether the wall has to follow, and how it then pulses.

    Parameters
    ----------
    change
        From `change_on_the_day`.
    bands
        What answers for the bands of a wall that stays at its rate, where "{rate}" stands.

    Returns
    -------
    list of Line
        At least one.
    """
    old, rate = change.old.shot, rate_words(change.fps)
    before = rate_words(old.wall_fps)
    if change.fps == old.fps:
        return [Line(f"Stays at {before} frames/s.")]
    if not change.wall_follows:
        why = "runs free" if old.genlock == "free" else "has a rate of its own"
        return [Line(f"It {why}: stays at {before} frames/s.")]
    stays = change.wall_stays
    if stays is None:
        return [Line(
            f"It runs locked at the camera's rate and has to go to {rate} frames/s."
        )]
    lines = [Line(
        f"Has to go to {rate} frames/s too: at {before} it cannot be locked."
        if stays.tearing is None else
        f"Goes to {rate} frames/s too, as reckoned here. If it stays at {before}: clean phase"
        f" {clean_phase_phrase(stays.tearing)}; for its bands: {bands.format(rate=before)}."
    )]
    lines += [_rule(change, trial) for trial in change.wall_rules]
    if change.wall_rules and change.wall_rule is None:
        lines.append(Line(
            "Which rule it follows is not known: both were graded, the worse kept."
        ))
    if not change.wall_rules and change.new.side is not None:
        side = change.new.side
        lines.append(Line(f"{refreshes_phrase(side)} refreshes a frame: {refresh_phrase(side)}."))
    return lines


def near_heading(change: ChangeOnTheDay, near: Settings) -> str:
    """Near which shutter safe settings were looked for."""
    same = ", the same look" if near.shot.angle_deg == change.old.shot.angle_deg else ""
    return f"Safe near {angle_text(near.shot.angle_deg)}{same}, the nearest first"


def range_cells(each: SafeRange) -> tuple[str, str, str, str]:
    """A safe range: its ends, V, exposure against the wanted one, and what to dial."""
    ends = inward_range(each.from_deg, each.to_deg)
    width = f"{ends[0]} to {ends[1]}°" if ends else f"{number_text(each.best_deg, decimals=3)}°"
    dial = "not on the dial" if each.dial_deg is None else f"dial {angle_text(each.dial_deg)}"
    value = visibility_text(each.visibility_max, limits=())
    return width, f"V {value}", stops_text(each.stops_from_wanted), dial


def near_lines(near: Settings) -> list[Line]:
    """Where no setting is safe: what stands in the way and what the wall could do."""
    if near.ranges:
        return []
    blocked = ", ".join(near.blocked_by) or "nothing in particular"
    lines = [Line(f"None. What leaves no room: {blocked}.")]
    if near.quietest is not None:
        quiet = near.quietest
        lines.append(Line(
            f"Quietest: {angle_text(quiet.angle_deg)} ({exposure_text(quiet.exposure_s)}),"
            f" {level_label(quiet.level)}, V {visibility_text(quiet.visibility, limits=())}."
        ))
    return [*lines, *(Line(change_sentence(each), "listed") for each in near.wall_side)]


def card_sentence(change: ChangeOnTheDay, *, of_card: bool = False) -> str:
    """Whether what was agreed for the old setting still holds.

    Parameters
    ----------
    change
        From `change_on_the_day`.
    of_card
        Whether the old setting was read from a card.

    Returns
    -------
    str
        One sentence or three.
    """
    old = change.old.shot
    what = "card's line" if of_card else "old card's line, if there is one,"
    line = f"The {what} for {rate_words(old.fps)} frames/s and {angle_text(old.angle_deg)}"
    if change.card_holds:
        return f"{line} still holds: nothing has changed."
    return (
        f"{line} no longer holds. Another line of the same card does only if it names this rate and"
        " shutter; else make a new card."
    )
