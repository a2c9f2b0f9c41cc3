"""What the parts of a plan say about each other, and which combinations cannot be."""

from collections.abc import Iterator
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Interleave, Plan, PlannedCamera, Ramp, SetUp
from bandcheck.shoot.plan_shots import camera_faults_at_rate, interleaved_shot, sight_shot
from bandcheck.timing.rates import rate_text

__all__ = ["plan_faults"]


def plan_faults(plan: Plan) -> Iterator[str]:
    """Faults that the parts of a plan have together.

    Parameters
    ----------
    plan
        The plan; what names a device that it lacks has been told already and is passed over.

    Yields
    ------
    str
        One line a fault.
    """
    yield from _lamp_faults(plan)
    for setup in plan.setups:
        for line in _setup_faults(plan, setup):
            yield f"[[setup]] {setup.name}, {line}"
    for ramp in plan.ramps:
        for line in _ramp_faults(plan, ramp):
            yield f"[[ramp]] {ramp.name}, {line}"
    for each in plan.interleaves:
        for line in _interleave_faults(plan, each):
            yield f"[[interleave]] {each.name}, {line}"


def _lamp_faults(plan: Plan) -> Iterator[str]:
    """Lamps that the verdict could not tell apart."""
    names: dict[str, str] = {}
    for lamp in plan.lamps.values():
        if names.setdefault(lamp.lamp.name, lamp.name) != lamp.name:
            yield (f"[[lamp]] {lamp.name}, profile: has the name {lamp.lamp.name!r}, which "
                   f"{names[lamp.lamp.name]} has too; one lamp of a profile is enough")


def _cameras(plan: Plan, names: tuple[str, ...]) -> list[PlannedCamera]:
    return [plan.cameras[name] for name in names if name in plan.cameras]


def _setup_faults(plan: Plan, setup: SetUp) -> Iterator[str]:
    lamps_known = all(name in plan.lamps for name in setup.lamps)
    for camera in _cameras(plan, setup.cameras):
        for fps in setup.rates:
            refused = list(camera_faults_at_rate(camera, fps))
            yield from refused
            if lamps_known and not refused:
                yield from _sight_faults(plan, setup, camera, fps)


def _sight_faults(
    plan: Plan, setup: SetUp, camera: PlannedCamera, fps: Fraction
) -> Iterator[str]:
    for name, role in setup.surfaces.items():
        if name not in plan.surfaces:
            continue
        try:
            shot = sight_shot(plan, setup, camera, plan.surfaces[name], role=role, fps=fps)
        except OutOfRangeError as error:
            yield f"{error} (camera {camera.name}, surface {name}, {rate_text(fps)} frames/s)"
            continue
        if shot.viewing.visible_from < shot.viewing.safe_below:
            yield (f"visible_from: {shot.viewing.visible_from:g} is not accepted; not below "
                   f"safe_below, {shot.viewing.safe_below:g}")


def _ramp_faults(plan: Plan, ramp: Ramp) -> Iterator[str]:
    setup = next((each for each in plan.setups if each.name == ramp.setup), None)
    if setup is None:
        return
    for camera in _cameras(plan, setup.cameras):
        for key, fps in (("from_fps", ramp.from_fps), ("to_fps", ramp.to_fps)):
            for line in camera_faults_at_rate(camera, fps):
                yield f"{key}:{line.removeprefix('rates:')}"


def _interleave_faults(plan: Plan, each: Interleave) -> Iterator[str]:
    for camera in _cameras(plan, each.cameras):
        for fps in each.rates:
            refused = list(camera_faults_at_rate(camera, fps))
            yield from refused
            if refused or each.surface not in plan.surfaces:
                continue
            try:
                interleaved_shot(
                    plan, camera, plan.surfaces[each.surface], fps=fps,
                    wall_multiple=each.wall_multiple,
                )
            except OutOfRangeError as error:
                yield f"{error} (camera {camera.name}, {rate_text(fps)} frames/s)"
