"""Timing bands of one setting, level by level."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.rolling_shutter import roll_cycles_per_frame
from bandcheck.light.led_drive import lit_refreshes
from bandcheck.light.pulse_train import single_level
from bandcheck.light.window_transfer import largest_window_transfer
from bandcheck.shoot.shot import DARK_LEVELS, Shot
from bandcheck.verdict.light_cases import LightCase, light_cases, primaries
from bandcheck.verdict.light_harmonics import Harmonics, level_harmonics
from bandcheck.verdict.lowest_level import lowest_safe_levels
from bandcheck.verdict.recorded_rows import (
    frames_in_pattern,
    linear_levels,
    pwm_brightness,
    recorded_rows,
)
from bandcheck.verdict.row_sampling import exposure_used_s, row_sampling
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.just_noticeable import displayed_luminance_nits

__all__ = ["BandingReport", "LevelFigures", "banding_report", "shown_levels"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class LevelFigures:
    """Timing bands at one gray level.

    Attributes
    ----------
    signal
        Signal level 0..1.
    counts
        Counts that show it, in the first case and colour.
    decides
        Whether the verdict is over this level.
    ripple, modulation, stops
        Peak to peak over mean, flicker modulation index and log2(Emax / Emin) over all phases;
        stops None where a row may stay dark.
    visibility
        V, the worst of cases, colours and tolerances.
    effective_refresh_hz
        Refreshes a second that light at this level, in the case and colour that decided.
    strongest_hz
        Frequency that counts most in V; None where there is no ripple.
    frame_ripple
        Peak to peak over the mean in time, in the frames at the phase given or at phase 0.
    colour
        Colour that decided: "white", or one of the primaries.
    """

    signal: float
    counts: int
    decides: bool
    ripple: float
    modulation: float
    stops: float | None
    visibility: float
    effective_refresh_hz: float
    strongest_hz: float | None
    frame_ripple: float
    colour: str


@dataclass(frozen=True, kw_only=True, slots=True)
class BandingReport:
    """Timing bands of one setting.

    Attributes
    ----------
    levels
        Brightest first.
    case
        The way in which the wall pulses that decided.
    visibility, nominal_visibility
        V of the worst level that decides, inside the tolerances and at the nominal rates.
    standing
        Whether all bands that count stand still.
    band_pitch_rows, bands_per_frame
        Of the strongest harmonic at the deciding level; None where the optics are not known or
        there are none.
    roll_hz
        Bands of the strongest harmonic that pass a place in the picture each second.
    lowest_safe_level
        Signal from which up the setting stays safe; None: not even white is.
    """

    levels: tuple[LevelFigures, ...]
    case: LightCase
    visibility: float
    nominal_visibility: float
    standing: bool
    band_pitch_rows: float | None
    bands_per_frame: float | None
    roll_hz: float | None
    lowest_safe_level: float | None


def shown_levels(levels: Sequence[float]) -> tuple[float, ...]:
    """Levels that decide and the dark ones that are always shown, brightest first."""
    return tuple(sorted({*levels, *DARK_LEVELS}, reverse=True))


def _counts(
    shot: Shot, case: LightCase, colour: tuple[float, int], level: float
) -> NDArray[np.int64]:
    """Counts of one colour and level, shape (1,)."""
    light = linear_levels(shot, np.array([level]))
    return case.counts(light, pwm_share=pwm_brightness(shot) * colour[0])


def _harmonics(
    shot: Shot, case: LightCase, colour: tuple[float, int], level: float
) -> Harmonics | None:
    counts = _counts(shot, case, colour, level)
    if counts[0] == 0:
        return None
    train = next(single_level(case.train(counts, min_pulse_counts=colour[1])))
    viewing = shot.viewing
    shown = displayed_luminance_nits(
        linear_level=linear_levels(shot, np.array([level])), peak_nits=viewing.peak_nits,
        push_stops=viewing.push_stops,
    )
    return level_harmonics(
        train, case=case, rows=row_sampling(shot), luminance_nits=float(shown[0]), viewing=viewing
    )


def _strongest(shot: Shot, harmonics: Harmonics | None) -> int | None:
    """Index of the harmonic that counts most in V; None where nothing ripples."""
    if harmonics is None:
        return None
    transfer = largest_window_transfer(
        harmonics.light_hz * exposure_used_s(shot), tolerance=row_sampling(shot).rate_tolerance
    )
    weight = np.abs(harmonics.relative * transfer) * harmonics.sensitivity
    strongest = int(weight.argmax())
    # Rounding leaves a trace in every null; nobody sees a millionth of the threshold.
    return strongest if weight[strongest] > 1e-6 else None


def _effective_refresh_hz(case: LightCase, counts: NDArray[np.int64], shortest: int) -> float:
    rate = 1 / case.timing.cycle_s
    if case.drive != "spread":
        return case.timing.refreshes * rate if counts[0] else 0.0
    return rate * float(lit_refreshes(
        counts, refreshes_per_frame=case.timing.refreshes, min_pulse_counts=shortest
    )[0])


def _frame_ripple(shot: Shot, case: LightCase, levels: FloatArray) -> FloatArray:
    """Peak to peak over the mean in time of the rows of any frame in the pattern, shape (L,)."""
    widest = np.zeros(len(levels))
    for frame in range(frames_in_pattern(shot)):
        for light in recorded_rows(shot, case=case, levels=levels, frame=frame).values():
            widest = np.maximum(widest, light.max(axis=1) - light.min(axis=1))
    return widest


def banding_report(shot: Shot) -> BandingReport:
    """Timing bands of a shot, at the levels that decide and at the dark ones.

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    BandingReport
        Figures; the verdict on them is `assess`'s.
    """
    cases, colours = light_cases(shot.wall, shot.wall_fps), primaries(shot.wall)
    levels, exposure = shown_levels(shot.levels), exposure_used_s(shot)
    cells = wall_cells(shot, levels=levels, exposure_s=[exposure], cases=cases)
    deciding = [levels.index(level) for level in shot.levels]
    worst = max(deciding, key=lambda index: cells.visibility[index, 0])
    case = cases[cells.worst_case[worst, 0]]
    names = list(colours)
    frame_ripple = _frame_ripple(shot, case, np.array(levels))
    figures, strongest_of = [], {}
    for index, level in enumerate(levels):
        name = names[cells.worst_colour[index, 0]]
        own_case = cases[cells.worst_case[index, 0]]
        harmonics = _harmonics(shot, own_case, colours[name], level)
        strongest = _strongest(shot, harmonics)
        strongest_of[index] = (harmonics, strongest)
        low, high = cells.lowest[index, 0], cells.highest[index, 0]
        figures.append(LevelFigures(
            signal=level, counts=int(cells.counts[index]), decides=index in deciding,
            ripple=float(cells.ripple[index, 0]), modulation=float(cells.modulation[index, 0]),
            stops=float(np.log2(high / low)) if low > 0 else None,
            visibility=float(cells.visibility[index, 0]),
            effective_refresh_hz=_effective_refresh_hz(
                own_case, _counts(shot, own_case, colours[name], level), colours[name][1]
            ),
            strongest_hz=None if harmonics is None or strongest is None
            else float(harmonics.light_hz[strongest]),
            frame_ripple=float(frame_ripple[index]), colour=name,
        ))
    lowest = float(lowest_safe_levels(shot, exposure_s=np.array([exposure]), cases=cases)[0])
    geometry = _geometry(shot, *strongest_of[worst])
    return BandingReport(
        levels=tuple(figures), case=case, visibility=float(cells.visibility[worst, 0]),
        nominal_visibility=_nominal_visibility(
            shot, case, levels[worst], float(cells.visibility[worst, 0])
        ),
        lowest_safe_level=None if np.isnan(lowest) else lowest,
        **geometry,
    )


def _nominal_visibility(shot: Shot, case: LightCase, level: float, visibility: float) -> float:
    """V at the nominal rates, which is V itself where nothing is uncertain about them."""
    if row_sampling(shot).rate_tolerance == 0:
        return visibility
    nominal = wall_cells(
        shot, levels=[level], exposure_s=[exposure_used_s(shot)], cases=[case], nominal=True,
        extremes=False,
    )
    return float(nominal.visibility[0, 0])


class _Geometry(TypedDict):
    """Pitch, number and roll of the bands of the strongest harmonic."""

    standing: bool
    band_pitch_rows: float | None
    bands_per_frame: float | None
    roll_hz: float | None


def _geometry(shot: Shot, harmonics: Harmonics | None, strongest: int | None) -> _Geometry:
    rows = row_sampling(shot)
    if harmonics is None or strongest is None:
        return {
            "standing": True, "band_pitch_rows": None, "bands_per_frame": None, "roll_hz": None,
        }
    per_row = abs(float(harmonics.cycles_per_row[strongest]))
    known = rows.wall_rows_per_row is not None
    fps = float(shot.fps)
    roll = float(roll_cycles_per_frame(light_hz=harmonics.light_hz[strongest], camera_fps=fps))
    standing = bool(harmonics.standing[strongest])
    return {
        "standing": standing,
        "band_pitch_rows": 1 / per_row if known and per_row > 0 else None,
        "bands_per_frame": per_row * rows.rows_px if known else None,
        "roll_hz": 0.0 if standing else abs(roll) * fps,
    }
