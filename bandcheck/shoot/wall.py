"""An LED wall as its technician describes it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

__all__ = ["Dealing", "Drive", "FrameEnd", "RateRule", "Wall", "WallTransfer"]

Drive = Literal["spread", "repeated", "binary_code"]
Dealing = Literal["bit_reversed", "even"]
FrameEnd = Literal["dark", "stretched"]
RateRule = Literal["keep_refresh", "keep_refreshes_per_frame"]
WallTransfer = Literal["bt1886", "gamma", "pq", "linear"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Wall:
    """One wall set-up; None where a figure is not known.

    Attributes
    ----------
    scan_lines
        Lines that share one driver and are lit in turn (1/S multiplexing).
    drive
        How a gray value is shared over the refreshes of a frame.
    counts_per_refresh, gray_bits
        Gray-clock counts of one refresh and line, or the gray depth they follow from.
    refreshes_per_frame, refresh_hz, rated_fps
        Refreshes in one wall frame, or the rated refresh [Hz] and the frame rate it was rated at.
    clock_hz, line_switch_s
        Gray clock [Hz] and dark time at each line switch [s].
    refresh_lock, refresh_tolerance
        Whether the refresh restarts with each frame, and how well a free one is known (ratio).
    gamma, peak_nits
        Exponent of transfer "gamma"; white of the wall [cd/m2].
    pitch_mm, emitter_fill
        LED pitch and the lit width of one LED as a share of the pitch.
    white_duty
        Share of full drive that white asks of red, green and blue.
    min_pulse_counts
        Shortest pulse that lights a red, green and blue LED, in counts.
    cabinet_columns_px, cabinet_angle_deg
        LED columns in a cabinet and the turn from one to the next, concave > 0.
    rate_tolerance
        Error of the wall's frame clock (ratio, from ppm).
    source
        Where each figure comes from, by its key in the profile.
    """

    name: str
    scan_lines: int
    drive: Drive
    counts_per_refresh: int | None = None
    gray_bits: int | None = None
    refreshes_per_frame: int | None = None
    refresh_hz: float | None = None
    rated_fps: Fraction | None = None
    refreshes_per_frame_allowed: tuple[int, ...] = ()
    clock_hz: float | None = None
    line_switch_s: float | None = None
    refresh_lock: Literal["frame", "free"] = "frame"
    refresh_tolerance: float | None = None
    transfer: WallTransfer | None = None
    gamma: float | None = None
    peak_nits: float | None = None
    brightness_control: Literal["current", "pwm"] | None = None
    pitch_mm: float | None = None
    emitter_fill: float | None = None
    emitter_shape: Literal["square", "disc"] | None = None
    module_rows_px: int | None = None
    columns_px: int | None = None
    rows_px: int | None = None
    latency_frames: float | None = None
    white_duty: tuple[float, float, float] = (1.0, 1.0, 1.0)
    min_pulse_counts: tuple[int, int, int] = (1, 1, 1)
    on_rate_change: RateRule | None = None
    cabinet_columns_px: int | None = None
    cabinet_angle_deg: float | None = None
    rate_tolerance: float | None = None
    frame_end: FrameEnd | None = None
    dealing: Dealing | None = None
    scan_down: bool = True
    source: Mapping[str, str] = field(default_factory=dict)
