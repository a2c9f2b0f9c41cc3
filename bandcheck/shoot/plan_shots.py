"""From a plan to the shots in it, with every value inherited from where it was stated."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, cast

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Plan, PlannedCamera, Role, SetUp, Stated, Surface
from bandcheck.shoot.plan_keys import TAKEN
from bandcheck.shoot.shot import DEFAULT_LEVELS, Optics, Shot, Viewing
from bandcheck.shoot.wall import Wall
from bandcheck.timing.rates import LARGEST_DENOMINATOR, locked_ratio, rate_text

__all__ = [
    "Sight", "camera_faults_at_rate", "interleaved_shot", "resolved", "setup_sights", "sight_shot",
    "stated_shutter", "with_refreshes",
]

_NOBODY = "taken"
_VIEWING = Viewing()
_VIEWER = (
    "push_stops", "flare_nits", "view_heights", "grade_contrast", "safe_below", "visible_from",
)
_OF_ONE_DEVICE = ("genlock", "phase_s", "panel_rotation_deg")


@dataclass(frozen=True, kw_only=True, slots=True)
class Sight:
    """One camera of a set-up that sees one surface at one rate.

    Attributes
    ----------
    camera, surface
        Names in the plan.
    role
        How the surface is seen.
    fps
        Frame rate [frames/s].
    shot
        The same as a shot, with the lamps of the set-up.
    """

    camera: str
    surface: str
    role: Role
    fps: Fraction
    shot: Shot


def with_refreshes(wall: Wall, refreshes_per_frame: int) -> Wall:
    """A wall set to another number of refreshes a frame; its gray depth stays where it is given."""
    return replace(
        wall, refreshes_per_frame=refreshes_per_frame, refresh_hz=None, rated_fps=None,
        counts_per_refresh=None if wall.gray_bits is not None else wall.counts_per_refresh,
    )


def _first(key: str, *holders: Mapping[str, Stated]) -> Stated:
    for holder in holders:
        if key in holder:
            return holder[key]
    return Stated(value=TAKEN.get(key), by=_NOBODY)


def stated_shutter(plan: Plan, setup: SetUp, camera: PlannedCamera) -> tuple[str, Stated]:
    """Shutter wanted: "speed" or "angle_deg", and its value."""
    for holder in (setup.given, camera.given, plan.defaults):
        for key in ("speed", "angle_deg"):
            if key in holder:
                return key, holder[key]
    return "angle_deg", Stated(value=TAKEN["angle_deg"], by=_NOBODY)


def resolved(
    plan: Plan, setup: SetUp, camera: PlannedCamera, surface: Surface
) -> dict[str, Stated]:
    """Every value that holds for a camera and a surface in a set-up, and who stated it.

    Parameters
    ----------
    plan, setup, camera, surface
        Whose values.

    Returns
    -------
    dict
        Field to value; the shutter under "speed" or "angle_deg". What a set-up says goes before
        its camera, the camera before the surface, all of them before the defaults.
    """
    holders = (setup.given, camera.given, surface.given, plan.defaults)
    shutter, wanted = stated_shutter(plan, setup, camera)
    values = {shutter: wanted}
    for key in (
        "levels", "brightness", "wall_fps", "content_fps", "change_spread_s", "focal_mm",
        "f_number", "focus_m", "squeeze", "roll_deg", "distance_m", "yaw_deg", "tilt_deg", *_VIEWER,
    ):
        values[key] = _first(key, *holders)
    for name, device in (("camera", camera.given), ("surface", surface.given)):
        for key in _OF_ONE_DEVICE:
            if (name, key) != ("camera", "panel_rotation_deg"):
                values[f"{name}_{key}"] = _first(key, device, plan.defaults)
    values["refreshes_per_frame"] = _first("refreshes_per_frame", surface.given)
    if values["levels"].value is None:
        values["levels"] = Stated(value=DEFAULT_LEVELS, by=_NOBODY)
    for key in _VIEWER:
        if values[key].value is None:
            values[key] = Stated(value=getattr(_VIEWING, key), by=_NOBODY)
    return values


def _exposure(values: Mapping[str, Stated], fps: Fraction) -> Fraction:
    if "speed" in values:
        speed: Fraction = values["speed"].value
        if speed * fps > 1:
            raise OutOfRangeError(
                "speed", str(speed), f"no longer than a frame, 1/{rate_text(fps)} s"
            )
        return speed
    angle: Fraction = values["angle_deg"].value
    return angle / 360 / fps


def _optics(said: Mapping[str, Any], role: Role) -> Optics | None:
    """Lens and place; what is seen in a reflection, or not at all, keeps no known geometry."""
    if role != "in_shot" or said["focal_mm"] is None or said["distance_m"] is None:
        return None
    return Optics(
        focal_mm=said["focal_mm"], distance_mm=1e3 * said["distance_m"],
        f_number=said["f_number"],
        focus_mm=None if said["focus_m"] is None else 1e3 * said["focus_m"],
        yaw_deg=said["yaw_deg"], tilt_deg=said["tilt_deg"], roll_deg=said["roll_deg"],
        squeeze=said["squeeze"],
    )


def _phase_s(said: Mapping[str, Any], *, picture_s: float) -> float | None:
    """From the start of the surface's frame to the first row's opening, where both are known."""
    camera, surface = said["camera_phase_s"], said["surface_phase_s"]
    return None if camera is None or surface is None else (camera - surface) % picture_s


def _refuse_ratio(wall_fps: Fraction, fps: Fraction) -> None:
    try:
        locked_ratio(wall_fps=wall_fps, camera_fps=fps)
    except OutOfRangeError:
        raise OutOfRangeError(
            "wall_fps", rate_text(wall_fps),
            f"a rate that locks to {rate_text(fps)}: their ratio as p/q with q up to "
            f'{LARGEST_DENOMINATOR}; or genlock = "free" for camera or surface',
        ) from None


def sight_shot(
    plan: Plan, setup: SetUp, camera: PlannedCamera, surface: Surface, *, role: Role,
    fps: Fraction,
) -> Shot:
    """One camera and one surface of a set-up as a shot.

    Parameters
    ----------
    plan, setup, camera, surface
        Who films what.
    role
        How the surface is seen. Of a surface that only lights the scene no picture is seen, so
        that none can tear; its light is graded as if it were in the shot, which is the safe side:
        on the scene the light of its scan lines is mixed and pulses less.
    fps
        Frame rate [frames/s].

    Returns
    -------
    Shot
        With the lamps of the set-up.

    Raises
    ------
    OutOfRangeError
        The exposure or the phase does not fit, or rates do not go together.
    """
    values = resolved(plan, setup, camera, surface)
    said = {key: each.value for key, each in values.items()}
    wall_fps = fps if said["wall_fps"] is None else said["wall_fps"]
    content_fps = wall_fps if said["content_fps"] is None else said["content_fps"]
    if content_fps > wall_fps:
        raise OutOfRangeError(
            "content_fps", rate_text(content_fps), f"0 or up to wall_fps, {rate_text(wall_fps)}"
        )
    free = "free" in (said["camera_genlock"], said["surface_genlock"])
    if not free:
        _refuse_ratio(wall_fps, fps)
    if said["change_spread_s"] * float(wall_fps) >= 1:
        raise OutOfRangeError(
            "change_spread_ms", 1e3 * said["change_spread_s"], "less than a frame of the surface"
        )
    refreshes = said["refreshes_per_frame"]
    return Shot(
        wall=surface.wall if refreshes is None else with_refreshes(surface.wall, refreshes),
        camera=camera.camera, lamps=tuple(plan.lamps[name].lamp for name in setup.lamps),
        fps=fps, exposure_s=_exposure(values, fps),
        shutter_set_as="time" if "speed" in values else "angle", wall_fps=wall_fps,
        content_fps=Fraction(0) if role == "lighting_only" else content_fps,
        genlock="free" if free else "locked",
        phase_s=_phase_s(said, picture_s=1 / float(min(content_fps, wall_fps) or wall_fps)),
        levels=said["levels"], brightness=said["brightness"],
        change_spread_s=said["change_spread_s"],
        panel_rotation_deg=cast("Any", said["surface_panel_rotation_deg"]),
        optics=_optics(said, role), viewing=Viewing(**{key: said[key] for key in _VIEWER}),
    )


def camera_faults_at_rate(camera: PlannedCamera, fps: Fraction) -> Iterator[str]:
    """Why a camera's mode cannot run a frame rate."""
    mode, shown = camera.camera, rate_text(fps)
    if mode.max_fps is not None and fps > mode.max_fps:
        yield (f"rates: {shown} is not accepted; camera {camera.name} runs at most "
               f"{rate_text(mode.max_fps)} frames/s")
    elif mode.readout_s * fps > 1:
        yield (f"rates: {shown} is not accepted; the readout of camera {camera.name}, "
               f"{1e3 * mode.readout_s:g} ms, is longer than a frame")


def setup_sights(plan: Plan, setup: SetUp, *, fps: Fraction) -> tuple[Sight, ...]:
    """Every camera of a set-up with every surface that it sees, at one rate.

    Raises
    ------
    OutOfRangeError
        As `sight_shot`.
    """
    return tuple(
        Sight(
            camera=camera, surface=surface, role=role, fps=fps,
            shot=sight_shot(
                plan, setup, plan.cameras[camera], plan.surfaces[surface], role=role, fps=fps
            ),
        )
        for camera in setup.cameras for surface, role in setup.surfaces.items()
    )


def interleaved_shot(
    plan: Plan, camera: PlannedCamera, surface: Surface, *, fps: Fraction, wall_multiple: int
) -> Shot:
    """One of several cameras that take turns on a wall: the wall's every frame is another's.

    Raises
    ------
    OutOfRangeError
        As `sight_shot`.
    """
    turn = SetUp(name="", cameras=(), surfaces={}, lamps=(), rates=(fps,), given={
        "wall_fps": Stated(value=fps * wall_multiple, by="interleave"),
        "content_fps": Stated(value=fps * wall_multiple, by="interleave"),
    })
    shot = sight_shot(plan, turn, camera, surface, role="in_shot", fps=fps)
    return replace(shot, phase_s=None)
