"""What a plan's card prints: its strips and what stands around them, put into words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bandcheck.levels.codes import full_range_code_at_least
from bandcheck.report.card_rows import RateRow
from bandcheck.report.card_sections import InputLine, Section, grade_lines, profile_lines
from bandcheck.report.plan_moves_text import ramp_sentences, turns_sentences
from bandcheck.report.plan_wording import (
    NO_MEND,
    assumed_sentences,
    devices_text,
    mend_sentence,
    range_text,
    ranges_text,
    seen_text,
)
from bandcheck.report.rounding import (
    angle_text,
    at_most_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
    room_text,
    seconds_text,
    stops_text,
)
from bandcheck.report.wording import CAUTIONS
from bandcheck.verdict.plan_card import PlanCard
from bandcheck.verdict.plan_results import Cell, Chosen, Dialled, SetUpAgreement
from bandcheck.verdict.plan_strip import StripFigures
from bandcheck.vision.level import Level

__all__ = ["PLAN_TITLE", "Strip", "plan_inputs", "plan_sections", "plan_strips"]

PLAN_TITLE = "Safe settings for this shoot"


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """One set-up of a card.

    Attributes
    ----------
    name, seen
        Its name, and who sees what in it.
    rows
        What to dial, a row for each rate and camera.
    lines
        What is to be known beside that.
    """

    name: str
    seen: str
    rows: tuple[RateRow, ...]
    lines: tuple[str, ...]


def _phase(found: Sequence[StripFigures]) -> tuple[str, str]:
    """Phases that are clean for every surface."""
    reasons = {each.tear for each in found}
    if reasons == {"still_content"}:
        return "any", "no picture that changes is seen"
    if "runs_free" in reasons:
        return "none", "wall and camera run free"
    ranges = [each.phase_s for each in found if each.phase_s is not None]
    if not ranges:
        return "none", ""
    low, high = max(each[0] for each in ranges), min(each[1] for each in ranges)
    ends = inward_range(1e3 * low, 1e3 * high) if low <= high else None
    if ends is None:
        return "one each", "surfaces differ: check each"
    best = number_text(500 * (low + high), decimals=2)
    return f"{ends[0]} to {ends[1]} ms", f"set {best}"


def _with_figures(row: RateRow, found: Sequence[StripFigures]) -> RateRow:
    """A row with its cells that hang on figures beside the verdict."""
    phase, phase_note = _phase(found)
    angles = [each.clean_angle_deg for each in found if each.clean_angle_deg is not None]
    drifts = "" if all(each.shows_all for each in found) else " *"
    levels = [each.lowest_safe_level for each in found if each.lowest_safe_level is not None]
    lowest, codes = "none", "not even white"
    if len(levels) == len(found):
        darkest = max(levels)
        lowest = f"{number_text(100 * darkest, decimals=2)} %"
        codes = "·".join(
            str(int(full_range_code_at_least(darkest, bits=bits))) for bits in (8, 10, 12)
        )
    return replace(
        row, phase=phase, phase_note=phase_note, lowest=lowest, codes=codes,
        clean_angle=f"{at_most_text(min(angles), decimals=1)}°" if angles else "360°",
        roll=seconds_text(max(each.roll_s for each in found)) + drifts,
    )


def _allowed(chosen: Chosen, dial: Dialled) -> tuple[str, str]:
    low, high = chosen.allowed_deg
    if not dial.inside:
        return range_text((low, high)), "no click of its dial"
    if inward_range(low, high) is None:
        return "this only", "no room at all"
    return range_text((low, high)), room_text(value=float(dial.angle_deg), low=low, high=high)


def _row(card: PlanCard, name: str, cell: Cell, camera: str, *, alone: bool) -> RateRow:
    fps = rate_words(cell.fps) if alone else f"{rate_words(cell.fps)} {camera}"
    if cell.refused:
        return RateRow(fps=fps, refused=cell.refused)
    pair = next(each for each in cell.pairs if each.camera == camera)
    wanted = f"wanted {angle_text(pair.shot.angle_deg)} is {cell.level.value}"
    if cell.chosen is None:
        return RateRow(
            fps=fps, dial="none", dial_note="nothing suits all", level=cell.level, wanted=wanted,
            level_note="", allowed="no room", room=f"in the way: {devices_text(cell.blocked_by)}",
        )
    dial = next(each for each in cell.chosen.dials if each.camera == camera)
    allowed, room = _allowed(cell.chosen, dial)
    same = dial.angle_deg == pair.shot.angle_deg
    if not same:
        wanted += f"; {stops_text(cell.chosen.stops_from_wanted)}"
    found = [
        figures for (setup, rate, who, _), figures in card.strips.items()
        if (setup, rate, who) == (name, cell.fps, camera)
    ]
    row = RateRow(
        fps=fps, dial=angle_text(dial.angle_deg),
        dial_note=exposure_text(dial.angle_deg / 360 / cell.fps), level=cell.chosen.level,
        level_note="" if dial.inside else "between its clicks", allowed=allowed, room=room,
        wanted="as wanted" if same and cell.level is Level.SAFE else wanted,
    )
    return _with_figures(row, found) if found else row


def _lines(setup: SetUpAgreement) -> Iterator[str]:
    for cell in setup.cells:
        rate = rate_words(cell.fps)
        if cell.chosen is None and not cell.refused:
            yield f"{rate} frames/s: nothing suits all; in the way: {devices_text(cell.blocked_by)}"
            if not cell.mends:
                yield f"{rate} frames/s: {NO_MEND}"
        for each in cell.mends[:2]:
            wanted = float(cell.pairs[0].shot.angle_deg)
            yield f"{rate} frames/s: {mend_sentence(each, wanted_deg=wanted)}"
    if len(setup.cells) > 1 and setup.common_deg:
        yield f"One angle for all rates: {ranges_text(setup.common_deg)}"


def plan_strips(card: PlanCard) -> tuple[Strip, ...]:
    """Every set-up of a card in words."""
    found = []
    for setup in card.agreement.setups:
        planned = card.plan.setup(setup.name)
        alone = len(planned.cameras) == 1
        found.append(Strip(
            name=setup.name, seen=seen_text(planned),
            rows=tuple(
                _row(card, setup.name, cell, camera, alone=alone)
                for cell in setup.cells for camera in planned.cameras
            ),
            lines=tuple(_lines(setup)),
        ))
    return tuple(found)


def _voids() -> Iterator[str]:
    yield "Another rate, camera mode, lens or place than planned; a shutter outside what is allowed"
    yield ("Any change of a wall's refresh, scan, gray depth, gray clock or frame rate: a new "
           "preset, firmware or processor too")
    yield "A surface, camera or lamp that comes into a set-up, is exchanged, dimmed or turned"
    yield "Camera or wall off the common reference; phase outside its range"
    yield "Content darker than the lowest level told; a test that shows a fault where it says safe"
    yield "A plan that differs: bandcheck plan --compare OLD NEW says what it voids"


def _tests() -> Iterator[str]:
    yield "In each set-up and at each rate dial the setting, read it back and write both down"
    yield ("Fill each surface with flat gray at the levels used and at the lowest level told, "
           "focus off the LEDs, roll as long as told, look for bands, still and moving")
    yield "Set the phase told, run a bar that moves in every frame: no frame may hold two of it"
    yield "* something may stand still against the camera: no test shows every state of it"


def _assumed(card: PlanCard) -> Iterator[str]:
    yield from assumed_sentences(card.agreement)
    yield "Moire and grid are not checked: bandcheck moire, set-up by set-up"


def _moves(card: PlanCard) -> Iterator[str]:
    for ramp in card.agreement.ramps:
        yield f"{ramp.name}: {ramp.level.value}. {ramp_sentences(ramp)[0]}"
        yield from ramp_sentences(ramp)[1:]
    for turns in card.agreement.turns:
        yield f"{turns.name}, {rate_words(turns.fps)} frames/s: {turns.level.value}"
        yield from turns_sentences(turns)


def plan_sections(card: PlanCard) -> tuple[Section, ...]:
    """Everything beside the strips, in the order of print."""
    shots = [pair.shot for setup in card.agreement.setups for cell in setup.cells
             for pair in cell.pairs]
    parts = [
        ("Test it before the shoot", _tests()), ("What voids this card", _voids()),
        ("Ramps and turns", _moves(card)), ("Not given, and taken", _assumed(card)),
        ("Grades, viewer and cautions", (*(grade_lines(shots[0]) if shots else ()), *CAUTIONS)),
    ]
    return tuple(
        Section(title=title, lines=lines) for title, each in parts if (lines := tuple(each))
    )


def plan_inputs(card: PlanCard) -> tuple[InputLine, ...]:
    """Every figure that the timing hangs on, with its source."""
    plan = card.plan
    return (
        *(line for each in plan.surfaces.values() for line in profile_lines(each.wall, each.name)),
        *(line for each in plan.cameras.values()
          for line in profile_lines(each.camera, f"camera {each.name}")),
        *(line for each in plan.lamps.values() for line in profile_lines(each.lamp, each.name)),
    )
