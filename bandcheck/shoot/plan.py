"""A shoot plan: what stands on the stage, who films what of it, and at which rates."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Literal

from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.wall import Wall

__all__ = [
    "Interleave", "Plan", "PlannedCamera", "PlannedLamp", "Ramp", "Role", "SetUp", "Stated",
    "Surface", "SurfaceKind",
]

SurfaceKind = Literal["wall", "ceiling", "floor", "practical"]
Role = Literal["in_shot", "reflected", "lighting_only"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """A value and who stated it.

    Attributes
    ----------
    value
        In the units of the keys that it belongs to.
    by
        "set-up", "camera", "surface", "defaults" with a name where there are several; "taken"
        where nobody stated it.
    """

    value: Any
    by: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Surface:
    """Something of LEDs on the stage.

    Attributes
    ----------
    name
        What the plan calls it.
    wall
        How it is driven.
    kind
        A wall, a ceiling, a floor, or a practical screen that belongs to the set.
    role
        Whether cameras see it, see it in something shiny, or only the light that it throws;
        a set-up may say otherwise.
    given
        What the plan says of it beside its profile, by key.
    measured
        Who measured what, by key.
    """

    name: str
    wall: Wall
    kind: SurfaceKind = "wall"
    role: Role = "in_shot"
    given: Mapping[str, Stated] = field(default_factory=dict)
    measured: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedCamera:
    """A camera in one mode with its lens; attributes as for `Surface`."""

    name: str
    camera: Camera
    given: Mapping[str, Stated] = field(default_factory=dict)
    measured: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedLamp:
    """A lamp on the stage; attributes as for `Surface`."""

    name: str
    lamp: Lamp
    measured: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class SetUp:
    """What is filmed at one time.

    Attributes
    ----------
    name
        What the plan calls it.
    cameras, lamps
        Names of cameras and lamps.
    surfaces
        Names of the surfaces that the cameras see, and how they see them.
    rates
        Frame rates wanted [frames/s].
    given
        What the set-up says for itself, by key.
    """

    name: str
    cameras: tuple[str, ...]
    surfaces: Mapping[str, Role]
    lamps: tuple[str, ...]
    rates: tuple[Fraction, ...]
    given: Mapping[str, Stated] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class Ramp:
    """A change of frame rate while the camera runs.

    Attributes
    ----------
    name, setup
        Its name, and that of the set-up that it happens in.
    from_fps, to_fps
        First and last rate [frames/s].
    keeps
        Whether the shutter's angle or its time stays.
    """

    name: str
    setup: str
    from_fps: Fraction
    to_fps: Fraction
    keeps: Literal["angle", "time"] = "angle"


@dataclass(frozen=True, kw_only=True, slots=True)
class Interleave:
    """Cameras that take turns on a wall that shows each its own picture.

    Attributes
    ----------
    name
        What the plan calls it.
    cameras, surface
        Names of the cameras, in the order of their turns, and of the wall.
    wall_multiple
        Frames of the wall in one of the cameras.
    rates
        Frame rates of the cameras [frames/s].
    """

    name: str
    cameras: tuple[str, ...]
    surface: str
    wall_multiple: int
    rates: tuple[Fraction, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A shoot plan, read and without fault.

    Attributes
    ----------
    name, note
        Its name, and whatever is to be remembered of it.
    defaults
        What holds where nobody says otherwise, by key.
    surfaces, cameras, lamps
        Devices by their names in the plan.
    setups, ramps, interleaves
        In the order of the file.
    """

    name: str
    note: str = ""
    defaults: Mapping[str, Stated] = field(default_factory=dict)
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    cameras: Mapping[str, PlannedCamera] = field(default_factory=dict)
    lamps: Mapping[str, PlannedLamp] = field(default_factory=dict)
    setups: tuple[SetUp, ...] = ()
    ramps: tuple[Ramp, ...] = ()
    interleaves: tuple[Interleave, ...] = ()

    def setup(self, name: str) -> SetUp:
        """Set-up of a name.

        Raises
        ------
        KeyError
            The plan has none of that name.
        """
        for each in self.setups:
            if each.name == name:
                return each
        raise KeyError(name)
