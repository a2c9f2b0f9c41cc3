"""From the bytes of a picture to its bands."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError, ProfileError
from bandcheck.measure.band_search import FEWEST_ROWS, FoundLines, found_lines
from bandcheck.measure.clear_region import clear_part
from bandcheck.measure.frame_grab import LARGEST_BYTES, LARGEST_PIXELS, FrameGrab, frame_grab
from bandcheck.measure.row_csv import csv_rows, is_text
from bandcheck.measure.row_light import (
    Along,
    PictureTransfer,
    RowLight,
    clipped_share,
    picture_light,
    row_light,
)
from bandcheck.measure.row_profile import RowProfile, row_profile
from bandcheck.shoot.profile_faults import plain_name
from bandcheck.verdict.agreement import BandSource, Measured, PictureBands

__all__ = ["DEFAULT_GAMMA", "Region", "picture_bands", "profile_bands", "wave_extremes"]

FloatArray = NDArray[np.float64]
Region = tuple[int, int, int, int]

DEFAULT_GAMMA = 2.2
"""Exponent of a picture that is said to have a gamma: common practice."""

_MOST_CLIPPED = 0.5
"""Share of clipped codes above which nothing is said: project choice."""

_EVEN = 1e-7
"""Unrest of rows below which there is nothing but rounding."""

_COMPRESSED = 1.5
"""Factor on uncertainties in a JPEG file, whose errors repeat with the bands and so are not all in
the noise: project choice; frames made in the tests scatter by 1.3 to 1.4 at quality 85."""

_TURN = 2 * np.pi * np.arange(720) / 720


def picture_bands(
    content: bytes, *, name: str, region: Region | None = None, along: Along = "rows",
    transfer: PictureTransfer | None = None, gamma: float | None = None,
    largest_bytes: int = LARGEST_BYTES, largest_pixels: int = LARGEST_PIXELS,
) -> PictureBands:
    """Bands of a picture or of a CSV of row means.

    Parameters
    ----------
    content
        The file.
    name
        Its name, for messages.
    region
        Part to use: left, top, width, height [px]; None: it is looked for.
    along
        "columns" where the sensor's rows stand upright in the picture.
    transfer, gamma
        How it was encoded; None: sRGB for a picture, linear for row means, and said so.
    largest_bytes, largest_pixels
        Sizes above which it is refused.

    Returns
    -------
    PictureBands
        Figures, unrounded.

    Raises
    ------
    ProfileError
        The file cannot be measured.
    OutOfRangeError
        The region or the transfer does not fit it.
    """
    if transfer == "gamma" and gamma is None:
        gamma = DEFAULT_GAMMA
    if is_text(content):
        return _csv_bands(
            content[: largest_bytes + 1], name=name, region=region, transfer=transfer, gamma=gamma
        )
    grab = frame_grab(
        content, name=name, largest_bytes=largest_bytes, largest_pixels=largest_pixels
    )
    if region is not None:
        _refuse_region(region, grab.size, grab.name)
    used: PictureTransfer = transfer or "srgb"
    light = row_light(grab, transfer=used, gamma=gamma, region=region, along=along)
    if region is None:
        rows, stripes = clear_part(light)
        light = light.part(rows=rows, stripes=stripes)
    shown = _region_of(light, along)
    _refuse_few(len(light.light), grab.name)
    top, bottom = clipped_share(grab, region=region or shown)
    if top > _MOST_CLIPPED:
        raise ProfileError(grab.name, [
            f"{100 * top:.0f} % of the region's codes are clipped; bands cannot be told in it"
        ])
    profile = row_profile(light.light)
    lit = float(np.median(light.light))
    return profile_bands(
        profile, name=grab.name, form=grab.form, size=grab.size, region=region or shown,
        region_found=region is None, along=along, transfer=used, gamma=gamma,
        transfer_given=transfer is not None, clipped=(top, bottom),
        step=_step(lit, grab, used, gamma), first_row=light.first_row,
    )


def _csv_bands(
    content: bytes, *, name: str, region: Region | None, transfer: PictureTransfer | None,
    gamma: float | None,
) -> PictureBands:
    file = plain_name(name)
    values = csv_rows(content, name=name)
    used: PictureTransfer = transfer or "linear"
    if used != "linear" and values.max() > 1:
        raise ProfileError(file, [
            f"row means up to {values.max():g}; with --transfer {used} they run from 0 to 1"
        ])
    size = (1, len(values))
    if region is not None:
        _refuse_region((0, region[1], 1, region[3]), size, file)
    top, height = (region[1], region[3]) if region else (0, len(values))
    values = values[top : top + height]
    _refuse_few(len(values), file)
    light = values if used == "linear" else picture_light(values, transfer=used, gamma=gamma)
    typical = float(np.median(light)) or 1.0
    return profile_bands(
        row_profile(light[:, np.newaxis] / typical), name=file, form="CSV", size=size,
        region=(0, top, 1, height), region_found=region is None, along="rows", transfer=used,
        gamma=gamma, transfer_given=transfer is not None, clipped=(0.0, 0.0), step=0.0,
        first_row=top,
    )


def _refuse_region(region: Region, size: tuple[int, int], file: str) -> None:
    left, top, width, height = region
    if left + width > size[0] or top + height > size[1] or min(left, top) < 0 or (
        min(width, height) < 1
    ):
        raise OutOfRangeError(
            "--region", ",".join(map(str, region)),
            f"a part of {file}, which has {size[0]} columns and {size[1]} rows",
        )


def _refuse_few(rows: int, file: str) -> None:
    if rows < FEWEST_ROWS:
        raise ProfileError(file, [f"{rows} rows to measure; at least {FEWEST_ROWS} are needed"])


def _region_of(light: RowLight, along: Along) -> Region:
    left, right = int(light.edges[0]), int(light.edges[-1])
    across, down = (left, right - left), (light.first_row, len(light.light))
    if along == "columns":
        across, down = down, across
    return across[0], down[0], across[1], down[1]


def _step(
    light: float, grab: FrameGrab, transfer: PictureTransfer, gamma: float | None
) -> float:
    """Relative light of one step of the code at a level of light."""
    codes = np.arange(grab.top_code + 1) / grab.top_code
    table = picture_light(codes, transfer=transfer, gamma=gamma)
    place = int(np.clip(np.searchsorted(table, light), 1, grab.top_code))
    return float((table[place] - table[place - 1]) / max(light, 1e-9))


def profile_bands(
    profile: RowProfile, *, name: str, form: str, size: tuple[int, int], region: Region,
    region_found: bool, along: Along, transfer: str, gamma: float | None, transfer_given: bool,
    clipped: tuple[float, float], step: float, first_row: int,
) -> PictureBands:
    """Bands of a row profile.

    Parameters
    ----------
    profile
        Light of the rows.
    name, form, size, region, region_found, along, transfer, gamma, transfer_given, clipped
        What to note about the picture.
    step
        Relative light of one step of the code: what an even picture may hide.
    first_row
        Row of the picture that the profile begins with.

    Returns
    -------
    PictureBands
        Figures, unrounded.

    Raises
    ------
    ProfileError
        Too few of the rows can be used.
    """
    if profile.weight.sum() < FEWEST_ROWS:
        raise ProfileError(name, [
            f"{int(profile.weight.sum())} rows are lit and clear; at least {FEWEST_ROWS} are needed"
        ])
    found = found_lines(
        profile.light, weight=profile.weight, parts=profile.parts, blocks=form == "JPEG"
    )
    sources = tuple(
        _source(found, each, first_row, blocks=form == "JPEG") for each in range(found.count)
    )
    kept = tuple(each for each in sources if each.contrast.value > _EVEN)
    hidden = step if not kept and float(np.ptp(profile.light)) < step else 0.0
    floor = found.floor
    return PictureBands(
        name=name, form=form, size=size, region=region, region_found=region_found, along=along,
        transfer=transfer, gamma=gamma if transfer == "gamma" else None,
        transfer_given=transfer_given, clipped_top=clipped[0], clipped_bottom=clipped[1],
        sources=kept, detectable=max(found.detectable, hidden, _EVEN), uneven=found.vetoed,
        light=np.where(profile.weight > 0, profile.light / found.fit.trend - 1, 0.0),
        fitted=found.fit.bands, weight=found.fit.weight, cycles=found.cycles, power=found.power,
        noise=floor(found.cycles), real_from=floor(found.cycles) * floor.threshold(found.cycles),
    )


def _source(found: FoundLines, place: int, first_row: int, *, blocks: bool) -> BandSource:
    """One source with its uncertainties, from the noise near each of its lines."""
    fit, own = found.fit, found.fit.sources[place]
    orders = np.array(own.orders)
    noise = np.sqrt(found.floor.variance(orders * own.cycles_per_row))
    noise = noise * found.unsteadiness[place] * (_COMPRESSED if blocks else 1.0)
    columns = fit.columns(place)
    scale = np.concatenate(([noise[0]], np.repeat(noise, 2)))
    covariance = fit.inverse[columns, columns] * np.outer(scale, scale)
    amplitude = fit.amplitudes[place]
    contrast = _contrast(amplitude, orders, covariance[1:, 1:])
    first = amplitude[0]
    across = np.array([-first.imag, -first.real]) / np.abs(first) ** 2 / (2 * np.pi)
    return BandSource(
        cycles_per_row=Measured(
            value=own.cycles_per_row, uncertainty=float(np.sqrt(covariance[0, 0]))
        ),
        contrast=contrast, orders=own.orders, middle_row=first_row + fit.middle,
        phase=Measured(
            value=float(np.angle(first) / (2 * np.pi)),
            uncertainty=float(np.sqrt(across @ covariance[1:3, 1:3] @ across)),
        ),
        false_alarm=found.false_alarm[place],
    )


def _wave(
    amplitude: NDArray[np.complex128], orders: NDArray[np.int64]
) -> tuple[FloatArray, FloatArray]:
    """One period of the wave that harmonics make, and the part of each of their parameters."""
    turns = np.outer(_TURN, orders)
    shapes = np.empty((len(_TURN), 2 * len(orders)))
    shapes[:, ::2], shapes[:, 1::2] = np.cos(turns), np.sin(turns)
    return shapes @ np.column_stack([amplitude.real, -amplitude.imag]).ravel(), shapes


def wave_extremes(
    amplitude: NDArray[np.complex128], orders: NDArray[np.int64]
) -> tuple[float, float]:
    """Largest and smallest relative light of the wave that harmonics make; no less than -1."""
    wave, _ = _wave(amplitude, orders)
    return float(wave.max()), max(float(wave.min()), -1.0)


def _contrast(
    amplitude: NDArray[np.complex128], orders: NDArray[np.int64], covariance: FloatArray
) -> Measured:
    """Contrast of the wave that harmonics make, by its largest and smallest light."""
    wave, shapes = _wave(amplitude, orders)
    high, low = wave_extremes(amplitude, orders)
    total = 2 + high + low
    slope = (total - (high - low)) * shapes[wave.argmax()]
    slope = (slope - (total + (high - low)) * shapes[wave.argmin()]) / total**2
    return Measured(
        value=(high - low) / total, uncertainty=float(np.sqrt(slope @ covariance @ slope))
    )
