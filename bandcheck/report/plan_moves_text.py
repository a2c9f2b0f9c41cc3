"""Changes of rate, and cameras that take turns, as text of 80 columns."""

from collections.abc import Iterator, Sequence

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
from bandcheck.verdict.plan_ramp import RampSpan
from bandcheck.verdict.plan_results import PairRamp, RampAgreement
from bandcheck.verdict.plan_search import nearest_first
from bandcheck.verdict.plan_turns import Turn, Turns

__all__ = ["ramp_lines", "spans_text", "turns_lines"]

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
    """How much of the way fails, in percent of its rates."""
    failing = sum(each.to_fps - each.from_fps for each in spans)
    way = abs(float(ramp.to_fps - ramp.from_fps))
    return f"{number_text(100 * failing / way, decimals=0)} %"


def _pair(pair: PairRamp, ramp: RampAgreement) -> Iterator[str]:
    figures, who = pair.figures, f"{pair.camera}, {pair.surface}"
    low, high = figures.refreshes if ramp.from_fps < ramp.to_fps else figures.refreshes[::-1]
    if not figures.follows:
        wall = "the wall has a rate of its own and runs free of the camera"
    elif figures.stuck:
        wall = f"the wall cannot follow at {spans_text(figures.stuck)}: {figures.why_stuck}"
    elif low == high:
        wall = f"the wall follows with {low} refreshes a frame all the way"
    else:
        wall = f"the wall follows, from {low} refreshes a frame to {high}"
    if not figures.failing:
        yield from wrapped(f"{who}: safe at every rate that was looked at; {wall}.", "      ",
                           "    ")
        return
    yield from wrapped(
        f"{who}: fails on {_share(figures.failing, ramp)} of the way, at "
        f"{spans_text(figures.failing)} frames/s; {wall}.", "      ", "    ",
    )
    if figures.held is not None:
        held = f"With {figures.refreshes[0]} refreshes a frame held all the way"
        left = f"it fails on {_share(figures.held, ramp)} of it" if figures.held else "it is safe"
        yield from wrapped(f"{held} {left}.", "          ", "        > ")


def ramp_lines(ramp: RampAgreement) -> Iterator[str]:
    """A change of rate in words.

    Parameters
    ----------
    ramp
        From `plan_agreement`.
    """
    yield from wrapped(f"{level_label(ramp.level)}  {ramp.name}", "  ", "")
    yield from wrapped(
        f"{ramp.setup}: from {rate_words(ramp.from_fps)} to {rate_words(ramp.to_fps)} frames/s, "
        f"the shutter keeps its {ramp.keeps}"
    )
    if ramp.refused:
        yield from wrapped(f"cannot be run: {ramp.refused}", "      ", "    ")
    for pair in ramp.pairs:
        yield from _pair(pair, ramp)


def _turn(turn: Turn, fps_angle: float) -> Iterator[str]:
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
    yield from wrapped(told, "      ", "    ")
    if not turn.safe_deg:
        yield from wrapped("No angle is safe in its turn.", "        ")
        return
    nearest = nearest_first(turn.safe_deg, fps_angle)[0]
    phase = ""
    if turn.phase_s is not None:
        inside = inward_range(1e3 * turn.phase_s[0], 1e3 * turn.phase_s[1])
        if inside:
            phase = f"; open {inside[0]} to {inside[1]} ms after the first turn begins"
    yield from wrapped(f"Nearest that is safe: {range_text(nearest)}{phase}.", "        ")


def turns_lines(turns: Turns) -> Iterator[str]:
    """Cameras that take turns, in words.

    Parameters
    ----------
    turns
        From `plan_agreement`.
    """
    yield from wrapped(
        f"{level_label(turns.level)}  {turns.name}, {rate_words(turns.fps)} frames/s", "  ", ""
    )
    if turns.refused:
        yield from wrapped(f"cannot be run: {turns.refused}", "      ", "    ")
        return
    for turn in turns.turns:
        yield from _turn(turn, float(turn.shot.angle_deg))
    yield from wrapped(f"One angle for all of them: {ranges_text(turns.common_deg)}.")
