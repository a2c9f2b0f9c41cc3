"""Figures as they are printed; what bounds something is rounded to the safe side."""

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

__all__ = [
    "angle_text", "at_most_text", "exposure_text", "inward_range", "number_text", "rate_words",
    "room_text", "seconds_text", "shutter_text", "stops_text", "visibility_text",
]

_MOST_DECIMALS = 6
_ROUNDING_SLACK = Decimal("1e-9")


def number_text(value: float | Fraction, *, decimals: int, rounding: str = ROUND_HALF_UP) -> str:
    """Number with at most so many decimals and none that are 0 at the end."""
    exact = (
        Decimal(value.numerator) / Decimal(value.denominator)
        if isinstance(value, Fraction) else Decimal(repr(float(value)))
    )
    text = format(exact.quantize(Decimal(1).scaleb(-decimals), rounding=rounding), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def at_most_text(value: float, *, decimals: int) -> str:
    """Number rounded down, for what must not be promised too large."""
    return number_text(value, decimals=decimals, rounding=ROUND_FLOOR)


def rate_words(fps: Fraction) -> str:
    """Frame rate as people say it: 24, 23.976."""
    return number_text(fps, decimals=3)


def angle_text(angle_deg: float | Fraction) -> str:
    """Shutter angle: all the decimals of a setting, two where it has no end."""
    if isinstance(angle_deg, Fraction):
        for decimals in range(_MOST_DECIMALS + 1):
            if (angle_deg * 10**decimals).denominator == 1:
                return f"{number_text(angle_deg, decimals=decimals)}°"
    return f"{number_text(angle_deg, decimals=2)}°"


def exposure_text(exposure_s: float | Fraction) -> str:
    """Exposure as one over so many seconds."""
    inverse = 1 / Fraction(exposure_s)
    return f"1/{number_text(inverse, decimals=2 if inverse < 1000 else 0)} s"


def shutter_text(*, exposure_s: Fraction, fps: Fraction, in_time: bool) -> str:
    """Shutter setting as the camera's dial shows it, a time or an angle."""
    return exposure_text(exposure_s) if in_time else angle_text(360 * exposure_s * fps)


def inward_range(low: float, high: float) -> tuple[str, str] | None:
    """Ends of a range, each rounded into it, with as few decimals as leave any room.

    Returns
    -------
    tuple of str or None
        None where the range is a single value.
    """
    for decimals in range(2, _MOST_DECIMALS + 1):
        step = Decimal(1).scaleb(-decimals)
        ends = (
            (Decimal(repr(low)) - _ROUNDING_SLACK).quantize(step, rounding=ROUND_CEILING),
            (Decimal(repr(high)) + _ROUNDING_SLACK).quantize(step, rounding=ROUND_FLOOR),
        )
        if ends[1] - ends[0] >= step:
            low_text, high_text = (format(end + 0, "f") for end in ends)  # + 0: no "-0.00"
            return low_text, high_text
    return None


def room_text(*, value: float, low: float, high: float) -> str:
    """How far a value may be off to each side."""
    below, above = max(0.0, value - low), max(0.0, high - value)
    decimals = 2 if min(below, above) >= 0.01 else 3
    texts = [at_most_text(each + 1e-9, decimals=decimals) for each in (below, above)]
    return f"−{texts[0]} / +{texts[1]}°"


def stops_text(stops: float) -> str:
    """Change of exposure."""
    size = number_text(abs(stops), decimals=2)
    if size == "0":
        return "same exposure" if stops == 0 else "under 0.01 stop"
    return f"{size} stop {'more' if stops > 0 else 'less'} light"


def seconds_text(time_s: float) -> str:
    """Time that must not be cut short, rounded up."""
    whole = math.ceil(time_s - 1e-9)
    if whole < 120:
        return f"{whole} s"
    minutes, hours = math.ceil(whole / 60), math.ceil(whole / 3600)
    return f"{minutes} min" if minutes < 120 else f"{hours} h"


def visibility_text(visibility: float, *, limits: tuple[float, ...]) -> str:
    """Visibility V with as many decimals as leave it on its side of every limit."""
    if not math.isfinite(visibility):
        return "?"
    decimals = 2 if visibility < 1 else 1 if visibility < 10 else 0
    text = format(visibility, f".{decimals}f")
    while decimals < _MOST_DECIMALS and any(
        (visibility < limit) != (float(text) < limit) for limit in limits
    ):
        decimals += 1
        text = at_most_text(visibility, decimals=decimals)
    return text
