"""Measured figures, as ratios within one run: what the project claims about its speed.

    python3 tests/benchmarks/run.py            a table
    python3 tests/benchmarks/run.py --json     one JSON object
    python3 tests/benchmarks/run.py --quick    less of each, in under a minute on a quiet machine

Nothing here decides a test: machines differ, and ratios say on which side the time goes.
"""

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Iterator

from cells import cell_figures, sweep_figures
from demo import OPTIONS, demo_shot
from screens import screen_figures
from stopwatch import best_of, fresh
from windows import window_figures

from bandcheck.verdict.moire_map import moire_map

LENS = ("--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6", "--focus-m", "4")
COMMANDS = {
    "check": ("check", *OPTIONS),
    "settings": ("settings", *OPTIONS),
    "change": ("change", *OPTIONS, "--to-fps", "48"),
    "card of five rates": ("card", *OPTIONS, "--rates", "24,25,30,48,50"),
    "frame": ("frame", *OPTIONS, "--output", "grab.png", "--force"),
    "measure": ("measure", "grab.png"),
    "moire": ("moire", *OPTIONS, *LENS),
    "plan": ("plan", "night-train"),
    "identify": ("identify",),
    "sweep of 100 angles": ("sweep", *OPTIONS[:-2], "--angles", "1:100:1", "--json"),
}
LONG = ("plan",)
"""Commands that take many seconds: once, and not at all where it is to be quick."""


def command_figures(*, quick: bool) -> Iterator[tuple[str, dict[str, float]]]:
    """Each command in a fresh interpreter, against one that only imports numpy."""
    times = 2 if quick else 5
    bare = fresh(2 * times, "-c", "import numpy")
    yield "import numpy", bare
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments in COMMANDS.items():
            if quick and name in LONG:
                continue
            few = 1 if name in LONG else times
            taken = fresh(few, "-m", "bandcheck", *arguments, folder=folder)
            yield f"{name}, cold", {
                **taken, "times_import_numpy": taken["seconds"] / bare["seconds"]
            }


def figures(*, quick: bool) -> Iterator[tuple[str, dict[str, float]]]:
    """All measurements by name, as they come."""
    yield from command_figures(quick=quick)
    yield from window_figures(quick=quick).items()
    yield from cell_figures(quick=quick).items()
    yield from sweep_figures(quick=quick).items()
    yield from screen_figures(quick=quick).items()
    size = 60 if quick else 200
    yield f"moire map {size} x {size}", {
        "seconds": best_of(1, lambda: moire_map(demo_shot(), kind="focus", size=size))
    }


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--quick", action="store_true", help="less of each")
    asked = parser.parse_args()
    # One thread each, so that a ratio is one of work and not of idle cores.
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    found = figures(quick=asked.quick)
    if asked.json:
        sys.stdout.write(json.dumps(dict(found), indent=2) + "\n")
        return
    for name, measured in found:
        told = "   ".join(f"{key} {value:.3g}" for key, value in measured.items())
        sys.stdout.write(f"{name:52} {told}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
