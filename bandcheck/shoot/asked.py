"""From what a user gave, field by field, to the shot it describes.

The fields bear the names of the options of every command; messages name them as they are typed.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, TypeVar, cast

from bandcheck.errors import AskedError, OutOfRangeError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall
from bandcheck.shoot.shot import DEFAULT_LEVELS, Optics, Shot, Viewing
from bandcheck.shoot.wall import Wall
from bandcheck.timing.rates import locked_ratio

__all__ = ["Given", "given_exposure", "given_shot"]

_SHUTTER_OPTIONS = "--angle, --speed, --exposure-ms or --shutter-hz"
_Way = Literal["angle", "time"]
_Value = TypeVar("_Value")
_Profile = TypeVar("_Profile", Wall, Camera, Lamp)
_VIEWING = Viewing()


@dataclass(frozen=True, kw_only=True, slots=True)
class Given:
    """What was asked, in the units of options and fields; None where nothing was given.

    Attributes
    ----------
    wall, camera, lamp
        Names or files of profiles, or the profiles themselves.
    fps, wall_fps, content_fps
        Frame rates [frames/s].
    angle, speed, exposure_ms, shutter_hz
        Four ways to say the shutter: [deg], [s], [ms], [1/s].
    levels
        Signal levels 0..1, brightest first.
    """

    wall: str | Wall | None = None
    camera: str | Camera | None = None
    lamp: tuple[str | Lamp, ...] = ()
    fps: Fraction | None = None
    angle: Fraction | None = None
    speed: Fraction | None = None
    exposure_ms: Fraction | None = None
    shutter_hz: Fraction | None = None
    wall_fps: Fraction | None = None
    content_fps: Fraction | None = None
    genlock: Literal["locked", "free"] = "locked"
    phase_ms: float | None = None
    change_spread_ms: float = 0.0
    levels: tuple[float, ...] = DEFAULT_LEVELS
    brightness_pct: float = 100.0
    panel_rotation: str = "0"
    focal_mm: float | None = None
    distance_m: float | None = None
    focus_m: float | None = None
    f_number: float | None = None
    yaw_deg: float | None = None
    tilt_deg: float | None = None
    roll_deg: float | None = None
    squeeze: float | None = None
    push_stops: float = _VIEWING.push_stops
    flare_nits: float = _VIEWING.flare_nits
    view_heights: float = _VIEWING.view_heights
    safe_below: float = _VIEWING.safe_below
    visible_from: float = _VIEWING.visible_from
    grade_contrast: float = _VIEWING.grade_contrast


def given_shot(
    given: Given, *, fps: Fraction | None = None, unsaid_angle_deg: Fraction | None = None
) -> Shot:
    """Shot that is described.

    Parameters
    ----------
    given
        What was given.
    fps
        Frame rate to use in place of the one given [frames/s].
    unsaid_angle_deg
        Shutter angle to take where no shutter is given [deg].

    Returns
    -------
    Shot
        Profiles loaded, defaults filled in.

    Raises
    ------
    AskedError
        Something is missing, or two contradict each other.
    OutOfRangeError
        A value cannot be, beside the others.
    ProfileError
        A profile is missing or faulty.
    """
    fps = fps if fps is not None else _needed(given.fps, "--fps", "the camera's frame rate")
    exposure_s, way = given_exposure(given, fps=fps) or _unsaid(unsaid_angle_deg, fps)
    wall_fps = given.wall_fps if given.wall_fps is not None else fps
    content_fps = given.content_fps if given.content_fps is not None else wall_fps
    _refuse_timing(given, fps=fps, wall_fps=wall_fps, content_fps=content_fps)
    optics, viewing = _optics(given), _viewing(given)
    wall = _loaded(given.wall, load_wall, "--wall", "a wall profile's name or file")
    camera = _loaded(given.camera, load_camera, "--camera", "a camera profile's name or file")
    _refuse_rate(camera, fps)
    return Shot(
        wall=wall, camera=camera,
        lamps=tuple(_loaded(each, load_lamp, "--lamp", "a lamp") for each in given.lamp),
        fps=fps, exposure_s=exposure_s, shutter_set_as=way,
        wall_fps=wall_fps, content_fps=content_fps, genlock=given.genlock,
        phase_s=None if given.phase_ms is None else given.phase_ms / 1e3,
        levels=given.levels, brightness=given.brightness_pct / 100,
        change_spread_s=given.change_spread_ms / 1e3,
        panel_rotation_deg=cast("Literal[0, 90, 180, 270]", int(given.panel_rotation)),
        optics=optics, viewing=viewing,
    )


def _needed(value: _Value | None, option: str, accepted: str) -> _Value:
    if value is None:
        raise AskedError(option, f"missing; {accepted}")
    return value


def _loaded(
    asked: str | _Profile | None, load: Callable[[str], _Profile], option: str, accepted: str
) -> _Profile:
    if isinstance(asked, str):
        return load(asked)
    return _needed(asked, option, accepted)


def given_exposure(given: Given, *, fps: Fraction) -> tuple[Fraction, _Way] | None:
    """Exposure of a row that is given.

    Parameters
    ----------
    given
        What was given.
    fps
        The camera's frame rate [frames/s].

    Returns
    -------
    exposure_s, way
        Exposure [s] and whether it was set as an angle or as a time; None: no shutter is given.

    Raises
    ------
    AskedError
        More than one way to say the shutter.
    OutOfRangeError
        Longer than a frame.
    """
    ways: dict[str, tuple[Fraction | None, _Way]] = {
        "--angle": (given.angle and given.angle / (360 * fps), "angle"),
        "--speed": (given.speed, "time"),
        "--exposure-ms": (given.exposure_ms and given.exposure_ms / 1000, "time"),
        "--shutter-hz": (given.shutter_hz and 1 / given.shutter_hz, "time"),
    }
    said = [(option, time_s, way) for option, (time_s, way) in ways.items() if time_s is not None]
    if not said:
        return None
    if len(said) > 1:
        named = " and ".join(option for option, _, _ in said)
        raise AskedError(named, "give one of them; each of them sets the shutter")
    option, time_s, way = said[0]
    if time_s * fps > 1:
        raise OutOfRangeError(
            option, f"{float(1000 * time_s):g} ms",
            f"no longer than a frame, {float(1000 / fps):g} ms at {float(fps):g} frames/s",
        )
    return time_s, way


def _unsaid(angle_deg: Fraction | None, fps: Fraction) -> tuple[Fraction, _Way]:
    if angle_deg is None:
        raise AskedError("--angle", f"missing; the shutter as {_SHUTTER_OPTIONS}")
    return angle_deg / (360 * fps), "angle"


def _refuse_timing(
    given: Given, *, fps: Fraction, wall_fps: Fraction, content_fps: Fraction
) -> None:
    """Refuse rates, phases and spreads that cannot go together."""
    if given.genlock == "locked":
        _refuse_ratio(wall_fps, fps)
    if content_fps > wall_fps:
        raise OutOfRangeError(
            "--content-fps", float(content_fps),
            f"0 or up to the wall's rate, {float(wall_fps):g} frames/s",
        )
    # A clean phase may lie in the second wall frame of a picture that stays for two.
    picture_ms = 1000 / (min(content_fps, wall_fps) or wall_fps)
    for option, value_ms, frame_ms, whose in (
        ("--phase-ms", given.phase_ms, picture_ms, "picture on the wall"),
        ("--change-spread-ms", given.change_spread_ms, 1000 / wall_fps, "frame of the wall"),
    ):
        if value_ms is not None and value_ms >= frame_ms:
            raise OutOfRangeError(
                option, value_ms, f"from 0 to below one {whose}, {float(frame_ms):g} ms"
            )


def _refuse_ratio(wall_fps: Fraction, fps: Fraction) -> None:
    try:
        locked_ratio(wall_fps=wall_fps, camera_fps=fps)
    except OutOfRangeError as error:
        raise OutOfRangeError("--genlock", error.value, error.accepted) from error


def _refuse_rate(camera: Camera, fps: Fraction) -> None:
    """Refuse a frame rate that the camera's mode does not reach."""
    if camera.max_fps is not None and fps > camera.max_fps:
        highest_fps, why = float(camera.max_fps), "the highest rate of this mode of the camera"
    elif camera.readout_s * fps > 1:
        highest_fps, why = 1 / camera.readout_s, "where its readout fills the frame"
    else:
        return
    raise OutOfRangeError("--fps", float(fps), f"at most {highest_fps:g} frames/s, {why}")


def _optics(given: Given) -> Optics | None:
    lens = {
        "--focal-mm": given.focal_mm, "--distance-m": given.distance_m,
        "--focus-m": given.focus_m, "--f-number": given.f_number, "--yaw-deg": given.yaw_deg,
        "--tilt-deg": given.tilt_deg, "--roll-deg": given.roll_deg, "--squeeze": given.squeeze,
    }
    typed = [option for option, value in lens.items() if value is not None]
    if not typed:
        return None
    if given.focal_mm is None or given.distance_m is None:
        missing = _missing(("--focal-mm", given.focal_mm), ("--distance-m", given.distance_m))
        raise AskedError(typed[0], f"given without {missing}, which a lens needs too")
    optics = Optics(
        focal_mm=given.focal_mm, distance_mm=given.distance_m * 1e3, f_number=given.f_number,
        focus_mm=None if given.focus_m is None else given.focus_m * 1e3,
    )
    turns = {"yaw_deg": given.yaw_deg, "tilt_deg": given.tilt_deg, "roll_deg": given.roll_deg,
             "squeeze": given.squeeze}
    return replace(optics, **{name: value for name, value in turns.items() if value is not None})


def _missing(*options: tuple[str, float | None]) -> str:
    return " and ".join(name for name, value in options if value is None)


def _viewing(given: Given) -> Viewing:
    if given.visible_from < given.safe_below:
        raise OutOfRangeError(
            "--visible-from", given.visible_from, f"not below --safe-below, {given.safe_below:g}"
        )
    return Viewing(
        flare_nits=given.flare_nits, view_heights=given.view_heights, push_stops=given.push_stops,
        safe_below=given.safe_below, visible_from=given.visible_from,
        grade_contrast=given.grade_contrast,
    )
