"""From the options of a command to the shot they describe."""

from dataclasses import replace
from fractions import Fraction
from typing import Literal, TypeVar, cast

import click

from bandcheck.cli.options import Given
from bandcheck.cli.screen import note
from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall
from bandcheck.shoot.shot import Optics, Shot, Viewing
from bandcheck.timing.rates import locked_ratio

__all__ = ["asked_shot"]

_SHUTTER_OPTIONS = "--angle, --speed, --exposure-ms or --shutter-hz"
_Way = Literal["angle", "time"]
_Value = TypeVar("_Value")


def asked_shot(
    given: Given, *, fps: Fraction | None = None, unsaid_angle_deg: Fraction | None = None,
    tell_unsaid: bool = True,
) -> Shot:
    """Shot that the options describe.

    Parameters
    ----------
    given
        The options as typed.
    fps
        Frame rate to use in place of `--fps` [frames/s].
    unsaid_angle_deg
        Shutter angle to take where the options name no shutter [deg].
    tell_unsaid
        Whether to say so.

    Returns
    -------
    Shot
        Profiles loaded, defaults filled in.

    Raises
    ------
    click.UsageError
        An option is missing, or two contradict each other.
    OutOfRangeError
        A value cannot be, beside the others.
    ProfileError
        A profile is missing or faulty.
    """
    fps = fps if fps is not None else _needed(given.fps, "--fps", "the camera's frame rate")
    exposure_s, way = _exposure(given, fps, unsaid_angle_deg, tell=tell_unsaid)
    wall_fps = given.wall_fps if given.wall_fps is not None else fps
    content_fps = given.content_fps if given.content_fps is not None else wall_fps
    _refuse_timing(given, fps=fps, wall_fps=wall_fps, content_fps=content_fps)
    optics, viewing = _optics(given), _viewing(given)
    wall = load_wall(_needed(given.wall, "--wall", "a wall profile's name or file"))
    camera = load_camera(_needed(given.camera, "--camera", "a camera profile's name or file"))
    _refuse_rate(camera, fps)
    return Shot(
        wall=wall, camera=camera, lamps=tuple(load_lamp(each) for each in given.lamp),
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
        raise click.UsageError(f"{option}: missing; {accepted}")
    return value


def _exposure(
    given: Given, fps: Fraction, unsaid_angle_deg: Fraction | None, *, tell: bool
) -> tuple[Fraction, _Way]:
    """Exposure of a row [s] and whether it was set as an angle or as a time."""
    ways: dict[str, tuple[Fraction | None, _Way]] = {
        "--angle": (given.angle and given.angle / (360 * fps), "angle"),
        "--speed": (given.speed, "time"),
        "--exposure-ms": (given.exposure_ms and given.exposure_ms / 1000, "time"),
        "--shutter-hz": (given.shutter_hz and 1 / given.shutter_hz, "time"),
    }
    said = [(option, time_s, way) for option, (time_s, way) in ways.items() if time_s is not None]
    if len(said) > 1:
        named = " and ".join(option for option, _, _ in said)
        raise click.UsageError(f"{named}: give one of them; each of them sets the shutter")
    if said:
        option, time_s, way = said[0]
        if time_s * fps > 1:
            raise OutOfRangeError(
                option, f"{float(1000 * time_s):g} ms",
                f"no longer than a frame, {float(1000 / fps):g} ms at {float(fps):g} frames/s",
            )
        return time_s, way
    if unsaid_angle_deg is None:
        raise click.UsageError(f"--angle: missing; the shutter as {_SHUTTER_OPTIONS}")
    if tell:
        note(f"no shutter given: {float(unsaid_angle_deg):g} deg is taken as the wanted one")
    return unsaid_angle_deg / (360 * fps), "angle"


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
        raise click.UsageError(f"{typed[0]}: given without {missing}, which a lens needs too")
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
