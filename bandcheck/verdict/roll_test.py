"""How long a test must roll until everything that drifts has passed through the frame once."""

from dataclasses import dataclass
from fractions import Fraction

from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import beat_range_hz
from bandcheck.verdict.lamp_cells import lamp_light
from bandcheck.verdict.light_cases import ASSUMED_RATE_TOLERANCE, light_cases
from bandcheck.verdict.row_sampling import row_sampling

__all__ = ["SHORTEST_TEST_S", "Drift", "RollTest", "roll_test"]

SHORTEST_TEST_S = 10.0
"""Below this nobody has looked at every part of a picture: project choice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Drift:
    """One light or picture that passes through the camera's frame on its own clock.

    Attributes
    ----------
    source
        "wall_frame", "wall_refresh" or "lamp".
    name
        Name of the lamp; empty else.
    quickest_s, longest_s
        Shortest and longest time of one pass that the tolerances of the clocks allow [s];
        longest None where it may stand still.
    """

    source: str
    name: str
    quickest_s: float
    longest_s: float | None


@dataclass(frozen=True, kw_only=True, slots=True)
class RollTest:
    """Length of a test.

    Attributes
    ----------
    at_least_s
        Longest pass of what surely drifts, or the quickest one of what may stand still, whichever
        is longer; no less than `SHORTEST_TEST_S` [s].
    shows_all
        Whether every drift has been seen once by then; else one of them may stand still, and no
        test is long enough to prove anything.
    drifts
        What drifts; empty where all clocks are one.
    """

    at_least_s: float
    shows_all: bool
    drifts: tuple[Drift, ...]


def _drift(
    *, source: str, name: str = "", rate_hz: Fraction, shot: Shot, tolerance: float,
    camera_tolerance: float, largest_denominator: int,
) -> Drift | None:
    slowest_hz, fastest_hz = beat_range_hz(
        wall_fps=rate_hz, camera_fps=shot.fps, wall_tolerance=tolerance,
        camera_tolerance=camera_tolerance, largest_denominator=largest_denominator,
    )
    if fastest_hz == 0:
        return None
    return Drift(
        source=source, name=name, quickest_s=1 / fastest_hz,
        longest_s=1 / slowest_hz if slowest_hz > 0 else None,
    )


def _drifts(shot: Shot) -> list[Drift | None]:
    wall, camera = shot.wall, shot.camera
    wall_clock, camera_clock = (
        ASSUMED_RATE_TOLERANCE if each is None else each
        for each in (wall.rate_tolerance, camera.rate_tolerance)
    )
    found = []
    if shot.genlock == "free":
        found.append(_drift(
            source="wall_frame", rate_hz=shot.wall_fps, shot=shot, tolerance=wall_clock,
            camera_tolerance=camera_clock, largest_denominator=8,
        ))
    if wall.refresh_lock == "free":
        # The whole cycle, not one refresh: dark levels repeat no sooner.
        cycle_s = light_cases(wall, shot.wall_fps)[0].timing.cycle_s
        rows = row_sampling(shot)
        found.append(_drift(
            source="wall_refresh", rate_hz=1 / Fraction(cycle_s), shot=shot,
            tolerance=rows.rate_tolerance, camera_tolerance=0.0, largest_denominator=8,
        ))
    for lamp in shot.lamps:
        light = lamp_light(lamp, row_sampling(shot))[0]
        if light.rate_exact is not None:
            found.append(_drift(
                source="lamp", name=lamp.name, rate_hz=light.rate_exact, shot=shot,
                tolerance=light.tolerance, camera_tolerance=camera_clock, largest_denominator=1,
            ))
    return found


def roll_test(shot: Shot) -> RollTest:
    """How long to roll a test of a shot so that every slow drift has been seen once.

    What drifts is a wall that is not locked to the camera, a refresh that is not locked to the
    wall's frame, and every lamp: none shares the camera's clock. One pass takes one over the beat;
    the clocks' tolerances make it longer or shorter (physics page 5).

    Parameters
    ----------
    shot
        The shot.

    Returns
    -------
    RollTest
        Times; where nothing drifts, the shortest test worth the name.
    """
    drifts = tuple(each for each in _drifts(shot) if each is not None)
    passes = [
        each.quickest_s if each.longest_s is None else each.longest_s for each in drifts
    ]
    return RollTest(
        at_least_s=max([SHORTEST_TEST_S, *passes]), drifts=drifts,
        shows_all=all(each.longest_s is not None for each in drifts),
    )
