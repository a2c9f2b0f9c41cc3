"""From the text on the screen to a plan; faults are told as the command tells them.

A plan may name profiles by their files. Here it came from a browser, and must not read what lies
on this machine: it names shipped profiles, and puts figures of its own in place of theirs.
"""

import hashlib
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_file import parse_plan, shipped_plans
from bandcheck.shoot.profile_faults import document, plain_name
from bandcheck.shoot.profiles import shipped_folder
from dashboard.fields import OWN
from dashboard.state import toml_key

__all__ = ["MOST_MEETINGS", "AskedPlan", "asked_plan", "plan_text_of", "read_plan", "shipped_texts"]

MOST_MEETINGS = 500
"""Most meetings of a camera with a surface, at all rates of a set-up: that many take minutes."""

_PROFILE_KEYS: Mapping[str, str] = {"surface": "wall", "camera": "profile", "lamp": "profile"}
_NO_TEXT = "no text: write a plan here or upload one; a link that should hold it is damaged"
_NO_SUCH = "no plan of this name is shipped; choose one of the list"


@dataclass(frozen=True, kw_only=True, slots=True)
class AskedPlan:
    """What the screen asks about.

    Attributes
    ----------
    plan
        The plan; None where nothing is chosen, or where there are faults.
    faults
        One line each.
    key
        Another one for another text; empty where nothing is chosen.
    """

    plan: Plan | None = None
    faults: tuple[str, ...] = ()
    key: str = ""


@cache
def shipped_texts() -> Mapping[str, str]:
    """Text of every shipped plan, by name; they do not change while this runs."""
    folder = shipped_folder() / "plans"
    return {name: (folder / f"{name}.toml").read_text("utf-8") for name in shipped_plans()}


def plan_text_of(question: Mapping[str, str]) -> str:
    """Text of the question's plan: as typed, else that of the shipped one."""
    typed = question.get(toml_key("plan"), "")
    return typed or shipped_texts().get(question.get("plan", ""), "")


def asked_plan(question: Mapping[str, str]) -> AskedPlan:
    """Plan that a question describes, or what is wrong with it.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    AskedPlan
        Never raises for what was typed.
    """
    chosen, text = question.get("plan", ""), plan_text_of(question)
    if not text:
        if not chosen:
            return AskedPlan()
        return AskedPlan(faults=(_NO_TEXT if chosen == OWN else _NO_SUCH,), key=chosen)
    key = hashlib.sha256(text.encode()).hexdigest()[:16]
    try:
        return AskedPlan(plan=read_plan(text), key=key)
    except ProfileError as error:
        return AskedPlan(faults=error.faults, key=key)


def read_plan(text: str) -> Plan:
    """Plan of a text that came from a browser.

    Parameters
    ----------
    text
        TOML.

    Returns
    -------
    Plan
        Read and without fault.

    Raises
    ------
    ProfileError
        All faults; or profiles that are files, or more than a screen can compute.
    """
    files = list(_files_named(document(text, file="plan")))
    if files:
        raise ProfileError("plan", files)
    plan = parse_plan(text, file="plan")
    large = list(_too_large(plan))
    if large:
        raise ProfileError("plan", large)
    return plan


def _files_named(tables: Mapping[str, Any]) -> Iterator[str]:
    for kind, key in _PROFILE_KEYS.items():
        rows = tables.get(kind)
        for number, row in enumerate(rows if isinstance(rows, list) else [], start=1):
            name = row.get(key) if isinstance(row, dict) else None
            if isinstance(name, str) and _is_file(name):
                called = row.get("name")
                place = plain_name(called) if isinstance(called, str) else f"number {number}"
                yield (f"[[{kind}]] {place}, {key}: \"{plain_name(name)}\" is a file; on this "
                       "screen a plan names shipped profiles, bandcheck plan reads files too")


def _is_file(name: str) -> bool:
    marks = [mark for mark in ("/", os.sep, os.altsep) if mark]
    return name.endswith(".toml") or any(mark in name for mark in marks) or os.path.exists(name)


def _too_large(plan: Plan) -> Iterator[str]:
    for setup in plan.setups:
        number = len(setup.cameras) * len(setup.surfaces) * len(setup.rates)
        if number > MOST_MEETINGS:
            yield (f"[[setup]] {plain_name(setup.name)}, rates: {number} meetings of a camera with "
                   f"a surface at a rate; at most {MOST_MEETINGS} on a screen, bandcheck plan "
                   "computes more")
