"""Figures of a shot: bandcheck's own figures handed to the drawing functions."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import plotly.graph_objects as go

from bandcheck.report.rounding import angle_text, exposure_text, rate_words
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.card_shutters import dial_shows_times
from bandcheck.verdict.exposure_grades import shot_tearing
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.lowest_level import LOOKED_AT_PERCENT, lowest_safe_levels
from bandcheck.verdict.moire_map import MapKind, moire_map
from bandcheck.verdict.row_sampling import exposure_used_s
from bandcheck.verdict.timeline import timeline as times_of
from bandcheck.verdict.wall_cells import wall_cells
from dashboard.figures import focus_map, gray_ripple, phase_bar, shutter_map, timeline
from dashboard.figures.look import Theme

__all__ = ["Drawn", "gray_levels", "in_time", "map_of_focus", "map_of_shutters", "tear"]

Drawn = tuple[go.Figure, str]
"""A figure, and the sentence that says the same."""

_MAP_SIZE = 48
_MOST_DRAWN = 1500
_SLOTS_SHOWN = 6
_REFRESHES_SHOWN = 4


def picture_s(shot: Shot) -> float:
    """How long a picture stays on the wall [s]; of a still the wall's frame."""
    return float(1 / (min(shot.content_fps, shot.wall_fps) or shot.wall_fps))


def gray_levels(shot: Shot, theme: Theme) -> Drawn:
    """V and ripple against gray level, with the lowest level that is safe."""
    levels = sorted({*shot.levels, *(each / 100 for each in LOOKED_AT_PERCENT)}, reverse=True)
    used_s, cases = np.array([exposure_used_s(shot)]), light_cases(shot.wall, shot.wall_fps)
    cells = wall_cells(shot, levels=levels, exposure_s=used_s, cases=cases)
    lowest = float(lowest_safe_levels(shot, exposure_s=used_s, cases=cases)[0])
    shown: dict[str, Any] = {
        "signal_pct": 100 * np.array(levels), "visibility": cells.visibility[:, 0],
        "lowest_safe_pct": None if np.isnan(lowest) else 100 * lowest,
        "safe_below": shot.viewing.safe_below, "visible_from": shot.viewing.visible_from,
    }
    figure = gray_ripple.gray_ripple(
        **shown, ripple_pct=100 * cells.ripple[:, 0],
        decides=[each in shot.levels for each in levels], theme=theme,
    )
    decide = [place for place, each in enumerate(levels) if each in shot.levels]
    told = gray_ripple.described(**{
        **shown, "signal_pct": shown["signal_pct"][decide],
        "visibility": shown["visibility"][decide],
    })
    return figure, told


def in_time(shot: Shot, span: str, theme: Theme) -> Drawn:
    """Pulses, row windows and picture changes, from a camera's frame down to a few scan slots."""
    timing = light_cases(shot.wall, shot.wall_fps)[0].timing
    first = shot.phase_s or 0.0
    refresh_s = 1 / timing.refresh_hz
    length_s = {
        "refresh": _REFRESHES_SHOWN * refresh_s, "slot": _SLOTS_SHOWN * refresh_s /
        timing.scan_lines,
    }.get(span, float(1 / shot.fps) + shot.camera.readout_s)
    found = times_of(
        shot, signal=shot.levels[0], from_s=first, to_s=first + length_s, most=_MOST_DRAWN
    )
    slots, rows = found.slots, found.rows
    shown: dict[str, Any] = {
        "from_s": found.from_s, "to_s": found.to_s, "line": found.line,
        "lit": {name: (each.start_s, each.end_s, each.share)
                for name, each in found.lit.items()},
        "refreshes_each": {name: each.refreshes_each for name, each in found.lit.items()},
        "row": rows.row, "open_s": rows.open_s, "close_s": rows.close_s,
        "change_s": found.change_s,
    }
    none = np.empty(0)
    figure = timeline.timeline(
        **shown, frame=rows.frame, slot_line=none if slots is None else slots.line,
        slot_start_s=none if slots is None else slots.start_s,
        slot_end_s=none if slots is None else slots.end_s,
        change_spread_s=found.change_spread_s, wall_frame_s=found.wall_frame_s,
        camera_frame_s=found.camera_frame_s, theme=theme,
    )
    figure.layout.dragmode = False  # a finger scrolls the page; the spans are what zooms
    taken = "" if found.phase_known else " The phase is not known: 0 is drawn."
    drifts = "" if found.clocks_shared else " The clocks are not shared: this drifts."
    return figure, timeline.described(**shown) + taken + drifts


def tear(shot: Shot, phase_s: float | None, theme: Theme) -> Drawn:
    """Mixed rows and clean phases at a phase."""
    found = shot_tearing(replace(shot, phase_s=phase_s))
    shown: dict[str, Any] = {
        "rows_px": shot.camera.rows_px, "mixed_rows": found.mixed_rows,
        "possible_clean": found.possible_clean, "clean_from_s": found.phase_from_s,
        "clean_to_s": found.phase_to_s, "repeats_every_s": found.phase_repeats_every_s,
        "phase_s": phase_s, "picture_s": picture_s(shot),
    }
    figure = phase_bar.phase_bar(**shown, best_s=found.phase_best_s, theme=theme)
    return figure, phase_bar.described(**shown)


def map_of_focus(shot: Shot, kind: MapKind, theme: Theme) -> Drawn:
    """Moire over distance and focus, or distance and focal length."""
    found = moire_map(shot, kind=kind, size=_MAP_SIZE)
    shown: dict[str, Any] = {
        "distance_mm": found.distance_mm, "other_mm": found.other_mm, "moire": found.moire,
        "grid": found.grid, "severity": found.severity, "here": found.here, "kind": kind,
    }
    viewing = shot.viewing
    figure = focus_map.focus_map(
        **shown, safe_below=viewing.safe_below, visible_from=viewing.visible_from, theme=theme
    )
    return figure, focus_map.described(**shown)


def map_of_shutters(
    shot: Shot, rows: Mapping[str, Any], safe: Mapping[str, Any] | None, theme: Theme
) -> Drawn:
    """Map of shutter settings as far as it is computed, with the exact ranges of its own rate."""
    known = [each for each in rows["rows"] if each is not None]
    in_time, width = dial_shows_times(shot.camera), max(len(each["level"]) for each in known)
    blank: dict[str, Any] = dict.fromkeys(
        ("angle_deg", "exposure_s", "visibility", "level", "worst_signal_pct"), [None] * width
    )
    lines = [each or {**blank, "refused": None} for each in rows["rows"]]
    safe_fps = None if safe is None else safe["fps"]
    shown: dict[str, Any] = {
        "rates": rows["fps"], "columns": _columns(known, in_time=in_time, width=width),
        "visibility": [each["visibility"] for each in lines],
        "level": [each["level"] for each in lines],
        "refused": [each["refused"] for each in lines],
        "computed": [each is not None for each in rows["rows"]],
        "present": _present(shot, rows, lines),
    }
    turn = 360 * float(shot.fps)
    ranges = [] if safe is None else [
        (max(0.0, turn * low), min(360.0, turn * high)) for low, high in safe["exposure_s"]
    ]
    figure = shutter_map.shutter_map(
        **shown, angle_deg=[each["angle_deg"] for each in lines],
        exposure=[_exposures(each["exposure_s"], in_time=in_time) for each in lines],
        worst_signal_pct=[each["worst_signal_pct"] for each in lines],
        safe_ranges_deg=[ranges if fps == safe_fps else [] for fps in rows["fps"]],
        safe_below=shot.viewing.safe_below, visible_from=shot.viewing.visible_from,
        columns_in_time=in_time, theme=theme,
    )
    return figure, shutter_map.described(**shown)


def _columns(known: list[Any], *, in_time: bool, width: int) -> list[str]:
    """Headings: the dial's own figure, from the first rate that has each."""
    heads = []
    for column in range(width):
        row = next((each for each in known if each["level"][column] is not None), None)
        if row is None:
            heads.append("")
        elif in_time:
            heads.append(exposure_text(_seconds(row["exposure_s"][column])).removesuffix(" s"))
        else:
            heads.append(angle_text(row["angle_deg"][column]).removesuffix("°"))
    return heads


def _exposures(exposures: list[str | None], *, in_time: bool) -> list[str | None]:
    """Exposures to read: a dial of times says them as they are set."""
    return [
        each if each is None or in_time else exposure_text(_seconds(each)) for each in exposures
    ]


def _seconds(exposure: str) -> float:
    top, _, bottom = exposure.partition("/")
    return float(top) / float(bottom or 1)


def _present(shot: Shot, rows: Mapping[str, Any], lines: list[Any]) -> tuple[int, int] | None:
    """Row and column of the shot's own setting, where the dial has it."""
    here = rate_words(shot.fps)
    if here not in rows["fps"]:
        return None
    row = rows["fps"].index(here)
    for column, exposure in enumerate(lines[row]["exposure_s"]):
        if exposure == str(shot.exposure_s):
            return row, column
    return None
