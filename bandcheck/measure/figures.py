"""From the pitch of bands to readout time, source frequency, roll, and what could be meant instead.

Rows of the sensor open one line time apart, so a light of frequency f draws `d = f t_line` bands a
row (physics: a rolling shutter samples the light once a line), folded to -1/2..1/2. Uncertainties
are one standard deviation and add in quadrature.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

import numpy as np

from bandcheck.errors import OutOfRangeError, require
from bandcheck.verdict.agreement import BandSource, Measured, Roll

__all__ = [
    "Rows", "aliases_hz", "matched", "readout_s", "refined_hz", "roll", "source_hz",
    "unturned",
]

_MOST_PERMUTED = 4
_SIGMAS = 3.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Rows:
    """How rows of a picture stand for rows of the sensor.

    Attributes
    ----------
    rows_read
        Rows that the sensor reads in this mode.
    sensor_rows
        Sensor rows in a row of the picture: above 1 in a picture made smaller.
    """

    rows_read: int
    sensor_rows: float


def readout_s(cycles_per_row: Measured, *, light_hz: Measured, rows: Rows) -> Measured:
    """Readout from the bands of a light of known frequency: rows read times `d / f`.

    Parameters
    ----------
    cycles_per_row
        Frequency of the bands in the picture.
    light_hz
        Frequency of the light [Hz].
    rows
        Rows of picture and sensor.

    Returns
    -------
    Measured
        First row's opening to last row's plus one row [s].

    Raises
    ------
    OutOfRangeError
        A frequency that is not above 0.
    """
    require("light_hz", light_hz.value, "a frequency above 0", above=0)
    line_s = cycles_per_row.value / rows.sensor_rows / light_hz.value
    return _scaled(rows.rows_read * line_s, cycles_per_row, light_hz)


def source_hz(cycles_per_row: Measured, *, readout: Measured, rows: Rows) -> Measured:
    """Frequency of the light from its bands and a known readout: `d / t_line`.

    Parameters
    ----------
    cycles_per_row
        Frequency of the bands in the picture.
    readout
        Readout [s].
    rows
        Rows of picture and sensor.

    Returns
    -------
    Measured
        The lowest frequency that draws such bands [Hz].

    Raises
    ------
    OutOfRangeError
        A readout that is not above 0.
    """
    require("readout", readout.value, "a time above 0", above=0)
    line_s = readout.value / rows.rows_read
    return _scaled(cycles_per_row.value / rows.sensor_rows / line_s, cycles_per_row, readout)


def _scaled(value: float, *factors: Measured) -> Measured:
    """A product or quotient of measured figures, their relative uncertainties in quadrature."""
    relative = np.sqrt(sum((each.uncertainty / each.value) ** 2 for each in factors))
    return Measured(value=value, uncertainty=float(abs(value) * relative))


def aliases_hz(
    cycles_per_row: Measured, *, readout: Measured, rows: Rows, count: int = 4
) -> tuple[Measured, ...]:
    """Other frequencies that draw the same bands: `|f - k / t|`, k = 1, 2, ... of either sign.

    Parameters
    ----------
    cycles_per_row, readout, rows
        As for `source_hz`.
    count
        How many are wanted, from the lowest up.

    Returns
    -------
    tuple of Measured
        Frequencies [Hz]. t is the time from one row of the picture to the next, so that what a
        smaller picture skips is counted in; averaging over rows makes aliases weaker, not absent.
    """
    row_s = readout.value / rows.rows_read * rows.sensor_rows
    row_hz = Measured(
        value=1 / row_s, uncertainty=readout.uncertainty / readout.value / row_s
    )
    found = []
    for fold in range(1, count // 2 + 2):
        for sign in (-1, 1):
            cycles = fold + sign * cycles_per_row.value
            own = Measured(value=cycles, uncertainty=cycles_per_row.uncertainty)
            found.append(_scaled(cycles * row_hz.value, own, row_hz))
    return tuple(found[:count])


def matched(
    sources: Sequence[BandSource], lights_hz: Sequence[Measured], *,
    expected_cycles_per_hz: float | None = None,
) -> tuple[tuple[int, int], ...]:
    """Which of the known lights is which of the sources in a picture.

    Parameters
    ----------
    sources
        What was found, the strongest first.
    lights_hz
        Known frequencies [Hz].
    expected_cycles_per_hz
        Row time of the picture, if it is known roughly [s].

    Returns
    -------
    tuple of (light, source)
        Places of as many pairs as there can be. Where the row time is known they come nearest to
        it; else several lights are matched so that the row times they give agree best, and a
        single pair is the first light and the strongest source.
    """
    count = min(len(sources), len(lights_hz), _MOST_PERMUTED)
    best, chosen = np.inf, tuple((place, place) for place in range(count))
    if count == 0 or (count == 1 and expected_cycles_per_hz is None):
        return chosen
    logs = np.log([
        [source.cycles_per_row.value / light.value for source in sources[:_MOST_PERMUTED]]
        for light in lights_hz[:_MOST_PERMUTED]
    ])
    for lights in combinations(range(len(logs)), count):
        for places in permutations(range(logs.shape[1]), count):
            own = logs[list(lights), list(places)]
            middle = own.mean() if expected_cycles_per_hz is None else (
                np.log(expected_cycles_per_hz)
            )
            off = float(((own - middle) ** 2).sum())
            if off < best:
                best, chosen = off, tuple(zip(lights, places, strict=True))
    return chosen


def roll(
    first: BandSource, second: BandSource, *, camera_fps: float, frames_apart: int = 1
) -> Roll:
    """Roll of the bands between two pictures of one camera, so many frames apart.

    At a row of the sensor the light's phase moves on by `f n / fps` from one picture to the other,
    which is known but for whole periods: `f = (k + cycles) fps / n`.

    Parameters
    ----------
    first, second
        The same source in both pictures, measured in rows of the same picture size.
    camera_fps
        Frame rate of the camera.
    frames_apart
        Frames from one picture to the other.

    Returns
    -------
    Roll
        Of a light that is not folded: above 0 where it runs faster than the nearest multiple.

    Raises
    ------
    OutOfRangeError
        Pitches that are not the same, or rates that are not positive.
    """
    rate = float(require("camera_fps", camera_fps, "a rate above 0", above=0))
    apart = float(require("frames_apart", frames_apart, "1 or more frames", at_least=1))
    cycles = _common_cycles(first, second)
    middle = (first.middle_row + second.middle_row) / 2
    phases = [
        each.phase.value + cycles.value * (middle - each.middle_row) for each in (first, second)
    ]
    between = first.middle_row - second.middle_row
    moved = phases[1] - phases[0]
    step = rate / apart
    found = Measured(
        value=moved - round(moved),
        uncertainty=float(np.sqrt(
            first.phase.uncertainty**2 + second.phase.uncertainty**2
            + (between * cycles.uncertainty) ** 2
        )),
    )
    return Roll(
        cycles=found, step_hz=step, difference_hz=Measured(
            value=found.value * step, uncertainty=found.uncertainty * step
        ),
    )


def _common_cycles(first: BandSource, second: BandSource) -> Measured:
    """Weighted mean of the two frequencies of bands; refuses two that differ."""
    one, other = first.cycles_per_row, second.cycles_per_row
    error = float(np.hypot(one.uncertainty, other.uncertainty))
    if abs(one.value - other.value) > max(5 * error, 1e-3 * one.value):
        raise OutOfRangeError(
            "band pitch", f"{1 / one.value:g} and {1 / other.value:g} rows",
            "two pictures of the same bands, so with the same pitch",
        )
    weights = np.array([1 / max(each.uncertainty, 1e-15) ** 2 for each in (one, other)])
    value = float(weights @ [one.value, other.value] / weights.sum())
    return Measured(value=value, uncertainty=float(1 / np.sqrt(weights.sum())))


def refined_hz(rough_hz: Measured, found: Roll) -> Measured | None:
    """Frequency of a light as exact as its roll, where the rough one leaves no choice.

    Parameters
    ----------
    rough_hz
        From `source_hz` [Hz].
    found
        Its roll.

    Returns
    -------
    Measured or None
        The multiple of `step_hz` nearest to the rough figure, plus the difference; None where
        three standard deviations of it reach the next multiple.
    """
    if _SIGMAS * rough_hz.uncertainty > found.step_hz / 2:
        return None
    whole = round((rough_hz.value - found.difference_hz.value) / found.step_hz)
    value = whole * found.step_hz + found.difference_hz.value
    if abs(value - rough_hz.value) > _SIGMAS * float(
        np.hypot(rough_hz.uncertainty, found.difference_hz.uncertainty)
    ):
        return None
    return Measured(value=value, uncertainty=found.difference_hz.uncertainty)


def unturned(upright: Measured, turned: Measured) -> tuple[tuple[Measured, Measured], ...]:
    """What bands would be if all rows saw the same scan line, from a camera turned over.

    A wall lights its lines in turn, so a row that sees another line sees it earlier or later, and
    the count of bands shifts: `d = f t_line - x` upright, `f t_line + x` with the camera upside
    down, where x is the shift (physics: `round(f / R) rho / S`). Their sizes alone are seen.

    Parameters
    ----------
    upright, turned
        Frequency of the bands in each picture [cycles per row].

    Returns
    -------
    tuple of (cycles, shift)
        First the reading in which the shift is the smaller of the two, then the other one.
    """
    error = float(np.hypot(upright.uncertainty, turned.uncertainty)) / 2
    half_sum = Measured(value=(upright.value + turned.value) / 2, uncertainty=error)
    half_difference = Measured(value=abs(turned.value - upright.value) / 2, uncertainty=error)
    return (half_sum, half_difference), (half_difference, half_sum)
