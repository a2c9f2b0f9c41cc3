"""The agreement of a plan as text of 80 columns."""

from collections.abc import Iterator

from bandcheck.report.plan_moves_text import moves_text
from bandcheck.report.plan_wording import (
    NO_MEND,
    ROLE_WORDS,
    assumed_sentences,
    devices_text,
    mend_sentence,
    range_text,
    ranges_text,
    seen_text,
    stated_text,
    times_text,
)
from bandcheck.report.rounding import angle_text, inward_range, rate_words, visibility_text
from bandcheck.report.verdict_text import wrapped
from bandcheck.report.wording import CAUTIONS, level_label
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_shots import resolved
from bandcheck.verdict.plan_agreement import PlanAgreement
from bandcheck.verdict.plan_results import Cell, Chosen, SetUpAgreement
from bandcheck.vision.level import Level

__all__ = ["plan_text", "resolved_text"]


def _dials(chosen: Chosen) -> str:
    by_angle: dict[str, list[str]] = {}
    for each in chosen.dials:
        by_angle.setdefault(angle_text(each.angle_deg), []).append(each.camera)
    alike = len(by_angle) == 1
    return ", ".join(
        angle if alike else f"{angle} on {', '.join(cameras)}"
        for angle, cameras in by_angle.items()
    )


def _dial_sentence(chosen: Chosen, limits: tuple[float, float]) -> str:
    """What to dial, how it is graded, and how far off it may be."""
    allowed = range_text(chosen.allowed_deg)
    off = [each.camera for each in chosen.dials if not each.inside]
    if not off:
        return f"Dial {_dials(chosen)}: {chosen.level.value}; it may be {allowed}."
    value = visibility_text(chosen.visibility, limits=limits)
    return (f"Dial {_dials(chosen)}: {chosen.level.value}, V {value}; only {allowed} is safe, "
            f"between the clicks of {', '.join(off)}.")


def _cell(cell: Cell) -> Iterator[str]:
    rate = f"{rate_words(cell.fps)} frames/s: "
    if cell.refused:
        yield from wrapped(f"{rate}cannot be run: {cell.refused}", "        ", "    ")
        return
    wanted = angle_text(cell.pairs[0].shot.angle_deg)
    told = f"{rate}{wanted} is {cell.level.value.upper()}"
    if cell.chosen is None:
        told += f". Nothing suits all; in the way: {devices_text(cell.blocked_by)}."
    elif cell.level is Level.SAFE:
        told += f"; it may be {range_text(cell.chosen.allowed_deg)}."
    else:
        viewing = cell.pairs[0].shot.viewing
        limits = (viewing.safe_below, viewing.visible_from)
        told += f". {_dial_sentence(cell.chosen, limits)}"
    yield from wrapped(told, "        ", "    ")
    if cell.chosen is not None and cell.chosen.level is Level.SAFE:
        yield from _phases(cell.chosen)
    yield from _why(cell)
    if cell.chosen is None and not cell.mends:
        yield from wrapped(NO_MEND, "          ", "        ")
    for each in cell.mends:
        sentence = mend_sentence(each, wanted_deg=float(cell.pairs[0].shot.angle_deg))
        yield from wrapped(sentence, "          ", "        > ")


def _why(cell: Cell) -> Iterator[str]:
    """Pairs whose wanted setting is not safe, and what of them."""
    for pair in cell.pairs:
        wanted = pair.wanted
        if wanted.level is Level.SAFE:
            continue
        limits = (pair.shot.viewing.safe_below, pair.shot.viewing.visible_from)
        over = [
            f"{'bands' if source == 'wall' else source} V {visibility_text(value, limits=limits)}"
            for source, value in wanted.visibility.items() if not value < limits[0]
        ]
        if wanted.tear is not None and wanted.tear[0] is not Level.SAFE:
            over.append("tear")
        role = f" ({ROLE_WORDS[pair.role]})" if ROLE_WORDS[pair.role] else ""
        yield from wrapped(
            f"{pair.camera}, {pair.surface}{role}: {wanted.level.value}, {', '.join(over)}",
            "          ", "        ",
        )


def _setup(found: SetUpAgreement, plan: Plan) -> Iterator[str]:
    yield from wrapped(f"{level_label(found.level)}  {found.name}", "  ", "")
    yield from wrapped(seen_text(plan.setup(found.name)))
    for cell in found.cells:
        yield from _cell(cell)
    if len(found.cells) > 1:
        one = f"One angle for all rates: {ranges_text(found.common_deg)}"
        if not found.common_deg:
            one += f"; in the way: {devices_text(found.blocked_by)}"
        yield from wrapped(f"{one}.")
        if found.common_s:
            yield from wrapped(f"One time for all rates: {times_text(found.common_s)}.")


def _assumed(agreement: PlanAgreement) -> Iterator[str]:
    sentences = assumed_sentences(agreement)
    if sentences:
        yield ""
        yield "Assumed, as nobody said"
    for each in sentences:
        yield from wrapped(each, "    ", "  - ")


def _phases(chosen: Chosen) -> Iterator[str]:
    """Phases that a safe setting counts on."""
    for camera, (low, high) in chosen.phases_s:
        ends = inward_range(1e3 * low, 1e3 * high) if low <= high else None
        told = f"{ends[0]} to {ends[1]} ms" if ends else "none that is clean for all"
        yield from wrapped(
            f"on condition that {camera} opens {told} after a wall frame starts",
            "          ", "        ",
        )


def plan_text(agreement: PlanAgreement) -> str:
    """The agreement of a plan for people.

    Parameters
    ----------
    agreement
        From `plan_agreement`.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    plan = agreement.plan
    safe = sum(each.level is Level.SAFE for each in agreement.setups)
    lines = [
        level_label(agreement.level),
        *wrapped(f"{plan.name}: {safe} of {len(plan.setups)} set-ups are safe as wanted", "  ", ""),
    ]
    for found in agreement.setups:
        lines += ["", *_setup(found, plan)]
    lines += moves_text(agreement)
    lines += _assumed(agreement)
    lines += ["", "Timing alone; moire hangs on lens and place: bandcheck moire.",
              *wrapped(CAUTIONS[0], "  ", "")]
    return "\n".join(lines)


def resolved_text(plan: Plan) -> str:
    """Every value that holds in each set-up of a plan, and who stated it.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        Lines of at most 80 columns; of each camera with each surface.
    """
    lines = [plan.name]
    for setup in plan.setups:
        lines += ["", *wrapped(setup.name, "  ", ""), *wrapped(seen_text(setup)),
                  *wrapped(f"at {', '.join(map(rate_words, setup.rates))} frames/s")]
        for camera in setup.cameras:
            for surface in setup.surfaces:
                lines += ["", *wrapped(f"  {camera}, {surface}")]
                values = resolved(plan, setup, plan.cameras[camera], plan.surfaces[surface])
                for key, value in values.items():
                    name, shown, by = stated_text(key, value, plan)
                    lines += wrapped(f"{name:<24}{shown:<28}{by}", "        ", "    ")
    return "\n".join(lines)
