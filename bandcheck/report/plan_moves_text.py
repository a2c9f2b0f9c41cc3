"""Changes of rate, and cameras that take turns, as text of 80 columns."""

from collections.abc import Sequence

from bandcheck.report.plan_wording import range_text, ranges_text
from bandcheck.report.rounding import (
    angle_text,
    at_most_text,
    inward_range,
    number_text,
    rate_words,
)
from bandcheck.report.verdict_text import wrapped
from bandcheck.report.wording import level_label
from bandcheck.verdict.plan_agreement import PlanAgreement
from bandcheck.verdict.plan_ramp import RampSpan
from bandcheck.verdict.plan_results import PairRamp, RampAgreement
from bandcheck.verdict.plan_search import nearest_first
from bandcheck.verdict.plan_turns import Turn, Turns

__all__ = ["moves_text", "ramp_sentences", "spans_text", "turns_sentences"]

_MOST_SPANS = 5


def spans_text(spans: Sequence[RampSpan]) -> str:
    """Spans of rate, the first few of many."""
    told = [
        f"{number_text(each.from_fps, decimals=2)} to {number_text(each.to_fps, decimals=2)}"
        for each in spans[:_MOST_SPANS]
    ]
    more = len(spans) - len(told)
    return ", ".join(told) + (f" and {more} more" if more > 0 else "")


def _share(spans: Sequence[RampSpan], ramp: RampAgreement) -> str:
    """How much of the way fails."""
    share = _failing(spans) / abs(float(ramp.to_fps - ramp.from_fps))
    if share > 0.995:
        return "all the way"
    percent = "under 1" if share < 0.01 else number_text(100 * share, decimals=0)
    return f"on {percent} % of the way"


def _wall(pair: PairRamp, ramp: RampAgreement) -> str:
    figures = pair.figures
    low, high = figures.refreshes if ramp.from_fps < ramp.to_fps else figures.refreshes[::-1]
    if not figures.follows:
        return "the wall has a rate of its own and runs free of the camera"
    if figures.stuck:
        return f"the wall cannot follow at {spans_text(figures.stuck)}: {figures.why_stuck}"
    if low == high:
        return f"the wall follows with {low} refreshes a frame all the way"
    return f"the wall follows, from {low} refreshes a frame to {high}"


def _failing(spans: Sequence[RampSpan]) -> float:
    return sum(each.to_fps - each.from_fps for each in spans)


def _pair(pair: PairRamp, ramp: RampAgreement) -> str:
    figures, who = pair.figures, f"{pair.camera}, {pair.surface}"
    wall = _wall(pair, ramp)
    if not figures.failing:
        return f"{who}: safe at every rate that was looked at; {wall}."
    told = (f"{who}: fails {_share(figures.failing, ramp)}, at {spans_text(figures.failing)} "
            f"frames/s; {wall}.")
    if figures.held is not None and 2 * _failing(figures.held) < _failing(figures.failing):
        left = f"it fails {_share(figures.held, ramp)}" if figures.held else "it is safe"
        told += f" With {figures.refreshes[0]} refreshes a frame held all the way {left}."
    return told


def ramp_sentences(ramp: RampAgreement) -> tuple[str, ...]:
    """A change of rate in sentences: what it is, and what becomes of it for each camera."""
    what = (f"{ramp.setup}: from {rate_words(ramp.from_fps)} to {rate_words(ramp.to_fps)} "
            f"frames/s, the shutter keeps its {ramp.keeps}")
    if ramp.refused:
        return what, f"cannot be run: {ramp.refused}"
    return what, *(_pair(each, ramp) for each in ramp.pairs)


def _turn(turn: Turn) -> str:
    slot = turn.slot
    lost = ""
    if slot.stops_lost:
        more = "less" if slot.stops_lost > 0 else "more"
        lost = f", {number_text(abs(slot.stops_lost), decimals=2)} stop {more} light than 180°"
    told = (
        f"{turn.camera}: frame {slot.slot + 1} of the wall, from "
        f"{number_text(1e3 * float(slot.offset_s), decimals=3)} ms; largest angle "
        f"{at_most_text(slot.largest_angle_deg + 1e-9, decimals=2)}°{lost}. "
        f"{angle_text(turn.shot.angle_deg)} is {turn.wanted.level.value.upper()}."
    )
    if not turn.safe_deg:
        return f"{told} No angle is safe in its turn."
    nearest = nearest_first(turn.safe_deg, float(turn.shot.angle_deg))[0]
    told += f" Nearest that is safe: {range_text(nearest)}"
    if turn.phase_s is not None:
        inside = inward_range(1e3 * turn.phase_s[0], 1e3 * turn.phase_s[1])
        if inside:
            told += f"; open {inside[0]} to {inside[1]} ms after the first turn begins"
    return f"{told}."


def turns_sentences(turns: Turns) -> tuple[str, ...]:
    """Cameras that take turns, a sentence or two for each, and one for all of them."""
    if turns.refused:
        return (f"cannot be run: {turns.refused}",)
    return (
        *map(_turn, turns.turns), f"One angle for all of them: {ranges_text(turns.common_deg)}.",
    )


def moves_text(agreement: PlanAgreement) -> list[str]:
    """Changes of rate and turns of a plan.

    Parameters
    ----------
    agreement
        From `plan_agreement`.

    Returns
    -------
    list of str
        Lines of at most 80 columns, an empty one before each.
    """
    lines = []
    for ramp in agreement.ramps:
        what, *pairs = ramp_sentences(ramp)
        lines += ["", *wrapped(f"{level_label(ramp.level)}  {ramp.name}", "  ", ""),
                  *wrapped(what)]
        lines += [line for each in pairs for line in wrapped(each, "      ", "    ")]
    for turns in agreement.turns:
        name = f"{turns.name}, {rate_words(turns.fps)} frames/s"
        lines += ["", *wrapped(f"{level_label(turns.level)}  {name}", "  ", "")]
        lines += [line for each in turns_sentences(turns)
                  for line in wrapped(each, "      ", "    ")]
    return lines
