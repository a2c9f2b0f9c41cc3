"""Visibility from sums of overlaps, filtered numerically round a ring of rows.

Overlaps are added up at a fine grid of phases over the whole cycle, the samples filtered with
colour-science's Barten 1999. Line times are such that whole rows fill a cycle: phases one row
apart form a closed ring, on which the filter, a function of cycles per row alone, acts as it
stands. All harmonics to infinity are in. Nothing of the program is used.
"""

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
from overlap_sum import ListedWall, cycle_s, light_against_phase, mean_light
from second_opinion import colour_science

ROWS = 2160
PEAK_NITS, FLARE_NITS = 100.0, 0.05
HEIGHT_DEG = 2 * math.degrees(math.atan(1 / 6))  # seen from 3 picture heights
WIDTH_DEG = 2 * math.degrees(math.atan(16 / 9 / 6))

STUDIO = ListedWall(
    wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
)
EIGHTY = replace(STUDIO, refreshes_per_frame=80, counts_per_refresh=819)
MANY = replace(STUDIO, refreshes_per_frame=320, counts_per_refresh=204)


def sensitivity_of_colour_science(cycles_per_degree, luminance_nits):
    sensitivity = np.zeros_like(cycles_per_degree)  # its limit at frequency 0
    seen = cycles_per_degree > 0
    eye = colour_science().contrast
    pupil = eye.pupil_diameter_Barten1999(luminance_nits, WIDTH_DEG, WIDTH_DEG)
    sensitivity[seen] = eye.contrast_sensitivity_function_Barten1999(
        cycles_per_degree[seen], sigma=eye.sigma_Barten1999(0.5 / 60, 0.08 / 60, pupil),
        E=eye.retinal_illuminance_Barten1999(luminance_nits, pupil, True),
        X_0=WIDTH_DEG, Y_0=WIDTH_DEG, p=1.2274e6,
    )
    return sensitivity


def viewer_weight(cycles_per_row, luminance_nits, standing):
    """Sensitivity that meets bands of a pitch, flare added to the luminance."""
    cycles_per_degree = cycles_per_row * ROWS / HEIGHT_DEG
    if not standing:  # the largest from there up: S rises to one maximum and falls
        grid = np.linspace(0.01, 30, 30_000)
        best = grid[sensitivity_of_colour_science(grid, luminance_nits + FLARE_NITS).argmax()]
        cycles_per_degree = np.maximum(cycles_per_degree, best)
    return sensitivity_of_colour_science(cycles_per_degree, luminance_nits + FLARE_NITS)


def rows_in_cycle(wall):
    """Rows of about 3.7 us that fill the wall's cycle; 11 250 at 24 fps: 2160 take 8 ms."""
    return max(400, round(float(cycle_s(wall)) / (8e-3 / ROWS)))


def sampled_visibility(wall, value, exposure_s, level, *, standing=True):
    """Visibility from overlaps at a grid of phases, refined around the worst one."""
    rows, luminance = rows_in_cycle(wall), PEAK_NITS * level
    line_time_s = float(cycle_s(wall)) / rows
    weight = viewer_weight(np.arange(rows // 2 + 1) / rows, luminance, standing)
    mean = float(mean_light(wall, value, exposure_s=exposure_s))
    visibility, first, last = 0.0, 0.0, 1.0
    for _ in range(2):
        parts = np.linspace(first, last, 25)
        phases = (np.arange(rows)[:, None] + parts) * line_time_s
        light = light_against_phase(
            wall, value, phases_s=phases.ravel(), exposure_s=exposure_s
        ).reshape(phases.shape)
        spectrum = np.fft.rfft(light / mean - 1, axis=0) * weight[:, None]
        crests = np.abs(np.fft.irfft(spectrum, rows, axis=0)).max(axis=0)
        visibility = max(visibility, crests.max())
        worst, step = parts[crests.argmax()], (last - first) / 24
        first, last = worst - step, worst + step
    return visibility * luminance / (luminance + FLARE_NITS)


def value_at(wall, level):
    """Counts of a signal level through BT.1886."""
    return round(level**2.4 * wall.full_scale)
