"""What the rows of given camera frames catch of the wall, at one phase."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.rolling_shutter import lines_covered, row_open_s, scan_line_of_row
from bandcheck.levels.transfer import wall_light
from bandcheck.light.pulse_train import PulseTrain, window_light
from bandcheck.shoot.shot import Shot
from bandcheck.timing.picture_changes import pattern_frames
from bandcheck.verdict.light_cases import LightCase, primaries
from bandcheck.verdict.row_sampling import RowSampling, exposure_used_s, row_sampling

__all__ = ["frames_in_pattern", "linear_levels", "pwm_brightness", "recorded_rows", "row_light"]

FloatArray = NDArray[np.float64]

MOST_FRAMES = 8
"""Frames looked at where the pattern is longer or never repeats."""


def linear_levels(shot: Shot, levels: FloatArray) -> FloatArray:
    """Linear light 0..1 of signal levels on the shot's wall."""
    wall = shot.wall
    return wall_light(
        levels, transfer=wall.transfer or "bt1886", gamma=wall.gamma, peak_nits=wall.peak_nits
    )


def pwm_brightness(shot: Shot) -> float:
    """Share of full drive that the brightness setting leaves; 1 where the LED current sets it.

    Where it is not known how the wall dims, it is taken to dim by PWM, which costs counts.
    """
    return 1.0 if shot.wall.brightness_control == "current" else shot.brightness


def frames_in_pattern(shot: Shot) -> int:
    """Camera frames after which a locked wall and camera stand as at first, 8 at the most."""
    if shot.genlock == "free" or shot.wall.refresh_lock == "free":
        return MOST_FRAMES
    return min(MOST_FRAMES, pattern_frames(
        wall_fps=shot.wall_fps, content_fps=shot.wall_fps, camera_fps=shot.fps
    ))


def row_light(
    train: PulseTrain, *, case: LightCase, rows: RowSampling, open_s: FloatArray,
    exposure_s: float,
) -> FloatArray:
    """Light of rows that open at given times, over the train's mean, shape (L, rows).

    Parameters
    ----------
    train
        Train of L levels, none of them black.
    case, rows
        Wall and camera.
    open_s
        Opening of each row in the order of reading [s], shape (rows,).
    exposure_s
        Exposure [s].

    Returns
    -------
    ndarray
        Relative light; 1 is the mean over time.
    """
    mean = train.light_per_cycle_s[:, np.newaxis] / train.cycle_s * exposure_s
    covered = lines_covered(
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines
    )
    line = np.zeros(len(open_s), dtype=np.int64)
    if rows.wall_rows_per_row is not None and rows.direction != 0:
        line = scan_line_of_row(
            rows=np.arange(len(open_s)), wall_rows_per_row=rows.wall_rows_per_row,
            scan_lines=case.timing.scan_lines, direction=rows.direction,
        )
    caught = np.zeros((len(train.counts), len(open_s)))
    for neighbour in range(covered):
        delay = np.mod(line + neighbour, case.timing.scan_lines) * case.timing.slot_s
        caught += window_light(train, open_s=open_s, exposure_s=exposure_s, line_delay_s=delay)
    return caught / covered / mean


def recorded_rows(
    shot: Shot, *, case: LightCase, levels: FloatArray, frame: int = 0
) -> dict[str, FloatArray]:
    """Light of every sensor row, over its mean in time, for each colour that pulses on its own.

    Parameters
    ----------
    shot
        The shot; a phase that is not known counts as 0.
    case
        The way in which the wall pulses.
    levels
        Signal levels 0..1, shape (L,).
    frame
        Number of the camera frame, from 0.

    Returns
    -------
    dict
        Colour to relative light, shape (L, rows), rows from the top of the picture; 1 where the
        level is black.
    """
    rows = row_sampling(shot)
    cycle = case.timing.cycle_s
    start = float((frame / shot.fps) % (1 / shot.wall_fps)) if case.locked_to_frame else float(
        frame / shot.fps
    )
    opened = row_open_s(
        rows=np.arange(rows.rows_px), line_time_s=rows.line_time_s,
        phase_s=np.mod((shot.phase_s or 0.0) + start, cycle), rows_px=rows.rows_px,
    )
    result = {}
    for name, (duty, shortest) in primaries(shot.wall).items():
        counts = case.counts(
            linear_levels(shot, levels), pwm_share=pwm_brightness(shot) * duty
        )
        light = np.ones((len(levels), rows.rows_px))
        lit = counts > 0
        if lit.any():
            light[lit] = row_light(
                case.train(counts[lit], min_pulse_counts=shortest), case=case, rows=rows,
                open_s=opened, exposure_s=exposure_used_s(shot),
            )
        result[name] = light if shot.camera.readout_down else light[:, ::-1]
    return result
