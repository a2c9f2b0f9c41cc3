"""What the question has of profiles, and the question with figures of the user's own in it."""

from collections.abc import Mapping
from typing import Final

from bandcheck.shoot.profiles import KindName, shipped_folder
from dashboard.controls.form import shipped_titles
from dashboard.fields import FIELDS, PROFILE_FIELDS
from dashboard.state import LARGEST_PROFILE_BYTES, Question, search_of, toml_key

__all__ = [
    "chosen_shipped", "fits_link", "in_shot", "question_told", "search_with_figures",
    "shipped_text", "using", "with_figures",
]

_LONGEST_TEXT: Final = 256 * 1024


def question_told(data: object) -> Question:
    """Question that a browser sends back, of which nothing is taken for granted."""
    if not isinstance(data, dict):
        return {}
    known = {*FIELDS, *map(toml_key, PROFILE_FIELDS)}
    return {
        name: text for name, text in data.items()
        if name in known and isinstance(text, str) and len(text) <= _LONGEST_TEXT
    }


def shipped_text(kind: KindName, name: str) -> str:
    """TOML text of a shipped profile."""
    return (shipped_folder() / f"{kind}s" / f"{name}.toml").read_text(encoding="utf-8")


def chosen_shipped(question: Mapping[str, str], kind: KindName) -> str:
    """First shipped profile of a kind that the question has; empty if there is none."""
    chosen = question.get(kind, "").split(",")
    return next((name for name in chosen if name in shipped_titles(kind)), "")


def in_shot(question: Mapping[str, str], kind: KindName, choice: str) -> bool:
    """Whether a shipped profile, or the one of the user's own, is in the question's shot."""
    return choice in question.get(kind, "").split(",")


def with_figures(question: Mapping[str, str], kind: KindName, text: str) -> Question:
    """Question that holds figures of the user's own, whether its shot uses them or not."""
    return {**question, toml_key(kind): text}


def using(question: Mapping[str, str], kind: KindName, choice: str) -> Question:
    """Question whose shot uses a profile; of lamps there may be several."""
    if in_shot(question, kind, choice):
        return dict(question)
    others = question.get("lamp", "") if kind == "lamp" else ""
    return {**question, kind: f"{others},{choice}".strip(",")}


def fits_link(text: str) -> bool:
    """Whether an address can hold a profile's text."""
    return len(text.encode("utf-8", "surrogatepass")) <= LARGEST_PROFILE_BYTES


def search_with_figures(question: Mapping[str, str]) -> str:
    """Address's query of a question whose texts may not be whole or too long for one.

    Parameters
    ----------
    question
        Texts as typed.

    Returns
    -------
    str
        As `search_of` gives it for what an address can hold.
    """
    sound = {
        name: text.encode("utf-8", "replace").decode() for name, text in question.items()
        if name in FIELDS or fits_link(text)
    }
    return search_of(sound)
