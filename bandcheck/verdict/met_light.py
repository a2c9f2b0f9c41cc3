"""The light of one gray level as rows and viewer meet it, whatever the exposure."""

from functools import lru_cache

import numpy as np

from bandcheck.hazards.row_bands import PHASES, RowLight, row_light
from bandcheck.imaging.rolling_shutter import lines_covered
from bandcheck.light.pulse_train import PulseTrain, repeated_train, single_level
from bandcheck.light.row_ring import ring_cycles, samples_of_lines
from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.light_cases import LightCase
from bandcheck.verdict.light_harmonics import (
    bands_of_lines,
    softening_of_lines,
    standing_harmonics,
    standing_pattern,
    viewer_weight,
)
from bandcheck.verdict.row_sampling import RowSampling

__all__ = ["forget", "level_train", "met_light", "sample_s"]

_KEPT, _KEPT_OF_LINES = 64, 8
"""Lights that are kept, with everything about them that no exposure changes: as many as the levels
of `lowest_safe_levels` and what `settings` tries beside, as a rule a megabyte each at the most;
fewer where each takes several. Project choice."""


def level_train(case: LightCase, *, value: int, min_pulse_counts: int) -> PulseTrain:
    """Train of one gray value, in its shortest cycle."""
    train = case.train(np.array([value]), min_pulse_counts=min_pulse_counts)
    return next(single_level(train))


def met_light(
    case: LightCase, rows: RowSampling, viewing: Viewing, *, value: int, min_pulse_counts: int,
    luminance_nits: float,
) -> RowLight:
    """The light of one gray value on a ring of rows, as a viewer meets it.

    Parameters
    ----------
    case, rows, viewing
        Wall, camera and viewer; what tolerances say is not looked at, but for the readout's.
    value
        Counts of the level, above 0.
    min_pulse_counts
        Shortest pulse of its colour.
    luminance_nits
        Luminance at which the level is displayed, without flare [cd/m2].

    Returns
    -------
    RowLight
        For `row_visibility`, all aliases included.
    """
    ring = _one_line if rows.wall_rows_per_row is None else _lines
    return ring(case, rows, viewing, value, min_pulse_counts, luminance_nits)


def forget() -> None:
    """Let go of all lights that are kept: their memory, or what a measurement must not find."""
    _one_line.cache_clear()
    _lines.cache_clear()


def sample_s(case: LightCase, rows: RowSampling) -> float:
    """Time between the samples of a light whose cycle is the wall's [s].

    Exposures that are whole numbers of it need no transform of their own.

    Parameters
    ----------
    case, rows
        Wall, and a camera whose rows open one after another or whose optics are known.
    """
    cycle_s = case.timing.cycle_s
    if rows.wall_rows_per_row is not None:
        return cycle_s / _line_samples(cycle_s, case, rows)
    _, ring_rows = ring_cycles(
        cycle_s=cycle_s, line_time_s=rows.line_time_s, most=1,
        rows_in=standing_pattern(case, rows, 1) or 1,
    )
    return cycle_s / (ring_rows * PHASES)


@lru_cache(maxsize=_KEPT)
def _one_line(
    case: LightCase, rows: RowSampling, viewing: Viewing, value: int, min_pulse_counts: int,
    luminance_nits: float,
) -> RowLight:
    """Every row sees the same scan line: the ring is one of the rows."""
    train = level_train(case, value=value, min_pulse_counts=min_pulse_counts)
    repeats = round(case.timing.cycle_s / train.cycle_s)
    pattern = standing_pattern(case, rows, repeats)
    if pattern is not None and pattern > 1:
        # Only some harmonics stand still: the ring is a frame, in which they can be told apart.
        train, repeats = repeated_train(train, repeats), 1
    cycles, ring_rows = ring_cycles(
        cycle_s=train.cycle_s, line_time_s=rows.line_time_s, most=repeats, rows_in=pattern or 1
    )
    number = np.arange(ring_rows // 2 + 1)
    standing = standing_harmonics(ring_rows // 2 + 1, pattern)
    return row_light(
        repeated_train(train, cycles), rows=ring_rows, sensitivity=viewer_weight(
            cycles_per_row=number / ring_rows, standing=standing, rows_px=rows.rows_px,
            luminance_nits=luminance_nits, viewing=viewing, tolerance=rows.readout_tolerance,
        ),
    )


@lru_cache(maxsize=_KEPT_OF_LINES)
def _lines(
    case: LightCase, rows: RowSampling, viewing: Viewing, value: int, min_pulse_counts: int,
    luminance_nits: float,
) -> RowLight:
    """Rows see different lines: the ring is one of samples, after which the bands recur."""
    train = level_train(case, value=value, min_pulse_counts=min_pulse_counts)
    samples = _line_samples(train.cycle_s, case, rows)
    pattern = standing_pattern(case, rows, round(case.timing.cycle_s / train.cycle_s))
    light_hz = np.arange(samples // 2 + 1) / train.cycle_s
    _, sensitivity = bands_of_lines(
        light_hz, case=case, rows=rows, luminance_nits=luminance_nits, viewing=viewing,
        standing=standing_harmonics(samples // 2 + 1, pattern),
    )
    covered = lines_covered(
        wall_rows_per_row=rows.wall_rows_per_row, scan_lines=case.timing.scan_lines
    )
    return row_light(
        train, rows=samples, phases=1,
        delays_s=tuple((np.arange(covered) * case.timing.slot_s).tolist()),
        sensitivity=sensitivity * softening_of_lines(light_hz, case=case, rows=rows),
    )


def _line_samples(cycle_s: float, case: LightCase, rows: RowSampling) -> int:
    timing, coupling = case.timing, rows.wall_rows_per_row or 0.0
    return samples_of_lines(
        least=PHASES * cycle_s / (rows.line_time_s or timing.slot_s),
        rows=cycle_s / rows.line_time_s if rows.line_time_s else np.inf,
        waves=1 / (timing.refresh_hz * cycle_s),
        lines_per_row=rows.direction * coupling / timing.scan_lines,
        multiple_of=standing_pattern(case, rows, round(timing.cycle_s / cycle_s)) or 1,
    )
