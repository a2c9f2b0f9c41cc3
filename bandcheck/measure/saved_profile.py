"""A measured figure in a copy of a profile, with where it comes from."""

from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profile_text import profile_text
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.agreement import Measured

__all__ = ["camera_with_readout", "lamp_with_rate", "wall_with_refresh"]

_SURE = 3.0
_DIGITS = 2


def _rounded(figure: Measured, scale: float) -> tuple[float, float]:
    """Figure and uncertainty, scaled, to two digits of the uncertainty, which is rounded up."""
    value = Decimal(repr(figure.value * scale))
    error = Decimal(repr(max(figure.uncertainty * scale, abs(figure.value * scale) * 1e-9)))
    step = Decimal(1).scaleb(error.adjusted() - _DIGITS + 1)
    return float(value.quantize(step)), float(error.quantize(step, rounding=ROUND_CEILING))


def _two_sigma(error: float, value: float) -> float:
    """Twice an uncertainty as a share of the figure, to two digits, rounded up."""
    share = Decimal(repr(2 * error / value))
    step = Decimal(1).scaleb(share.adjusted() - _DIGITS + 1)
    return float(share.quantize(step, rounding=ROUND_CEILING))


def _note(date: str, error: float, unit: str) -> str:
    return f"measured {date}, +/- {error:g} {unit}"


def camera_with_readout(camera: Camera, readout: Measured, *, date: str) -> str:
    """TOML text of a camera with a measured readout.

    Parameters
    ----------
    camera
        The profile to copy.
    readout
        Readout [s].
    date
        Date to note.

    Returns
    -------
    str
        The copy; its tolerance is two standard deviations.
    """
    ms, error_ms = _rounded(readout, 1e3)
    note = _note(date, error_ms, "ms")
    return profile_text(replace(
        camera, readout_s=ms / 1e3, readout_tolerance_s=2 * error_ms / 1e3,
        source={**camera.source, "readout_ms": note, "readout_tolerance_ms": note},
    ))


def wall_with_refresh(
    wall: Wall, refresh_hz: Measured, *, wall_fps: Fraction, date: str
) -> str:
    """TOML text of a wall with a measured refresh.

    Parameters
    ----------
    wall
        The profile to copy.
    refresh_hz
        Refresh [Hz].
    wall_fps
        Frame rate of the wall when it was measured.
    date
        Date to note.

    Returns
    -------
    str
        The copy. A refresh that restarts with each frame fits it a whole number of times, and that
        number is written; one that runs free is written as it was measured.

    Raises
    ------
    OutOfRangeError
        The measurement does not say which whole number it is.
    """
    hz, error_hz = _rounded(refresh_hz, 1.0)
    note = f"measured {date}, {hz} Hz +/- {error_hz} Hz at {float(wall_fps):g} frames/s"
    source = {key: each for key, each in wall.source.items()
              if key not in ("refresh_hz", "rated_fps", "refreshes_per_frame")}
    if wall.refresh_lock == "free":
        return profile_text(replace(
            wall, refresh_hz=hz, rated_fps=wall_fps, refreshes_per_frame=None,
            refresh_tolerance=_two_sigma(error_hz, hz),
            source={**source, "refresh_hz": note, "rated_fps": note,
                    "refresh_tolerance_pct": note},
        ))
    ratio = refresh_hz.value / float(wall_fps)
    spread = _SURE * refresh_hz.uncertainty / float(wall_fps)
    if spread > 0.5 or abs(ratio - round(ratio)) > max(spread, 0.05):
        raise OutOfRangeError(
            "--save-to", f"{hz:g} +/- {error_hz:g} Hz",
            f"a refresh that is a whole multiple of the wall's {float(wall_fps):g} frames/s",
        )
    return profile_text(replace(
        wall, refreshes_per_frame=round(ratio), refresh_hz=None, rated_fps=None,
        source={**source, "refreshes_per_frame": note},
    ))


def lamp_with_rate(lamp: Lamp, light_hz: Measured, *, date: str) -> str:
    """TOML text of a lamp with a measured rate.

    Parameters
    ----------
    lamp
        The profile to copy; on mains or pulsed.
    light_hz
        Frequency of its light [Hz]; that of mains is half of it.
    date
        Date to note.

    Returns
    -------
    str
        The copy.
    """
    if lamp.kind == "mains":
        hz, error_hz = _rounded(light_hz, 0.5)
        note = _note(date, error_hz, "Hz")
        return profile_text(replace(
            lamp, mains_hz=hz, mains_tolerance=_two_sigma(error_hz, hz),
            source={**lamp.source, "mains_hz": note, "mains_tolerance_pct": note},
        ))
    hz, error_hz = _rounded(light_hz, 1.0)
    return profile_text(replace(
        lamp, pulse_hz=hz, source={**lamp.source, "pulse_hz": _note(date, error_hz, "Hz")},
    ))
