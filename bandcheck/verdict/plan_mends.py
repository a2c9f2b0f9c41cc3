"""The smallest sets of changes that open a shutter for everything that is filmed together."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations, product

import numpy as np

from bandcheck.shoot.plan_shots import Sight, with_refreshes
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.plan_openings import Devices, left_open, open_to
from bandcheck.verdict.plan_results import Device, Mend, MendPart, Opened
from bandcheck.verdict.plan_search import Member, agreed_ranges
from bandcheck.verdict.plan_work import Ledger, Question, Work, together
from bandcheck.verdict.safe_ranges import Range, common_ranges

__all__ = ["mends"]

_MOST_CHANGES = 2
_MOST_TOLD = 4
_SAME_STOPS = 1e-4
"""Distances that the resolution of edges may put in another order [stops]."""

Group = tuple[Sight, ...]
"""Sights that share a shutter."""


def _as_others(shot: Shot, others: Iterable[Shot]) -> Iterator[int]:
    """Refreshes a frame of other walls that a wall could be asked for: equal walls agree."""
    wall = shot.wall
    if wall.refresh_lock == "free":
        return
    present = light_cases(wall, shot.wall_fps)[0].timing.refreshes
    for other in others:
        number = light_cases(other.wall, other.wall_fps)[0].timing.refreshes
        allowed = wall.refreshes_per_frame_allowed or (number,)
        # No more than twice the present ones: what a wall can be asked for (project choice).
        if number != present and number <= 2 * present and number in allowed:
            yield number


def _options(devices: Devices, surface: Device, ledger: Ledger) -> Work[list[MendPart]]:
    """Refreshes that a surface could be asked for."""
    shots = {each.surface: each.shot for each in reversed(devices.sights)}
    shot = shots[surface.name]
    yield [Question("refreshes", shot)]
    return [
        MendPart(change="refreshes_per_frame", device=surface, value=number)
        for number in dict.fromkeys((*ledger.refreshes(shot), *_as_others(shot, shots.values())))
    ]


def _changed(
    devices: Devices, parts: Sequence[MendPart], groups: Sequence[Group] | None = None
) -> list[Group]:
    """Groups of sights, each with a shutter of its own, after some changes; at first all in one."""
    groups = [devices.sights] if groups is None else groups
    for part in parts:
        if part.change == "own_shutter":
            groups = [
                tuple(each for each in group if (each.camera == part.device.name) is alone)
                for group in groups for alone in (False, True)
            ]
        elif part.change == "lamp_off":
            groups = [replace(devices, sights=each).without(part.device) for each in groups]
        elif part.value is not None:
            groups = [
                tuple(
                    replace(each, shot=replace(
                        each.shot, wall=with_refreshes(each.shot.wall, part.value)
                    )) if each.surface == part.device.name else each
                    for each in group
                )
                for group in groups
            ]
    return [group for group in groups if group]


def _cameras(group: Group) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.camera for each in group))


def _opened(
    devices: Devices, parts: Sequence[MendPart], ledger: Ledger
) -> Work[tuple[Opened, ...]]:
    """What may be dialled after some changes; nothing where any camera is left without."""
    groups = _changed(devices, parts)
    ranges = yield from together([
        agreed_ranges([
            Member(shot=each.shot, scale=360 * float(each.fps)) for each in group
        ], ledger)
        for group in groups
    ])
    if not all(ranges):
        return ()
    return tuple(
        Opened(cameras=_cameras(group), ranges_deg=found)
        for group, found in zip(groups, ranges, strict=True)
    )


def _effort(mend: Mend, wanted_deg: float) -> float:
    """How far the nearest opened settings lie from the wanted one [stops]."""
    return max(
        min(abs(float(np.log2((low + high) / 2 / wanted_deg))) for low, high in each.ranges_deg)
        for each in mend.opened
    )


def _with_options(
    devices: Devices, surface: Device, left: Sequence[tuple[Group, list[Range]]], ledger: Ledger
) -> Work[list[tuple[MendPart, list[list[Range]]]]]:
    """Changes of a surface with what they open in what is left for it, group by group."""
    options = yield from _options(devices, surface, ledger)
    found = yield from together([
        together([
            open_to([each for each in group if each.surface == surface.name], within, ledger)
            for group, (_, within) in zip(
                _changed(devices, [option], [group for group, _ in left]), left, strict=True
            )
        ])
        for option in options
    ])
    return [pair for pair in zip(options, found, strict=True) if all(pair[1])]


def _candidates(
    devices: Devices, changed: Sequence[Device], ledger: Ledger
) -> Work[list[Mend]]:
    """Changes of some devices, one of each, that open a setting.

    Surfaces never meet each other's light, so that what several changed ones open together is
    what each of them opens on its own, as far as they have it in common.
    """
    surfaces = [each for each in changed if each.kind == "surface"]
    others = [
        MendPart(change="lamp_off" if each.kind == "lamp" else "own_shutter", device=each)
        for each in changed if each.kind != "surface"
    ]
    groups = _changed(devices, others)
    names = {each.name for each in surfaces}
    within = yield from together([
        left_open(devices, [each for each in group if each.surface not in names], ledger)
        for group in groups
    ])
    if not all(within):
        return []
    left = list(zip(groups, within, strict=True))
    by_surface = yield from together([
        _with_options(devices, each, left, ledger) for each in surfaces
    ])
    return [
        Mend(parts=(*(part for part, _ in chosen), *others), opened=tuple(
            Opened(cameras=_cameras(group), ranges_deg=tuple(ranges))
            for group, ranges in zip(groups, opened, strict=True)
        ))
        for chosen in product(*by_surface)
        if all(opened := [
            common_ranges([base, *(ranges[place] for _, ranges in chosen)])
            for place, base in enumerate(within)
        ])
    ]


def _nearest(found: Sequence[Mend], wanted_deg: float) -> list[Mend]:
    """Those that are told, and those that are as near as the last of them but for its edges."""
    efforts = [_effort(each, wanted_deg) for each in found]
    limit = sorted(efforts)[:_MOST_TOLD][-1:] or [0.0]
    return [
        each for each, effort in zip(found, efforts, strict=True)
        if effort <= limit[0] + _SAME_STOPS
    ]


def mends(devices: Devices, ledger: Ledger) -> Work[tuple[Mend, ...]]:
    """Smallest sets of changes that open a common shutter: single ones, or else pairs.

    Parameters
    ----------
    devices
        What has nothing in common.
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.

    Returns
    -------
    tuple of Mend
        Sets of one size, those first whose shutter lies nearest to the wanted one; each of them
        recomputed; none where no two changes are enough.
    """
    wanted_deg = float(devices.sights[0].shot.angle_deg)
    for size in range(1, _MOST_CHANGES + 1):
        candidates = yield from together([
            _candidates(devices, changed, ledger)
            for changed in combinations(devices.all_of_them, size)
        ])
        nearest = _nearest([each for some in candidates for each in some], wanted_deg)
        opened = yield from together([_opened(devices, each.parts, ledger) for each in nearest])
        found = [
            replace(each, opened=groups)
            for each, groups in zip(nearest, opened, strict=True) if groups
        ]
        if found:
            return tuple(sorted(found, key=lambda each: _effort(each, wanted_deg))[:_MOST_TOLD])
    return ()
