"""What a window on the light costs: in closed form, and by three ways that do without it."""

import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from stopwatch import best_of, growth

from bandcheck.light.led_drive import led_train, refresh_counts
from bandcheck.light.pulse_train import PulseTrain, window_light
from bandcheck.light.scan_timing import scan_timing

sys.path.append(str(Path(__file__).parents[1] / "support"))
from overlap_sum import ListedWall, exact_light, light_against_phase

__all__ = ["window_figures"]

FRAME_S, EXPOSURE_S = 1 / 24, 0.02


def _wall(refreshes: int) -> ListedWall:
    return ListedWall(
        wall_fps=Fraction(24), refreshes_per_frame=refreshes, scan_lines=16,
        counts_per_refresh=65536 // refreshes,
    )


def _train(wall: ListedWall, value: int) -> PulseTrain:
    timing = scan_timing(
        wall_fps=wall.wall_fps, refreshes_per_frame=wall.refreshes_per_frame,
        scan_lines=wall.scan_lines, counts_per_refresh=wall.counts_per_refresh,
    )
    counts = refresh_counts(
        value=value, refreshes_per_frame=wall.refreshes_per_frame, drive="spread"
    )
    return led_train(timing=timing, counts_per_refresh=wall.counts_per_refresh, counts=counts)


def _sampled(wall: ListedWall, train: PulseTrain, opened: NDArray[np.float64]) -> NDArray[
    np.float64
]:
    """The waveform at every gray-clock period of two frames, its running sum, and differences."""
    slots = wall.refreshes_per_frame * wall.scan_lines
    frame = np.zeros((slots, wall.counts_per_refresh), dtype=np.float64)
    for refresh, count in enumerate(train.counts[0]):
        frame[refresh * wall.scan_lines, :count] = train.count_s
    until = np.concatenate([[0.0], np.cumsum(np.tile(frame.ravel(), 2))])
    clock_hz = frame.size / FRAME_S
    first = np.round(np.mod(opened, FRAME_S) * clock_hz).astype(np.int64)
    return until[first + round(EXPOSURE_S * clock_hz)] - until[first]


def window_figures(*, quick: bool) -> dict[str, dict[str, float]]:
    """Nanoseconds for a window, and how many times that the other ways take."""
    found: dict[str, dict[str, float]] = {}
    counts = [10**4, 10**5, 10**6] if quick else [10**4, 10**5, 10**6, 10**7]
    wall = _wall(160)
    train, taken = _train(wall, 12399), []
    for count in counts:
        opened = np.random.default_rng(1).uniform(0, 0.1, count)
        exact = best_of(5, lambda: window_light(train, open_s=opened, exposure_s=EXPOSURE_S))  # noqa: B023
        written = best_of(5, lambda: np.full(count, 1.0))  # noqa: B023
        sampled = best_of(2, lambda: _sampled(wall, train, opened))  # noqa: B023
        taken.append(exact)
        found[f"{count:,} windows"] = {
            "ns_per_window": exact / count * 1e9, "times_the_write": exact / written,
            "sampled_waveform_times": sampled / exact,
        }
    found["windows, growth with their number"] = {"exponent": growth(counts, taken)}
    for refreshes in (80, 160, 320):
        found[f"a window by overlaps, {refreshes} refreshes"] = _against_overlaps(refreshes)
    return found


def _against_overlaps(refreshes: int) -> dict[str, float]:
    """A window in closed form against sums over every lit interval, in floats and in fractions."""
    wall = _wall(refreshes)
    train = _train(wall, 12399)
    opened = np.random.default_rng(1).uniform(0, FRAME_S, 2000)
    many = np.random.default_rng(1).uniform(0, FRAME_S, 200_000)
    exact = best_of(
        5, lambda: window_light(train, open_s=many, exposure_s=EXPOSURE_S)
    ) / many.size
    floats = best_of(2, lambda: light_against_phase(
        wall, 12399, phases_s=opened, exposure_s=EXPOSURE_S
    )) / opened.size
    fractions = best_of(2, lambda: [
        exact_light(wall, 12399, open_s=each, exposure_s=EXPOSURE_S) for each in opened[:20]
    ]) / 20
    return {
        "ns_per_window": exact * 1e9, "in_floats_times": floats / exact,
        "in_fractions_times": fractions / exact,
    }
