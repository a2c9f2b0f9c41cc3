"""A camera in one mode: its sensor, its readout and its shutter dial."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

__all__ = ["Camera"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Camera:
    """One camera mode; None where a figure is not known.

    Attributes
    ----------
    rows_px, columns_px
        Sensor rows and columns that the mode reads.
    readout_s
        First row's opening to last row's plus one row: rows times line time [s]; 0 if global.
    shutter_whole_lines
        Whether exposures are rounded to whole line times.
    angles_deg, speeds_s, angle_step_deg
        What the dial offers: a list of angles [deg], a list of times [s], or steps of an angle;
        none of them: any angle.
    max_fps
        Highest frame rate of the mode.
    low_pass_px, photosite_fill
        Four-spot shift of the low-pass filter [photosites]; linear fill of a photosite.
    body, mode
        Which body this is a mode of, and the mode's name.
    exposure_scheme
        "multi" and "global_reset" expose rows in ways that the timing model does not describe.
    readout_tolerance_s, rate_tolerance
        Uncertainty of the readout [s]; error of the camera's clock (ratio, from ppm).
    on_rate_change
        What stays when the frame rate is changed: the shutter's angle or its time.
    source
        Where each figure comes from, by its key in the profile.
    """

    name: str
    rows_px: int
    shutter: Literal["rolling", "global"]
    readout_s: float = 0.0
    columns_px: int | None = None
    sensor_width_mm: float | None = None
    sensor_height_mm: float | None = None
    readout_down: bool = True
    shutter_whole_lines: bool | None = None
    angles_deg: tuple[Fraction, ...] = ()
    speeds_s: tuple[Fraction, ...] = ()
    angle_step_deg: Fraction | None = None
    max_fps: Fraction | None = None
    mosaic: Literal["bayer", "none"] | None = None
    low_pass_px: float | None = None
    photosite_fill: float | None = None
    delivery_columns_px: int | None = None
    delivery_filter: Literal["box", "sharp"] | None = None
    body: str | None = None
    mode: str | None = None
    exposure_scheme: Literal["single", "multi", "global_reset"] = "single"
    readout_tolerance_s: float | None = None
    rate_tolerance: float | None = None
    on_rate_change: Literal["keep_angle", "keep_time"] | None = None
    source: Mapping[str, str] = field(default_factory=dict)
