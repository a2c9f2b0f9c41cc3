"""What devices leave open for others: cheap to ask many times, for whether there is anything.

A changed device can open a setting only inside what all the others leave. That is looked for once,
those with few nulls first, and the change is graded nowhere else.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bandcheck.shoot.plan_shots import Sight
from bandcheck.verdict.plan_results import Device
from bandcheck.verdict.plan_search import Member, narrowed
from bandcheck.verdict.plan_window import Window
from bandcheck.verdict.plan_work import Ledger, Work
from bandcheck.verdict.safe_ranges import Range

__all__ = ["Devices", "left_open", "open_to"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Devices:
    """Everything that is filmed together at one rate.

    Attributes
    ----------
    sights
        Every camera with every surface that it sees.
    lamps
        Name in a lamp's profile to its name in the plan.
    windows
        Safe exposures of each camera and surface near the wanted setting.
    """

    sights: tuple[Sight, ...]
    lamps: Mapping[str, str]
    windows: Mapping[tuple[str, str], Window]

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

    def hopeless(self, sight: Sight) -> bool:
        """Whether an unchanged surface is known to have no safe exposure under a sight's lamps."""
        present = {lamp.name for lamp in sight.shot.lamps}
        return any(
            source not in self.lamps or source in present
            for source in self.windows[sight.camera, sight.surface].lacking
        )


def open_to(
    sights: Sequence[Sight], within: Sequence[Range], ledger: Ledger
) -> Work[list[Range]]:
    """Everything inside ranges of angle that is safe for sights of one rate [deg], rising.

    Parameters
    ----------
    sights
        In the order in which they are looked at.
    within
        Where to look [deg].
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.
    """
    members = [Member(shot=each.shot, scale=360 * float(each.fps)) for each in sights]
    return (yield from narrowed(members, within, ledger))


def left_open(
    devices: Devices, sights: Sequence[Sight], ledger: Ledger
) -> Work[list[Range]]:
    """Every angle that is safe for sights whose surfaces are unchanged [deg]; all where none.

    Parameters
    ----------
    devices
        Those of which the sights are, some of their lamps left out perhaps.
    sights, ledger
        As for `open_to`, in any order.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.
    """
    if any(devices.hopeless(each) for each in sights):
        return []
    few_nulls_first = sorted(sights, key=lambda each: (
        devices.windows[each.camera, each.surface].sparseness, each.surface, each.camera
    ))
    return (yield from open_to(few_nulls_first, [(0.0, 360.0)], ledger))
