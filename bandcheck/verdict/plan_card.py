"""The card of a plan: its agreement, and what is to be known at each setting to be dialled."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_question import plan_hash, plan_question
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import with_angle
from bandcheck.verdict.plan_agreement import PlanAgreement, plan_agreement
from bandcheck.verdict.plan_results import Cell
from bandcheck.verdict.plan_strip import StripFigures
from bandcheck.verdict.plan_work import Ledger, Progress, Question
from bandcheck.vision.level import Level, worst_level

__all__ = ["PlanCard", "plan_card"]

Place = tuple[str, Fraction, str, str]
"""Set-up, rate, camera and surface."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanCard:
    """A card for a whole plan.

    Attributes
    ----------
    agreement
        What suits everything in each set-up.
    strips
        Figures at the setting to be dialled, by set-up, rate, camera and surface.
    question, input_hash
        Everything that the figures come from, and its SHA-256.
    date, version
        As given; empty where not.
    """

    agreement: PlanAgreement
    strips: Mapping[Place, StripFigures]
    question: Mapping[str, Any]
    input_hash: str
    date: str = ""
    version: str = ""

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.agreement.plan

    @property
    def level(self) -> Level:
        """Worst grade of the settings to be dialled; unknown where there is none."""
        return worst_level(
            cell.chosen.level if cell.chosen is not None else max(cell.level, Level.UNKNOWN)
            for setup in self.agreement.setups for cell in setup.cells
        )


def _dialled(cell: Cell) -> dict[tuple[str, str], Shot]:
    """Shots with the setting to be dialled, by camera and surface."""
    if cell.chosen is None:
        return {}
    angles = {each.camera: each.angle_deg for each in cell.chosen.dials}
    return {
        (each.camera, each.surface): with_angle(each.shot, angles[each.camera])
        for each in cell.pairs
    }


def plan_card(
    plan: Plan, *, date: str = "", version: str = "", workers: int = 1,
    progress: Progress | None = None,
) -> PlanCard:
    """Figures of the card of a plan.

    Parameters
    ----------
    plan
        The plan.
    date, version
        Put on the card as they are.
    workers, progress
        As for `plan_agreement`.

    Returns
    -------
    PlanCard
        Nothing is rounded.
    """
    agreement = plan_agreement(plan, workers=workers, progress=progress)
    shots = {
        (setup.name, cell.fps, *place): shot
        for setup in agreement.setups for cell in setup.cells
        for place, shot in _dialled(cell).items()
    }
    with Ledger(workers=workers, progress=progress) as ledger:
        ledger.ask(Question("strip", shot) for shot in shots.values())
        strips = {
            place: figures for place, shot in shots.items()
            if (figures := ledger.strip(shot)) is not None
        }
    question = plan_question(plan)
    return PlanCard(
        agreement=agreement, strips=strips, question=question, input_hash=plan_hash(question),
        date=date, version=version,
    )
