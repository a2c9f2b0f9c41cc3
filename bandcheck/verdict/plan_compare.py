"""Two plans side by side: which settings are void, and who has to look again."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Plan, SetUp
from bandcheck.shoot.plan_difference import Difference, Side, plan_differences
from bandcheck.shoot.plan_shots import Sight, setup_sights
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.plan_window import wanted_grade
from bandcheck.vision.level import Level, worst_level

__all__ = ["PlanComparison", "SetUpChange", "plan_comparison"]


@dataclass(frozen=True, kw_only=True, slots=True)
class SetUpChange:
    """A set-up at one rate that is not what it was.

    Attributes
    ----------
    setup, fps
        Which.
    state
        "new", "gone", or "void": something that its settings hang on is another.
    was, now
        Grade of the wanted settings before and after; None where there is none.
    sides
        Who has to look again.
    """

    setup: str
    fps: Fraction
    state: Literal["new", "gone", "void"]
    was: Level | None
    now: Level | None
    sides: tuple[Side, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanComparison:
    """What differs between two plans, and what follows from it.

    Attributes
    ----------
    old, new
        The plans.
    differences
        Every value that is another.
    changes
        Set-ups that are void, new or gone, at each of their rates.
    moves
        Names of ramps and of cameras that take turns that have to be looked at anew.
    """

    old: Plan
    new: Plan
    differences: tuple[Difference, ...]
    changes: tuple[SetUpChange, ...]
    moves: tuple[str, ...]

    @property
    def level(self) -> Level:
        """Worst grade of what is void or new, as it is now; safe where nothing is."""
        found = [each.now for each in self.changes if each.now is not None]
        return worst_level(found) if found else Level.SAFE


def _decides(shot: Shot) -> Shot:
    """A shot without names and sources, on which nothing hangs."""
    return replace(
        shot, wall=replace(shot.wall, name="", source={}),
        camera=replace(shot.camera, name="", body=None, mode=None, source={}),
        lamps=tuple(replace(lamp, name="", source={}) for lamp in shot.lamps),
    )


def _sights(plan: Plan, setup: SetUp, fps: Fraction) -> tuple[Sight, ...]:
    try:
        return setup_sights(plan, setup, fps=fps)
    except OutOfRangeError:
        return ()


def _alike(old: Sequence[Sight], new: Sequence[Sight]) -> bool:
    def key(sight: Sight) -> tuple[str, str, str]:
        return sight.camera, sight.surface, sight.role

    before, after = ({key(each): _decides(each.shot) for each in some} for some in (old, new))
    return before == after


def _level(sights: Sequence[Sight]) -> Level:
    return worst_level(wanted_grade(each.shot).level for each in sights)


def _sides(old: Sequence[Sight], new: Sequence[Sight]) -> tuple[Side, ...]:
    """Whose devices or values are others."""
    def parts(sights: Sequence[Sight]) -> dict[Side, list[object]]:
        found: dict[Side, list[object]] = {"camera": [], "wall": [], "lamp": []}
        for each in sights:
            shot = _decides(each.shot)
            found["camera"].append((
                each.camera, shot.camera, shot.fps, shot.exposure_s, shot.optics, shot.viewing,
                shot.genlock, shot.phase_s,
            ))
            found["wall"].append((
                each.surface, each.role, shot.wall, shot.wall_fps, shot.content_fps, shot.levels,
                shot.brightness, shot.change_spread_s, shot.panel_rotation_deg, shot.genlock,
                shot.phase_s,
            ))
            found["lamp"].append(shot.lamps)
        return found

    before, after = parts(old), parts(new)
    return tuple(
        side for side in before
        if sorted(set(map(repr, before[side]))) != sorted(set(map(repr, after[side])))
    )


def _changes(old: Plan, new: Plan) -> Iterator[SetUpChange]:
    before = {each.name: each for each in old.setups}
    after = {each.name: each for each in new.setups}
    for name in dict.fromkeys([*before, *after]):
        was, now = before.get(name), after.get(name)
        rates = dict.fromkeys([*(was.rates if was else ()), *(now.rates if now else ())])
        for fps in rates:
            first = _sights(old, was, fps) if was and fps in was.rates else ()
            last = _sights(new, now, fps) if now and fps in now.rates else ()
            if _alike(first, last):
                continue
            state: Literal["new", "gone", "void"] = (
                "void" if first and last else "new" if last else "gone"
            )
            yield SetUpChange(
                setup=name, fps=fps, state=state, was=_level(first) if first else None,
                now=_level(last) if last else None, sides=_sides(first, last),
            )


def _moves(
    old: Plan, new: Plan, differences: Sequence[Difference], changes: Sequence[SetUpChange]
) -> Iterator[str]:
    """Ramps and turns that hang on something that is another."""
    touched = {each.setup for each in changes}
    devices = {(each.holder, each.name) for each in differences if each.decides}
    by_default = any(each.holder == "defaults" for each in differences)
    for ramp in new.ramps:
        if ("ramp", ramp.name) in devices or ramp.setup in touched:
            yield ramp.name
    for turn in new.interleaves:
        names = {("interleave", turn.name), ("surface", turn.surface),
                 *(("camera", name) for name in turn.cameras)}
        if by_default or names & devices:
            yield turn.name


def plan_comparison(old: Plan, new: Plan) -> PlanComparison:
    """What differs between two plans, which settings are void and who has to look again.

    Parameters
    ----------
    old, new
        The plans.

    Returns
    -------
    PlanComparison
        A setting is void where anything that it hangs on is another: profile, rate, shutter,
        levels, place, lamps, genlock; names and sources are told and void nothing. The wanted
        settings of what is void are graded before and after.
    """
    differences = plan_differences(old, new)
    changes = tuple(_changes(old, new))
    return PlanComparison(
        old=old, new=new, differences=differences, changes=changes,
        moves=tuple(_moves(old, new, differences, changes)),
    )
