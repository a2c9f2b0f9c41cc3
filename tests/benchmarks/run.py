"""Measured figures, as ratios within one run: what the project claims about its speed.

    python3 tests/benchmarks/run.py            a table
    python3 tests/benchmarks/run.py --json     one JSON object

Nothing here decides a test: machines differ, and ratios say on which side the time goes.
"""

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from fractions import Fraction

import numpy as np

from bandcheck.light.led_drive import led_train, refresh_counts
from bandcheck.light.pulse_train import window_light
from bandcheck.light.scan_timing import scan_timing
from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Optics, Shot
from bandcheck.verdict.moire_map import moire_map
from bandcheck.verdict.sweep import sweep

DEMO = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")
COMMANDS = {
    "check": ("check", *DEMO),
    "settings": ("settings", *DEMO),
    "change": ("change", *DEMO, "--to-fps", "48"),
    "card": ("card", *DEMO, "--rates", "24,25,30,48,50"),
}


def best_of(times: int, work: Callable[[], object]) -> float:
    """Shortest of some runs [s]."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def cold(*arguments: str) -> float:
    """Shortest time of a fresh interpreter [s]."""
    return best_of(5, lambda: subprocess.run(
        [sys.executable, *arguments], check=False, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ))


def demo_shot() -> Shot:
    """Shot of the demo stage at 24 frames/s."""
    rate = Fraction(24)
    return Shot(
        wall=load_wall("stage-main-2.6"), camera=load_camera("cine-a-wide"), fps=rate,
        wall_fps=rate, content_fps=rate, exposure_s=Fraction(1, 50),
        optics=Optics(focal_mm=35, f_number=2.8, distance_mm=6000, focus_mm=4000),
    )


def windows(count: int) -> dict[str, float]:
    """Closed form per window against merely writing the result."""
    timing = scan_timing(
        wall_fps=Fraction(24), refreshes_per_frame=160, scan_lines=16, counts_per_refresh=409
    )
    train = led_train(
        timing=timing, counts_per_refresh=409,
        counts=refresh_counts(value=12399, refreshes_per_frame=160, drive="spread"),
    )
    opened = np.random.default_rng(1).uniform(0, 0.1, count)
    exact = best_of(3, lambda: window_light(train, open_s=opened, exposure_s=0.02))
    target = np.empty(count)
    written = best_of(3, lambda: target.fill(1.0))
    return {"ns_per_window": exact / count * 1e9, "times_the_write": exact / written}


def large_sweep() -> dict[str, float]:
    """3,600 angles x 12 rates x 16 levels, with visibility, ripple and grade in every cell."""
    rates = [Fraction(each) for each in (24, 25, 30, 36, 40, 48, 50, 60, 12, 18, 20, 28)]
    angles = [Fraction(tenth, 10) for tenth in range(1, 3601)]
    levels = tuple(np.linspace(1, 0.05, 16).tolist())
    start = time.perf_counter()
    sweep(demo_shot(), angles_deg=angles, rates=rates, levels=levels, workers=2)
    return {
        "seconds": time.perf_counter() - start,
        "peak_mb": max(
            resource.getrusage(who).ru_maxrss
            for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        ) / 1024,
    }


def figures() -> dict[str, dict[str, float]]:
    """All measurements by name."""
    numpy_s = cold("-c", "import numpy")
    found: dict[str, dict[str, float]] = {"import numpy": {"seconds": numpy_s}}
    for name, arguments in COMMANDS.items():
        taken = cold("-m", "bandcheck", *arguments)
        found[f"{name}, cold"] = {"seconds": taken, "times_import_numpy": taken / numpy_s}
    for count in (10_000, 1_000_000):
        found[f"{count:,} exact windows"] = windows(count)
    found["sweep 3600 x 12 x 16"] = large_sweep()
    found["moire map 200 x 200"] = {
        "seconds": best_of(1, lambda: moire_map(demo_shot(), kind="focus", size=200))
    }
    return found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    as_json = parser.parse_args().json
    found = figures()
    if as_json:
        sys.stdout.write(json.dumps(found, indent=2) + "\n")
        return
    for name, measured in found.items():
        told = "   ".join(f"{key} {value:.3g}" for key, value in measured.items())
        sys.stdout.write(f"{name:28} {told}\n")


if __name__ == "__main__":
    main()
