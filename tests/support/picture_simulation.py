"""Second route for tears: walk through the wall's frames in exact fractions and look.

Written from the description alone and sharing no code with `bandcheck.timing`: no folding, no
formula for the clean range. A wall frame m lasts from m/F to (m+1)/F and shows the content frame
that is due at its start; a camera row adds up how long it looked at each picture.
"""

import math
from collections import defaultdict
from fractions import Fraction

from hypothesis import strategies as st

RATES = st.sampled_from([Fraction(n) for n in (24, 25, 30, 48, 50, 60, 72, 120)])
CONTENT = st.sampled_from([Fraction(n) for n in (12, 24, 25, 30, 36, 48, 60, 100)])
SHARES = st.fractions(min_value=Fraction(1, 50), max_value=1, max_denominator=97)


def shown(wall_frame: int, *, wall_fps: Fraction, content_fps: Fraction) -> int:
    """Number of the content frame that a wall frame shows."""
    return math.floor(wall_frame * content_fps / wall_fps)


def time_on_pictures(
    *, wall_fps: Fraction, content_fps: Fraction, opens: Fraction, closes: Fraction
) -> dict[int, Fraction]:
    """Time that a row open from `opens` to `closes` spent on each picture."""
    spent: dict[int, Fraction] = defaultdict(Fraction)
    for frame in range(math.floor(opens * wall_fps), math.ceil(closes * wall_fps)):
        overlap = min(closes, (frame + 1) / wall_fps) - max(opens, frame / wall_fps)
        if overlap > 0:
            spent[shown(frame, wall_fps=wall_fps, content_fps=content_fps)] += overlap
    return dict(spent)


def older_share_of_row(
    *, wall_fps: Fraction, content_fps: Fraction, opens: Fraction, exposure: Fraction
) -> Fraction:
    """Share of a row's exposure that did not fall on the newest picture that it saw."""
    spent = time_on_pictures(
        wall_fps=wall_fps, content_fps=content_fps, opens=opens, closes=opens + exposure
    )
    return 1 - spent[max(spent)] / exposure


def row_is_mixed(
    *, wall_fps: Fraction, content_fps: Fraction, opens: Fraction, exposure: Fraction,
    spread: Fraction,
) -> bool:
    """Whether a row is open during any moment of a change that lasts `spread`."""
    first = math.floor((opens - spread) * wall_fps) - 1
    for frame in range(first, math.ceil((opens + exposure) * wall_fps) + 1):
        before, after = (
            shown(each, wall_fps=wall_fps, content_fps=content_fps) for each in (frame - 1, frame)
        )
        change = frame / wall_fps
        if before != after and change < opens + exposure and change + spread > opens:
            return True
    return False


def torn_in_some_frame(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction, frames: int,
    phase: Fraction, open_for: Fraction, spread: Fraction = Fraction(0),
) -> bool:
    """Whether a change falls between a frame's first opening and its last closing.

    It does not take a row that straddles it: a change between two rows' windows tears as well.
    """
    return any(
        row_is_mixed(
            wall_fps=wall_fps, content_fps=content_fps, opens=phase + frame / camera_fps,
            exposure=open_for, spread=spread,
        )
        for frame in range(frames)
    )


def mixed_in_some_frame(
    *, wall_fps: Fraction, content_fps: Fraction, camera_fps: Fraction, frames: int,
    phase: Fraction, exposure: Fraction, line_time: Fraction, rows: int,
    spread: Fraction = Fraction(0),
) -> list[bool]:
    """For each row, whether it is mixed in any of the first `frames` camera frames."""
    return [
        any(
            row_is_mixed(
                wall_fps=wall_fps, content_fps=content_fps, exposure=exposure, spread=spread,
                opens=phase + frame / camera_fps + row * line_time,
            )
            for frame in range(frames)
        )
        for row in range(rows)
    ]
