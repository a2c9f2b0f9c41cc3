"""The card of a whole plan, for `bandcheck card --plan`."""

from collections.abc import Iterable
from typing import Any, Literal

from bandcheck.cli.failures import one_line
from bandcheck.cli.output import Output
from bandcheck.cli.screen import note, progressed, say, say_json
from bandcheck.vision.level import Level

__all__ = ["write_plan_card"]

_CORES = 2


def _shown(items: Iterable[Any], length: int) -> Iterable[Any]:
    return progressed(items, label="card", length=length)


def write_plan_card(
    plan: str, *, date: str, version: str, paper: Literal["a4", "letter"],
    output: Output | None, as_json: bool,
) -> Level:
    """Make the card of a plan, write it or show it.

    Parameters
    ----------
    plan
        Shipped name or file.
    date, version
        Put on the card as they are.
    paper
        Paper of PDF and PNG.
    output
        File to write; None: show it.
    as_json
        Whether to print one JSON object.

    Returns
    -------
    Level
        Worst grade of the settings to be dialled.
    """
    from bandcheck.report.plan_card import plan_card_file, plan_card_values
    from bandcheck.report.plan_text import plan_text
    from bandcheck.shoot.plan_file import load_plan
    from bandcheck.verdict.plan_card import plan_card

    card = plan_card(
        load_plan(plan), date=date, version=version, workers=_CORES, progress=_shown
    )
    if output is not None:
        output.write(plan_card_file(card, ending=output.ending, paper=paper))
        note(one_line(f"{output.given}: written"))
    if as_json:
        say_json(plan_card_values(card))
    elif output is None:
        say(f"{plan_text(card.agreement)}\n\ninputs {card.input_hash}")
    return card.level
