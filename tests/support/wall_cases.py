"""Walls to try: the same wall for the program and for the second route, drawn or listed."""

from fractions import Fraction

import numpy as np
from hypothesis import strategies as st
from overlap_sum import ListedWall

from bandcheck.light.led_drive import led_train, refresh_counts
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.scan_timing import scan_timing

__all__ = ["RATES", "modelled_train", "telling_values", "walls"]

RATES = tuple(map(Fraction, ("24", "24000/1001", "25", "48", "60000/1001", "60", "120")))


def modelled_train(wall: ListedWall, values: list[int]) -> PulseTrain:
    """Pulse train that the program makes of a wall, one level for each value."""
    timing = scan_timing(
        wall_fps=wall.wall_fps, refreshes_per_frame=wall.refreshes_per_frame,
        scan_lines=wall.scan_lines, counts_per_refresh=wall.counts_per_refresh,
        clock_hz=wall.clock_hz, line_switch_s=wall.line_switch_s, frame_end=wall.frame_end,
        refresh_hz=wall.refresh_hz,
    )
    counts = refresh_counts(
        value=np.array(values), refreshes_per_frame=wall.refreshes_per_frame, drive=wall.drive,
        dealing=wall.dealing, min_pulse_counts=wall.min_pulse_counts,
    )
    return led_train(
        timing=timing, counts=counts, counts_per_refresh=wall.counts_per_refresh,
        binary_code=wall.drive == "binary_code",
    )


def telling_values(wall: ListedWall) -> list[int]:
    """Counts at which a slip would show: few, about one a refresh, half and full."""
    refreshes, full = wall.refreshes_per_frame, wall.full_scale
    values = {0, 1, 2, 3, refreshes - 1, refreshes, refreshes + 1, full // 2 + 1, full - 1, full}
    return sorted(value for value in values if value <= full)


@st.composite
def walls(draw: st.DrawFn, *, most_refreshes: int = 24) -> ListedWall:
    """Any wall that can be built: every drive, clocked or not, locked or free."""
    drive = draw(st.sampled_from(["spread", "repeated", "binary_code"]))
    rate, refreshes = draw(st.sampled_from(RATES)), draw(st.integers(1, most_refreshes))
    lines = draw(st.integers(1, 32))
    counts = draw(st.integers(1, 1023))
    if drive == "binary_code":
        counts = 2 ** draw(st.integers(1, 10)) - 1
    slot = float(1 / (rate * refreshes * lines))
    dark = slot * draw(st.sampled_from([0.0, 0.01, 0.2]))
    wall = {
        "wall_fps": rate, "refreshes_per_frame": refreshes, "scan_lines": lines,
        "counts_per_refresh": counts, "drive": drive, "line_switch_s": dark,
        "dealing": draw(st.sampled_from(["bit_reversed", "even"])),
        # a longer one could ask for more than a refresh holds, which is refused
        "min_pulse_counts": min(draw(st.sampled_from([1, 1, 2, 5])), (counts + 1) // 2),
        "frame_end": draw(st.sampled_from(["dark", "stretched"])),
    }
    clocked, free = draw(st.booleans()), draw(st.booleans())
    if clocked:
        wall["clock_hz"] = counts / ((slot - dark) * draw(st.floats(0.5, 0.999)))
    if free:
        lit = counts / wall["clock_hz"] if clocked else (slot - dark) * draw(st.floats(0.9, 1.1))
        wall["refresh_hz"] = 1 / (lines * (lit + dark))
    return ListedWall(**wall)
