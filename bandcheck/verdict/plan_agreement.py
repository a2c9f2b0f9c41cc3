"""A whole plan: for each set-up the shutter that suits every surface, camera and lamp in it."""

from dataclasses import dataclass, replace
from typing import Any

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Plan, Ramp
from bandcheck.shoot.plan_shots import setup_sights
from bandcheck.verdict.assumptions import shot_assumptions
from bandcheck.verdict.light_cases import Assumption, light_cases
from bandcheck.verdict.plan_cells import setup_agreement
from bandcheck.verdict.plan_ramp import RampQuestion
from bandcheck.verdict.plan_results import PairRamp, RampAgreement, SetUpAgreement
from bandcheck.verdict.plan_turns import Turns, interleaved_turns
from bandcheck.verdict.plan_work import Ledger, Progress, Question, Work, settled, together
from bandcheck.vision.level import Level, worst_level

__all__ = ["PlanAgreement", "plan_agreement", "plan_assumptions"]


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanAgreement:
    """What was found for a plan.

    Attributes
    ----------
    plan
        The plan.
    setups
        Each set-up, in the plan's order.
    ramps
        Each change of rate.
    turns
        Cameras that take turns on a wall, at each of their rates.
    """

    plan: Plan
    setups: tuple[SetUpAgreement, ...]
    ramps: tuple[RampAgreement, ...] = ()
    turns: tuple[Turns, ...] = ()

    @property
    def level(self) -> Level:
        """Worst grade of all wanted settings, ramps and turns among them."""
        return worst_level([
            *(each.level for each in self.setups), *(each.level for each in self.ramps),
            *(each.level for each in self.turns),
        ])


def plan_assumptions(agreement: PlanAgreement) -> tuple[tuple[str, Assumption], ...]:
    """Figures that nobody gave, each with the device that lacks it.

    Parameters
    ----------
    agreement
        From `plan_agreement`.
    """
    found: dict[tuple[str, Assumption], None] = {}
    for pair in (pair for setup in agreement.setups for cell in setup.cells
                 for pair in cell.pairs if not pair.wanted.refused):
        case = light_cases(pair.shot.wall, pair.shot.wall_fps)[0]
        names = {"wall": pair.surface, "camera": f"camera {pair.camera}"}
        for each in shot_assumptions(pair.shot, case):
            found[names.get(each.about, each.about), each] = None
    return tuple(found)


def _ramp(plan: Plan, ramp: Ramp, ledger: Ledger) -> Work[RampAgreement]:
    setup = plan.setup(ramp.setup)
    found = RampAgreement(
        name=ramp.name, setup=ramp.setup, from_fps=ramp.from_fps, to_fps=ramp.to_fps,
        keeps=ramp.keeps,
    )
    try:
        sights = setup_sights(plan, setup, fps=ramp.from_fps)
    except OutOfRangeError as error:
        return replace(found, refused=str(error))
    questions = [
        Question("ramp", each.shot, ramp=RampQuestion(
            shot=each.shot, from_fps=ramp.from_fps, to_fps=ramp.to_fps, keeps=ramp.keeps
        ))
        for each in sights
    ]
    yield questions
    return replace(found, pairs=tuple(
        PairRamp(camera=each.camera, surface=each.surface, figures=ledger.ramp(question))
        for each, question in zip(sights, questions, strict=True)
    ))


def _everything(plan: Plan, ledger: Ledger) -> Work[PlanAgreement]:
    works: list[Work[Any]] = [
        together([setup_agreement(plan, each, ledger) for each in plan.setups]),
        together([_ramp(plan, each, ledger) for each in plan.ramps]),
        together([
            interleaved_turns(plan, each, fps=fps, ledger=ledger)
            for each in plan.interleaves for fps in each.rates
        ]),
    ]
    setups, ramps, turns = yield from together(works)
    return PlanAgreement(
        plan=plan, setups=tuple(setups), ramps=tuple(ramps), turns=tuple(turns)
    )


def plan_agreement(
    plan: Plan, *, workers: int = 1, progress: Progress | None = None
) -> PlanAgreement:
    """What suits everything in a plan, set-up by set-up.

    Parameters
    ----------
    plan
        The plan.
    workers
        Most processes.
    progress
        Shows how far a round of the work is.

    Returns
    -------
    PlanAgreement
        Nothing is rounded. What several set-ups have in common is computed once.
    """
    with Ledger(workers=workers, progress=progress) as ledger:
        return settled(_everything(plan, ledger), ledger)
