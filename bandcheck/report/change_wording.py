"""Sentences for what could be changed, what was assumed and what a verdict rests on."""

from collections.abc import Mapping, Sequence

from bandcheck.report.rounding import (
    angle_text,
    number_text,
    stops_text,
    visibility_text,
)
from bandcheck.report.wording import phase_range_ms
from bandcheck.verdict.assess import Assessment
from bandcheck.verdict.light_cases import Assumption
from bandcheck.verdict.remedies import Change

__all__ = [
    "assumption_sentence", "change_sentence", "condition_sentences", "levels_phrase",
    "needed_for_moire", "not_checked_sentence",
]

_USUAL_LIMITS = (1.0, 8.0)
"""Limits that no rounding may seem to reach: those that stand unless the user moves them."""

_WHAT: Mapping[str, str] = {
    "shutter_angle": "Set the shutter to {angle}",
    "refreshes_per_frame": "Wall: {value} refreshes a frame",
    "wall_fps": "Wall: run it at {value} frames/s",
    "refresh_lock": "Wall: lock the refresh to the frame",
    "genlock": "Genlock: {text}",
    "phase": "Genlock phase: open {value} ms after the wall frame starts",
    "lamp_off": "Do without {text}, or feed it so that it does not pulse",
    "focus_mm": "Focus on {metres} m",
    "f_number": "Stop: f/{short}",
    "distance_mm": "Wall at {metres} m from the sensor",
    "focal_mm": "Focal length {value} mm",
    "roll_deg": "Roll the camera to {value} deg",
    "delivery_filter": "Deliver with a {text} downscale",
}

_ASSUMED: Mapping[str, str] = {
    "transfer": "transfer BT.1886",
    "clock_mhz": "gray clock not known: the slots are taken to fill the frame",
    "line_switch_us": "no dark time at the line switch",
    "brightness_control": "brightness dims by PWM, which costs counts",
    "refresh_tolerance_pct": "free refresh known to {percent} %",
    "rate_tolerance_ppm": "clock right to {ppm} ppm",
    "on_rate_change": "at another rate it does this: {value} (both were graded, the worse kept)",
    "frame_end": "time left in a frame is {value} (both were graded, the worse kept)",
    "dealing": "odd counts are dealt {value}",
    "shutter_whole_lines": "shutter not rounded to whole lines",
    "readout_tolerance_ms": "readout exact as stated",
    "mains_tolerance_pct": "mains held to {percent} %",
    "modulation": "light modulated fully",
    "duty": "duty not known: several were graded, the worst kept",
}

_NEEDED: Mapping[str, str] = {
    "focal_mm": "--focal-mm", "distance_m": "--distance-m", "f_number": "--f-number",
    "pitch_mm": "the wall's pitch_mm", "sensor_width_mm": "the camera's sensor_width_mm",
    "columns_px": "the camera's columns_px",
}


def change_sentence(change: Change) -> str:
    """A change, what it leads to and what it costs.

    Parameters
    ----------
    change
        From `assess`, `safe_settings` and the like.

    Returns
    -------
    str
        One line of plain text.
    """
    number = change.value if isinstance(change.value, float) else 0.0
    what = _WHAT[change.change].format(
        angle=angle_text(number), value=number_text(number, decimals=3), text=change.value,
        metres=number_text(number / 1e3, decimals=2), short=number_text(number, decimals=1),
    )
    if change.change == "phase":
        return f"{what}: no row sees the picture change."
    leads_to = change.mended.value
    if change.level > change.mended:
        leads_to += f" (all in all {change.level.value})"
    told = [f"{leads_to}, V {visibility_text(change.mended_visibility, limits=_USUAL_LIMITS)}"]
    if change.stops is not None:
        told.append(stops_text(change.stops))
    figures = change.figures
    if change.change in ("refreshes_per_frame", "wall_fps", "refresh_lock"):
        told.append(
            f"refresh {number_text(figures['refresh_hz'], decimals=0)} Hz,"
            f" {number_text(figures['gray_bits'], decimals=1)} bit"
        )
    return f"{what}: {'; '.join(told)}."


def assumption_sentence(assumption: Assumption) -> str:
    """What was taken for a figure that nobody gave."""
    value = assumption.value if isinstance(assumption.value, float) else 0.0
    text = str(assumption.value).replace("_", " ")
    what = _ASSUMED[assumption.key].format(
        value=text, percent=number_text(100 * value, decimals=3),
        ppm=number_text(1e6 * value, decimals=0),
    )
    return f"{assumption.about}: {what}"


def condition_sentences(assessment: Assessment) -> tuple[str, ...]:
    """Conditions that a verdict counts on."""
    conditions = []
    if assessment.phase_condition_s is not None and assessment.shot.phase_s is None:
        low, high = phase_range_ms(*assessment.phase_condition_s)
        conditions.append(f"phase between {low} and {high} ms after a wall frame starts")
    if assessment.shot.genlock == "locked":
        conditions.append("wall and camera run from one reference")
    conditions.append(levels_phrase(assessment.shot.levels))
    return tuple(conditions)


def levels_phrase(levels: Sequence[float]) -> str:
    """Signal levels that a verdict is over."""
    told = ", ".join(number_text(100 * level, decimals=1) for level in levels)
    return f"content at {told} % signal"


def needed_for_moire(missing: Sequence[str]) -> str:
    """What has to be given so that moire can be computed."""
    return ", ".join(_NEEDED[name] for name in missing)


def not_checked_sentence(assessment: Assessment) -> str:
    """Which hazards were not looked at, and what they would need."""
    names = ["moire and grid"] if assessment.not_checked else []
    needed = needed_for_moire(assessment.moire_missing)
    told = [f"{name} (needs {needed})" for name in names]
    if not assessment.shot.lamps:
        told.append("lamps (none given)")
    return "; ".join(told)
