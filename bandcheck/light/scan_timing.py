"""When the scan lines of a multiplexed wall light within a frame."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from bandcheck.errors import OutOfRangeError

__all__ = ["ScanTiming", "scan_timing"]


@dataclass(frozen=True, kw_only=True, slots=True)
class ScanTiming:
    """When the scan lines of a wall light within one cycle of its refreshes.

    Attributes
    ----------
    cycle_s
        Period of the pattern: the wall's frame, or all refreshes in a row when they run free [s].
    refreshes
        Refreshes in the cycle.
    refresh_pitch_s
        From one refresh to the next [s].
    scan_lines
        Lines that are lit in turn.
    slot_s, switch_s, lit_s
        One line's slot, the darkness that it begins with, and the light it has room for [s].
    """

    cycle_s: float
    refreshes: int
    refresh_pitch_s: float
    scan_lines: int
    slot_s: float
    switch_s: float
    lit_s: float

    @property
    def refresh_hz(self) -> float:
        """Refresh rate within a frame: one over the time that all lines take [Hz]."""
        return 1.0 / (self.scan_lines * self.slot_s)

    @property
    def used_fraction(self) -> float:
        """Share of the cycle that its refreshes fill."""
        return self.refreshes * self.scan_lines * self.slot_s / self.cycle_s


def scan_timing(
    *, wall_fps: Fraction, refreshes_per_frame: int, scan_lines: int, counts_per_refresh: int,
    clock_hz: float | None = None, line_switch_s: float = 0.0,
    frame_end: Literal["dark", "stretched"] = "stretched", refresh_hz: float | None = None,
) -> ScanTiming:
    """Timing of one cycle of a wall's refreshes.

    Without a known clock a slot is `1 / (F M S)`, or `1 / (R S)` at a free refresh R. With one a
    slot is `C / clock + switch`, and what the refreshes leave of the frame is dark at its end or
    stretches their pitch.

    Parameters
    ----------
    wall_fps
        Frame rate F of the wall.
    refreshes_per_frame, scan_lines, counts_per_refresh
        M, S and C.
    clock_hz
        Gray clock [Hz]; None: not known.
    line_switch_s
        Dark time at each line switch [s], >= 0.
    frame_end
        Where the time goes that the refreshes leave of a frame.
    refresh_hz
        Rate of a refresh that runs free of the frame [Hz]; None: it is locked to the frame. With
        a clock the clock decides and the number given here is not used.

    Returns
    -------
    ScanTiming
        The cycle, its pitch and its slots.

    Raises
    ------
    OutOfRangeError
        Refreshes that do not fit the frame (the sum is spelled out), or no light left in a slot.
    """
    frame_s = 1 / float(wall_fps)
    lines = refreshes_per_frame * scan_lines
    free = refresh_hz is not None
    if clock_hz is not None:
        lit_s = counts_per_refresh / clock_hz
        slot_s = lit_s + line_switch_s
        if not free and lines * slot_s > frame_s * (1 + 1e-12):
            lit = f"{counts_per_refresh} counts / {clock_hz / 1e6:g} MHz"
            slot = f"{lit} + {line_switch_s * 1e6:g} us"
            raise OutOfRangeError(
                "refreshes_per_frame", refreshes_per_frame,
                f"{refreshes_per_frame} refreshes x {scan_lines} lines x ({slot}) ="
                f" {lines * slot_s * 1e3:.4g} ms do not fit a frame of {frame_s * 1e3:.4g} ms",
            )
    else:
        slot_s = 1 / (refresh_hz * scan_lines) if refresh_hz else frame_s / lines
        lit_s = slot_s - line_switch_s
        if lit_s <= 0:
            raise OutOfRangeError(
                "line_switch_us", line_switch_s * 1e6, f"less than a slot of {slot_s * 1e6:.4g} us"
            )
    if free:
        cycle_s, pitch_s = lines * slot_s, scan_lines * slot_s
    else:
        cycle_s = frame_s
        even = clock_hz is None or frame_end == "stretched"
        pitch_s = frame_s / refreshes_per_frame if even else scan_lines * slot_s
    return ScanTiming(
        cycle_s=cycle_s, refreshes=refreshes_per_frame, refresh_pitch_s=pitch_s,
        scan_lines=scan_lines, slot_s=slot_s, switch_s=line_switch_s, lit_s=lit_s,
    )
