"""Which shutter settings a card grades: those of its map, and those near what is to be dialled."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

import numpy as np

from bandcheck.shoot.camera import Camera
from bandcheck.shoot.shot import Shot

__all__ = [
    "COMMON_ANGLES_DEG", "dial_shows_times", "graded_exposures_s", "map_exposures_s",
    "plain_angle_deg",
]

COMMON_ANGLES_DEG = tuple(Fraction(text) for text in (
    "45", "90", "120", "144", "172.8", "180", "216", "270", "360",
))
"""Angles that people on set ask for: common practice."""

MOST_COLUMNS = 11
"""Shutter settings in a map: as many as stand side by side in print."""

_WHOLE_DIAL = 400
_CLICKS = 20
_TENTH_DEG = Fraction(1, 10)
_TURN_DEG = 360


def dial_shows_times(camera: Camera) -> bool:
    """Whether a camera's dial is marked in times, and not in angles."""
    return bool(camera.speeds_s) and not camera.angles_deg and camera.angle_step_deg is None


def plain_angle_deg(*, from_deg: float, to_deg: float, best_deg: float) -> Fraction:
    """Angle with the fewest decimals that lies well inside a range.

    Parameters
    ----------
    from_deg, to_deg, best_deg
        Ends of the range and the best between them [deg].

    Returns
    -------
    Fraction
        Within a quarter of the range's width of the best.
    """
    room = (to_deg - from_deg) / 4
    for decimals in range(9):
        plain = Fraction(round(Fraction(best_deg) * 10**decimals), 10**decimals)
        if abs(float(plain) - best_deg) <= room and plain > 0:
            return min(plain, Fraction(_TURN_DEG))
    return Fraction(best_deg)


def _nearest(offered: Iterable[Fraction], wanted: Fraction, most: int) -> list[Fraction]:
    """Some of what is offered, the nearest in stops, rising."""
    return sorted(sorted(offered, key=lambda each: _stops(each, wanted))[:most])


def _stops(one: Fraction, other: Fraction) -> float:
    return abs(float(np.log2(float(one / other))))


def map_exposures_s(
    shots: Sequence[Shot], dialled_s: Sequence[Fraction | None]
) -> tuple[tuple[Fraction | None, ...], ...]:
    """Shutter settings of a map: the same columns at each rate.

    A dial of speeds gives columns of times, any other columns of angles: those of the camera's
    list, or those that people ask for and the dial can set, and what the card says to dial.

    Parameters
    ----------
    shots
        The shot at each rate.
    dialled_s
        What is to be dialled at each rate [s]; None: nothing.

    Returns
    -------
    tuple of tuple
        For each rate the exposure of each column [s]; None where it is longer than the frame.
    """
    camera, wanted = shots[0].camera, shots[0]
    if dial_shows_times(camera):
        times = _nearest(set(camera.speeds_s), wanted.exposure_s, MOST_COLUMNS)
        return tuple(
            tuple(each if each * shot.fps <= 1 else None for each in times) for shot in shots
        )
    dialled = [
        exposure * shot.fps * _TURN_DEG
        for shot, exposure in zip(shots, dialled_s, strict=True) if exposure is not None
    ]
    asked = [shot.angle_deg for shot in shots if shot.shutter_set_as == "angle"]
    angles = _map_angles(camera, wanted.angle_deg, [*asked, *dialled])
    return tuple(tuple(angle / _TURN_DEG / shot.fps for angle in angles) for shot in shots)


def _map_angles(
    camera: Camera, wanted_deg: Fraction, first: Sequence[Fraction]
) -> list[Fraction]:
    if camera.angles_deg:
        return _nearest(set(camera.angles_deg), wanted_deg, MOST_COLUMNS)
    step = camera.angle_step_deg
    offered = [
        angle for angle in dict.fromkeys((*first, *COMMON_ANGLES_DEG))
        if step is None or (angle / step).denominator == 1
    ]
    must = [angle for angle in offered if angle in first][:MOST_COLUMNS]
    rest = [angle for angle in offered if angle not in first]
    return sorted([*must, *_nearest(rest, wanted_deg, MOST_COLUMNS - len(must))])


def _near_angles(shot: Shot, around_deg: Iterable[Fraction]) -> set[Fraction]:
    """Angles of a fine or free dial: whole degrees, and clicks around some."""
    step = shot.camera.angle_step_deg or _TENTH_DEG
    near = {
        (round(angle / step) + click) * step
        for angle in around_deg for click in range(-_CLICKS, _CLICKS + 1)
    }
    whole = {
        Fraction(degrees) for degrees in range(1, _TURN_DEG + 1)
        if (degrees / step).denominator == 1
    }
    return {angle for angle in near | whole if 0 < angle <= _TURN_DEG}


def graded_exposures_s(
    shot: Shot, *, dial: Sequence[Fraction] | None, also_s: Iterable[Fraction | None]
) -> tuple[Fraction, ...]:
    """Shutter settings whose grade a card holds at one rate.

    Parameters
    ----------
    shot
        The shot at the rate.
    dial
        Exposures that the dial offers [s]; None: any angle.
    also_s
        Exposures that must be among them, such as the map's and the one to be dialled [s]; None
        and what is no setting of the dial are left out.

    Returns
    -------
    tuple of Fraction
        Exposures [s], rising: the whole of a short dial; of a long one, or where any angle can
        be set, whole degrees and twenty clicks (of 0.1 deg) to each side of `also_s`.
    """
    also = {each for each in also_s if each is not None and each * shot.fps <= 1}
    if dial is not None and len(dial) <= _WHOLE_DIAL:
        return tuple(sorted(dial))
    turn = _TURN_DEG * shot.fps
    near = {angle / turn for angle in _near_angles(shot, [each * turn for each in also])}
    offered = None if dial is None else frozenset(dial)
    return tuple(sorted(each for each in near | also if offered is None or each in offered))
