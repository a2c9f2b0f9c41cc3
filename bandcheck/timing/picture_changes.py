"""When the picture on a locked wall changes, and which camera rows then hold two pictures."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.timing.rates import positive_rate

__all__ = [
    "PictureChanges", "mixed_rows", "newest_picture", "older_share", "pattern_frames",
    "picture_changes",
]

_MOST_CHANGES_LISTED = 10_000
# Overlaps below this share of an exposure are rounding, not pictures.
_SLIVER = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class PictureChanges:
    """Instants at which the wall's picture changes, all camera frames laid over one another.

    Attributes
    ----------
    period_s
        The instants repeat after this time [s], exact; it divides the camera's frame.
    instants_s
        Instants in one period [s], exact, rising; the first is 0, the start of a wall frame that
        brings a new picture just when its content frame begins.
    """

    period_s: Fraction
    instants_s: tuple[Fraction, ...]

    @property
    def longest_rest(self) -> tuple[Fraction, Fraction]:
        """Start and length of the longest time without a change [s]; the first of equals."""
        ends = (*self.instants_s[1:], self.period_s)
        rests = [(begin, end - begin) for begin, end in zip(self.instants_s, ends, strict=True)]
        return max(rests, key=lambda rest: rest[1])


def _frames_a_picture(*, wall_fps: Fraction, content_fps: Fraction) -> Fraction:
    """Wall frames from one content frame to the next; no picture is shorter than a wall frame."""
    return max(
        Fraction(1), positive_rate("wall_fps", wall_fps) / positive_rate("content_fps", content_fps)
    )


def _shortest_cycle(gaps: list[int]) -> list[int]:
    """Shortest run of gaps that, repeated, gives them all."""
    count = len(gaps)
    for length in range(1, count):
        if count % length == 0 and gaps[:length] * (count // length) == gaps:
            return gaps[:length]
    return gaps


def picture_changes(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction
) -> PictureChanges | None:
    """Instants at which a locked wall's picture changes, folded into one camera frame.

    Content frame k appears with the first wall frame that starts at or after k / content_fps.
    Where the content rate F_c divides the wall's, or is no lower than it, changes are evenly spaced
    and fold to one every `1/(q F_c)`, `F_c / fps = p/q` (physics page 5). Where it does not (24 on
    a 60 Hz wall) pictures stay for unequal numbers of wall frames, and the longest rest is shorter
    than that formula says. Cadences of over 10000 changes are replaced by a change at every wall
    frame, which is never less strict.

    Parameters
    ----------
    wall_fps, camera_fps
        Frame rates of the locked wall and camera [frames/s].
    content_fps
        Rate at which the content changes [frames/s]; 0 for a still picture.

    Returns
    -------
    PictureChanges or None
        None where the picture never changes.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0, or the content's is negative.
    """
    camera = positive_rate("fps", camera_fps)
    if content_fps == 0:
        return None
    stay = _frames_a_picture(wall_fps=wall_fps, content_fps=content_fps)
    wall_frames, camera_frames = (Fraction(wall_fps) / camera).as_integer_ratio()
    count = stay.denominator * wall_frames // math.gcd(stay.numerator, wall_frames)
    if stay.denominator == 1 or count > _MOST_CHANGES_LISTED:
        even = Fraction(wall_fps) / (stay if stay.denominator == 1 else 1)
        return PictureChanges(
            period_s=1 / ((even / camera).numerator * camera), instants_s=(Fraction(0),)
        )
    slots = sorted({math.ceil(k * stay) * camera_frames % wall_frames for k in range(count)})
    ends = [*slots[1:], wall_frames]
    cycle = _shortest_cycle([end - begin for begin, end in zip(slots, ends, strict=True)])
    slot_s = 1 / (wall_frames * camera)
    return PictureChanges(
        period_s=sum(cycle) * slot_s,
        instants_s=tuple(slot * slot_s for slot in slots[:len(cycle)]),
    )


def pattern_frames(*, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction) -> int:
    """Camera frames after which wall, content and camera stand as at first: q of physics page 5.

    Parameters
    ----------
    wall_fps, content_fps, camera_fps
        Rates [frames/s], above 0.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0.
    """
    stay = _frames_a_picture(wall_fps=wall_fps, content_fps=content_fps)
    cycles_per_frame = Fraction(wall_fps) / (stay.numerator * positive_rate("fps", camera_fps))
    return cycles_per_frame.denominator


def _readout_before(rows: int) -> NDArray[np.float64]:
    """Share of the readout that passes before each row opens."""
    if rows < 1:
        raise OutOfRangeError("rows_px", rows, "at least one row")
    return np.arange(rows) / rows


def mixed_rows(
    *, changes: PictureChanges, phase_s: ArrayLike, exposure_s: ArrayLike, readout_s: ArrayLike,
    rows: int, change_spread_s: float = 0.0,
) -> NDArray[np.bool_]:
    """Which rows hold two pictures in one camera frame or another.

    Row r opens at `t_r = phase + r readout / rows` and closes `T` later; a change that begins at c
    and is over by `c + spread` mixes it where `c < t_r + T` and `c + spread > t_r`.

    Parameters
    ----------
    changes
        From `picture_changes`.
    phase_s
        From a change's wall frame to the first row's opening [s], any shape.
    exposure_s, readout_s
        Exposure above 0 and readout (rows times line time, 0 for a global shutter) [s]; broadcast.
    rows
        Rows in the order they are read.
    change_spread_s
        Time that a change takes [s].

    Returns
    -------
    ndarray of bool
        Shape (..., rows).

    Raises
    ------
    OutOfRangeError
        A time is out of range or there are no rows.
    """
    exposure = require("exposure_s", exposure_s, "a time above 0 s", above=0)[..., np.newaxis]
    readout = require("readout_s", readout_s, "a time of 0 s or more", at_least=0)[..., np.newaxis]
    phase = require("phase_s", phase_s, "a finite time")[..., np.newaxis]
    spread = require("change_spread_s", change_spread_s, "a time of 0 s or more", at_least=0)
    period = float(changes.period_s)
    instants = np.array([float(changes.instants_s[-1]) - period, *map(float, changes.instants_s)])
    sliver = _SLIVER * exposure
    closes = phase + readout * _readout_before(rows) + exposure - sliver
    folded = np.mod(closes, period)
    since_change = folded - instants[np.searchsorted(instants, folded, side="left") - 1]
    return np.asarray(since_change < exposure + spread - 2 * sliver)


def _older_light_s(
    since_change_s: NDArray[np.float64], spread_s: float
) -> NDArray[np.float64]:
    """Integral up to a moment of the older picture's share, which falls from 1 to 0 in a line."""
    fading = np.clip(since_change_s, 0, spread_s)
    return np.minimum(since_change_s, 0) + fading * (1 - fading / (2 * (spread_s or 1.0)))


def older_share(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction, frames: Iterable[int],
    phase_s: float, exposure_s: float, readout_s: float, rows: int, change_spread_s: float = 0.0,
) -> NDArray[np.float64]:
    """Share of each row's exposure that fell on a picture older than the newest one it saw.

    `w = (change - t_r) / T` (physics page 5) for the last change before the row closes; a change
    that takes time is a linear fade (project choice). Older pictures than that count as one.

    Parameters
    ----------
    wall_fps, content_fps, camera_fps
        Rates [frames/s], above 0.
    frames
        Numbers of the camera frames wanted, from 0; the pattern repeats after `pattern_frames`.
    phase_s, exposure_s, readout_s, rows, change_spread_s
        As for `mixed_rows`, one number each.

    Returns
    -------
    ndarray
        Shape (frames, rows), 0..1; 0 where the row shows one picture only.

    Raises
    ------
    OutOfRangeError
        A rate or time is out of range or there are no rows.
    """
    require("exposure_s", exposure_s, "a time above 0 s", above=0)
    require("readout_s", readout_s, "a time of 0 s or more", at_least=0)
    require("change_spread_s", change_spread_s, "a time of 0 s or more", at_least=0)
    stay = _frames_a_picture(wall_fps=wall_fps, content_fps=content_fps)
    opens = require("phase_s", phase_s, "a finite time") + readout_s * _readout_before(rows)
    starts = _starts_s(
        frames, cycle_s=stay.numerator / Fraction(wall_fps),
        camera_fps=positive_rate("fps", camera_fps),
    )
    opens = opens + starts
    closes = opens + exposure_s
    last = _last_wall_frame(closes, wall_fps=wall_fps, exposure_s=exposure_s)
    wall_frame, which = np.unique(last, return_inverse=True)
    # Exact, so that no rounding misses a change: wall frame, its content, where that came first.
    first_s = [float(math.ceil(int(m) // stay * stay) / Fraction(wall_fps)) for m in wall_frame]
    brought_s = np.array(first_s)[which].reshape(last.shape)
    older = _older_light_s(closes - brought_s, change_spread_s)
    older -= _older_light_s(opens - brought_s, change_spread_s)
    share = older / exposure_s
    return np.where(share > _SLIVER, share, 0.0)


def _starts_s(
    frames: Iterable[int], *, cycle_s: Fraction, camera_fps: Fraction
) -> NDArray[np.float64]:
    """Start of camera frames in a cycle of the wall's pictures [s], shape (frames, 1), exact."""
    return np.array([[float(Fraction(frame) / camera_fps % cycle_s)] for frame in frames])


def _last_wall_frame(
    closes_s: NDArray[np.float64], *, wall_fps: Fraction, exposure_s: float
) -> NDArray[np.int64]:
    """Number of the wall frame that is on when a row closes."""
    ends = (closes_s - _SLIVER * exposure_s) * float(wall_fps)
    return np.asarray(np.ceil(ends), dtype=np.int64) - 1


def newest_picture(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction, frame: int,
    phase_s: float, exposure_s: float, readout_s: float, rows: int,
) -> NDArray[np.int64]:
    """Which is the newest picture that each row of a camera frame saw.

    Parameters
    ----------
    wall_fps, content_fps, camera_fps
        Rates [frames/s], above 0.
    frame
        Number of the camera frame, from 0.
    phase_s, exposure_s, readout_s, rows
        As for `older_share`.

    Returns
    -------
    ndarray
        Number of the picture, shape (rows,), in the order of reading; that of the first wall
        frame of the cycle of pictures that the camera frame starts in is 0.

    Raises
    ------
    OutOfRangeError
        A rate or time is out of range or there are no rows.
    """
    require("exposure_s", exposure_s, "a time above 0 s", above=0)
    require("readout_s", readout_s, "a time of 0 s or more", at_least=0)
    stay = _frames_a_picture(wall_fps=wall_fps, content_fps=content_fps)
    start = _starts_s(
        [frame], cycle_s=stay.numerator / Fraction(wall_fps),
        camera_fps=positive_rate("fps", camera_fps),
    )[0]
    opens = require("phase_s", phase_s, "a finite time") + start
    closes = opens + readout_s * _readout_before(rows) + exposure_s
    last = _last_wall_frame(closes, wall_fps=wall_fps, exposure_s=exposure_s)
    wall_frame, which = np.unique(last, return_inverse=True)
    pictures = np.array([int(m) // stay for m in wall_frame], dtype=np.int64)
    return np.asarray(pictures[which].reshape(last.shape))
