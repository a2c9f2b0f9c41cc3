"""`--save-to` of `bandcheck measure`: which profile a figure goes into, and never an original."""

import os
from collections.abc import Sequence
from pathlib import Path

import click

from bandcheck.cli.measured_files import (
    Asked,
    given_camera,
    given_lamps,
    given_wall,
    wall_rate,
)
from bandcheck.cli.output import Output
from bandcheck.measure.saved_profile import (
    camera_with_readout,
    lamp_with_rate,
    wall_with_refresh,
)
from bandcheck.shoot.asked import Given
from bandcheck.shoot.profiles import shipped_folder
from bandcheck.verdict.agreement import Reading

__all__ = ["refuse_original", "saved_text"]


def refuse_original(
    save_to: Output, given: Given, files: Sequence[str], date: str | None
) -> None:
    """Refuse to write over what was measured, the profiles it was measured with, or shipped ones.

    Raises
    ------
    click.UsageError
        Such a place, or no date.
    """
    if not date:
        raise click.UsageError("--date: missing; the date of the measurement, such as 2026-03-02")
    named = (given.wall, given.camera, *given.lamp, *files)
    used = [each for each in named if isinstance(each, str)]
    originals = {os.path.realpath(each) for each in used}
    shipped = shipped_folder().resolve()
    if str(save_to.path) in originals or shipped in Path(save_to.path).parents:
        raise click.UsageError(
            f"--save-to: '{save_to.given}' is an original; give the copy another name"
        )


def saved_text(reading: Reading | None, asked: Asked, date: str) -> str:
    """Profile with the figure that was measured.

    Parameters
    ----------
    reading
        The source that was asked for; None: no bands.
    asked
        What was typed.
    date
        Date of the measurement.

    Returns
    -------
    str
        TOML text.

    Raises
    ------
    click.UsageError
        Nothing was measured, or it is not clear what or for which profile.
    OutOfRangeError
        The figure does not fit the profile.
    """
    given = asked.given
    if reading is None:
        raise click.UsageError("--save-to: no bands were found, so there is no figure to save")
    lit = bool(given.wall or given.lamp)
    if not asked.source_hz and asked.readout_ms is None and given.camera and lit:
        raise click.UsageError(
            "--save-to: say which of the two is known: the light (--source-hz) for the camera's"
            " readout, or the readout (--readout-ms) for the light's frequency"
        )
    if asked.readout_ms is None and reading.readout_s is not None:
        camera = given_camera(given)
        if camera is None:
            raise click.UsageError("--camera: missing; the profile that the readout goes into")
        if reading.rows_read != camera.rows_px:
            raise click.UsageError(
                f"--rows-read: {reading.rows_read}; the profile that the readout goes into reads"
                f" {camera.rows_px} rows"
            )
        return camera_with_readout(camera, reading.readout_s, date=date)
    return _light_text(reading, asked, date)


def _light_text(reading: Reading, asked: Asked, date: str) -> str:
    given = asked.given
    if reading.source_hz is None:
        raise click.UsageError(
            "--save-to: give what is known: --source-hz for a readout, --readout-ms for a light"
        )
    wall, lamps, wall_fps = given_wall(given), given_lamps(given), wall_rate(given)
    if wall is None and len(lamps) == 1:
        return lamp_with_rate(lamps[0], reading.source_hz, date=date)
    if wall is None or lamps:
        raise click.UsageError("--wall: missing; or one --lamp: the profile the figure goes into")
    if wall_fps is None:
        raise click.UsageError("--wall-fps: missing; the wall's frame rate in the picture")
    return wall_with_refresh(wall, reading.source_hz, wall_fps=wall_fps, date=date)
