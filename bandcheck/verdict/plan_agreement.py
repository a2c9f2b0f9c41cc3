"""A whole plan: for each set-up the shutter that suits every surface, camera and lamp in it."""

from dataclasses import dataclass

from bandcheck.shoot.plan import Plan
from bandcheck.verdict.plan_cells import setup_agreement
from bandcheck.verdict.plan_results import SetUpAgreement
from bandcheck.verdict.plan_work import Ledger, Progress, settled, together
from bandcheck.vision.level import Level, worst_level

__all__ = ["PlanAgreement", "plan_agreement"]


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanAgreement:
    """What was found for a plan.

    Attributes
    ----------
    plan
        The plan.
    setups
        Each set-up, in the plan's order.
    """

    plan: Plan
    setups: tuple[SetUpAgreement, ...]

    @property
    def level(self) -> Level:
        """Worst grade of all wanted settings."""
        return worst_level(each.level for each in self.setups)


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
        setups = settled(
            together([setup_agreement(plan, each, ledger) for each in plan.setups]), ledger
        )
    return PlanAgreement(plan=plan, setups=tuple(setups))
