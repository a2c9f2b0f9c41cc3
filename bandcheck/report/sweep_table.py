"""A sweep as text of 80 columns, CSV, NPZ and one JSON object."""

import io

import numpy as np

from bandcheck.report.rounding import angle_text, rate_words, visibility_text
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.range_search import runs_of_true
from bandcheck.verdict.sweep import Sweep, sweep_table
from bandcheck.vision.level import Level

__all__ = ["sweep_csv", "sweep_json", "sweep_npz", "sweep_text"]

_MOST_RUNS = 12


def sweep_csv(result: Sweep) -> str:
    """Row for each rate and angle; every cell is a number, a rate or a level: no formula."""
    return sweep_table(result).to_csv(index=False, lineterminator="\n")


def sweep_json(result: Sweep) -> dict[str, object]:
    """Sweep as one object (schema `bandcheck.sweep/1`): axes, and a row for each rate and angle."""
    rates, angles, signal = result.rates, result.angles_deg, 100 * np.array(result.levels)
    worst, visibility = signal[result.worst_level_index], result.worst_visibility
    return {
        "schema": "bandcheck.sweep/1", "rates": [rate_text(rate) for rate in rates],
        "angles_deg": [float(angle) for angle in angles], "signal_pct": signal,
        "rows": [
            {
                "fps": rate_text(rates[rate]), "angle_deg": float(angles[angle]),
                "level": Level.of_severity(int(result.severity[rate, angle])).value,
                "visibility": float(visibility[rate, angle]),
                "worst_signal_pct": float(worst[rate, angle]),
                "ripple_pct": 100 * result.ripple[rate, angle],
            }
            for rate, angle in np.ndindex(result.severity.shape)
        ],
        "refused": {rate_text(rate): why for rate, why in result.refused.items()},
    }


def sweep_npz(result: Sweep) -> bytes:
    """Arrays of a sweep as numpy keeps them; text only as fixed-width text, nothing pickled."""
    kept = io.BytesIO()
    np.savez_compressed(
        kept, rates=np.array([rate_text(rate) for rate in result.rates]),
        angles_deg=np.array([float(angle) for angle in result.angles_deg]),
        signal=np.array(result.levels), visibility=result.visibility, ripple=result.ripple,
        other_visibility=result.other_visibility, severity=result.severity,
    )
    return kept.getvalue()


def _runs(result: Sweep, row: int) -> str:
    """Swept angles of a rate that are safe, neighbours as one range."""
    first, last = runs_of_true(result.severity[row] == Level.SAFE.severity)
    told = [
        angle_text(result.angles_deg[low]) if low == high
        else f"{angle_text(result.angles_deg[low])} to {angle_text(result.angles_deg[high])}"
        for low, high in zip(first[:_MOST_RUNS], last[:_MOST_RUNS], strict=True)
    ]
    more = f", and {first.size - _MOST_RUNS} more" if first.size > _MOST_RUNS else ""
    return ", ".join(told) + more


def sweep_text(result: Sweep, *, limits: tuple[float, float]) -> str:
    """For each rate the swept angles that are safe, or the quietest of them.

    Parameters
    ----------
    result
        The sweep.
    limits
        Limits of visibility.

    Returns
    -------
    str
        A paragraph for each rate.
    """
    lines = []
    for row, rate in enumerate(result.rates):
        name = f"{rate_words(rate)} frames/s:"
        if rate in result.refused:
            lines.append(f"{name} cannot be run: {result.refused[rate]}")
        elif np.isnan(result.worst_visibility[row]).all():
            lines.append(f"{name} unknown")
        else:
            safe = (result.severity[row] == Level.SAFE.severity).any()
            found = f"safe at {_runs(result, row)}" if safe else "no swept angle is safe"
            quiet = int(np.lexsort((result.worst_visibility[row], result.severity[row]))[0])
            value = visibility_text(float(result.worst_visibility[row, quiet]), limits=limits)
            lines.append(
                f"{name} {found}; the quietest is {angle_text(result.angles_deg[quiet])}, V {value}"
            )
    return "\n".join([
        *lines, "", "Timing alone, at the swept angles; between them others may be safe or not.",
    ])
