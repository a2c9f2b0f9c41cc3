"""When a camera's rows are open, which scan line each of them sees, and what bands follow."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "band_cycles_per_row",
    "folded",
    "lines_covered",
    "roll_cycles_per_frame",
    "row_open_s",
    "scan_direction",
    "scan_line_of_row",
]

FloatArray = NDArray[np.float64]


def row_open_s(
    *, rows: ArrayLike, line_time_s: ArrayLike, phase_s: ArrayLike = 0.0,
    readout_down: bool = True, rows_px: int,
) -> FloatArray:
    """Opening of sensor rows after the start of a wall frame: `phase + r line time`.

    Parameters
    ----------
    rows
        Row numbers from 0 at the top of the picture.
    line_time_s
        Time from one row's opening to the next's [s], 0 for a global shutter.
    phase_s
        Opening of the first row that is read [s].
    readout_down
        Whether the rows are read from the top.
    rows_px
        Rows of the sensor.

    Returns
    -------
    ndarray
        Openings [s], broadcast shape.
    """
    row = np.asarray(rows, dtype=np.float64)
    order = row if readout_down else rows_px - 1 - row
    return np.asarray(np.asarray(phase_s) + order * np.asarray(line_time_s), dtype=np.float64)


def scan_direction(
    *, panel_rotation_deg: int, scan_down: bool, readout_down: bool
) -> Literal[-1, 0, 1]:
    """How the scan runs against the readout: 1 the same way, -1 the other, 0 across the rows.

    Parameters
    ----------
    panel_rotation_deg
        0, 90, 180 or 270.
    scan_down, readout_down
        Whether scan (on an upright panel) and readout go from top to bottom.

    Returns
    -------
    int
        -1, 0 or 1.

    Raises
    ------
    OutOfRangeError
        Another rotation.
    """
    if panel_rotation_deg not in (0, 90, 180, 270):
        raise OutOfRangeError("panel_rotation", panel_rotation_deg, "0, 90, 180 or 270")
    if panel_rotation_deg in (90, 270):
        return 0
    same = (scan_down == readout_down) == (panel_rotation_deg == 0)
    return 1 if same else -1


def scan_line_of_row(
    *, rows: ArrayLike, wall_rows_per_row: float, scan_lines: int, direction: int = 1,
    first_wall_row: float = 0.0,
) -> NDArray[np.int64]:
    """Scan line that a row sees: `floor(y0 +/- r rho) mod S`.

    Parameters
    ----------
    rows
        Rows in the order in which they are read, from 0.
    wall_rows_per_row
        Wall rows in one camera row, rho, > 0.
    scan_lines
        Scan lines S.
    direction
        From `scan_direction`: 1, -1, or 0 for lines that run across the rows.
    first_wall_row
        Wall row y0 that the first row sees.

    Returns
    -------
    ndarray
        Lines 0..S-1, shape of `rows`.

    Raises
    ------
    OutOfRangeError
        A coupling that is not positive.
    """
    rho = float(require("wall_rows_per_row", wall_rows_per_row, "a number above 0", above=0))
    position = first_wall_row + direction * np.asarray(rows, dtype=np.float64) * rho
    return np.mod(np.floor(position).astype(np.int64), scan_lines)


def lines_covered(*, wall_rows_per_row: float | None, scan_lines: int) -> int:
    """Neighbouring scan lines whose mean a row is sure to catch.

    One where the optics are not known or a row is finer than a wall row; the whole wall rows that
    fit into a row otherwise (project choice: the part of a line at its rim is not counted on); all
    of them where a row spans a whole scan.

    Parameters
    ----------
    wall_rows_per_row
        Wall rows in one camera row, rho; None where the optics are not known.
    scan_lines
        Scan lines S.

    Returns
    -------
    int
        1..S.
    """
    if wall_rows_per_row is None:
        return 1
    return int(min(scan_lines, max(1.0, np.floor(wall_rows_per_row))))


def folded(cycles: ArrayLike) -> FloatArray:
    """Cycles per sample folded to -1/2..1/2, as sampling sees them."""
    value = np.asarray(cycles, dtype=np.float64)
    return np.asarray(value - np.round(value), dtype=np.float64)


def band_cycles_per_row(
    *, light_hz: ArrayLike, line_time_s: float, refresh_hz: float | None = None,
    wall_rows_per_row: float | None = None, scan_lines: int = 1, direction: int = 1,
) -> FloatArray:
    """Signed band frequency of a light at frequency f, in cycles per row.

    `d = f t_line -/+ round(f / R) rho / S`, folded to -1/2..1/2: the readout moves through the
    light's period, and the scan moves with it or against it. The bands repeat every `1 / |d|`
    rows; 0 is a level shift without bands. Exact for harmonics of the refresh R; for those of the
    frame between them it is the strongest of the lines that the restart of the scan makes.

    Parameters
    ----------
    light_hz
        Frequencies [Hz], any shape.
    line_time_s
        Line time [s], 0 for a global shutter.
    refresh_hz
        Refresh within a frame, one over the time all lines take [Hz]; None for a lamp.
    wall_rows_per_row
        Wall rows in one camera row; None where the optics are not known: every row is taken to
        see the same line.
    scan_lines, direction
        Scan lines S; 1 when scan and readout run the same way, -1, or 0 across.

    Returns
    -------
    ndarray
        Cycles per row, -1/2..1/2.
    """
    frequency = np.asarray(light_hz, dtype=np.float64)
    cycles = frequency * line_time_s
    if refresh_hz is not None and wall_rows_per_row is not None:
        cycles = cycles - (
            direction * np.round(frequency / refresh_hz) * wall_rows_per_row / scan_lines
        )
    return folded(cycles)


def roll_cycles_per_frame(*, light_hz: ArrayLike, camera_fps: float) -> FloatArray:
    """How far bands move from one frame to the next, in periods, folded to -1/2..1/2.

    Parameters
    ----------
    light_hz
        Frequencies of the light [Hz], any shape.
    camera_fps
        Camera's frame rate.

    Returns
    -------
    ndarray
        Periods per frame; 0: standing bands.

    Raises
    ------
    OutOfRangeError
        A rate that is not positive.
    """
    rate = require("camera_fps", camera_fps, "a rate above 0", above=0)
    return folded(np.asarray(light_hz, dtype=np.float64) / rate)
