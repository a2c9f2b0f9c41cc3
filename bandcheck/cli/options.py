"""The options that say what is filmed and how, shared by every command that looks at a shot.

A command uses them like this::

    @click.command("check", cls=PlainCommand, example="bandcheck check --wall stage ...")
    @shot_options
    @json_option
    def command(given: Given, as_json: bool) -> None:
        shot = asked_shot(given)      # refuses what cannot be; the shutter must be said

Where the shutter may stay unsaid: `asked_shot(given, unsaid_angle_deg=Fraction(180))`, which says
on standard error what was taken. Where rates are listed: `asked_shot(given, fps=rate)` for each.
`given` holds the options as typed (None: not typed); `asked_shot` is in `cli.asked_shot`.
"""

import functools
from collections.abc import Callable
from dataclasses import fields
from typing import Any

import click

from bandcheck.cli.values import (
    ANGLE,
    CONTENT_RATE,
    LEVELS,
    PROFILE,
    RATE,
    SPEED,
    Typed,
    exact,
    number,
)
from bandcheck.shoot.asked import Given
from bandcheck.shoot.shot import DEFAULT_LEVELS, Viewing

__all__ = ["shot_options"]


class _Option(click.Option):
    """An option that stands under a heading of the help."""

    def __init__(self, *args: Any, section: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.section = section


_Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


def _option(section: str, name: str, kind: Any, text: str, **settings: Any) -> _Decorator:
    default = settings.get("default")
    if isinstance(default, float | str):
        text += f"  [default: {default:g}]" if isinstance(default, float) else (
            f"  [default: {default}]"
        )
    if isinstance(kind, Typed):
        settings["metavar"] = kind.name
    return click.option(name, cls=_Option, section=section, type=kind, help=text, **settings)


_STAGE, _SHUTTER, _TIMING = "What is filmed", "Shutter (one of the four)", "Rates and genlock"
_WALL, _LENS = "Picture and wall", "Lens and place (for moire; needs --focal-mm and --distance-m)"
_VIEWER = "Viewer and grades"
_VIEWING = Viewing()

_SHARED: tuple[_Decorator, ...] = (
    _option(_STAGE, "--wall", PROFILE, "Wall: a shipped profile's name, or a file."),
    _option(_STAGE, "--camera", PROFILE, "Camera mode: name or file."),
    _option(_STAGE, "--lamp", PROFILE, "Lamp in shot: name or file; repeat for several.",
            multiple=True),
    _option(_SHUTTER, "--angle", ANGLE, "Shutter angle, such as 172.8."),
    _option(_SHUTTER, "--speed", SPEED, "Shutter speed, such as 1/50."),
    _option(_SHUTTER, "--exposure-ms", exact("MS", above=0, unit="of milliseconds"),
            "Exposure time in milliseconds, such as 20."),
    _option(_SHUTTER, "--shutter-hz", exact("HZ", above=0, unit="of hertz"),
            "One over the exposure time, such as 50."),
    _option(_TIMING, "--fps", RATE, "Camera's frame rate: 24, 23.976, 24000/1001 and the like."),
    _option(_TIMING, "--wall-fps", RATE, "Wall's frame rate.  [default: the camera's]"),
    _option(_TIMING, "--content-fps", CONTENT_RATE,
            "Rate at which the picture on the wall changes; 0: it stands still.  "
            "[default: the wall's]"),
    _option(_TIMING, "--genlock", click.Choice(["locked", "free"]),
            "Whether camera and wall follow one reference.", default="locked"),
    _option(_TIMING, "--phase-ms", number("MS", at_least=0, unit="of milliseconds"),
            "From the start of a wall frame to the first row's opening.  [default: not known]"),
    _option(_TIMING, "--change-spread-ms", number("MS", at_least=0, unit="of milliseconds"),
            "Time over which the wall's picture changes to the next.", default=0.0),
    _option(_WALL, "--levels", LEVELS, "Signal levels in % that decide.  [default: "
            f"{','.join(f'{100 * level:g}' for level in DEFAULT_LEVELS)}]",
            default=DEFAULT_LEVELS),
    _option(_WALL, "--brightness-pct", number("PCT", above=0, at_most=100),
            "Brightness setting of the wall.", default=100.0),
    _option(_WALL, "--panel-rotation", click.Choice(["0", "90", "180", "270"]),
            "How the panels hang, in degrees.", default="0"),
    _option(_LENS, "--focal-mm", number("MM", above=0, unit="of millimetres"), "Focal length."),
    _option(_LENS, "--distance-m", number("M", above=0, unit="of metres"),
            "Distance of the wall from the sensor plane."),
    _option(_LENS, "--focus-m", number("M", above=0, unit="of metres"),
            "Distance focused on, from the sensor plane."),
    _option(_LENS, "--f-number", number("N", above=0), "F-number, such as 2.8."),
    _option(_LENS, "--yaw-deg", number("DEG", above=-90, below=90),
            "Turn of the wall about the vertical.  [default: 0]"),
    _option(_LENS, "--tilt-deg", number("DEG", above=-90, below=90),
            "Lean of the wall.  [default: 0]"),
    _option(_LENS, "--roll-deg", number("DEG", at_least=-180, at_most=180),
            "Turn of the camera about its axis.  [default: 0]"),
    _option(_LENS, "--squeeze", number("RATIO", above=0),
            "Squeeze of an anamorphic lens.  [default: 1]"),
    _option(_VIEWER, "--view-heights", number("HEIGHTS", above=0),
            "Viewing distance in picture heights.", default=_VIEWING.view_heights),
    _option(_VIEWER, "--flare-nits", number("NITS", at_least=0, unit="of cd/m2"),
            "Light added to the viewer's black.", default=_VIEWING.flare_nits),
    _option(_VIEWER, "--push-stops", number("STOPS", at_least=-20, at_most=20),
            "Stops by which the picture may be brightened later.",
            default=_VIEWING.push_stops),
    _option(_VIEWER, "--grade-contrast", number("FACTOR", above=0),
            "Factor by which the grade multiplies contrast.",
            default=_VIEWING.grade_contrast),
    _option(_VIEWER, "--safe-below", number("V", above=0),
            "Visibility below which a fault is safe.", default=_VIEWING.safe_below),
    _option(_VIEWER, "--visible-from", number("V", above=0),
            "Visibility from which a fault is visible.", default=_VIEWING.visible_from),
)


def shot_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command all shared options; they arrive together as `given`."""

    @functools.wraps(function)
    def gathered(**values: Any) -> Any:
        given = Given(**{field.name: values.pop(field.name) for field in fields(Given)})
        return function(given=given, **values)

    for option in reversed(_SHARED):
        option(gathered)
    return gathered
