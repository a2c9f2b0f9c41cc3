"""Moire of one geometry as text of 80 columns and as a table."""

import textwrap

from bandcheck.imaging.sampling import COLOURS
from bandcheck.report.change_wording import change_sentence
from bandcheck.report.rounding import number_text, visibility_text
from bandcheck.report.tables import change_table, moire_table
from bandcheck.report.wording import CAUTIONS, HAZARD_NAMES, level_label, visibility_phrase
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_map import MoireMap
from bandcheck.verdict.moire_report import FARTHEST_FOCUS_MM, FARTHEST_TIMES, MoireReport
from bandcheck.verdict.range_search import Range
from bandcheck.verdict.remedies import Change
from bandcheck.vision.level import Level, worst_level

__all__ = [
    "map_csv", "map_subtitle", "map_table", "moire_answer_table", "moire_level", "moire_text",
]

WIDTH = 80
MOST_LINES = 8


def moire_level(report: MoireReport) -> Level:
    """Worst of moire and grid."""
    return worst_level(finding.level for finding in report.findings)


def _metres(ranges: tuple[Range, ...], farthest_mm: float, beyond: str) -> str:
    """Ranges in metres; what ends at the farthest that was looked at ends as `beyond` says."""
    told = [
        f"{number_text(low / 1e3, decimals=2)} m to "
        + (beyond if high >= farthest_mm else f"{number_text(high / 1e3, decimals=2)} m")
        for low, high in ranges
    ]
    return " or ".join(told) or "none"


def _lines(report: MoireReport, limits: tuple[float, float]) -> list[str]:
    rows = ["Fringes, the best visible first",
            "   m   n  colour         contrast  graded    V      across    down  place"]
    lines = report.lines
    for row in range(min(MOST_LINES, lines.m.size)):
        kind = "the grid itself" if lines.grid[row] else COLOURS[lines.colour[row]]
        place = f"{lines.worst_across[row]:+.1f} {lines.worst_down[row]:+.1f}"
        rows.append(
            f"{lines.m[row]:4d}{lines.n[row]:4d}  {kind:<15}{100 * lines.contrast[row]:7.3f} %"
            f"{100 * lines.graded_contrast[row]:7.3f} %"
            f"{visibility_text(float(lines.visibility[row]), limits=limits):>6}"
            f"{abs(lines.fringes_per_width[row]):9.1f}{abs(lines.fringes_per_height[row]):8.1f}"
            f"  {place}"
        )
    return [*rows, "   place: -1 left and top, +1 right and bottom of the frame"]


def _folded(line: str) -> list[str]:
    return textwrap.wrap(line, WIDTH, subsequent_indent="  ") if len(line) > WIDTH else [line]


def moire_text(shot: Shot, report: MoireReport, fixes: tuple[Change, ...]) -> str:
    """Moire for people: the answer, the focus, the distances, what to change.

    Parameters
    ----------
    shot, report, fixes
        What was asked, its moire with safe distances, and what would mend it.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    viewing = shot.viewing
    limits = (viewing.safe_below, viewing.visible_from)
    farthest = FARTHEST_TIMES * (shot.optics.distance_mm if shot.optics else 0)
    looked = f"{number_text(farthest / 1e3, decimals=2)} m, as far as was looked"
    lines = [level_label(moire_level(report)), f"{shot.wall.name}  x  {shot.camera.name}", ""]
    for finding in report.findings:
        figure = visibility_phrase(finding.value, safe_below=limits[0], visible_from=limits[1])
        name = HAZARD_NAMES[finding.hazard]
        lines.append(f"{level_label(finding.level):<15}  {name:<9} {figure}")
    if report.to_find_out:
        lines.append(f"  Find out, as it decides: {', '.join(report.to_find_out)}")
    lines += [
        "",
        f"An LED pitch is {number_text(report.pitch_photosites, decimals=2)} photosites; the wall"
        f" is blurred over {number_text(report.blur_pitches, decimals=2)} pitches.",
        "Safe focus, the wall where it is: "
        + _metres(report.safe_focus_mm, FARTHEST_FOCUS_MM, "infinity"),
        "Safe wall, the focus where it is: "
        + _metres(report.safe_distance_mm, 0.999 * farthest, looked),
        f"Rule of thumb for the nearest wall: {number_text(report.rule_mm / 1e3, decimals=1)} m, as"
        " many metres as the pitch has millimetres, better two to three times that; it knows"
        " neither lens, stop, focus nor sensor.",
        "", *_lines(report, limits),
    ]
    if fixes:
        lines += ["", "What to change, the least first", *(
            f"  > {change_sentence(each)}" for each in fixes
        )]
    lines += ["", CAUTIONS[0]]
    return "\n".join(part for line in lines for part in _folded(line))


def moire_answer_table(
    shot: Shot, report: MoireReport, fixes: tuple[Change, ...]
) -> dict[str, object]:
    """Moire as one object (schema `bandcheck.moire/1`)."""
    return {
        "schema": "bandcheck.moire/1", "overall": moire_level(report).value,
        "limits": {
            "safe_below": shot.viewing.safe_below, "visible_from": shot.viewing.visible_from,
        },
        "findings": [
            {
                "hazard": finding.hazard, "level": finding.level.value, "value": finding.value,
                "limit": finding.limit, "reason": finding.reason, "figures": dict(finding.figures),
            }
            for finding in report.findings
        ],
        "moire": moire_table(report), "fixes": [change_table(each) for each in fixes],
    }


def map_subtitle(shot: Shot) -> str:
    """What a map shows, and the lens and place that it is drawn around."""
    said = "Worst of moire and LED grid"
    optics = shot.optics
    if optics is None:
        return said
    lens = f"{number_text(optics.focal_mm, decimals=2)} mm"
    if optics.f_number is not None:
        lens += f", f/{number_text(optics.f_number, decimals=2)}"
    focus = optics.focus_mm
    focused = "focus on the wall" if focus is None else (
        f"focus {number_text(focus / 1e3, decimals=2)} m"
    )
    wall = f"wall {number_text(optics.distance_mm / 1e3, decimals=2)} m"
    return f"{said}; around {lens}, {wall}, {focused}"


def map_table(found: MoireMap) -> dict[str, object]:
    """Map as one object (schema `bandcheck.moire_map/1`); a row for each value of `other_mm`."""
    return {
        "schema": "bandcheck.moire_map/1", "kind": found.kind,
        "distance_m": (found.distance_mm / 1e3).tolist(), "other_mm": found.other_mm.tolist(),
        "moire": found.moire.tolist(), "grid": found.grid.tolist(),
        "level": [
            [Level.of_severity(int(each)).value for each in row] for row in found.severity
        ],
        "here": list(found.here),
    }


def map_csv(found: MoireMap) -> str:
    """Map as a table with a row for each cell."""
    other = "focus_m" if found.kind == "focus" else "focal_mm"
    scale = 1e3 if found.kind == "focus" else 1.0
    rows = [f"distance_m,{other},moire_visibility,grid_visibility,level"]
    for row, value in enumerate(found.other_mm):
        rows += [
            f"{distance / 1e3:.6g},{value / scale:.6g},{found.moire[row, column]:.6g},"
            f"{found.grid[row, column]:.6g},"
            f"{Level.of_severity(int(found.severity[row, column])).value}"
            for column, distance in enumerate(found.distance_mm)
        ]
    return "\n".join(rows) + "\n"
