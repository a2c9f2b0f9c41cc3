"""Two plans side by side, in words and as one JSON object."""

from collections.abc import Iterator, Mapping
from typing import Any

from bandcheck.report.rounding import rate_words
from bandcheck.report.verdict_text import wrapped
from bandcheck.report.wording import CAUTIONS
from bandcheck.shoot.plan_difference import Difference, Side
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.plan_compare import PlanComparison, SetUpChange

__all__ = ["COMPARE_SCHEMA", "compare_json", "compare_text", "difference_sentence"]

COMPARE_SCHEMA = "bandcheck.plan_compare/1"

_WHO: Mapping[Side, str] = {
    "camera": "director of photography", "wall": "LED technician", "lamp": "gaffer",
}
_HOLDERS: Mapping[str, str] = {"setup": "set-up", "interleave": "turns"}


def difference_sentence(each: Difference) -> str:
    """One value that is another, in words."""
    holder = "the defaults" if each.holder == "defaults" else " ".join(
        filter(None, (_HOLDERS.get(each.holder, each.holder), each.name))
    )
    if not each.key:
        return f"{holder}: {'new' if each.old is None else 'gone'}"
    old, new = each.old or "not said", each.new or "not said"
    return f"{holder}: {each.key} was {old}, is {new}"


def _who(sides: tuple[Side, ...]) -> str:
    return ", ".join(_WHO[side] for side in sides if side in _WHO)


def _change(each: SetUpChange) -> str:
    where = f"{each.setup}, {rate_words(each.fps)} frames/s"
    if each.state == "gone":
        return f"{where}: gone"
    now = "" if each.now is None else each.now.value.upper()
    if each.state == "new":
        return f"{where}: new; the wanted setting is {now}"
    was = "" if each.was is None else each.was.value
    return f"{where}: VOID; the wanted setting was {was}, is {now}; to look again: " \
           f"{_who(each.sides) or 'both'}"


def _listed(heading: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield heading
        for line in lines:
            yield from wrapped(line, "    ", "  - ")


def compare_text(found: PlanComparison) -> str:
    """Two plans side by side, for people.

    Parameters
    ----------
    found
        From `plan_comparison`.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    if not found.differences:
        return "The two plans say the same; every setting stands."
    void = sum(each.state == "void" for each in found.changes)
    lines = wrapped(
        f"{len(found.differences)} values differ; {void} settings are void, and "
        f"{sum(each.state == 'new' for each in found.changes)} are new.", "  ", "",
    )
    deciding = [each for each in found.differences if each.decides]
    others = [each for each in found.differences if not each.decides]
    lines += _listed("What changed", list(map(difference_sentence, deciding)))
    lines += _listed("Changed too, without voiding anything",
                     list(map(difference_sentence, others)))
    lines += _listed("Settings", list(map(_change, found.changes)))
    lines += _listed("Ramps and turns to look at anew", list(found.moves))
    lines += ["", "Find what to dial now: bandcheck plan NEW.", *wrapped(CAUTIONS[0], "  ", "")]
    return "\n".join(lines)


def compare_json(found: PlanComparison) -> dict[str, Any]:
    """Two plans side by side, as plain values (schema `bandcheck.plan_compare/1`)."""
    return {
        "schema": COMPARE_SCHEMA, "old": found.old.name, "new": found.new.name,
        "level": found.level.value,
        "differences": [
            {"holder": each.holder, "name": each.name, "key": each.key, "old": each.old,
             "new": each.new, "side": each.side, "decides": each.decides,
             "text": difference_sentence(each)}
            for each in found.differences
        ],
        "settings": [
            {"setup": each.setup, "fps": rate_text(each.fps), "state": each.state,
             "was": None if each.was is None else each.was.value,
             "now": None if each.now is None else each.now.value,
             "look_again": [_WHO[side] for side in each.sides if side in _WHO]}
            for each in found.changes
        ],
        "moves": list(found.moves),
    }
