"""Files that were asked to be measured, and what is made of one or several of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import click

from bandcheck.cli.asked_shot import asked_shot
from bandcheck.measure.figures import refined_hz, roll, unturned
from bandcheck.measure.frame_grab import file_content
from bandcheck.measure.known import Known, Light, with_profiles
from bandcheck.measure.picture_bands import Region, picture_bands
from bandcheck.measure.prediction import predicted_agreement
from bandcheck.measure.readings import picture_readings
from bandcheck.measure.row_light import Along, PictureTransfer
from bandcheck.report.measure_series_text import (
    agreement_text,
    levels_text,
    roll_text,
    turned_text,
)
from bandcheck.report.measure_table import (
    agreement_table,
    bands_table,
    levels_table,
    roll_table,
    turned_table,
)
from bandcheck.report.measure_text import bands_text
from bandcheck.shoot.asked import Given
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.agreement import Measured, PictureBands, Reading

__all__ = [
    "Asked", "MeasuredFiles", "given_camera", "given_lamps", "given_wall", "known_beside",
    "measured_files", "wall_rate",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What was typed; see the options of the command."""

    given: Given
    files: tuple[str, ...]
    source_hz: tuple[float, ...]
    readout_ms: float | None
    readout_error_ms: float
    rows_read: int | None
    rows_kept: int | None
    row_scale: float | None
    regions: tuple[Region, ...]
    along: Along
    transfer: PictureTransfer | None
    gamma: float | None
    series: str | None
    frames_apart: int


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredFiles:
    """What came of it.

    Attributes
    ----------
    text, table
        For people and for programs.
    reading
        The source that was asked for; None: no bands.
    picture
        Makes the picture of rows, spectrum and fit.
    """

    text: str
    table: Mapping[str, object]
    reading: Reading | None
    picture: Callable[[], bytes]


def known_beside(asked: Asked) -> Known:
    """What is known beside the pictures: options, and what profiles add.

    Raises
    ------
    ProfileError, OutOfRangeError
        A profile is faulty or does not help.
    """
    given = asked.given
    readout = None
    if asked.readout_ms is not None:
        readout = Measured(
            value=asked.readout_ms / 1e3, uncertainty=asked.readout_error_ms / 1e3
        )
    said = Known(
        lights=tuple(
            Light(name="", frequency_hz=Measured(value=each, uncertainty=0.0))
            for each in asked.source_hz
        ),
        readout=readout, rows_read=asked.rows_read, rows_kept=asked.rows_kept,
        row_scale=asked.row_scale, camera_fps=given.fps,
    )
    return with_profiles(
        said, camera=given_camera(given), lamps=given_lamps(given), wall=given_wall(given),
        wall_fps=wall_rate(given),
    )


def given_wall(given: Given) -> Wall | None:
    """Wall that was named."""
    named = given.wall
    return named if named is None or isinstance(named, Wall) else load_wall(named)


def given_camera(given: Given) -> Camera | None:
    """Camera that was named."""
    named = given.camera
    return named if named is None or isinstance(named, Camera) else load_camera(named)


def given_lamps(given: Given) -> list[Lamp]:
    """Lamps that were named."""
    return [each if isinstance(each, Lamp) else load_lamp(each) for each in given.lamp]


def wall_rate(given: Given) -> Fraction | None:
    """Frame rate of the wall, the camera's unless said; None: neither was said."""
    return given.wall_fps if given.wall_fps is not None else given.fps


def _bands(asked: Asked) -> list[PictureBands]:
    """Every region of every file."""
    found = []
    for file in asked.files:
        content = file_content(file)
        found += [
            picture_bands(
                content, name=file, region=region, along=asked.along, transfer=asked.transfer,
                gamma=asked.gamma,
            )
            for region in asked.regions or (None,)
        ]
    return found


def measured_files(asked: Asked) -> MeasuredFiles:
    """Measure the files and put together what they say.

    Parameters
    ----------
    asked
        What was typed.

    Returns
    -------
    MeasuredFiles
        Texts and tables.

    Raises
    ------
    click.UsageError
        Options that do not go together.
    ProfileError, OutOfRangeError
        A file or a figure that cannot be used.
    """
    _refuse_options(asked)
    known = known_beside(asked)
    bands = _bands(asked)
    if asked.series == "levels":
        return _levels(asked, known, bands)
    readings = [picture_readings(each, known) for each in bands]
    first = readings[0][0] if readings[0] else None
    text = bands_text(bands[0], readings[0])
    table = bands_table(bands[0], readings[0])
    extra = _second(asked, known, bands, readings) if len(bands) == 2 else None
    if extra is not None:
        text, table = f"{extra[0]}\n\n{text}", {**table, **extra[1]}
    agreement = _agreement(asked, bands[0], first)
    if agreement is not None:
        text, table = f"{agreement[0]}\n\n{text}", {**table, "prediction": agreement[1]}
    return MeasuredFiles(
        text=text, table=table, reading=first, picture=lambda: _picture(bands[0], readings[0])
    )


def _picture(bands: PictureBands, readings: tuple[Reading, ...]) -> bytes:
    from bandcheck.report.measure_picture import measure_picture  # slow: fonts, pillow

    return measure_picture(bands, readings)


def _refuse_options(asked: Asked) -> None:
    pictures = len(asked.files) * max(1, len(asked.regions))
    if asked.series is None and pictures > 1:
        raise click.UsageError(
            "--series: missing; with several files or regions say what they are: later, upside-down"
            " or levels"
        )
    if asked.series in ("later", "upside-down") and pictures != 2:
        raise click.UsageError(f"--series {asked.series}: takes two pictures, not {pictures}")
    if asked.series == "later" and asked.given.fps is None:
        raise click.UsageError("--fps: missing; the camera's frame rate, which roll is against")
    if asked.series == "levels" and pictures != len(asked.given.levels):
        raise click.UsageError(
            f"--levels: {len(asked.given.levels)} levels for {pictures} pictures; one for each is"
            " wanted, brightest first"
        )
    if asked.row_scale is not None and asked.rows_kept is not None:
        raise click.UsageError("--row-scale: give it or --rows-kept; each says the same")
    if asked.gamma is not None and asked.transfer != "gamma":
        raise click.UsageError("--gamma: goes with --transfer gamma alone")
    if asked.readout_error_ms and asked.readout_ms is None:
        raise click.UsageError("--readout-error-ms: goes with --readout-ms")


def _second(
    asked: Asked, known: Known, bands: list[PictureBands], readings: list[tuple[Reading, ...]]
) -> tuple[str, dict[str, object]]:
    """What two pictures say together."""
    for each, own in zip(bands, readings, strict=True):
        if not own:
            return f"Nothing to compare: {each.name} shows no bands.", {}
    first, second = (own[0] for own in readings)
    if asked.series == "later":
        moved = roll(
            first.source, second.source, camera_fps=float(known.camera_fps or 0),
            frames_apart=asked.frames_apart,
        )
        exact = None if first.source_hz is None else refined_hz(first.source_hz, moved)
        return roll_text(moved, exact), {"roll": roll_table(moved, exact)}
    pairs = []
    for cycles, shift in unturned(first.source.cycles_per_row, second.source.cycles_per_row):
        alone = replace(bands[0], sources=(replace(first.source, cycles_per_row=cycles),))
        reading = picture_readings(alone, known)[0] if cycles.value > 0 else None
        pairs.append((cycles, shift, reading))
    return turned_text(pairs), {"upside_down": turned_table(pairs)}


def _levels(asked: Asked, known: Known, bands: list[PictureBands]) -> MeasuredFiles:
    found = [picture_readings(each, known) for each in bands]
    rows = [
        (level, own[0] if own else None, each.detectable)
        for level, own, each in zip(asked.given.levels, found, bands, strict=True)
    ]
    first = found[0][0] if found[0] else None
    return MeasuredFiles(
        text=levels_text(rows), reading=first, picture=lambda: _picture(bands[0], found[0]),
        table={**bands_table(bands[0], found[0]), "levels": levels_table(rows)},
    )


def _agreement(
    asked: Asked, bands: PictureBands, reading: Reading | None
) -> tuple[str, dict[str, object]] | None:
    """Measured against predicted, where wall, camera, rate and shutter are given."""
    given = asked.given
    shutter = (given.angle, given.speed, given.exposure_ms, given.shutter_hz)
    if not (given.wall and given.camera and given.fps and any(shutter)):
        return None
    found = predicted_agreement(asked_shot(given), bands, reading)
    return agreement_text(found), agreement_table(found)
