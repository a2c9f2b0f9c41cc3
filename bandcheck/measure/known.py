"""What is known beside the picture: frequencies of lights, the readout, the camera's rows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.light.lamps import mains_ripple_hz
from bandcheck.measure.figures import Rows
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.agreement import Measured
from bandcheck.verdict.lamp_cells import ASSUMED_MAINS_TOLERANCE
from bandcheck.verdict.light_cases import (
    ASSUMED_RATE_TOLERANCE,
    ASSUMED_REFRESH_TOLERANCE,
    light_cases,
)

__all__ = [
    "Known", "Light", "camera_readout", "lamp_frequency", "picture_scale", "wall_frequency",
    "with_profiles",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Light:
    """A light of known frequency.

    Attributes
    ----------
    name
        What it is called; empty where only its frequency was given.
    frequency_hz
        Frequency [Hz]; a tolerance counts as two standard deviations.
    """

    name: str
    frequency_hz: Measured


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """What is known beside a picture.

    Attributes
    ----------
    lights
        Lights of known frequency.
    readout
        Readout [s]; None: not known.
    rows_read, rows_kept
        Rows that the sensor reads and that the picture shows; None: all, as many as the picture
        has.
    row_scale
        Sensor rows in a row of the picture; None: what follows from the rows kept.
    camera_fps
        Camera's frame rate; None: not known.
    """

    lights: tuple[Light, ...] = ()
    readout: Measured | None = None
    rows_read: int | None = None
    rows_kept: int | None = None
    row_scale: float | None = None
    camera_fps: Fraction | None = None


def picture_scale(known: Known, *, picture_rows: int) -> Rows:
    """Rows of a picture against rows of the sensor.

    Parameters
    ----------
    known
        What is known.
    picture_rows
        Rows of the whole picture.

    Returns
    -------
    Rows
        Without a word about the sensor, a row of the picture is one of the sensor's.

    Raises
    ------
    OutOfRangeError
        More rows kept than read.
    """
    if known.row_scale is not None:
        read = known.rows_read or round(known.row_scale * picture_rows)
        return Rows(rows_read=read, sensor_rows=known.row_scale)
    read = known.rows_read or known.rows_kept or picture_rows
    kept = known.rows_kept if known.rows_kept is not None else read
    if not 0 < kept <= read:
        raise OutOfRangeError("--rows-kept", kept, f"from 1 to the rows read, {read}")
    return Rows(rows_read=read, sensor_rows=kept / picture_rows)


def wall_frequency(wall: Wall, *, wall_fps: Fraction) -> Light:
    """Refresh of a wall at a frame rate.

    Parameters
    ----------
    wall
        The wall.
    wall_fps
        Its frame rate.

    Returns
    -------
    Light
        Its refresh, with the tolerance of its clock.

    Raises
    ------
    OutOfRangeError
        The profile leaves open which of several refreshes it is.
    """
    found = {
        round(each.timing.refreshes / each.timing.cycle_s, 6)
        for each in light_cases(wall, wall_fps)
    }
    if len(found) > 1:
        told = " or ".join(f"{each:g}" for each in sorted(found))
        raise OutOfRangeError(
            "--wall", wall.name,
            f"a wall whose refresh at {float(wall_fps):g} frames/s is certain; this one has {told}"
            " Hz: give --source-hz",
        )
    tolerance = wall.rate_tolerance
    if tolerance is None:
        tolerance = ASSUMED_RATE_TOLERANCE
    if wall.refresh_lock == "free":
        own = wall.refresh_tolerance
        tolerance = ASSUMED_REFRESH_TOLERANCE if own is None else own
    refresh_hz = found.pop()
    return Light(
        name=wall.name,
        frequency_hz=Measured(value=refresh_hz, uncertainty=refresh_hz * tolerance / 2),
    )


def lamp_frequency(lamp: Lamp) -> Light:
    """Frequency of a lamp's light: twice the mains, or its pulse rate.

    Parameters
    ----------
    lamp
        The lamp.

    Returns
    -------
    Light
        Its frequency, with the tolerance of the mains.

    Raises
    ------
    OutOfRangeError
        A steady lamp.
    """
    if lamp.kind == "steady":
        raise OutOfRangeError("--lamp", lamp.name, "a lamp that draws bands; this one is steady")
    if lamp.kind == "pulsed":
        rate, tolerance = lamp.pulse_hz or 0.0, ASSUMED_RATE_TOLERANCE
    else:
        rate = float(mains_ripple_hz(lamp.mains_hz or 0.0))
        own = lamp.mains_tolerance
        tolerance = ASSUMED_MAINS_TOLERANCE if own is None else own
    return Light(
        name=lamp.name, frequency_hz=Measured(value=rate, uncertainty=rate * tolerance / 2)
    )


def camera_readout(camera: Camera) -> Measured:
    """Readout of a camera profile; its tolerance counts as two standard deviations.

    Raises
    ------
    OutOfRangeError
        A global shutter, which draws no bands.
    """
    if camera.shutter != "rolling" or camera.readout_s == 0:
        raise OutOfRangeError(
            "--camera", camera.name, "a rolling shutter; with a global one all rows open at once"
        )
    return Measured(
        value=camera.readout_s, uncertainty=(camera.readout_tolerance_s or 0.0) / 2
    )


def with_profiles(
    known: Known, *, camera: Camera | None, lamps: Sequence[Lamp], wall: Wall | None,
    wall_fps: Fraction | None,
) -> Known:
    """What is known, with what profiles add to it; what was said outright has the last word.

    Parameters
    ----------
    known
        What was said.
    camera, lamps, wall
        Profiles.
    wall_fps
        Frame rate of the wall; None: its refresh does not count as known.

    Returns
    -------
    Known
        Frequencies, readout and rows from the profiles where nothing was said.
    """
    lights = known.lights
    if not lights:
        lights = tuple(map(lamp_frequency, lamps))
        if wall is not None and wall_fps is not None:
            lights += (wall_frequency(wall, wall_fps=wall_fps),)
    readout = known.readout
    if readout is None and camera is not None:
        readout = camera_readout(camera)
    rows_read = known.rows_read or (camera.rows_px if camera else None)
    return replace(known, lights=lights, readout=readout, rows_read=rows_read)
