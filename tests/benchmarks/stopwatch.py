"""Clocks of the benchmarks: shortest of some runs, fresh interpreters and growth."""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence

import numpy as np

__all__ = ["best_of", "fresh", "growth"]


def best_of(times: int, work: Callable[[], object]) -> float:
    """Processor time of the shortest of some runs [s], whoever else is at work on the machine."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def fresh(times: int, *arguments: str, folder: str | None = None) -> dict[str, float]:
    """Shortest time and processor time [s] and largest memory [MB] of fresh interpreters."""
    seconds, busy, peak = [], [], 0.0
    for _ in range(times):
        start = time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            cwd=folder,
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        seconds.append(time.perf_counter() - start)
        busy.append(usage.ru_utime + usage.ru_stime)
        peak = max(peak, usage.ru_maxrss / 1024)
    return {"seconds": min(seconds), "busy_s": min(busy), "peak_mb": peak}


def growth(sizes: Sequence[float], taken: Sequence[float]) -> float:
    """Exponent with which something grows: slope of the logarithms, least squares."""
    return float(np.polyfit(np.log(sizes), np.log(taken), 1)[0])
