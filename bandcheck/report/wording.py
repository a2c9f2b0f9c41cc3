"""Sentences for findings: one for every reason code, with its numbers rounded."""

from collections.abc import Callable, Mapping

from bandcheck.report.rounding import (
    angle_text,
    inward_range,
    number_text,
    visibility_text,
)
from bandcheck.verdict.assess import Assessment, Fixed
from bandcheck.vision.level import Finding, Level

__all__ = [
    "CAUTIONS", "HAZARD_NAMES", "LEVEL_MARKS", "finding_figure", "finding_sentence", "level_label",
    "lowest_level_sentence", "phase_range_ms", "visibility_phrase",
]

LEVEL_MARKS: Mapping[Level, str] = {
    Level.SAFE: "( = )", Level.MARGINAL: "( ~ )", Level.VISIBLE: "( # )", Level.UNKNOWN: "( ? )",
}
"""Marks that read without colour: even lines, a wave, stripes, a question."""

HAZARD_NAMES: Mapping[str, str] = {
    "banding": "Timing bands", "tearing": "Tear", "flicker": "Frame flicker", "lamp": "Lamp",
    "moire": "Moire", "grid": "LED grid", "comfort": "In the room",
}

CAUTIONS = (
    "Prediction for picture artefacts only, test on the real combination, not a safety assessment.",
    "Flashing light can harm people with photosensitive epilepsy; rigging and electrical work have"
    " their own dangers: local codes and licensed practice decide.",
)


def level_label(level: Level) -> str:
    """Mark and word of a level."""
    return f"{LEVEL_MARKS[level]} {level.value.upper()}"


def visibility_phrase(visibility: float | None, *, safe_below: float, visible_from: float) -> str:
    """Visibility against its limits, in words."""
    if visibility is None:
        return "visibility not known"
    value = visibility_text(visibility, limits=(safe_below, visible_from))
    limits = f"safe below {number_text(safe_below, decimals=2)}"
    return f"V {value} ({limits}, visible from {number_text(visible_from, decimals=2)})"


def _ms(time_s: float | None) -> str:
    return "not known" if time_s is None else f"{number_text(time_s * 1e3, decimals=3)} ms"


def phase_range_ms(from_s: float | None, to_s: float | None) -> tuple[str, str]:
    """Ends of a range of phases [ms], each rounded into it."""
    if from_s is None or to_s is None:
        return "not known", "not known"
    inside = inward_range(from_s * 1e3, to_s * 1e3)
    return inside or (f"{from_s * 1e3:.6f}", f"{to_s * 1e3:.6f}")


def _bands(assessment: Assessment) -> str:
    banding = assessment.banding
    parts = []
    if banding.bands_per_frame is not None:
        parts.append(f"about {number_text(banding.bands_per_frame, decimals=1)} bands in the frame")
    if banding.roll_hz:
        parts.append(f"{number_text(banding.roll_hz, decimals=2)} a second pass by")
    return f" ({', '.join(parts)})" if parts else ""


def _pulses(assessment: Assessment) -> str:
    refresh_hz = assessment.banding.case.timing.refresh_hz
    caught = number_text(refresh_hz * assessment.exposure_used_s, decimals=2)
    return f"The exposure holds {caught} refreshes"


_BANDING: Mapping[str, str] = {
    "even_light": "Every row catches the same light, as far as a viewer can tell.",
    "bands_stand": "{pulses}, so rows catch unequal light: bands stand in the picture{bands}.",
    "bands_roll": "{pulses} at rates that are not locked: bands roll through it{bands}.",
    "lines_on_the_wall": "{pulses}: all rows open at once, so the wall's own scan lines come out"
    " unequal; they stand on the wall.",
    "null_missed": "With the wall at {null_fps} frames/s the exposure would hold {whole} whole"
    " refreshes; the wall runs free at {wall_fps} and it holds {held}: the null is missed by"
    " {missed_by} of a refresh{null_angle}. Bands roll{bands}.",
    "null_drifts_away": "At the exact rates the exposure would hold whole refreshes, but the rates"
    " are not locked and the null drifts away.",
    "exposure_scheme_not_described": "The camera's way of exposing cannot be computed.",
    "not_known": "A figure that decides is not known.",
}

_OTHERS: Mapping[str, str] = {
    "frames_alike": "Every frame gets the same light.",
    "frames_differ": "The light changes from frame to frame.",
    "lamp_steady_in_picture": "The exposure evens out the ripple of {lamp}.",
    "lamp_bands": "The exposure does not hold whole ripples of {lamp}: it draws bands.",
    "still_content": "The picture on the wall stands still: nothing can tear.",
    "phase_needed": "Clean on the condition that the camera opens {from_ms} to {to_ms} after the"
    " start of a wall frame; best {best_ms}.",
    "phase_clean": "The phase is clean: no row sees the picture change.",
    "phase_at_edge": "The phase lies at the very edge of the clean range ({from_ms} to {to_ms}).",
    "phase_outside": "Rows {rows} hold two pictures at this phase; clean: {from_ms} to {to_ms}.",
    "no_clean_phase": "Exposure and readout together are longer than the picture stays: no phase is"
    " clean. Largest angle that has one: {largest}.",
    "runs_free": "Wall and camera are not locked: a tear passes through the frame{roll}.",
    "exposure_scheme": "The camera's way of exposing cannot be computed.",
    "below_threshold": "Below what a viewer can see.",
    "luma_fringes": "LEDs and photosites beat: bright and dark fringes{fringes}.",
    "colour_fringes": "LEDs and the colour mosaic beat: coloured fringes{fringes}.",
    "grid_resolved": "The sensor resolves the single LEDs: the wall's grid shows.",
    "light_steady_enough": "The wall is steady enough for people beside it.",
    "light_at_low_risk": "The wall flickers a little at {hz}: low risk by IEEE 1789 practice.",
    "light_flickers": "The wall flickers at {hz}, more than IEEE 1789 practice calls low risk.",
    "seizure_caution": "The wall flashes at {flashes_hz}: a caution for people with photosensitive"
    " epilepsy; local codes and licensed practice decide.",
    "light_not_known": "How the light flickers for people beside it is not known.",
    "not_known": "A figure that decides is not known{find_out}.",
}


def _tear_figures(assessment: Assessment) -> dict[str, str]:
    found = assessment.tearing
    rows = ", ".join(f"{first} to {last}" for first, last in found.mixed_rows or ())
    largest = found.largest_clean_angle_deg
    roll = found.finding.value if found.finding.reason == "runs_free" else None
    low, high = phase_range_ms(found.phase_from_s, found.phase_to_s)
    return {
        "from_ms": low, "to_ms": f"{high} ms",
        "best_ms": _ms(found.phase_best_s), "rows": rows or "none",
        "largest": "none" if not largest else angle_text(largest - 0.005),
        "roll": f", once in {number_text(roll, decimals=1)} s" if roll else "",
    }


def _moire_figures(assessment: Assessment) -> dict[str, str]:
    moire = assessment.moire
    if moire is None:
        return {"fringes": "", "find_out": ""}
    find_out = f": find out {', '.join(moire.to_find_out)}" if moire.to_find_out else ""
    folded = moire.lines[~moire.lines.grid]
    fringes = ""
    if folded.m.size:
        width, height = abs(folded.fringes_per_width[0]), abs(folded.fringes_per_height[0])
        fringes = (
            f", about {number_text(float(width), decimals=0)} across the picture and"
            f" {number_text(float(height), decimals=0)} down"
        )
    return {"fringes": fringes, "find_out": find_out}


def _null_figures(figures: Mapping[str, float]) -> dict[str, str]:
    """Words for a null that is missed, where one is."""
    if "null_fps" not in figures:
        return {}
    whole, held, angle = (figures[key] for key in ("null_refreshes", "refreshes", "null_angle_deg"))
    return {
        "null_fps": number_text(figures["null_fps"], decimals=3),
        "wall_fps": number_text(figures["wall_fps"], decimals=3),
        "whole": number_text(whole, decimals=0), "held": number_text(held, decimals=3),
        "missed_by": number_text(abs(held - whole), decimals=3),
        "null_angle": f" and lies at {angle_text(angle)}" if angle <= 360 else "",
    }


def _hertz(figures: Mapping[str, float], key: str) -> str:
    return f"{number_text(figures[key], decimals=1)} Hz" if key in figures else "a low rate"


def finding_sentence(assessment: Assessment, fixed: Fixed) -> str:
    """What a finding says, in one sentence or two.

    Parameters
    ----------
    assessment
        The verdict that the finding belongs to.
    fixed
        The finding.

    Returns
    -------
    str
        Plain text, numbers rounded.
    """
    finding = fixed.finding
    if finding.hazard == "banding":
        return _BANDING[finding.reason].format(
            pulses=_pulses(assessment), bands=_bands(assessment), **_null_figures(finding.figures)
        )
    figures: dict[str, str] = {
        **_tear_figures(assessment), **_moire_figures(assessment), "lamp": fixed.lamp or "",
        "hz": _hertz(finding.figures, "frequency_hz"),
        "flashes_hz": _hertz(finding.figures, "flashes_hz"),
    }
    return _OTHERS[finding.reason].format(**figures)


_FIGURE: Mapping[str, Callable[[Finding], str]] = {
    "s": lambda finding: f"{_ms(finding.value)} needed, {_ms(finding.limit)} there",
    "ratio": lambda finding: (
        f"{number_text(100 * (finding.value or 0), decimals=2)} % modulation,"
        f" limit {number_text(100 * (finding.limit or 0), decimals=2)} %"
    ),
}


def finding_figure(finding: Finding, *, safe_below: float, visible_from: float) -> str:
    """Number of a finding and the limit it was held against."""
    if finding.unit in _FIGURE and finding.value is not None and finding.limit is not None:
        return _FIGURE[finding.unit](finding)
    if finding.unit or finding.value is None:
        return ""
    return visibility_phrase(finding.value, safe_below=safe_below, visible_from=visible_from)


def lowest_level_sentence(assessment: Assessment) -> str:
    """From which gray level up the timing is safe, or which level is the quietest."""
    lowest = assessment.banding.lowest_safe_level
    if lowest is not None:
        return f"Timing bands: safe from {number_text(100 * lowest, decimals=0)} % signal up."
    quiet = min(assessment.banding.levels, key=lambda level: level.visibility)
    value = visibility_text(quiet.visibility, limits=())
    signal = number_text(100 * quiet.signal, decimals=1)
    return f"Timing bands: not safe at white. Quietest of the levels: {signal} % (V {value})."
