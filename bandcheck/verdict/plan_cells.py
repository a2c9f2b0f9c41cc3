"""A set-up at one rate, and at all of its rates: what suits everything, and who stands in the way.

The work is written as generators that yield the questions they need (`plan_work`).
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.plan import Plan, SetUp
from bandcheck.shoot.plan_shots import Sight, setup_sights
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from bandcheck.timing.shutter import stops_between
from bandcheck.verdict.card_shutters import plain_angle_deg
from bandcheck.verdict.exposure_grades import with_angle
from bandcheck.verdict.plan_mends import mends
from bandcheck.verdict.plan_openings import Devices, left_open
from bandcheck.verdict.plan_results import (
    Cell,
    Chosen,
    Device,
    Dialled,
    Pair,
    SetUpAgreement,
)
from bandcheck.verdict.plan_search import Member, agreed_ranges, nearest_first, with_wanted
from bandcheck.verdict.plan_window import Wanted
from bandcheck.verdict.plan_work import Ledger, Question, Work, together
from bandcheck.verdict.remedies import dial_of
from bandcheck.verdict.safe_ranges import Range
from bandcheck.vision.level import Level, worst_level

__all__ = ["setup_agreement"]


def _members(sights: Sequence[Sight], *, in_time: bool = False) -> list[Member]:
    return [
        Member(shot=each.shot, scale=1.0 if in_time else 360 * float(each.fps)) for each in sights
    ]


def _devices(plan: Plan, sights: Sequence[Sight], ledger: Ledger) -> Devices:
    """Lamps of a plan by the names of their profiles, which shots know them by."""
    return Devices(
        sights=tuple(sights),
        lamps={each.lamp.name: each.name for each in plan.lamps.values()},
        windows={(each.camera, each.surface): ledger.window(each.shot) for each in sights},
    )


def _blockers(devices: Devices, ledger: Ledger) -> Work[tuple[Device, ...]]:
    """Devices that stand in the way where nothing suits all of them."""
    without = {
        device: rest for device in devices.all_of_them if (rest := devices.without(device))
    }
    found = yield from together([left_open(devices, rest, ledger) for rest in without.values()])
    opened = [device for device, ranges in zip(without, found, strict=True) if ranges]
    if opened:
        return tuple(opened)
    lacking = {
        device for each in devices.sights for source in ledger.window(each.shot).lacking
        if (device := devices.of_source(each, source)) is not None
    }
    return tuple(sorted(lacking or devices.all_of_them))


def _dials_in(sights: Sequence[Sight], ranges: Range) -> tuple[Dialled, ...]:
    """Setting of each camera's dial that lies in a range with the most room, or nearest to it."""
    low, high = ranges
    plain = plain_angle_deg(from_deg=low, to_deg=high, best_deg=(low + high) / 2)
    found = []
    for sight in {each.camera: each for each in sights}.values():
        dial, turn = dial_of(sight.shot), 360 * sight.fps
        clicks = [plain] if not dial else [exposure * turn for exposure in dial]
        nearest = min(clicks, key=lambda each: abs(each - plain))
        found.append(Dialled(
            camera=sight.camera, angle_deg=nearest, inside=dial != () and low <= nearest <= high
        ))
    return tuple(found)


def _on_dial(shot: Shot) -> bool:
    """Whether the camera's dial has the wanted setting."""
    dial = dial_of(shot)
    return dial is None or shot.exposure_s in dial


def _chosen(
    sights: Sequence[Sight], pairs: Sequence[Pair], common: Sequence[Range], ledger: Ledger
) -> Work[Chosen | None]:
    """What to dial: the wanted setting where it is safe, else the nearest that the dials have."""
    wanted_deg = float(sights[0].shot.angle_deg)
    candidates = [(_dials_in(sights, each), each) for each in nearest_first(common, wanted_deg)]
    dials, allowed = min(
        candidates, key=lambda each: sum(not dial.inside for dial in each[0]),
        default=((), (0.0, 0.0)),
    )
    as_wanted = worst_level(each.wanted.level for each in pairs) is Level.SAFE
    if as_wanted and common and all(_on_dial(each.shot) for each in pairs):
        dials = tuple(
            Dialled(camera=name, angle_deg=each.shot.angle_deg, inside=True)
            for name, each in {pair.camera: pair for pair in pairs}.items()
        )
        allowed = next(
            (each for each in common if each[0] - 1e-6 <= wanted_deg <= each[1] + 1e-6), allowed
        )
    if not dials:
        return None
    angles = {each.camera: each.angle_deg for each in dials}
    shots = [with_angle(each.shot, angles[each.camera]) for each in sights]
    yield [Question("wanted", shot) for shot in shots]
    grades = [ledger.wanted(shot) for shot in shots]
    return Chosen(
        dials=dials, allowed_deg=allowed, level=worst_level(each.level for each in grades),
        visibility=max(each.worst_visibility for each in grades),
        stops_from_wanted=float(stops_between(
            from_exposure_s=wanted_deg, to_exposure_s=float(dials[0].angle_deg)
        )),
        phases_s=_phases(sights, grades),
    )


def _phases(
    sights: Sequence[Sight], grades: Sequence[Wanted]
) -> tuple[tuple[str, Range], ...]:
    """Phases of each camera that are clean before all the surfaces that it sees."""
    found: dict[str, Range] = {}
    for sight, grade in zip(sights, grades, strict=True):
        if grade.phase_s is not None and sight.shot.phase_s is None:
            low, high = found.get(sight.camera, grade.phase_s)
            found[sight.camera] = max(low, grade.phase_s[0]), min(high, grade.phase_s[1])
    return tuple(found.items())


def _cell(plan: Plan, setup: SetUp, fps: Fraction, ledger: Ledger) -> Work[Cell]:
    try:
        sights = setup_sights(plan, setup, fps=fps)
    except OutOfRangeError as error:
        return Cell(fps=fps, pairs=(), refused=str(error))
    yield [Question(kind, each.shot) for each in sights for kind in ("wanted", "window")]
    pairs = tuple(
        Pair(camera=each.camera, surface=each.surface, role=each.role, shot=each.shot,
             wanted=ledger.wanted(each.shot))
        for each in sights
    )
    refused = [f"surface {each.surface}: {each.wanted.refused}"
               for each in pairs if each.wanted.refused]
    if refused:
        return Cell(fps=fps, pairs=pairs, refused=refused[0])
    common = yield from agreed_ranges(_members(sights), ledger)
    if worst_level(each.wanted.level for each in pairs) is Level.SAFE:
        common = yield from with_wanted(_members(sights), common, ledger)
    if common:
        chosen = yield from _chosen(sights, pairs, common, ledger)
        return Cell(fps=fps, pairs=pairs, common_deg=common, chosen=chosen)
    devices = _devices(plan, sights, ledger)
    blocked = yield from _blockers(devices, ledger)
    found = yield from mends(devices, ledger)
    return Cell(fps=fps, pairs=pairs, blocked_by=blocked, mends=found)


def _all_rates(
    plan: Plan, setup: SetUp, cells: Sequence[Cell], ledger: Ledger
) -> Work[SetUpAgreement]:
    """One shutter for all rates of a set-up, as an angle and as a time."""
    found = SetUpAgreement(name=setup.name, cells=tuple(cells))
    lacking = [device for cell in cells for device in cell.blocked_by]
    if lacking or any(cell.refused for cell in cells):
        refused = [Device(kind="rate", name=rate_text(cell.fps)) for cell in cells if cell.refused]
        return replace(found, blocked_by=tuple(dict.fromkeys([*refused, *lacking])))
    if len(cells) == 1:
        frame = 360 * float(cells[0].fps)
        times = tuple((low / frame, high / frame) for low, high in cells[0].common_deg)
        return replace(found, common_deg=cells[0].common_deg, common_s=times)
    sights = [each for cell in cells for each in setup_sights(plan, setup, fps=cell.fps)]
    angles, times = yield from together([
        agreed_ranges(_members(sights, in_time=in_time), ledger) for in_time in (False, True)
    ])
    blocked = () if angles else (yield from _blocking_rates(sights, ledger))
    return replace(found, common_deg=angles, common_s=times, blocked_by=blocked)


def _blocking_rates(sights: Sequence[Sight], ledger: Ledger) -> Work[tuple[Device, ...]]:
    rates = list(dict.fromkeys(each.fps for each in sights))
    found = yield from together([
        agreed_ranges(_members([each for each in sights if each.fps != rate]), ledger)
        for rate in rates
    ])
    opened = [rate for rate, ranges in zip(rates, found, strict=True) if ranges]
    return tuple(Device(kind="rate", name=rate_text(rate)) for rate in opened or rates)


def setup_agreement(plan: Plan, setup: SetUp, ledger: Ledger) -> Work[SetUpAgreement]:
    """What suits everything in a set-up, at each of its rates and at all of them.

    Parameters
    ----------
    plan, setup
        Whose.
    ledger
        Where answers are looked up.

    Yields
    ------
    sequence of Question
        What has to be answered before it can go on.

    Returns
    -------
    SetUpAgreement
        Nothing is rounded.
    """
    cells = yield from together([_cell(plan, setup, fps, ledger) for fps in setup.rates])
    return (yield from _all_rates(plan, setup, cells, ledger))
