"""Wall and camera side by side in time: pulses, scan slots, row windows, changes of the picture.

All times run from the start of the wall frame that the phase counts from, at the nominal rates, so
that a window that catches light here catches it in `recorded_rows` as well.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import require
from bandcheck.imaging.rolling_shutter import lines_covered, row_open_s, scan_line_of_row
from bandcheck.light.lit_times import LitTimes, ScanSlots, lit_times, scan_slots
from bandcheck.light.scan_timing import ScanTiming
from bandcheck.shoot.shot import Shot
from bandcheck.timing.picture_changes import newest_picture
from bandcheck.verdict.light_cases import LightCase, primaries
from bandcheck.verdict.recorded_frame import recorded_frame
from bandcheck.verdict.recorded_rows import linear_levels, pwm_brightness
from bandcheck.verdict.row_sampling import exposure_used_s, row_sampling

__all__ = ["RowWindows", "Timeline", "timeline"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

ROWS_SHOWN = 9
"""Rows that are drawn, first, middle and last among them: project choice."""

LINES_SHOWN = 4
"""Scan lines whose slots are drawn, one after the other: project choice."""

MOST_FRAMES = 100
"""Frames of wall or camera in a window; a longer one is no longer a picture of anything."""

_LATEST_S = 3600.0
"""Later than that a double no longer holds a picosecond."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RowWindows:
    """When a few rows are open, in every camera frame that touches the window.

    Attributes
    ----------
    row
        Rows from 0 at the top of the picture, rising, shape (N,).
    line, lines_covered
        First scan line that each row sees, shape (N,), and how many neighbours from there whose
        mean it catches; line 0 for all where the optics are not known.
    frame
        Number of each camera frame, shape (F,); below 0 before the one that the phase counts to.
    open_s, close_s
        Opening and closing [s], shape (F, N).
    """

    row: IntArray
    line: IntArray
    lines_covered: int
    frame: IntArray
    open_s: FloatArray
    close_s: FloatArray


@dataclass(frozen=True, kw_only=True, slots=True)
class Timeline:
    """What happens on a wall and in a camera between two moments.

    Attributes
    ----------
    from_s, to_s
        The window [s].
    signal
        Signal level 0..1 that the wall shows.
    case
        The way in which the wall pulses.
    line
        Scan line whose light is drawn.
    lit
        Colour ("white", or each primary where they pulse on their own) to when it is lit.
    slots
        Slots of that line and the next ones; None where the window holds too many to draw.
    rows
        Row windows.
    change_s, change_spread_s
        Moments at which the wall's picture begins to change [s], shape (C,), and how long a change
        takes [s].
    wall_frame_s, camera_frame_s
        Starts of wall frames, and openings of the first row that is read, in the window [s].
    phase_s, phase_known
        Phase that is drawn [s]; whether it is the shot's own, else 0 was taken.
    clocks_shared
        Whether wall, refresh and camera keep this place to each other; else it drifts.
    """

    from_s: float
    to_s: float
    signal: float
    case: LightCase
    line: int
    lit: Mapping[str, LitTimes]
    slots: ScanSlots | None
    rows: RowWindows
    change_s: FloatArray
    change_spread_s: float
    wall_frame_s: FloatArray
    camera_frame_s: FloatArray
    phase_s: float
    phase_known: bool
    clocks_shared: bool


def _frame_numbers(fps: Fraction, from_s: float, to_s: float) -> range:
    """Numbers of the frames that start between two moments, both included."""
    return range(math.ceil(Fraction(from_s) * fps), math.floor(Fraction(to_s) * fps) + 1)


def _row_windows(shot: Shot, case: LightCase, from_s: float, to_s: float) -> RowWindows:
    sampling, exposure_s = row_sampling(shot), exposure_used_s(shot)
    last, phase_s = sampling.rows_px - 1, shot.phase_s or 0.0
    row = np.unique(np.rint(np.linspace(0, last, ROWS_SHOWN)).astype(np.int64))
    opened = row_open_s(
        rows=row, line_time_s=sampling.line_time_s, phase_s=phase_s,
        readout_down=shot.camera.readout_down, rows_px=sampling.rows_px,
    )
    frames = _frame_numbers(
        shot.fps, from_s - float(opened.max()) - exposure_s, to_s - float(opened.min())
    )
    starts = np.array([float(frame / shot.fps) for frame in frames])
    open_s = starts[:, np.newaxis] + opened
    line = np.zeros(row.size, dtype=np.int64)
    if sampling.wall_rows_per_row is not None and sampling.direction != 0:
        line = scan_line_of_row(
            rows=row if shot.camera.readout_down else last - row,
            wall_rows_per_row=sampling.wall_rows_per_row, direction=sampling.direction,
            scan_lines=case.timing.scan_lines,
        )
    return RowWindows(
        row=row, line=line, frame=np.array(frames, dtype=np.int64), open_s=open_s,
        close_s=open_s + exposure_s,
        lines_covered=lines_covered(
            wall_rows_per_row=sampling.wall_rows_per_row, scan_lines=case.timing.scan_lines
        ),
    )


def _changes_s(shot: Shot, from_s: float, to_s: float) -> FloatArray:
    """Starts of the wall frames that bring another picture than the one before them [s].

    Asked of a short exposure in the middle of each wall frame: which picture does it see?
    """
    frames = _frame_numbers(shot.wall_fps, from_s - shot.change_spread_s, to_s)
    if shot.content_fps == 0 or not frames:
        return np.zeros(0)
    frame_s, rows = float(1 / shot.wall_fps), len(frames) + 1
    picture = newest_picture(
        wall_fps=shot.wall_fps, content_fps=shot.content_fps, camera_fps=shot.wall_fps, frame=0,
        phase_s=(frames.start - 0.75) * frame_s, exposure_s=0.5 * frame_s,
        readout_s=rows * frame_s, rows=rows,
    )
    return np.asarray(_starts_s(shot.wall_fps, frames)[np.diff(picture) != 0])


def _starts_s(fps: Fraction, frames: range) -> FloatArray:
    return np.array([float(frame / fps) for frame in frames])


def _required_window(shot: Shot, from_s: float, to_s: float) -> None:
    accepted = f"a time up to an hour, {_LATEST_S:g} s, either way"
    start = float(require("from_s", from_s, accepted, at_least=-_LATEST_S, at_most=_LATEST_S))
    longest = MOST_FRAMES / float(max(shot.fps, shot.wall_fps))
    require(
        "to_s", to_s, f"a time after from_s, by {MOST_FRAMES} frames or {longest:.4g} s at most",
        above=start, at_most=start + longest,
    )


def _first_line(timing: ScanTiming, from_s: float, to_s: float) -> int:
    """Line whose slot a short window begins in; the last one in the dark after a refresh."""
    if to_s - from_s >= timing.refresh_pitch_s:
        return 0
    cycle_begun = from_s % timing.cycle_s
    refresh = min(int(cycle_begun / timing.refresh_pitch_s), timing.refreshes - 1)
    into = cycle_begun - refresh * timing.refresh_pitch_s
    return min(int(into / timing.slot_s), timing.scan_lines - 1)


def _lit(
    shot: Shot, case: LightCase, *, signal: float, from_s: float, to_s: float, line: int, most: int
) -> dict[str, LitTimes]:
    """When the line is lit, for each colour that pulses on its own."""
    light, brightness = linear_levels(shot, np.array([signal])), pwm_brightness(shot)
    return {
        name: lit_times(
            case.train(
                case.counts(light, pwm_share=brightness * duty), min_pulse_counts=shortest
            ),
            from_s=from_s, to_s=to_s, most=most, line_delay_s=line * case.timing.slot_s,
        )
        for name, (duty, shortest) in primaries(shot.wall).items()
    }


def timeline(
    shot: Shot, *, signal: float, from_s: float, to_s: float, most: int,
    case: LightCase | None = None, line: int | None = None,
) -> Timeline:
    """Pulses, scan slots, row windows and picture changes of a shot between two moments.

    Parameters
    ----------
    shot
        The shot; a phase that is not known counts as 0. What runs free of the camera is drawn as
        it would stand at the nominal rates.
    signal
        Signal level that the wall shows, 0..1.
    from_s, to_s
        Window from the start of the wall frame that the phase counts from [s]; at most 100 frames.
    most
        Pulses, blocks or slots to draw at the most, 1..100 000.
    case
        The way in which the wall pulses; None: of several the one that is seen most, as in
        `recorded_frame`.
    line
        Scan line whose light is drawn, 0..S-1; None: line 0, which stands for all where the optics
        are not known, or in a window shorter than a refresh the line in whose slot it begins.

    Returns
    -------
    Timeline
        Plain arrays; nothing is rounded, nothing is cut at the window's rims.

    Raises
    ------
    OutOfRangeError
        The camera exposes in a way that is not described, or a value is out of range.
    """
    _required_window(shot, from_s, to_s)
    level = float(require("signal", signal, "a signal level from 0 to 1", at_least=0, at_most=1))
    if case is None or shot.camera.exposure_scheme != "single":  # which refuses the others
        case = recorded_frame(shot, signals=np.array([level])).case
    scan_lines, phase_s = case.timing.scan_lines, shot.phase_s or 0.0
    if line is None:
        line = _first_line(case.timing, from_s, to_s)
    require("line", line, f"a scan line from 0 to {scan_lines - 1}", at_least=0, below=scan_lines)
    lines = np.sort((line + np.arange(min(LINES_SHOWN, scan_lines))) % scan_lines)
    return Timeline(
        from_s=from_s, to_s=to_s, signal=level, case=case, line=line,
        lit=_lit(shot, case, signal=level, from_s=from_s, to_s=to_s, line=line, most=most),
        slots=scan_slots(case.timing, lines=lines, from_s=from_s, to_s=to_s, most=most),
        rows=_row_windows(shot, case, from_s, to_s),
        change_s=_changes_s(shot, from_s, to_s), change_spread_s=shot.change_spread_s,
        wall_frame_s=_starts_s(shot.wall_fps, _frame_numbers(shot.wall_fps, from_s, to_s)),
        camera_frame_s=phase_s + _starts_s(
            shot.fps, _frame_numbers(shot.fps, from_s - phase_s, to_s - phase_s)
        ),
        phase_s=phase_s, phase_known=shot.phase_s is not None,
        clocks_shared=shot.genlock == "locked" and case.locked_to_frame,
    )
