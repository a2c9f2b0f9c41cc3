"""Shutter angles x frame rates x gray levels, worst over phase."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.sweep_blocks import Block, BlockFigures, answers, parts_of
from bandcheck.vision.level import Level

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Sweep", "sweep", "sweep_of_shots", "sweep_table"]

FloatArray = NDArray[np.float64]
Answers = Iterator[BlockFigures | str]
Progress = Callable[[Answers, int], Answers]


@dataclass(frozen=True, kw_only=True, slots=True)
class Sweep:
    """Figures of R rates, A angles and L levels.

    Attributes
    ----------
    rates, angles_deg, levels
        The axes; levels are signal 0..1.
    visibility
        V of the wall's bands, shape (R, A, L); NaN where the rate cannot be run.
    ripple
        Peak to peak over mean, all phases, shape (R, A, L).
    other_visibility
        Largest V of frame flicker and lamps, shape (R, A).
    severity
        Worst grade of everything at the levels, tears included, shape (R, A).
    refused
        Rates that cannot be run, and why.
    """

    rates: tuple[Fraction, ...]
    angles_deg: tuple[Fraction, ...]
    levels: tuple[float, ...]
    visibility: FloatArray
    ripple: FloatArray
    other_visibility: FloatArray
    severity: NDArray[np.int8]
    refused: dict[Fraction, str]

    @property
    def worst_level_index(self) -> NDArray[np.int64]:
        """Index of the level with the largest V, shape (R, A)."""
        return np.asarray(np.nan_to_num(self.visibility, nan=-1.0).argmax(axis=2))

    @property
    def worst_visibility(self) -> FloatArray:
        """Largest V of levels, flicker and lamps, shape (R, A)."""
        return np.asarray(np.maximum(self.visibility.max(axis=2), self.other_visibility))


def _at_rate(shot: Shot, rate: Fraction) -> Shot:
    """Shot at another rate; a wall or content that ran at the camera's rate goes along."""
    wall_fps = rate if shot.wall_fps == shot.fps else shot.wall_fps
    content_fps = wall_fps if shot.content_fps == shot.wall_fps else shot.content_fps
    return replace(
        shot, fps=rate, exposure_s=shot.angle_deg / (360 * rate), wall_fps=wall_fps,
        content_fps=content_fps,
    )


def sweep(
    shot: Shot, *, angles_deg: Sequence[Fraction], rates: Sequence[Fraction],
    levels: Sequence[float] | None = None, workers: int = 1, progress: Progress | None = None,
) -> Sweep:
    """Figures for all angles, rates and levels of a shot.

    Parameters
    ----------
    shot
        The shot; its own rate and angle are replaced. A wall that runs at the camera's rate goes
        along with it, and so does content that changes at the wall's rate.
    angles_deg
        Shutter angles [deg], shape (A,).
    rates
        Frame rates, shape (R,).
    levels
        Signal levels 0..1, shape (L,); None: those that decide.
    workers, progress
        As for `sweep_of_shots`.

    Returns
    -------
    Sweep
        A cell is what `assess` says of that setting's timing, to the last bit.

    Raises
    ------
    OutOfRangeError
        No rate at all can be run; the first one's reason.
    """
    shots: dict[Fraction, Shot | str] = {}
    for rate in rates:
        try:
            shots[rate] = _at_rate(shot, rate)
        except OutOfRangeError as error:
            shots[rate] = str(error)
    return sweep_of_shots(
        shots, angles_deg=angles_deg, levels=shot.levels if levels is None else levels,
        workers=workers, progress=progress,
    )


def sweep_of_shots(
    shots: Mapping[Fraction, Shot | str], *, angles_deg: Sequence[Fraction],
    levels: Sequence[float], workers: int = 1, progress: Progress | None = None,
) -> Sweep:
    """Figures for all angles and levels of a shot at each rate.

    Parameters
    ----------
    shots
        Shot at each frame rate, or why there is none; its own angle and levels are replaced.
    angles_deg
        Shutter angles [deg], shape (A,).
    levels
        Signal levels 0..1, shape (L,).
    workers
        Processes for a large sweep. More than one ask for a main module that may be imported again.
    progress
        Wraps the answers to the blocks of work as they come, given their number.

    Returns
    -------
    Sweep
        As from `sweep`.

    Raises
    ------
    OutOfRangeError
        No rate at all can be run; the first one's reason.
    """
    shape, chosen = (len(shots), len(angles_deg)), tuple(levels)
    result = Sweep(
        rates=tuple(shots), angles_deg=tuple(angles_deg), levels=chosen,
        visibility=np.full((*shape, len(chosen)), np.nan),
        ripple=np.full((*shape, len(chosen)), np.nan),
        other_visibility=np.full(shape, np.nan),
        severity=np.full(shape, Level.UNKNOWN.severity, dtype=np.int8),
        refused={rate: shot for rate, shot in shots.items() if isinstance(shot, str)},
    )
    places = [
        (index, part, replace(shot, levels=chosen))
        for index, shot in enumerate(shots.values()) if not isinstance(shot, str)
        for part in parts_of(len(angles_deg))
    ]
    blocks = [Block(shot=shot, angles_deg=result.angles_deg[part]) for _, part, shot in places]
    with answers(blocks, workers=workers) as found:
        told = progress(found, len(blocks)) if progress else found
        for (index, part, _), figures in zip(places, told, strict=True):
            if isinstance(figures, str):
                result.refused[result.rates[index]] = figures
                continue
            for name in ("visibility", "ripple", "other_visibility", "severity"):
                getattr(result, name)[index, part] = getattr(figures, name)
    if len(result.refused) == len(shots):
        raise OutOfRangeError(
            "rates", ", ".join(map(str, shots)), next(iter(result.refused.values()))
        )
    return result


def sweep_table(result: Sweep) -> "pd.DataFrame":
    """Sweep as a table: a row for each rate and angle.

    Parameters
    ----------
    result
        The sweep.

    Returns
    -------
    pandas.DataFrame
        Columns `fps` (text), `angle_deg`, `level`, `visibility`, `worst_signal_pct` and
        `ripple_pct_at_...` for each signal level.
    """
    import pandas as pd

    from bandcheck.timing.rates import rate_text

    rates, angles = len(result.rates), len(result.angles_deg)
    signal_pct = np.array(result.levels) * 100
    columns: dict[str, object] = {
        "fps": np.repeat([rate_text(rate) for rate in result.rates], angles),
        "angle_deg": np.tile([float(angle) for angle in result.angles_deg], rates),
        "level": [Level.of_severity(int(each)).value for each in result.severity.ravel()],
        "visibility": result.worst_visibility.ravel(),
        "worst_signal_pct": signal_pct[result.worst_level_index.ravel()],
    }
    for place, percent in enumerate(signal_pct):
        columns[f"ripple_pct_at_{percent:g}"] = 100 * result.ripple[..., place].ravel()
    return pd.DataFrame(columns)
