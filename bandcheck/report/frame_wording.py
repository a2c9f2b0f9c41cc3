"""A recorded frame in words and in numbers."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.report.rounding import number_text
from bandcheck.report.tables import Table, setting_table
from bandcheck.report.verdict_text import setting_lines, wrapped
from bandcheck.report.wording import CAUTIONS
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.recorded_frame import COLOURS, RecordedFrame
from bandcheck.verdict.row_sampling import row_sampling

__all__ = ["frame_csv", "frame_table", "frame_text", "frame_title"]

_GROUPS = 16
_PLOT_WIDTH = 34


def _moment(frame: RecordedFrame) -> str:
    phase = f"phase {number_text(1e3 * frame.phase_s, decimals=3)} ms"
    given = "" if frame.shot.phase_s is not None else " (none given)"
    return f"frame {frame.number} at {phase}{given}"


def _mixed(frame: RecordedFrame) -> tuple[int, int] | None:
    """First and last row that hold two pictures; None where none does."""
    mixed = np.flatnonzero(frame.older_share > 0)
    return (int(mixed[0]), int(mixed[-1])) if mixed.size else None


def frame_title(frame: RecordedFrame, *, gain: float) -> tuple[str, ...]:
    """Lines over a picture of the frame.

    Parameters
    ----------
    frame
        The frame.
    gain
        Factor by which the picture shows the contrast of bands.

    Returns
    -------
    tuple of str
        What it is, of what, and what was done to it.
    """
    contrast = "true contrast" if gain == 1 else (
        f"contrast x {number_text(gain, decimals=1)}"
    )
    return (
        f"Simulation, {contrast}: {frame.shot.wall.name} x {frame.shot.camera.name}",
        f"{setting_lines(frame.shot)[-1]}; {_moment(frame)}", _tear_sentence(frame),
    )


def _tear_sentence(frame: RecordedFrame) -> str:
    if frame.shot.content_fps == 0:
        return "The picture on the wall stands still."
    mixed = _mixed(frame)
    if mixed is not None:
        return f"Rows {mixed[0]} to {mixed[1]} hold two pictures."
    if np.ptp(frame.picture):
        return "No row holds two pictures, but rows show different ones."
    return "All rows show the same picture."


def _profile(light: NDArray[np.float64]) -> list[str]:
    """Least and most light in groups of rows, as numbers and as a line between them.

    Neighbouring groups that read alike are put together.
    """
    edges = np.unique(np.linspace(0, len(light), _GROUPS + 1).astype(int))
    least = np.minimum.reduceat(light, edges[:-1])
    most = np.maximum.reduceat(light, edges[:-1])
    floor, span = float(light.min()), float(np.ptp(light)) or 1.0
    told: dict[int, str] = {}
    for low, dark, bright in zip(edges[:-1].tolist(), least, most, strict=True):
        begin, end = (round((at - floor) / span * (_PLOT_WIDTH - 1)) for at in (dark, bright))
        line = (
            f"{number_text(dark, decimals=4):>8}{number_text(bright, decimals=4):>10}   "
            f"{' ' * begin}{'=' * (end - begin + 1)}"
        )
        if line != next(reversed(told.values()), ""):
            told[low] = line
    ends = [*list(told)[1:], len(light)]
    return [
        "  rows           darkest  brightest   of all rows",
        *(f"  {f'{low} to {end - 1}':<14}{line}"
          for (low, line), end in zip(told.items(), ends, strict=True)),
    ]


def frame_text(frame: RecordedFrame) -> str:
    """A frame for people: how unequal its rows are, and where.

    Parameters
    ----------
    frame
        From `recorded_frame`, at one level.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    signal = number_text(100 * float(frame.signals[0]), decimals=1)
    lines = [
        *setting_lines(frame.shot),
        *wrapped(f"Flat picture of {signal} % signal, {_moment(frame)}", "  ", ""),
        *wrapped(_tear_sentence(frame), "  ", ""),
    ]
    if row_sampling(frame.shot).wall_rows_per_row is None:
        lines += wrapped(
            "Without lens and distance every row is taken to see the same scan line.", "  ", ""
        )
    alike = not np.ptp(frame.light, axis=0).any()
    for colour, name in enumerate(COLOURS):
        if alike and colour:
            break
        ripple = number_text(100 * float(frame.ripple[colour, 0]), decimals=3)
        lines += [
            "", f"{'All colours' if alike else name.capitalize()}: ripple {ripple} % of the mean of"
            " this frame, peak to peak", *_profile(frame.light[colour, 0]),
        ]
    return "\n".join([*lines, "", *wrapped(f"Simulation. {CAUTIONS[0]}", "  ", "")])


def frame_table(frame: RecordedFrame) -> Table:
    """A frame as one object (schema `bandcheck.frame/1`), unrounded.

    Parameters
    ----------
    frame
        From `recorded_frame`, at one level.

    Returns
    -------
    dict
        Keys and numbers; one entry for each row in `rows`.
    """
    shot = frame.shot
    return {
        "schema": "bandcheck.frame/1", "simulation": True,
        "setting": setting_table(shot),
        "wall": {"name": shot.wall.name, "fps": rate_text(shot.wall_fps)},
        "camera": {"name": shot.camera.name, "rows_px": shot.camera.rows_px},
        "frame": frame.number, "phase_used_s": frame.phase_s,
        "signal_pct": 100 * float(frame.signals[0]),
        "ripple_pct": {
            name: 100 * float(ripple) for name, ripple in zip(COLOURS, frame.ripple[:, 0],
                                                              strict=True)
        },
        "rows": {
            "open_s": frame.open_s.tolist(),
            **{f"light_{name}": light.tolist()
               for name, light in zip(COLOURS, frame.light[:, 0], strict=True)},
            "older_share": frame.older_share.tolist(), "picture": frame.picture.tolist(),
        },
    }


def frame_csv(frame: RecordedFrame) -> str:
    """A frame as CSV, a line for each row.

    Parameters
    ----------
    frame
        From `recorded_frame`, at one level.

    Returns
    -------
    str
        Columns row, open_s, light_red, light_green and light_blue, the light relative to the mean
        of the frame, and signal_pct, the level of the flat picture, the same in every line. Each
        number reads back as the same.
    """
    signal = repr(100 * float(frame.signals[0]))
    lines = ["row,open_s,light_red,light_green,light_blue,signal_pct"]
    columns = zip(frame.open_s.tolist(), *frame.light[:, 0].tolist(), strict=True)
    lines += [f"{row},{','.join(map(repr, values))},{signal}" for row, values in enumerate(columns)]
    return "\n".join(lines) + "\n"
