"""A change on the day as text of 80 columns, for somebody on set in the dark: the answer first."""

import textwrap
from collections.abc import Iterable, Sequence

from bandcheck.hazards.tearing import Tearing
from bandcheck.report.card_figures_text import (
    angle_text,
    at_most_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    stops_text,
    visibility_text,
)
from bandcheck.report.change_wording import change_sentence
from bandcheck.report.wording import CAUTIONS, level_label
from bandcheck.verdict.change import CameraBehaviour, ChangeOnTheDay
from bandcheck.verdict.settings import SafeRange, Settings
from bandcheck.verdict.trial import Side, Trial
from bandcheck.vision.level import Level

__all__ = ["change_text"]

_WIDTH = 80

_RULES = {
    "keep_refresh": "Keeps its refresh",
    "keep_refreshes_per_frame": "Keeps its refreshes per frame",
}


def _wrapped(text: str, first: str = "  ", indent: str = "    ") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=indent)


def _section(heading: str, lines: Iterable[str]) -> list[str]:
    told = list(lines)
    return ["", heading, *told] if told else []


def _verdict(side: Side) -> str:
    """Level, V and whether a tear decides."""
    viewing = side.shot.viewing
    value = visibility_text(side.visibility, limits=(viewing.safe_below, viewing.visible_from))
    torn = side.tearing.finding.level
    tear = "; tears" if torn is side.level is not Level.SAFE else ""
    return f"{level_label(side.level)}, V {value}{tear}"


def _outcome(trial: Trial) -> str:
    return f"cannot be: {trial.refused}" if trial.side is None else _verdict(trial.side)


def _refresh(side: Side) -> str:
    rates = dict.fromkeys(
        number_text(case.timing.refreshes / case.timing.cycle_s, decimals=0) for case in side.wall
    )
    return f"{' or '.join(rates)} Hz"


def _refreshes(side: Side) -> str:
    return " or ".join(dict.fromkeys(str(case.timing.refreshes) for case in side.wall))


def _clean_phase(found: Tearing) -> str:
    if found.finding.reason == "still_content":
        return "any"
    if found.finding.level is Level.UNKNOWN:
        return "not known"
    if found.phase_from_s is None or found.phase_to_s is None:
        return "none: it tears"
    from_ms = number_text(found.phase_from_s * 1e3, decimals=2, rounding="ROUND_CEILING")
    return f"{from_ms} to {at_most_text(found.phase_to_s * 1e3, decimals=2)} ms"


def _column(side: Side) -> list[str]:
    shot, viewing = side.shot, side.shot.viewing
    return [
        f"{rate_words(shot.fps)} frames/s", angle_text(shot.angle_deg),
        exposure_text(shot.exposure_s), f"{rate_words(shot.wall_fps)} frames/s",
        _refreshes(side), _refresh(side), level_label(side.level),
        visibility_text(side.visibility, limits=(viewing.safe_below, viewing.visible_from)),
        _clean_phase(side.tearing),
    ]


_ROWS = (
    "Camera's rate", "Angle", "Time", "Wall's rate", "  refreshes a frame", "  refresh",
    "Verdict", "V", "Clean phase",
)


def _side_by_side(change: ChangeOnTheDay) -> list[str]:
    old = _column(change.old)
    if change.new.side is not None:
        new = _column(change.new.side)
    else:
        new = [
            f"{rate_words(change.fps)} frames/s",
            angle_text(360 * change.exposure_s * change.fps), exposure_text(change.exposure_s),
            *["-"] * (len(old) - 3),
        ]
    lines = [f"{'':<22}{'before':<24}now"]
    lines += [
        f"{name:<22}{before:<24}{after}"
        for name, before, after in zip(_ROWS, old, new, strict=True)
    ]
    return [*lines, f"{'Exposure':<22}{'':<24}{stops_text(change.stops)}"]


def _answer(change: ChangeOnTheDay) -> list[str]:
    angle = angle_text(360 * change.exposure_s * change.fps)
    setting = f"{rate_words(change.fps)} frames/s, {angle} ({exposure_text(change.exposure_s)})"
    lines = _wrapped(f"{setting}:  {level_label(change.level)}", "", "  ")
    if change.new.side is None:
        lines += _wrapped(f"Cannot be run. {change.new.refused}.")
    if not change.on_dial:
        lines += _wrapped("The camera's dial does not have this shutter.")
    if change.near is not None and change.level is not Level.SAFE:
        lines += _wrapped(_advice(change.near))
    return lines


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


def _behaviour(change: ChangeOnTheDay, behaviour: CameraBehaviour) -> list[str]:
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
    lines = _wrapped(f"If it keeps the {behaviour.kept}{does}: {made}; {stops}.")
    if change.camera_can:
        lines += _wrapped(_outcome(behaviour.trial), "      ", "      ")
    return lines


def _camera(change: ChangeOnTheDay) -> list[str]:
    camera, rate = change.old.shot.camera, rate_words(change.fps)
    lines = [line for each in change.behaviours for line in _behaviour(change, each)]
    if change.behaviours and change.camera_does is None:
        lines += _wrapped("Which of the two this camera does is not known: look at its display.")
    if change.camera_can:
        top = "" if camera.max_fps is None else f" (its highest: {rate_words(camera.max_fps)})"
        return [*lines, *_wrapped(f"{camera.name} runs {rate} frames/s{top}.")]
    lines += _wrapped(f"{camera.name} does not run {rate} frames/s.")
    for mode in change.other_modes:
        lines += _wrapped(f"{mode.name} does: {_outcome(mode)}. It reads another part of the sensor"
                          " or reads it in another way: check moire and framing again.")
    if not change.other_modes:
        lines += _wrapped("No other mode of this body that does is known.")
    return lines


def _rule(change: ChangeOnTheDay, trial: Trial) -> list[str]:
    stated = " (this wall does)" if change.wall_rule == trial.name else ""
    side = trial.side
    told = "" if side is None else f"{_refreshes(side)} a frame, {_refresh(side)}; "
    return _wrapped(f"{_RULES[trial.name]}{stated}: {told}{_outcome(trial)}")


def _wall(change: ChangeOnTheDay) -> list[str]:
    old, rate = change.old.shot, rate_words(change.fps)
    before = rate_words(old.wall_fps)
    if change.fps == old.fps:
        return _wrapped(f"Stays at {before} frames/s.")
    if not change.wall_follows:
        why = "runs free" if old.genlock == "free" else "has a rate of its own"
        return _wrapped(f"It {why}: stays at {before} frames/s.")
    stays = change.wall_stays
    if stays is None:
        return _wrapped(f"It runs locked at the camera's rate and has to go to {rate} frames/s.")
    if stays.tearing is None:
        lines = _wrapped(f"Has to go to {rate} frames/s too: at {before} it cannot be locked.")
    else:
        lines = _wrapped(
            f"Goes to {rate} frames/s too, as reckoned here. If it stays at {before}: clean phase"
            f" {_clean_phase(stays.tearing)}; for its bands: bandcheck check --wall-fps {before}."
        )
    for trial in change.wall_rules:
        lines += _rule(change, trial)
    if change.wall_rules and change.wall_rule is None:
        lines += _wrapped("Which rule it follows is not known: both were graded, the worse kept.")
    if not change.wall_rules and change.new.side is not None:
        side = change.new.side
        lines += _wrapped(f"{_refreshes(side)} refreshes a frame: {_refresh(side)}.")
    return lines


def _range(each: SafeRange) -> str:
    ends = inward_range(each.from_deg, each.to_deg)
    width = f"{ends[0]} to {ends[1]}°" if ends else f"{number_text(each.best_deg, decimals=3)}°"
    dial = "not on the dial" if each.dial_deg is None else f"dial {angle_text(each.dial_deg)}"
    value = visibility_text(each.visibility_max, limits=())
    return f"  {width:<24}V {value:<7}{stops_text(each.stops_from_wanted):<22}{dial}"


def _near(near: Settings) -> list[str]:
    """Safe settings, or where there are none what stands in the way and what the wall could do."""
    if near.ranges:
        return [_range(each) for each in near.ranges[:3]]
    blocked: Sequence[str] = near.blocked_by
    lines = _wrapped(f"None. What leaves no room: {', '.join(blocked) or 'nothing in particular'}.")
    if near.quietest is not None:
        quiet = near.quietest
        lines += _wrapped(
            f"Quietest: {angle_text(quiet.angle_deg)} ({exposure_text(quiet.exposure_s)}),"
            f" {level_label(quiet.level)}, V {visibility_text(quiet.visibility, limits=())}."
        )
    for each in near.wall_side:
        lines += _wrapped(change_sentence(each), "  - ", "    ")
    return lines


def _card(change: ChangeOnTheDay, of_card: bool) -> str:
    old = change.old.shot
    what = "card's line" if of_card else "old card's line, if there is one,"
    line = f"The {what} for {rate_words(old.fps)} frames/s and {angle_text(old.angle_deg)}"
    if change.card_holds:
        return f"{line} still holds: nothing has changed."
    return (
        f"{line} no longer holds. Another line of the same card does only if it names this rate and"
        " shutter; else make a new card."
    )


def change_text(change: ChangeOnTheDay, *, of_card: bool = False) -> str:
    """A change for people: the new setting's verdict first, then all that follows from it.

    Parameters
    ----------
    change
        From `change_on_the_day`.
    of_card
        Whether the old setting was read from a card.

    Returns
    -------
    str
        Lines of at most 80 columns, readable without colour.
    """
    shot = change.old.shot
    lines = [
        *_answer(change), *_wrapped(f"{shot.wall.name}  x  {shot.camera.name}", "", "  "), "",
        *_side_by_side(change), *_section("Camera", _camera(change)),
        *_section("Wall", _wall(change)),
    ]
    if change.near is not None:
        wanted = angle_text(change.near.shot.angle_deg)
        same = ", the same look" if change.near.shot.angle_deg == shot.angle_deg else ""
        lines += _section(f"Safe near {wanted}{same}, the nearest first", _near(change.near))
    lines += _section("Card", _wrapped(_card(change, of_card), "  ", "  "))
    lines += ["", *_wrapped(
        "Timing alone: the rate leaves moire as it was. Clean phase: start of a wall frame to the"
        f" first row's opening. {CAUTIONS[0]}", "", "  ",
    )]
    return "\n".join(lines)
