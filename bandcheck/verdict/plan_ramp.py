"""A change of frame rate while the camera runs: at which rates it fails, and whether walls follow.

The wall of a ramp that is locked to the camera goes along with it, as `change` has it: the number
of its refreshes in a frame jumps where its rule says so. One that has a rate of its own cannot be
locked at every rate, and runs free.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan_shots import with_refreshes
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.plan_window import wanted_grade
from bandcheck.verdict.trial import follows, shot_after
from bandcheck.vision.level import Level

__all__ = ["RampFigures", "RampQuestion", "RampSpan", "ramp_figures", "ramp_level", "ramp_shot"]

FloatArray = NDArray[np.float64]

STEPS = 48
"""Even steps of a ramp that are looked at beside the rates at which something jumps."""

EDGE_FPS = 1e-3
"""Rate to which the ends of a span are found [frames/s]."""

_MOST_NULLS = 100
_BESIDE = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class RampQuestion:
    """A ramp of one camera before one surface.

    Attributes
    ----------
    shot
        The shot at the rate at which it begins.
    from_fps, to_fps
        Lower and upper rate [frames/s]: which comes first does not matter.
    keeps
        Whether the shutter's angle or its time stays.
    """

    shot: Shot
    from_fps: Fraction
    to_fps: Fraction
    keeps: Literal["angle", "time"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RampSpan:
    """Rates next to one another that are not safe, and the worst grade that was seen there."""

    from_fps: float
    to_fps: float
    level: Level


@dataclass(frozen=True, kw_only=True, slots=True)
class RampFigures:
    """What becomes of a ramp.

    Attributes
    ----------
    failing
        Spans of rate that are not safe, rising.
    follows
        Whether the wall goes along with the camera's rate at all.
    stuck
        Spans at which the wall, or the camera, cannot be run as it is described.
    why_stuck
        The reason at the first of those.
    refreshes
        Refreshes in a frame at the lower and the upper rate; None where the wall cannot be run.
    held
        What would fail if the wall held its number of refreshes a frame all the way; None where
        it does, or where nothing fails.
    """

    failing: tuple[RampSpan, ...]
    follows: bool
    stuck: tuple[RampSpan, ...] = ()
    why_stuck: str = ""
    refreshes: tuple[int | None, int | None] = (None, None)
    held: tuple[RampSpan, ...] | None = None


def ramp_shot(question: RampQuestion, fps: Fraction) -> Shot:
    """Shot of a ramp at one of its rates.

    Raises
    ------
    OutOfRangeError
        The exposure or the readout is longer than the frame.
    """
    shot = question.shot
    exposure = shot.exposure_s
    if question.keeps == "angle":
        exposure = shot.exposure_s * shot.fps / fps
    after = shot_after(shot, fps=fps, exposure_s=exposure)
    if not follows(shot):
        # At most rates of a ramp a wall of another rate has no ratio that it could lock at.
        return replace(after, genlock="free", phase_s=None)
    return after


def ramp_level(question: RampQuestion, fps: Fraction) -> tuple[Level, str]:
    """Grade of a ramp at one of its rates, and why it cannot be run there, if so."""
    try:
        wanted = wanted_grade(ramp_shot(question, fps))
    except OutOfRangeError as error:
        return Level.UNKNOWN, str(error)
    return wanted.level, wanted.refused


def _refreshes(question: RampQuestion, fps: Fraction) -> int | None:
    try:
        shot = ramp_shot(question, fps)
        return light_cases(shot.wall, shot.wall_fps)[0].timing.refreshes
    except OutOfRangeError:
        return None


def _periods_s(shot: Shot) -> list[float]:
    """Periods of everything in a shot that pulses on a clock of its own [s]."""
    found = []
    for lamp in shot.lamps:
        rate = lamp.pulse_hz if lamp.kind == "pulsed" else 2 * (lamp.mains_hz or 0.0)
        if lamp.kind != "steady" and rate:
            found.append(1 / rate)
    if shot.wall.refresh_hz is not None:
        found.append(1 / shot.wall.refresh_hz)
    return found


def _special(question: RampQuestion) -> Iterator[float]:
    """Rates at which the number of refreshes jumps, or an exposure holds whole periods."""
    low, high = float(question.from_fps), float(question.to_fps)
    shot = question.shot
    if shot.wall.refresh_hz is not None:
        # As many refreshes as fit into a frame: one less from each of these rates on.
        counts = np.arange(np.ceil(shot.wall.refresh_hz / high), shot.wall.refresh_hz / low + 1)
        for rate in shot.wall.refresh_hz / np.maximum(counts, 1):
            yield from (rate * (1 - _BESIDE), rate, rate * (1 + _BESIDE))
    time_s = float(shot.exposure_s)
    turns = time_s * float(shot.fps)
    if question.keeps == "angle":
        for period_s in _periods_s(shot):
            counts = np.arange(np.ceil(turns / high / period_s), turns / low / period_s + 1)
            # What has very many nulls pulses so fast that little is left of it between them.
            if counts.size <= _MOST_NULLS:
                yield from turns / (np.maximum(counts, 1) * period_s)
        return
    ends = (question.from_fps, question.to_fps)
    for refreshes in dict.fromkeys(_refreshes(question, each) for each in ends):
        if refreshes is not None:
            counts = np.arange(1, np.ceil(time_s * refreshes * high) + 1)[-_MOST_NULLS:]
            yield from counts / (time_s * refreshes)


def _rates(question: RampQuestion) -> list[Fraction]:
    """Rates to look at, rising."""
    low, high = question.from_fps, question.to_fps
    even = [low + (high - low) * step / STEPS for step in range(STEPS + 1)]
    special = [Fraction(each).limit_denominator(10**9) for each in _special(question)]
    return sorted({*even, *(each for each in special if low < each < high)})


def _state(question: RampQuestion, fps: Fraction) -> tuple[Level, bool, str]:
    level, refused = ramp_level(question, fps)
    return level, bool(refused), refused


def _edge(
    question: RampQuestion, inside: Fraction, outside: Fraction, *, kind: int, value: object
) -> Fraction:
    """Last rate on the way from one to another at which something is still as it was."""
    while abs(outside - inside) > EDGE_FPS:
        middle = ((inside + outside) / 2).limit_denominator(10**9)
        if _is(_state(question, middle), kind) == value:
            inside = middle
        else:
            outside = middle
    return inside


def _is(state: tuple[Level, bool, str], kind: int) -> bool:
    """Whether a rate fails (0), or cannot be run (1)."""
    return state[1] if kind else state[0] is not Level.SAFE


def _spans(
    question: RampQuestion, rates: list[Fraction], states: list[tuple[Level, bool, str]], kind: int
) -> tuple[RampSpan, ...]:
    spans: list[RampSpan] = []
    start = 0
    while start < len(rates):
        if not _is(states[start], kind):
            start += 1
            continue
        end = start
        while end + 1 < len(rates) and _is(states[end + 1], kind):
            end += 1
        low, high = rates[start], rates[end]
        if start > 0:
            low = _edge(question, low, rates[start - 1], kind=kind, value=True)
        if end + 1 < len(rates):
            high = _edge(question, high, rates[end + 1], kind=kind, value=True)
        worst = max(state[0] for state in states[start : end + 1])
        spans.append(RampSpan(from_fps=float(low), to_fps=float(high), level=worst))
        start = end + 1
    return tuple(spans)


def ramp_figures(question: RampQuestion) -> RampFigures:
    """At which rates of a ramp its setting is not safe.

    Parameters
    ----------
    question
        The ramp.

    Returns
    -------
    RampFigures
        Spans between rates that were looked at: even steps, the rates at which the number of
        refreshes jumps, and those at which the exposure holds whole periods. A span narrower than
        both the steps and the distance of those is not in it.
    """
    low, high = sorted((question.from_fps, question.to_fps))
    question = replace(question, from_fps=low, to_fps=high)
    rates = _rates(question)
    states = [_state(question, rate) for rate in rates]
    stuck = _spans(question, rates, states, 1)
    failing = _spans(question, rates, states, 0)
    return RampFigures(
        failing=failing, follows=follows(question.shot), stuck=stuck,
        why_stuck=next((state[2] for state in states if state[1]), ""),
        refreshes=(_refreshes(question, low), _refreshes(question, high)),
        held=_held(question) if failing else None,
    )


def _held(question: RampQuestion) -> tuple[RampSpan, ...] | None:
    """What fails where the wall holds its number of refreshes; None where it does so by itself."""
    wall = question.shot.wall
    ends = [_refreshes(question, fps) for fps in (question.from_fps, question.to_fps)]
    holds = wall.refreshes_per_frame is not None or ends[0] == ends[1]
    if holds or wall.refresh_lock == "free" or ends[0] is None:
        return None
    held = replace(
        question, shot=replace(question.shot, wall=with_refreshes(wall, ends[0]))
    )
    return ramp_figures(held).failing
