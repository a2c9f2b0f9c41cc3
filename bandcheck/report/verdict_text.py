"""A verdict and safe settings as text of 80 columns."""

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bandcheck.report.change_wording import (
    assumption_sentence,
    change_sentence,
    condition_sentences,
    not_checked_sentence,
)
from bandcheck.report.rounding import (
    angle_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    stops_text,
    visibility_text,
)
from bandcheck.report.wording import (
    CAUTIONS,
    HAZARD_NAMES,
    finding_figure,
    finding_sentence,
    level_label,
    lowest_level_sentence,
)
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.assess import Assessment, Fixed

if TYPE_CHECKING:
    from bandcheck.verdict.settings import DialSetting, SafeRange, Settings

__all__ = ["WIDTH", "setting_lines", "settings_text", "verdict_text", "wrapped"]

WIDTH = 80


def wrapped(text: str, indent: str = "  ", first: str | None = None) -> list[str]:
    """Text in lines of 80 columns, the first with an indent of its own."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent
    )


def _listed(heading: str, lines: Iterable[str]) -> list[str]:
    items = list(lines)
    if not items:
        return []
    return ["", heading, *(line for item in items for line in wrapped(item, "    ", "  - "))]


def setting_lines(shot: Shot) -> list[str]:
    """Who meets whom, and at which rates and shutter."""
    shutter = f"{angle_text(shot.angle_deg)} ({exposure_text(shot.exposure_s)})"
    rates = f"{rate_words(shot.fps)} frames/s, wall {rate_words(shot.wall_fps)}, {shot.genlock}"
    return [
        *wrapped(f"{shot.wall.name}  x  {shot.camera.name}", "  ", ""),
        *wrapped(f"{rates}; shutter {shutter}", "  ", ""),
    ]


def _finding(assessment: Assessment, fixed: Fixed) -> list[str]:
    finding, viewing = fixed.finding, assessment.shot.viewing
    name = HAZARD_NAMES[finding.hazard]
    figure = finding_figure(
        finding, safe_below=viewing.safe_below, visible_from=viewing.visible_from
    )
    lines = ["", f"{level_label(finding.level):<15}  {name:<14} {figure}".rstrip()]
    lines += wrapped(finding_sentence(assessment, fixed))
    for fix in fixed.fixes:
        lines += wrapped(change_sentence(fix), "      ", "    > ")
    return lines


def _levels(assessment: Assessment) -> list[str]:
    limits = (assessment.shot.viewing.safe_below, assessment.shot.viewing.visible_from)
    lines = ["", "Gray levels   counts  ripple, worst   V      stops   refresh that lights"]
    for level in assessment.banding.levels:
        stops = "-" if level.stops is None else number_text(level.stops, decimals=3)
        lines.append(
            f"  {number_text(100 * level.signal, decimals=1) + ' %':<9}{level.counts:>9}"
            f"{number_text(100 * level.ripple, decimals=2) + ' %':>12}"
            f"{visibility_text(level.visibility, limits=limits):>9}{stops:>9}"
            f"{number_text(level.effective_refresh_hz, decimals=0) + ' Hz':>13}"
            f"{'' if level.decides else '   (shown)'}"
        )
    lines.append("  (shown): not among the levels that the verdict is over")
    return [*lines, *wrapped(lowest_level_sentence(assessment))]


def _moire(assessment: Assessment) -> list[str]:
    moire = assessment.moire
    if moire is None:
        return []
    focus = " or ".join(
        f"{number_text(low / 1e3, decimals=2)} to "
        f"{'infinity' if high >= 1e6 else number_text(high / 1e3, decimals=2) + ' m'}"
        for low, high in moire.safe_focus_mm
    )
    rule = number_text(moire.rule_mm / 1e3, decimals=1)
    return ["", *wrapped(
        f"Focus that shows neither moire nor grid: {focus or 'none'}. Rule of thumb for the nearest"
        f" wall: {rule} m (as many metres as the pitch has millimetres), better two to three times"
        " that; it knows neither lens nor sensor.", "  ", "",
    )]


def verdict_text(assessment: Assessment) -> str:
    """A verdict for people: the answer first, then why and what to change.

    Parameters
    ----------
    assessment
        The verdict.

    Returns
    -------
    str
        Lines of at most 80 columns, readable without colour.
    """
    lines = [level_label(assessment.overall), *setting_lines(assessment.shot)]
    used, asked = assessment.exposure_used_s, float(assessment.shot.exposure_s)
    if abs(used - asked) > 1e-9:
        lines += wrapped(f"The camera makes {number_text(used * 1e3, decimals=4)} ms of it.")
    for fixed in assessment.findings:
        lines += _finding(assessment, fixed)
    lines += _levels(assessment) + _moire(assessment)
    lines += _listed("On condition of", condition_sentences(assessment))
    not_checked = not_checked_sentence(assessment)
    lines += _listed("Not checked", not_checked.split("; ") if not_checked else ())
    lines += _listed("Hangs most on", [", ".join(assessment.sensitive_to)]
                     if assessment.sensitive_to else [])
    lines += _listed("Assumed, as nobody said", map(assumption_sentence, assessment.assumptions))
    lines += ["", *(line for caution in CAUTIONS for line in wrapped(caution, "  ", ""))]
    return "\n".join(lines)


def _range(each: "SafeRange") -> str:
    ends = inward_range(each.from_deg, each.to_deg)
    width = f"{ends[0]} to {ends[1]}" if ends else f"{number_text(each.best_deg, decimals=3)} alone"
    dial = "not on the dial" if each.dial_deg is None else f"dial {angle_text(each.dial_deg)}"
    lowest = "-" if each.lowest_safe_level is None else (
        f"{number_text(100 * each.lowest_safe_level, decimals=0)} % up"
    )
    return (
        f"  {angle_text(each.best_deg):<10}{width:<22}{lowest:<9}"
        f"{stops_text(each.stops_from_wanted):<22}{dial}"
    )


def _dial(settings: "DialSetting", limits: tuple[float, float]) -> str:
    return (
        f"  {angle_text(settings.angle_deg):<12}{exposure_text(settings.exposure_s):<14}"
        f"{level_label(settings.level):<18}V {visibility_text(settings.visibility, limits=limits)}"
    )


def settings_text(settings: "Settings") -> str:
    """Safe settings for people.

    Parameters
    ----------
    settings
        From `safe_settings`.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    shot = settings.shot
    limits = (shot.viewing.safe_below, shot.viewing.visible_from)
    lines = [f"Wanted: {level_label(settings.wanted.level)}", *setting_lines(shot), ""]
    if settings.ranges:
        lines += [
            "Safe shutter settings, the nearest first",
            "  best      from .. to            levels   against the wanted    on the camera",
            *(_range(each) for each in settings.ranges),
        ]
    else:
        who = ", ".join(settings.blocked_by) or "nothing in particular"
        lines += wrapped(f"No shutter setting is safe. What leaves no room: {who}.", "  ", "")
        if settings.quietest is not None:
            lines += ["  Quietest:", _dial(settings.quietest, limits)]
    if settings.dial:
        lines += ["", "On the camera's dial", *(_dial(each, limits) for each in settings.dial)]
    lines += _listed(
        "On the wall's side, with the wanted shutter", map(change_sentence, settings.wall_side)
    )
    lines += _listed("Lamps", map(change_sentence, settings.lamp_side))
    lines += ["", *wrapped(CAUTIONS[0], "  ", "")]
    return "\n".join(lines)
