"""The frame that a camera would record of a wall, at one phase.

Rows of a flat picture at any gray levels, and a test picture made of them: a gray ramp across the
frame with two bars that move from picture to picture, so that bands and a tear both show. What
softens or folds the wall's grid is not in it: whoever adds it multiplies the light of the pixels.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.imaging.rolling_shutter import row_open_s
from bandcheck.shoot.shot import Shot
from bandcheck.timing.picture_changes import newest_picture, older_share
from bandcheck.verdict.light_cases import LightCase, light_cases, primaries
from bandcheck.verdict.recorded_rows import linear_levels, pwm_brightness, recorded_rows
from bandcheck.verdict.row_sampling import exposure_used_s, line_time_s
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["COLOURS", "RecordedFrame", "ramp_light", "recorded_frame"]

FloatArray = NDArray[np.float64]

COLOURS = ("red", "green", "blue")
"""Order of the colours in every array of a recorded frame."""

_LIGHT_BAR, _DARK_BAR = 0.08, 0.58
"""Left edges of the two bars in picture 0, as shares of the width."""

_BAR_WIDTH, _BAR_STEP, _BAR_STEPS = 0.03, 0.05, 6
"""Width of a bar and its step to the next picture, as shares of the width; steps to and fro."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordedFrame:
    """One recorded frame; rows from the top of the picture, colours red, green, blue.

    Attributes
    ----------
    shot
        The shot.
    number
        Number of the camera frame, from 0.
    phase_s
        Phase that was taken: the shot's own, or 0 where it has none [s].
    case
        The way in which the wall pulses: of several, the one that is seen most.
    signals
        Signal levels 0..1 of flat pictures, shape (L,).
    open_s
        Opening of each row from the start of the wall frame that the phase counts from [s], shape
        (rows,).
    mean_light
        Mean in time of each level's light, 1 for white, shape (3, L).
    relative
        Light of each row over that mean, shape (3, L, rows); 1 where a level is black.
    older_share
        Share of each row's exposure that fell on the picture before the newest one it saw, shape
        (rows,).
    picture
        Number of that newest picture, counted from the first one in the frame, shape (rows,).
    """

    shot: Shot
    number: int
    phase_s: float
    case: LightCase
    signals: FloatArray
    open_s: FloatArray
    mean_light: FloatArray
    relative: FloatArray
    older_share: FloatArray
    picture: NDArray[np.int64]

    @property
    def light(self) -> FloatArray:
        """Light of each row over the mean of the frame, shape (3, L, rows)."""
        mean = self.relative.mean(axis=2, keepdims=True)
        return self.relative / np.where(mean > 0, mean, 1.0)

    @property
    def ripple(self) -> FloatArray:
        """Peak to peak over the mean of the frame, shape (3, L)."""
        return np.asarray(np.ptp(self.light, axis=2))


def _most_seen_case(shot: Shot, signals: FloatArray) -> LightCase:
    """Of the ways in which the wall may pulse the one with the largest V."""
    cases = light_cases(shot.wall, shot.wall_fps)
    if len(cases) == 1:
        return cases[0]
    cells = wall_cells(
        shot, levels=signals, exposure_s=[exposure_used_s(shot)], cases=cases, extremes=False
    )
    level = int(cells.visibility[:, 0].argmax())
    return cases[int(cells.worst_case[level, 0])]


def _mean_light(shot: Shot, case: LightCase, signals: FloatArray) -> FloatArray:
    """Light that the counts of each level give, over that of white, shape (colours, L)."""
    light, brightness = linear_levels(shot, signals), pwm_brightness(shot)
    return np.array([
        case.counts(light, pwm_share=brightness * duty) / (case.full_scale * brightness * duty)
        for duty, _ in primaries(shot.wall).values()
    ])


def _pictures(shot: Shot, number: int, phase_s: float) -> tuple[FloatArray, NDArray[np.int64]]:
    """Older share and newest picture of each row, from the top of the picture."""
    rows = shot.camera.rows_px
    if shot.content_fps == 0:
        return np.zeros(rows), np.zeros(rows, dtype=np.int64)
    share = older_share(
        wall_fps=shot.wall_fps, content_fps=shot.content_fps, camera_fps=shot.fps,
        frames=[number], phase_s=phase_s, exposure_s=exposure_used_s(shot),
        readout_s=shot.camera.readout_s, rows=rows, change_spread_s=shot.change_spread_s,
    )[0]
    newest = newest_picture(
        wall_fps=shot.wall_fps, content_fps=shot.content_fps, camera_fps=shot.fps,
        frame=number, phase_s=phase_s, exposure_s=exposure_used_s(shot),
        readout_s=shot.camera.readout_s, rows=rows,
    )
    downwards = slice(None, None, 1 if shot.camera.readout_down else -1)
    return share[downwards], (newest - newest.min())[downwards]


def recorded_frame(shot: Shot, *, signals: FloatArray, number: int = 0) -> RecordedFrame:
    """Frame that a shot's camera records of flat pictures at some gray levels.

    Parameters
    ----------
    shot
        The shot; a phase that is not known counts as 0.
    signals
        Signal levels 0..1, shape (L,).
    number
        Number of the camera frame, from 0.

    Returns
    -------
    RecordedFrame
        Plain arrays; nothing is rounded.

    Raises
    ------
    OutOfRangeError
        The camera exposes in a way that is not described, or a level or number is out of range.
    """
    if shot.camera.exposure_scheme != "single":
        raise OutOfRangeError(
            "exposure_scheme", shot.camera.exposure_scheme,
            "'single'; when the rows of other schemes expose is not modelled",
        )
    require("number", number, "a number of a frame, 0 or more", at_least=0)
    levels = require("signals", signals, "signal levels from 0 to 1", at_least=0, at_most=1)
    camera, phase_s = shot.camera, shot.phase_s or 0.0
    case = _most_seen_case(shot, levels)
    rows = recorded_rows(shot, case=case, levels=levels, frame=number)
    share, picture = _pictures(shot, number, phase_s)
    shape = (3, len(levels), camera.rows_px)
    return RecordedFrame(
        shot=shot, number=number, phase_s=phase_s, case=case, signals=levels,
        open_s=float(number / shot.fps) + row_open_s(
            rows=np.arange(camera.rows_px), line_time_s=line_time_s(camera), phase_s=phase_s,
            readout_down=camera.readout_down, rows_px=camera.rows_px,
        ),
        mean_light=np.broadcast_to(_mean_light(shot, case, levels), shape[:2]),
        relative=np.broadcast_to(np.array(list(rows.values())), shape),
        older_share=share, picture=picture,
    )


def _levels_across(levels: int, columns: int, picture: int) -> NDArray[np.int64]:
    """Index of the level that each column of the test picture shows in one of its pictures."""
    across = (np.arange(columns) + 0.5) / columns
    level = (across * levels).astype(np.int64)
    step = abs((picture + _BAR_STEPS) % (2 * _BAR_STEPS) - _BAR_STEPS)  # to and fro
    for left, shown in ((_LIGHT_BAR, levels - 1), (_DARK_BAR, 0)):
        begin = left + step * _BAR_STEP
        level[(across >= begin) & (across < begin + _BAR_WIDTH)] = shown
    return level


def ramp_light(
    frame: RecordedFrame, *, columns: int, rows: slice = slice(None), gain: float = 1.0
) -> FloatArray:
    """Light of a test picture as recorded: a ramp over the frame's levels with two moving bars.

    The ramp runs from the first level on the left to the last on the right. In its left half a bar
    of the last level, in its right half one of the first, stand a step further in each picture; a
    row that straddles a change mixes the two pictures by their share of its exposure.

    Parameters
    ----------
    frame
        From `recorded_frame`, at the levels of the ramp.
    columns
        Columns of the picture.
    rows
        Which rows are wanted.
    gain
        Factor on the contrast of bands, around each level's mean in time; a tear keeps its own.

    Returns
    -------
    ndarray
        Light, 1 for white's mean, shape (rows, columns, 3).

    Raises
    ------
    OutOfRangeError
        No columns, or a gain that is not above 0.
    """
    require("columns", columns, "at least one column", at_least=1)
    require("gain", gain, "a factor above 0", above=0)
    stretched = np.maximum(0.0, 1 + gain * (frame.relative[:, :, rows] - 1))
    light = (stretched * frame.mean_light[:, :, np.newaxis]).transpose(2, 1, 0)
    newest, older = frame.picture[rows], frame.older_share[rows, np.newaxis, np.newaxis]
    recorded = np.empty((newest.size, columns, 3))
    for picture in np.unique(newest):
        own = newest == picture
        after, before = (
            light[own][:, _levels_across(len(frame.signals), columns, int(which))]
            for which in (picture, picture - 1)
        )
        recorded[own] = older[own] * before + (1 - older[own]) * after
    return recorded
