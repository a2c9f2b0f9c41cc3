"""Rows of the map of shutter settings, a frame rate at a time: a long map shows growth."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.card_shutters import map_exposures_s
from bandcheck.verdict.sweep import sweep_of_shots
from bandcheck.vision.level import Level
from dashboard.state import Asked, shot_at

__all__ = ["Columns", "map_columns", "map_levels", "map_order", "map_rates", "map_row"]

Row = dict[str, Any]
"""One rate of the map as plain values that a browser can hold."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Columns:
    """Rates and shutter settings of a map.

    Attributes
    ----------
    shots
        Shot at each rate, or why there is none.
    exposures_s
        For each rate the exposure of every column [s]; None where it does not fit the frame.
    """

    shots: tuple[Shot | str, ...]
    exposures_s: tuple[tuple[Fraction | None, ...], ...]


def map_rates(asked: Asked) -> tuple[Fraction, ...]:
    """Rates of the map, rising: those to compare, and the shot's own."""
    own = () if asked.shot is None else (asked.shot.fps,)
    return tuple(sorted({*asked.rates, *own}))


def map_order(rates: Sequence[Fraction], own: Fraction) -> list[int]:
    """Order in which the rates of a map are computed: the shot's own first, then the nearest."""
    return sorted(range(len(rates)), key=lambda index: abs(rates[index] - own))


def map_levels(shot: Shot, chosen: str) -> tuple[float, ...]:
    """Gray levels that a map is over: the one chosen, or all that decide.

    Parameters
    ----------
    shot
        The shot.
    chosen
        Signal level in %, as in `f"{100 * level:g}"`, or anything else for all.

    Returns
    -------
    tuple of float
        Signal levels 0..1.
    """
    return tuple(each for each in shot.levels if f"{100 * each:g}" == chosen) or shot.levels


def map_columns(given: Given, rates: Sequence[Fraction]) -> Columns:
    """Shots and shutter settings of a map: the same settings of the dial at each rate.

    Parameters
    ----------
    given
        The question.
    rates
        Frame rates; the question's own among them.

    Returns
    -------
    Columns
        The dial's own steps nearest to the wanted one.
    """
    shots = tuple(shot_at(given, rate) for rate in rates)
    runs = [shot for shot in shots if isinstance(shot, Shot)]
    wanted_first = sorted(runs, key=lambda shot: shot.fps != given.fps)
    found = dict(zip(
        [shot.fps for shot in wanted_first],
        map_exposures_s(wanted_first, [None] * len(wanted_first)), strict=True,
    ))
    width = max(map(len, found.values()), default=0)
    return Columns(shots=shots, exposures_s=tuple(
        found[shot.fps] if isinstance(shot, Shot) else (None,) * width for shot in shots
    ))


def map_row(columns: Columns, *, index: int, fps: Fraction, levels: Sequence[float]) -> Row:
    """One rate of a map.

    Parameters
    ----------
    columns
        From `map_columns`.
    index
        Which rate.
    fps
        The rate itself [frames/s].
    levels
        Signal levels 0..1 that decide.

    Returns
    -------
    dict
        `fps`, `refused`, and a list for each of `angle_deg`, `exposure_s`, `visibility`, `level`
        and `worst_signal_pct` with an element for each column, None where there is no setting.
    """
    shot, exposures = columns.shots[index], columns.exposures_s[index]
    row: Row = {"fps": rate_text(fps), "refused": shot if isinstance(shot, str) else None}
    lists: dict[str, list[Any]] = {
        key: [None] * len(exposures)
        for key in ("angle_deg", "exposure_s", "visibility", "level", "worst_signal_pct")
    }
    if isinstance(shot, Shot):
        places = [place for place, each in enumerate(exposures) if each is not None]
        angles = [360 * fps * each for each in exposures if each is not None]
        found = sweep_of_shots({fps: shot}, angles_deg=angles, levels=levels)
        for column, place in enumerate(places):
            lists["angle_deg"][place] = float(angles[column])
            lists["exposure_s"][place] = str(exposures[place])
            lists["visibility"][place] = float(found.worst_visibility[0, column])
            lists["level"][place] = Level.of_severity(int(found.severity[0, column])).value
            worst = found.levels[int(found.worst_level_index[0, column])]
            lists["worst_signal_pct"][place] = 100 * worst
    return {**row, **lists}
