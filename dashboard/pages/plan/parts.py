"""A plan in the parts that a screen computes one after the other, each for itself."""

from dataclasses import replace

from bandcheck.shoot.plan import Plan
from bandcheck.verdict.plan_agreement import PlanAgreement, plan_agreement

__all__ = ["part_agreement", "part_count"]


def part_count(plan: Plan) -> int:
    """Set-ups of a plan, each with its ramps, and then its cameras that take turns."""
    return len(plan.setups) + len(plan.interleaves)


def part_agreement(plan: Plan, part: int) -> PlanAgreement:
    """What the whole plan's agreement says of one of its parts.

    Parameters
    ----------
    plan
        The plan.
    part
        From 0 to below `part_count`.

    Returns
    -------
    PlanAgreement
        Of a set-up and the ramps in it, or of cameras that take turns.
    """
    setups, turns = plan.setups[part:part + 1], plan.interleaves
    if not setups:
        place = part - len(plan.setups)
        return plan_agreement(
            replace(plan, setups=(), ramps=(), interleaves=turns[place:place + 1])
        )
    ramps = tuple(each for each in plan.ramps if each.setup == setups[0].name)
    return plan_agreement(replace(plan, setups=setups, ramps=ramps, interleaves=()))
