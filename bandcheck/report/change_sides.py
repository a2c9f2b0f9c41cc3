"""The settings of a change on the day in phrases: old against new, and what each leads to."""

from bandcheck.hazards.tearing import Tearing
from bandcheck.report.rounding import (
    angle_text,
    at_most_text,
    exposure_text,
    number_text,
    rate_words,
    stops_text,
    visibility_text,
)
from bandcheck.report.wording import level_label
from bandcheck.verdict.change import ChangeOnTheDay
from bandcheck.verdict.trial import Side, Trial
from bandcheck.vision.level import Level

__all__ = [
    "clean_phase_phrase", "outcome_phrase", "refresh_phrase", "refreshes_phrase", "setting_phrase",
    "side_figure", "side_rows",
]

_ROWS = (
    "Camera's rate", "Angle", "Time", "Wall's rate", "  refreshes a frame", "  refresh",
    "Verdict", "V", "Clean phase",
)


def setting_phrase(change: ChangeOnTheDay) -> str:
    """The new setting: rate, angle and time."""
    angle = angle_text(360 * change.exposure_s * change.fps)
    return f"{rate_words(change.fps)} frames/s, {angle} ({exposure_text(change.exposure_s)})"


def side_figure(side: Side) -> str:
    """V of a setting, and whether it is a tear that decides."""
    viewing = side.shot.viewing
    value = visibility_text(side.visibility, limits=(viewing.safe_below, viewing.visible_from))
    torn = side.tearing.finding.level
    return f"V {value}{'; tears' if torn is side.level is not Level.SAFE else ''}"


def outcome_phrase(trial: Trial) -> str:
    """Verdict on a setting that was tried, or why it cannot be."""
    if trial.side is None:
        return f"cannot be: {trial.refused}"
    return f"{level_label(trial.side.level)}, {side_figure(trial.side)}"


def refresh_phrase(side: Side) -> str:
    """Refresh of the wall, in each way in which it may pulse."""
    rates = dict.fromkeys(
        number_text(case.timing.refreshes / case.timing.cycle_s, decimals=0) for case in side.wall
    )
    return f"{' or '.join(rates)} Hz"


def refreshes_phrase(side: Side) -> str:
    """Refreshes in a frame of the wall, in each way in which it may pulse."""
    return " or ".join(dict.fromkeys(str(case.timing.refreshes) for case in side.wall))


def clean_phase_phrase(found: Tearing) -> str:
    """Phases at which nothing tears, each end rounded into the range."""
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
        refreshes_phrase(side), refresh_phrase(side), level_label(side.level),
        visibility_text(side.visibility, limits=(viewing.safe_below, viewing.visible_from)),
        clean_phase_phrase(side.tearing),
    ]


def side_rows(change: ChangeOnTheDay) -> tuple[tuple[str, str, str], ...]:
    """Old against new.

    Parameters
    ----------
    change
        From `change_on_the_day`.

    Returns
    -------
    tuple of (str, str, str)
        What, before, now. A name that begins with spaces belongs under the one above it.
    """
    old = _column(change.old)
    if change.new.side is not None:
        new = _column(change.new.side)
    else:
        new = [
            f"{rate_words(change.fps)} frames/s",
            angle_text(360 * change.exposure_s * change.fps), exposure_text(change.exposure_s),
            *["-"] * (len(old) - 3),
        ]
    return (*zip(_ROWS, old, new, strict=True), ("Exposure", "", stops_text(change.stops)))
