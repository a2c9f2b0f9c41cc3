"""Plain numbers of wall, sensor and standpoint, gathered so that they travel together.

Figures that nobody knows arrive as None and are kept as all the values that they may have.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from bandcheck.errors import OutOfRangeError, require
from bandcheck.imaging.perspective import curvature_per_mm
from bandcheck.imaging.unknowns import (
    UNKNOWN_DELIVERY_FILTER,
    UNKNOWN_EMITTER_FILL,
    UNKNOWN_EMITTER_SHAPE,
    UNKNOWN_LOW_PASS_PX,
    UNKNOWN_PHOTOSITE_FILL,
    DeliveryFilter,
    EmitterShape,
    Mosaic,
    possible_numbers,
    possible_words,
)

__all__ = ["LedLattice", "Sensor", "Standpoint"]


@dataclass(frozen=True, kw_only=True, slots=True)
class LedLattice:
    """The wall's LEDs.

    Attributes
    ----------
    pitch_mm
        LED pitch, the same along rows and columns [mm].
    emitters
        Shape ("square", "disc") and linear fill of one LED; several where they are not known.
    curvature
        One over the radius of a curved wall [1/mm], concave > 0.
    """

    pitch_mm: float
    emitters: tuple[tuple[EmitterShape, float], ...]
    curvature: float = 0.0

    @classmethod
    def of(
        cls, *, pitch_mm: float, emitter_fill: float | None = None,
        emitter_shape: EmitterShape | None = None, cabinet_angle_deg: float | None = None,
        cabinet_columns_px: float | None = None,
    ) -> Self:
        """Lattice from a wall's figures, None for those that are not known.

        Parameters
        ----------
        pitch_mm
            LED pitch [mm], above 0.
        emitter_fill, emitter_shape
            Lit width over pitch, above 0 and at most 1; "square" or "disc".
        cabinet_angle_deg, cabinet_columns_px
            Turn of a cabinet [deg], concave > 0, and its LED columns; a wall without is flat.

        Raises
        ------
        OutOfRangeError
            A figure that cannot be; an angle without a cabinet width.
        """
        require("pitch_mm", pitch_mm, "an LED pitch above 0 mm", above=0)
        fills = possible_numbers("emitter_fill", emitter_fill, UNKNOWN_EMITTER_FILL, at_most=1)
        shapes = possible_words("emitter_shape", emitter_shape, UNKNOWN_EMITTER_SHAPE)
        curvature = 0.0
        if cabinet_angle_deg:
            if cabinet_columns_px is None:
                raise OutOfRangeError("cabinet_columns_px", cabinet_columns_px,
                                      "a curved wall needs the LED columns of a cabinet")
            curvature = curvature_per_mm(
                cabinet_angle_deg=cabinet_angle_deg, cabinet_columns_px=cabinet_columns_px,
                pitch_mm=pitch_mm)
        return cls(
            pitch_mm=pitch_mm, curvature=curvature,
            emitters=tuple((shape, fill) for shape in shapes for fill in fills),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Sensor:
    """The sensor, the picture that it fills and the raster in which that is delivered.

    Attributes
    ----------
    columns_px, rows_px
        Photosites across and down the frame.
    photosite_width_mm, photosite_height_mm
        Spacing of photosites [mm].
    mosaic
        "bayer", "none", or None: not known.
    low_pass_px, photosite_fill, delivery_filters
        Four-spot shift [photosites], linear fill, and "box" or "sharp"; several values where they
        are not known.
    delivery_columns_px
        Columns of the delivered picture; as many as the sensor's, or more: no resample.
    """

    columns_px: int
    rows_px: int
    photosite_width_mm: float
    photosite_height_mm: float
    mosaic: Mosaic | None
    low_pass_px: tuple[float, ...]
    photosite_fill: tuple[float, ...]
    delivery_columns_px: int
    delivery_filters: tuple[DeliveryFilter, ...]

    @classmethod
    def of(
        cls, *, columns_px: int, rows_px: int, width_mm: float, height_mm: float | None = None,
        mosaic: Mosaic | None = None, low_pass_px: float | None = None,
        photosite_fill: float | None = None, delivery_columns_px: int | None = None,
        delivery_filter: DeliveryFilter | None = None,
    ) -> Self:
        """Sensor from a camera's figures, None for those that are not known.

        Parameters
        ----------
        columns_px, rows_px, width_mm, height_mm
            Photosites that the mode reads and their size in all [mm]; without a height photosites
            are square.
        mosaic, low_pass_px, photosite_fill, delivery_filter
            As above; the shift 0..4 photosites, the fill above 0 and at most 1.
        delivery_columns_px
            As above; None: delivered as recorded.

        Raises
        ------
        OutOfRangeError
            A figure that cannot be.
        """
        for argument, value in (("columns_px", columns_px), ("rows_px", rows_px),
                                ("delivery_columns_px", delivery_columns_px)):
            require(argument, 1 if value is None else value, "at least 1", at_least=1)
        require("sensor_width_mm", width_mm, "above 0 mm", above=0)
        step = width_mm / columns_px
        if height_mm is not None:
            require("sensor_height_mm", height_mm, "above 0 mm", above=0)
        possible_words("mosaic", mosaic, ("bayer", "none"))
        delivered = columns_px if delivery_columns_px is None else delivery_columns_px
        filters = possible_words("delivery_filter", delivery_filter, UNKNOWN_DELIVERY_FILTER)
        return cls(
            columns_px=columns_px, rows_px=rows_px, photosite_width_mm=step,
            photosite_height_mm=step if height_mm is None else height_mm / rows_px,
            mosaic=mosaic,
            low_pass_px=possible_numbers("low_pass_px", low_pass_px, UNKNOWN_LOW_PASS_PX,
                                         at_most=4, zero_is_one=True),
            photosite_fill=possible_numbers("photosite_fill", photosite_fill,
                                            UNKNOWN_PHOTOSITE_FILL, at_most=1),
            delivery_columns_px=delivered,
            delivery_filters=filters if delivered < columns_px else ("sharp",),
        )

    def height_to_width(self, squeeze: float) -> float:
        """Photosites down the picture that span as much of it as one photosite across."""
        return squeeze * self.photosite_width_mm / self.photosite_height_mm

    def photosites_per_delivered_pixel(self, squeeze: float) -> tuple[float, float]:
        """Across and down, at least 1; delivered pixels are square once unsqueezed."""
        ratio = self.columns_px / self.delivery_columns_px
        if ratio <= 1:
            return 1.0, 1.0
        return ratio, max(1.0, ratio * self.height_to_width(squeeze))


@dataclass(frozen=True, kw_only=True, slots=True)
class Standpoint:
    """Lens and geometry; all but squeeze and wavelength may be arrays, which broadcast.

    Attributes
    ----------
    focal_mm, f_number
        Focal length [mm] and engraved f-number.
    distance_mm, focus_mm
        Distance of the wall's middle and distance focused on, from the sensor plane [mm]. Where
        the focus is not known, the wall's own distance is the worst that it can be.
    yaw_deg, tilt_deg, roll_deg
        Turn of the wall (`bandcheck.imaging.perspective`).
    squeeze
        Horizontal squeeze of an anamorphic lens.
    wavelength_um
        Wavelength for diffraction [um].
    """

    focal_mm: ArrayLike
    f_number: ArrayLike
    distance_mm: ArrayLike
    focus_mm: ArrayLike
    yaw_deg: ArrayLike = 0.0
    tilt_deg: ArrayLike = 0.0
    roll_deg: ArrayLike = 0.0
    squeeze: float = 1.0
    wavelength_um: float = 0.55

    def __post_init__(self) -> None:
        require("squeeze", self.squeeze, "a squeeze from 0.5 to 4", at_least=0.5, at_most=4)
        require("wavelength_um", self.wavelength_um, "0.3 to 1.1 um", at_least=0.3, at_most=1.1)

    @classmethod
    def together(cls, points: Sequence[Self]) -> Self:
        """Several as one, along a first axis; they share squeeze and wavelength."""
        focal, number, distance, focus, yaw, tilt, roll = (
            np.stack(each) for each in zip(*(point.varied for point in points), strict=True))
        return replace(
            points[0], focal_mm=focal, f_number=number, distance_mm=distance, focus_mm=focus,
            yaw_deg=yaw, tilt_deg=tilt, roll_deg=roll)

    def parts(self, count: int) -> Iterator[Self]:
        """The standpoints one after the other in flat parts of at most so many."""
        focal, number, distance, focus, yaw, tilt, roll = (
            np.ravel(value) for value in np.broadcast_arrays(*self.varied))
        for start in range(0, focal.size, count):
            part = slice(start, start + count)
            yield replace(
                self, focal_mm=focal[part], f_number=number[part], distance_mm=distance[part],
                focus_mm=focus[part], yaw_deg=yaw[part], tilt_deg=tilt[part],
                roll_deg=roll[part])

    @property
    def varied(self) -> tuple[ArrayLike, ...]:
        """Everything that may be an array."""
        return (self.focal_mm, self.f_number, self.distance_mm, self.focus_mm, self.yaw_deg,
                self.tilt_deg, self.roll_deg)

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape that all of it broadcasts to."""
        return np.broadcast_shapes(*(np.shape(value) for value in self.varied))

    @property
    def oblique(self) -> bool:
        """Whether any of it sees the wall at an angle."""
        return bool(np.any(self.yaw_deg) or np.any(self.tilt_deg))
