"""What the figures of a profile say about each other, and which combinations cannot be."""

from collections.abc import Iterator, Mapping
from typing import Any

from bandcheck.errors import OutOfRangeError
from bandcheck.light.led_drive import LARGEST_REFRESHES, counts_for_gray_bits
from bandcheck.light.refresh_choice import refreshes_at_rate
from bandcheck.light.scan_timing import scan_timing
from bandcheck.shoot.profile_faults import fault
from bandcheck.timing.rates import rate_text

__all__ = ["LARGEST_FULL_SCALE", "camera_faults", "lamp_faults", "wall_faults"]

LARGEST_FULL_SCALE = 2**32
"""Counts of a frame beyond which an entry is taken for a slip of the pen."""

_CLOCK_AGREEMENT = 0.01
"""Data sheets round a refresh: up to here it is taken for the one that the clock makes."""

Fields = Mapping[str, Any]
Typed = Mapping[str, object]


def wall_faults(fields: Fields, typed: Typed) -> Iterator[str]:
    """Faults that a wall's figures have together.

    Parameters
    ----------
    fields
        What the faultless keys fill in, by field.
    typed
        All keys as they stand in the file.

    Yields
    ------
    str
        One line a fault. A rule speaks only where all that it needs is known and without fault.
    """
    yield from _needed(typed)
    yield from _transfer_faults(fields, typed)
    counts, refreshes = fields.get("counts_per_refresh"), None
    try:
        refreshes = _refreshes(fields)
        if refreshes is not None:
            yield from _refresh_faults(refreshes, fields, typed)
    except OutOfRangeError as error:
        yield fault("refresh_hz", typed["refresh_hz"], error.accepted)
    if refreshes is not None and refreshes > LARGEST_REFRESHES:
        return
    try:
        implied = _implied_counts(refreshes, fields)
        if counts is None:
            counts = implied
        elif implied not in (None, counts):
            yield fault("counts_per_refresh", counts, f"gray_bits {fields['gray_bits']} makes "
                        f"{implied} counts in this drive; leave one of the two out")
    except OutOfRangeError as error:
        yield str(error)
    if counts is not None:
        yield from _drive_faults(counts, refreshes, fields, typed)
        yield from _clock_faults(counts, refreshes, fields, typed)


def _needed(typed: Typed) -> Iterator[str]:
    if not {"counts_per_refresh", "gray_bits"} & typed.keys():
        yield "counts_per_refresh: missing; give it, or gray_bits"
    if not {"refreshes_per_frame", "refresh_hz", "rated_fps"} & typed.keys():
        yield "refreshes_per_frame: missing; give it, or refresh_hz together with rated_fps"
    elif "refresh_hz" in typed and "rated_fps" not in typed:
        yield "rated_fps: missing; refresh_hz needs the frame rate at which it was rated"
    elif "refresh_hz" not in typed and "refreshes_per_frame" not in typed:
        yield "refresh_hz: missing; give it beside rated_fps, or give refreshes_per_frame"


def _refreshes(fields: Fields) -> int | None:
    """Refreshes in a frame as set, or at the rated rate."""
    if "refreshes_per_frame" in fields:
        return int(fields["refreshes_per_frame"])
    return _rated_refreshes(fields)


def _rated_refreshes(fields: Fields) -> int | None:
    if not {"refresh_hz", "rated_fps"} <= fields.keys():
        return None
    rated = fields["rated_fps"]
    return refreshes_at_rate(wall_fps=rated, refresh_hz=fields["refresh_hz"], rated_fps=rated)


def _refresh_faults(refreshes: int, fields: Fields, typed: Typed) -> Iterator[str]:
    key = "refreshes_per_frame" if "refreshes_per_frame" in fields else "refresh_hz"
    rated = _rated_refreshes(fields)
    if refreshes > LARGEST_REFRESHES:
        yield fault(key, typed[key], f"a rate that makes at most {LARGEST_REFRESHES} refreshes a "
                    f"frame, not {refreshes}")
    elif rated not in (None, refreshes):
        yield fault(key, typed[key], f"refresh_hz and rated_fps make {rated} refreshes a frame; "
                    "leave one of the two ways out")
    allowed = fields.get("refreshes_per_frame_allowed")
    if allowed and refreshes not in allowed:
        yield fault(key, typed[key], "one of refreshes_per_frame_allowed a frame, "
                    f"{', '.join(map(str, allowed))}, and this makes {refreshes}")


def _implied_counts(refreshes: int | None, fields: Fields) -> int | None:
    """Counts of one refresh that follow from the gray depth."""
    drive, bits = fields.get("drive"), fields.get("gray_bits")
    if drive is None or bits is None or (drive == "spread" and refreshes is None):
        return None
    return counts_for_gray_bits(gray_bits=bits, refreshes_per_frame=refreshes or 1, drive=drive)


def _drive_faults(
    counts: int, refreshes: int | None, fields: Fields, typed: Typed
) -> Iterator[str]:
    if fields.get("drive") == "binary_code" and counts & (counts + 1):
        below = 2 ** (counts.bit_length() - 1) - 1
        yield fault("counts_per_refresh", counts, 'all the counts of whole bits in drive '
                    f'"binary_code", such as {below} or {2 * below + 1}')
    if max(fields.get("min_pulse_counts", (1,))) > counts:
        yield fault("min_pulse_counts", typed["min_pulse_counts"],
                    f"no more than the {counts} counts of one refresh")
    full_scale = counts * (refreshes or 1)
    if fields.get("drive") == "spread" and full_scale > LARGEST_FULL_SCALE:
        yield fault("counts_per_refresh", counts, f"at most {LARGEST_FULL_SCALE} counts a frame, "
                    f"and {refreshes} refreshes make {full_scale}")


def _clock_faults(
    counts: int, refreshes: int | None, fields: Fields, typed: Typed
) -> Iterator[str]:
    """Slots that do not fit the frame, or that make another free refresh than the one given."""
    lines, rated = fields.get("scan_lines"), fields.get("rated_fps")
    if refreshes is None or lines is None or rated is None:
        return
    given = fields.get("refresh_hz")
    free = fields.get("refresh_lock") == "free"
    try:
        timing = scan_timing(
            wall_fps=rated, refreshes_per_frame=refreshes, scan_lines=lines,
            counts_per_refresh=counts, clock_hz=fields.get("clock_hz"),
            line_switch_s=fields.get("line_switch_s", 0.0),
            refresh_hz=(given or refreshes * float(rated)) if free else None,
        )
    except OutOfRangeError as error:
        key = error.argument if error.argument in typed else "refresh_hz"
        yield fault(key, typed[key], f"{error.accepted} (at rated_fps {rate_text(rated)})")
        return
    room = max(fields.get("refresh_tolerance", 0.0), _CLOCK_AGREEMENT)
    if free and given is not None and abs(timing.refresh_hz / given - 1) > room:
        yield fault("refresh_hz", typed["refresh_hz"], "what clock, counts, scan lines and "
                    f"line switch make, {timing.refresh_hz:.6g} Hz within {100 * room:g} %; leave "
                    "clock_mhz out or correct one of them")


def _transfer_faults(fields: Fields, typed: Typed) -> Iterator[str]:
    transfer = fields.get("transfer")
    if transfer == "pq" and "peak_nits" not in typed:
        yield 'peak_nits: missing; transfer "pq" is in cd/m2 and needs the white of the wall'
    if transfer == "gamma" and "gamma" not in typed:
        yield 'gamma: missing; transfer "gamma" needs its exponent'
    if "gamma" in typed and transfer in ("bt1886", "pq", "linear"):
        yield fault("gamma", typed["gamma"], f'only with transfer "gamma", not "{transfer}"')


def camera_faults(fields: Fields, typed: Typed) -> Iterator[str]:
    """Faults that a camera's figures have together; see `wall_faults`."""
    readout, shutter = fields.get("readout_s"), fields.get("shutter")
    if shutter == "rolling" and "readout_ms" not in typed:
        yield "readout_ms: missing; a rolling shutter needs it"
    elif shutter == "rolling" and readout == 0:
        yield fault("readout_ms", typed["readout_ms"], "a time above 0; rolling rows take one each")
    elif shutter == "global" and readout:
        yield fault("readout_ms", typed["readout_ms"],
                    'nothing, or 0, where shutter is "global": all rows open together')
    fastest = fields.get("max_fps")
    if readout and fastest and shutter != "global" and readout * fastest > 1:
        yield fault("readout_ms", typed["readout_ms"], "no longer than a frame, "
                    f"{1e3 / float(fastest):.4g} ms at max_fps {rate_text(fastest)}")
    tolerance = fields.get("readout_tolerance_s")
    if readout and tolerance and tolerance >= readout:
        yield fault("readout_tolerance_ms", typed["readout_tolerance_ms"],
                    "less than the readout itself")
    dials = [key for key in ("angles_deg", "speeds", "angle_step_deg") if key in typed]
    if len(dials) > 1:
        yield f"{', '.join(dials)}: only one of them describes the dial; leave the others out"


def lamp_faults(fields: Fields, typed: Typed) -> Iterator[str]:
    """Faults that a lamp's figures have together; see `wall_faults`."""
    kind = fields.get("kind")
    rates = {"mains": "mains_hz", "pulsed": "pulse_hz"}
    if kind in rates and rates[kind] not in typed:
        yield f'{rates[kind]}: missing; kind "{kind}" needs it'
    belongs = {
        "mains_hz": ("mains",), "mains_tolerance_pct": ("mains",), "pulse_hz": ("pulsed",),
        "duty": ("pulsed",), "modulation": ("mains", "pulsed"),
    }
    for key, kinds in belongs.items():
        if kind is not None and key in typed and kind not in kinds:
            accepted = " or ".join(f'"{name}"' for name in kinds)
            yield fault(key, typed[key], f'only with kind {accepted}, not "{kind}"')
