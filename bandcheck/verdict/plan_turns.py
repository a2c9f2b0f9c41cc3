"""Cameras that take turns on a wall which shows each of them its own picture."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Interleave, Plan
from bandcheck.shoot.plan_shots import interleaved_shot
from bandcheck.shoot.shot import Shot
from bandcheck.timing.genlock import InterleavedSlot, interleaved_slots
from bandcheck.verdict.exposure_grades import shot_tearing
from bandcheck.verdict.plan_search import Member, agreed_ranges, nearest_first
from bandcheck.verdict.plan_window import Wanted, shot_at
from bandcheck.verdict.plan_work import Ledger, Question, Work
from bandcheck.verdict.safe_ranges import Range
from bandcheck.vision.level import Level, worst_level

__all__ = ["Turn", "Turns", "interleaved_turns"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Turn:
    """One camera and its turn.

    Attributes
    ----------
    camera
        Its name in the plan.
    slot
        Its frame of the wall, when that starts, and how long its shutter may be open in it.
    shot
        The camera before the wall at its wanted setting.
    wanted
        Grade of that setting.
    safe_deg
        Shutter angles that are safe in its turn, those nearest to the wanted one, rising.
    phase_s
        From and to of its opening, from the start of the first turn, at the safe angle nearest to
        the wanted one [s]; None where there is none.
    """

    camera: str
    slot: InterleavedSlot
    shot: Shot
    wanted: Wanted
    safe_deg: tuple[Range, ...]
    phase_s: Range | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Turns:
    """Cameras that take turns, at one rate.

    Attributes
    ----------
    name, fps
        Name in the plan; frame rate of the cameras [frames/s].
    turns
        One for each camera.
    common_deg
        Angles that are safe for all of them.
    refused
        Why it cannot be run; empty where it can.
    """

    name: str
    fps: Fraction
    turns: tuple[Turn, ...] = ()
    common_deg: tuple[Range, ...] = ()
    refused: str = ""

    @property
    def level(self) -> Level:
        """Worst grade of the wanted settings."""
        return Level.UNKNOWN if self.refused else worst_level(
            each.wanted.level for each in self.turns
        )


def _longest_readout_s(shot: Shot) -> float:
    """Readout with its tolerance, as for tears: a frame is the longest there can be."""
    camera = shot.camera
    longest = camera.readout_s + (camera.readout_tolerance_s or 0.0)
    return min(longest, max(camera.readout_s, 1 / float(shot.fps)))


def _phase_s(shot: Shot, slot: InterleavedSlot, safe_deg: Sequence[Range]) -> Range | None:
    """Phases in the camera's own turn that are clean at the nearest safe angle."""
    if not safe_deg:
        return None
    low, high = nearest_first(safe_deg, float(shot.angle_deg))[0]
    turn = 360 * float(shot.fps)
    torn = shot_tearing(shot_at(shot, (low + high) / 2 / turn))
    if torn.phase_from_s is None or torn.phase_to_s is None:
        return None
    offset = float(slot.offset_s)
    return offset + torn.phase_from_s, offset + torn.phase_to_s


def interleaved_turns(
    plan: Plan, interleave: Interleave, *, fps: Fraction, ledger: Ledger
) -> Work[Turns]:
    """Cameras that take turns on a wall, at one of their rates.

    Parameters
    ----------
    plan, interleave
        Who takes turns.
    fps
        Frame rate of the cameras [frames/s].
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.

    Returns
    -------
    Turns
        Slots as `timing.genlock` has them; every setting graded like that of any other shot.
        What light of the others' pictures stays behind on the scene is not in it.
    """
    found = Turns(name=interleave.name, fps=fps)
    surface, multiple = plan.surfaces[interleave.surface], interleave.wall_multiple
    try:
        shots = [
            interleaved_shot(plan, plan.cameras[name], surface, fps=fps, wall_multiple=multiple)
            for name in interleave.cameras
        ]
        slots = interleaved_slots(
            cameras=len(shots), wall_multiple=multiple, fps=fps,
            readout_s=[_longest_readout_s(each) for each in shots],
            change_spread_s=max(each.change_spread_s for each in shots),
        )
    except OutOfRangeError as error:
        return replace(found, refused=str(error))
    yield [Question(kind, each) for each in shots for kind in ("wanted", "window")]
    refused = [each for shot in shots if (each := ledger.wanted(shot).refused)]
    if refused:
        return replace(found, refused=refused[0])
    turns = []
    for name, shot, slot in zip(interleave.cameras, shots, slots, strict=True):
        safe = yield from agreed_ranges([Member(shot=shot, scale=360 * float(fps))], ledger)
        turns.append(Turn(
            camera=name, slot=slot, shot=shot, wanted=ledger.wanted(shot), safe_deg=safe,
            phase_s=_phase_s(shot, slot, safe),
        ))
    common = yield from agreed_ranges(
        [Member(shot=each, scale=360 * float(fps)) for each in shots], ledger
    )
    return replace(found, turns=tuple(turns), common_deg=common)
