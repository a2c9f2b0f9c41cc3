"""The smallest sets of changes that open a shutter for everything that is filmed together."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from bandcheck.shoot.plan_shots import Sight, with_refreshes
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.plan_results import Device, Mend, MendPart, Opened
from bandcheck.verdict.plan_search import Member, agreed_ranges
from bandcheck.verdict.plan_work import Ledger, Question, Work, together

__all__ = ["Devices", "mends"]

_MOST_CHANGES = 2
_MOST_TOLD = 4


@dataclass(frozen=True, kw_only=True, slots=True)
class Devices:
    """Everything that is filmed together at one rate.

    Attributes
    ----------
    sights
        Every camera with every surface that it sees.
    lamps
        Name in a lamp's profile to its name in the plan.
    """

    sights: tuple[Sight, ...]
    lamps: Mapping[str, str]

    @property
    def all_of_them(self) -> tuple[Device, ...]:
        """Surfaces, lamps, and cameras where there are several."""
        surfaces = dict.fromkeys(each.surface for each in self.sights)
        cameras = dict.fromkeys(each.camera for each in self.sights)
        lamps = dict.fromkeys(lamp.name for each in self.sights for lamp in each.shot.lamps)
        return (
            *(Device(kind="surface", name=name) for name in surfaces),
            *(Device(kind="lamp", name=self.lamps[name]) for name in lamps),
            *(Device(kind="camera", name=name) for name in cameras if len(cameras) > 1),
        )

    def without(self, device: Device) -> tuple[Sight, ...]:
        """Sights that are left without a device; none where it is the only surface."""
        if device.kind == "lamp":
            return tuple(replace(each, shot=replace(each.shot, lamps=tuple(
                lamp for lamp in each.shot.lamps if self.lamps[lamp.name] != device.name
            ))) for each in self.sights)
        return tuple(
            each for each in self.sights
            if device.name != (each.surface if device.kind == "surface" else each.camera)
        )

    def of_source(self, sight: Sight, source: str) -> Device | None:
        """Device that a source of unsafe exposures belongs to."""
        if source in ("wall", "tear"):
            return Device(kind="surface", name=sight.surface)
        if source == "camera":
            return Device(kind="camera", name=sight.camera)
        name = self.lamps.get(source)
        return None if name is None else Device(kind="lamp", name=name)


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


def _options(devices: Devices, ledger: Ledger) -> Work[list[MendPart]]:
    """Single changes there are: lamps, refreshes of walls, a camera's own shutter."""
    first = {each.surface: each for each in devices.sights}
    yield [Question("refreshes", each.shot) for each in first.values()]
    shots = {name: each.shot for name, each in first.items()}
    options = [
        MendPart(change="refreshes_per_frame", device=Device(kind="surface", name=name),
                 value=number)
        for name, shot in shots.items()
        for number in dict.fromkeys((
            *ledger.refreshes(shot), *_as_others(shot, shots.values()),
        ))
    ]
    for device in devices.all_of_them:
        if device.kind == "lamp":
            options.append(MendPart(change="lamp_off", device=device))
        elif device.kind == "camera":
            options.append(MendPart(change="own_shutter", device=device))
    return options


def _changed(devices: Devices, parts: Sequence[MendPart]) -> list[tuple[Sight, ...]]:
    """Groups of sights, each with a shutter of its own, after some changes."""
    groups = [devices.sights]
    for part in parts:
        if part.change == "own_shutter":
            groups = [
                tuple(each for each in group if (each.camera == part.device.name) is alone)
                for group in groups for alone in (False, True)
            ]
        elif part.change == "lamp_off":
            groups = [replace(devices, sights=group).without(part.device) for group in groups]
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
        Opened(cameras=tuple(dict.fromkeys(each.camera for each in group)), ranges_deg=found)
        for group, found in zip(groups, ranges, strict=True)
    )


def _effort(mend: Mend, wanted_deg: float) -> float:
    """How far the nearest opened settings lie from the wanted one [stops]."""
    return max(
        min(abs(float(np.log2((low + high) / 2 / wanted_deg))) for low, high in each.ranges_deg)
        for each in mend.opened
    )


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
    options = yield from _options(devices, ledger)
    wanted_deg = float(devices.sights[0].shot.angle_deg)
    for size in range(1, _MOST_CHANGES + 1):
        tried = [
            parts for parts in combinations(options, size)
            if len({part.device for part in parts}) == size
        ]
        opened = yield from together([_opened(devices, parts, ledger) for parts in tried])
        found = [
            Mend(parts=parts, opened=groups)
            for parts, groups in zip(tried, opened, strict=True) if groups
        ]
        if found:
            return tuple(sorted(found, key=lambda each: _effort(each, wanted_deg))[:_MOST_TOLD])
    return ()
