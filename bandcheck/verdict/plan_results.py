"""What a plan's agreement says, as figures: set-ups, their rates, and who meets whom there."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from bandcheck.shoot.plan import Role
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.plan_ramp import RampFigures
from bandcheck.verdict.plan_window import Wanted
from bandcheck.verdict.safe_ranges import Range
from bandcheck.vision.level import Level, worst_level

__all__ = [
    "Cell", "Chosen", "Device", "Dialled", "Mend", "MendPart", "Opened", "Pair", "PairRamp",
    "RampAgreement", "SetUpAgreement",
]


@dataclass(frozen=True, kw_only=True, slots=True, order=True)
class Device:
    """Something that may leave no room: a surface, a lamp, a camera or a frame rate."""

    kind: Literal["surface", "lamp", "camera", "rate"]
    name: str

    def __str__(self) -> str:
        return f"{self.kind} {self.name}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Pair:
    """A camera and a surface that it sees, at one rate.

    Attributes
    ----------
    camera, surface, role
        Names in the plan, and how the surface is seen.
    shot
        The same as a shot with the wanted setting.
    wanted
        Grade of that setting.
    """

    camera: str
    surface: str
    role: Role
    shot: Shot
    wanted: Wanted


@dataclass(frozen=True, kw_only=True, slots=True)
class Dialled:
    """Setting of one camera's dial [deg], exact, and whether it lies in the range allowed.

    Where no click of the dial lies inside it is the nearest click, which is graded as it is.
    """

    camera: str
    angle_deg: Fraction
    inside: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Chosen:
    """What to dial.

    Attributes
    ----------
    dials
        Setting of each camera.
    allowed_deg
        Range in which the timing stays safe.
    level, visibility
        Grade of those settings, everything recomputed.
    stops_from_wanted
        Exposure of the first camera against the wanted one.
    phases_s
        From and to of the phases that the grade counts on, which are clean before all surfaces
        [s], for each camera that has any; where the ends are the wrong way round there are none
        in common.
    """

    dials: tuple[Dialled, ...]
    allowed_deg: Range
    level: Level
    visibility: float
    stops_from_wanted: float
    phases_s: tuple[tuple[str, Range], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class MendPart:
    """One change: "refreshes_per_frame" of a surface, "lamp_off", "own_shutter" of a camera."""

    change: Literal["refreshes_per_frame", "lamp_off", "own_shutter"]
    device: Device
    value: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Opened:
    """Cameras that share a shutter, and angles that are safe for all they see, rising [deg]."""

    cameras: tuple[str, ...]
    ranges_deg: tuple[Range, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Mend:
    """Changes that together open a setting that suits everything.

    Attributes
    ----------
    parts
        The changes.
    opened
        What may be dialled then: for all cameras together, or where one has a shutter of its own
        for the others and for that one.
    """

    parts: tuple[MendPart, ...]
    opened: tuple[Opened, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    """A set-up at one rate.

    Attributes
    ----------
    fps
        Frame rate of the cameras [frames/s].
    pairs
        Every camera with every surface that it sees.
    common_deg
        Shutter angles that are safe for all of them, those nearest to the wanted one, rising.
    chosen
        What to dial; None where nothing is safe.
    blocked_by
        Where nothing is safe: each device without which something would be; or all that have
        nothing of their own; or all.
    mends
        The smallest sets of changes that open a common setting.
    refused
        Why it cannot be run; empty where it can.
    """

    fps: Fraction
    pairs: tuple[Pair, ...]
    common_deg: tuple[Range, ...] = ()
    chosen: Chosen | None = None
    blocked_by: tuple[Device, ...] = ()
    mends: tuple[Mend, ...] = ()
    refused: str = ""

    @property
    def level(self) -> Level:
        """Worst grade of the wanted settings."""
        return Level.UNKNOWN if self.refused else worst_level(
            each.wanted.level for each in self.pairs
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class SetUpAgreement:
    """What suits everything in a set-up.

    Attributes
    ----------
    name
        The set-up's.
    cells
        The set-up at each of its rates.
    common_deg, common_s
        Shutter angles, and times, that are safe at all of its rates, rising.
    blocked_by
        Where there is no such angle: rates without which there would be one, or what blocks the
        rates that have none.
    """

    name: str
    cells: tuple[Cell, ...]
    common_deg: tuple[Range, ...] = ()
    common_s: tuple[Range, ...] = ()
    blocked_by: tuple[Device, ...] = ()

    @property
    def level(self) -> Level:
        """Worst grade of the wanted settings at all rates."""
        return worst_level(each.level for each in self.cells)


@dataclass(frozen=True, kw_only=True, slots=True)
class PairRamp:
    """What becomes of a ramp for one camera before one surface."""

    camera: str
    surface: str
    figures: RampFigures


@dataclass(frozen=True, kw_only=True, slots=True)
class RampAgreement:
    """A ramp, for every camera and surface of its set-up.

    Attributes
    ----------
    name, setup
        Names in the plan.
    from_fps, to_fps, keeps
        As planned.
    pairs
        What becomes of it.
    refused
        Why it cannot be run at its first rate; empty where it can.
    """

    name: str
    setup: str
    from_fps: Fraction
    to_fps: Fraction
    keeps: Literal["angle", "time"]
    pairs: tuple[PairRamp, ...] = ()
    refused: str = ""

    @property
    def level(self) -> Level:
        """Worst grade on the way."""
        if self.refused:
            return Level.UNKNOWN
        return worst_level(
            span.level for pair in self.pairs for span in pair.figures.failing
        ) if any(pair.figures.failing for pair in self.pairs) else Level.SAFE
