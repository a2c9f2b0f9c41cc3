"""Words for the parts of a plan: devices, roles, ranges, and changes that open a setting."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from bandcheck.report.change_wording import assumption_sentence
from bandcheck.report.rounding import (
    angle_text,
    exposure_text,
    inward_range,
    number_text,
    rate_words,
)
from bandcheck.shoot.plan import Plan, Role, SetUp, Stated
from bandcheck.verdict.plan_agreement import PlanAgreement, plan_assumptions
from bandcheck.verdict.plan_results import Device, Mend, MendPart
from bandcheck.verdict.safe_ranges import Range

__all__ = [
    "NO_MEND", "ROLE_WORDS", "assumed_sentences", "devices_text", "mend_sentence",
    "range_text", "ranges_text", "seen_text", "stated_text", "times_text",
]

ROLE_WORDS: Mapping[Role, str] = {
    "in_shot": "", "reflected": "reflected", "lighting_only": "light only",
}

NO_MEND = "No one or two of the changes tried (refreshes, lamps, own shutters) open a setting."

_LIGHT_ONLY = (
    "light only, graded as if it were in shot, which is the safe side; no picture of it can tear, "
    "and what the scene does when its picture changes is not graded"
)

_UNITS: Mapping[str, tuple[str, float, str]] = {
    "levels": ("levels", 100.0, " %"), "brightness": ("brightness", 100.0, " %"),
    "change_spread_s": ("change of picture takes", 1e3, " ms"),
    "camera_phase_s": ("phase of the camera", 1e3, " ms"),
    "surface_phase_s": ("phase of the surface", 1e3, " ms"),
    "angle_deg": ("shutter", 1.0, "°"), "focal_mm": ("focal length", 1.0, " mm"),
    "focus_m": ("focused on", 1.0, " m"), "distance_m": ("distance", 1.0, " m"),
    "yaw_deg": ("yaw", 1.0, "°"), "tilt_deg": ("tilt", 1.0, "°"), "roll_deg": ("roll", 1.0, "°"),
    "surface_panel_rotation_deg": ("panels turned", 1.0, "°"),
    "flare_nits": ("flare", 1.0, " cd/m2"), "push_stops": ("push", 1.0, " stops"),
    "view_heights": ("seen from", 1.0, " picture heights"),
    "wall_fps": ("surface runs at", 1.0, " frames/s"),
    "content_fps": ("picture changes", 1.0, " times a second"),
}
_UNKNOWN: Mapping[str, str] = {
    "refreshes_per_frame": "as its profile says",
    "wall_fps": "the camera's rate", "content_fps": "every frame of the surface",
}


def range_text(ends: Range) -> str:
    """Range of angles, each end rounded into it."""
    inside = inward_range(*ends)
    return f"{inside[0]} to {inside[1]}°" if inside else f"{angle_text(sum(ends) / 2)} alone"


def ranges_text(ranges: Sequence[Range]) -> str:
    """Ranges of angles."""
    return ", ".join(map(range_text, ranges)) or "none"


def times_text(ranges: Sequence[Range]) -> str:
    """Ranges of exposure, by their middles."""
    return ", ".join(exposure_text((low + high) / 2) for low, high in ranges) or "none"


def devices_text(devices: Sequence[Device]) -> str:
    """Devices that stand in the way."""
    rates = [rate_words(Fraction(each.name)) for each in devices if each.kind == "rate"]
    words = [each.name for each in devices if each.kind != "rate"]
    if rates:
        words.append(f"the rate{'s' if len(rates) > 1 else ''} {', '.join(rates)}")
    return ", ".join(words)


def seen_text(setup: SetUp) -> str:
    """Who sees what in a set-up."""
    seen = ", ".join(
        f"{name} ({ROLE_WORDS[role]})" if ROLE_WORDS[role] else name
        for name, role in setup.surfaces.items()
    )
    lamps = f"; lamps {', '.join(setup.lamps)}" if setup.lamps else "; no lamps"
    verb = "see" if len(setup.cameras) > 1 else "sees"
    return f"{', '.join(setup.cameras)} {verb} {seen}{lamps}"


def assumed_sentences(agreement: PlanAgreement) -> tuple[str, ...]:
    """What was taken where nobody said anything, and how light alone is graded."""
    told = {
        f"{device}: {assumption_sentence(each).removeprefix(f'{each.about}: ')}": None
        for device, each in plan_assumptions(agreement)
    }
    light = dict.fromkeys(
        name for setup in agreement.plan.setups for name, role in setup.surfaces.items()
        if role == "lighting_only"
    )
    told.update({f"{name}: {_LIGHT_ONLY}": None for name in light})
    return tuple(told)


def _part(part: MendPart) -> str:
    name = part.device.name
    if part.change == "refreshes_per_frame":
        return f"{name} at {part.value} refreshes a frame"
    if part.change == "lamp_off":
        return f"{name} off, or fed so that it does not pulse"
    return f"a shutter of its own for camera {name}"


def mend_sentence(mend: Mend, *, wanted_deg: float) -> str:
    """Changes that together open a setting, and the nearest that they open."""
    from bandcheck.verdict.plan_search import nearest_first

    parts = " and ".join(map(_part, mend.parts))
    nearest = [
        (each.cameras, range_text(nearest_first(each.ranges_deg, wanted_deg)[0]))
        for each in mend.opened
    ]
    told = nearest[0][1] if len(nearest) == 1 else ", ".join(
        f"{ends} for {', '.join(cameras)}" for cameras, ends in nearest
    )
    return f"{parts[:1].upper()}{parts[1:]}: {told} is safe."


def _value_text(key: str, value: object) -> str:
    _, scale, unit = _UNITS.get(key, (key, 1.0, ""))
    if value is None:
        return _UNKNOWN.get(key, "not known")
    if key == "speed":
        return exposure_text(value)  # type: ignore[arg-type]
    if isinstance(value, str):
        return value
    if key.endswith("_fps"):
        return f"{rate_words(value)}{unit}"  # type: ignore[arg-type]
    if isinstance(value, tuple):
        return ", ".join(number_text(scale * each, decimals=2) for each in value) + unit
    return f"{number_text(scale * float(value), decimals=4)}{unit}"  # type: ignore[arg-type]


def stated_text(key: str, stated: Stated, plan: Plan) -> tuple[str, str, str]:
    """What a value is about, the value, and who stated it."""
    name = _UNITS.get(key, (key.replace("_", " "), 1.0, ""))[0]
    by = "nobody; taken" if stated.by == "taken" else stated.by
    return name, _value_text(key, stated.value), by
