"""What a cell costs: an exposure and gray level with V and ripple over every phase."""

import resource
import time
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
from demo import demo_shot
from stopwatch import best_of, growth

from bandcheck.verdict import met_light
from bandcheck.verdict.sweep import sweep
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["cell_figures", "sweep_figures"]

RATES = (24, 25, 30, 36, 40, 48, 50, 60, 12, 18, 20, 28)


def _cells(*, refreshes: int, levels: int, angles: int, optics: bool) -> float:
    """Processor time [s] of cells of which nothing is kept from before."""
    shot = demo_shot(optics=optics)
    wall = replace(shot.wall, refreshes_per_frame=refreshes, refresh_hz=None, rated_fps=None)
    exposure = np.arange(1, angles + 1) / (24 * angles)

    def work() -> None:
        met_light.forget()
        wall_cells(
            replace(shot, wall=wall), levels=np.linspace(1, 0.05, levels), exposure_s=exposure
        )

    return best_of(2, work)


def cell_figures(*, quick: bool) -> dict[str, dict[str, float]]:
    """Cells a second against refreshes, levels and angles, and how the time grows with each."""
    axes: dict[str, Sequence[int]] = {
        "refreshes": (40, 80, 160, 320), "levels": (2, 4, 8, 16), "angles": (180, 360, 720, 1440),
    }
    found: dict[str, dict[str, float]] = {}
    for optics in (False, True):
        seen = "different lines" if optics else "the same line"
        for axis, sizes in axes.items():
            taken = []
            for size in sizes[1:] if quick else sizes:
                ask = {"refreshes": 160, "levels": 4, "angles": 360, axis: size}
                taken.append(_cells(**ask, optics=optics))
                found[f"cells of rows on {seen}, {size} {axis}"] = {
                    "cells_per_s": ask["levels"] * ask["angles"] / taken[-1]
                }
            found[f"cells of rows on {seen}, growth with {axis}"] = {
                "exponent": growth(sizes[-len(taken):], taken)
            }
    return found


def sweep_figures(*, quick: bool) -> dict[str, dict[str, float]]:
    """A sweep of 3,600 angles, 12 rates and 16 levels, or a part of it, in one process and two."""
    rates = [Fraction(each) for each in (RATES[:2] if quick else RATES)]
    angles = [Fraction(tenth, 10) for tenth in range(1, 3601)]
    levels = tuple(np.linspace(1, 0.05, 16)[:: 4 if quick else 1].tolist())
    found = {}
    for workers in (1, 2):
        start = time.perf_counter()
        sweep(demo_shot(), angles_deg=angles, rates=rates, levels=levels, workers=workers)
        seconds = time.perf_counter() - start
        found[f"sweep {len(angles)} x {len(rates)} x {len(levels)}, {workers} at work"] = {
            "seconds": seconds,
            "cells_per_s": len(angles) * len(rates) * len(levels) / seconds,
            "peak_mb": max(
                resource.getrusage(who).ru_maxrss
                for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
            ) / 1024,
        }
    return found
