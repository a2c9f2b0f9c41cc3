"""What each fault answers on set, written a second time and by hand, and what follows by count."""

from fractions import Fraction

__all__ = ["COLUMNS", "MATRIX", "consistent_with", "expected_left", "outcomes"]

COLUMNS = (
    "seen_by_eye", "rolls_or_pulses", "moves_with_camera", "stays_on_same_leds",
    "changes_with_shutter", "vanishes_with_focus", "remains_with_wall_black",
    "only_while_picture_moves", "steps_in_ramp",
)

#                     eye rolls camera leds shutter focus black moving ramp
_WRITTEN = """
timing_bands           n    e     e     n     y      n     n     n     e
uneven_scan_lines      n    n     n     y     y      n     n     n     e
tear                   n    e     e     n     e      n     n     y     n
wall_fault             y    e     n     y     n      n     e     n     n
gray_steps             e    n     n     n     n      n     n     n     y
slow_flicker           y    y     e     n     e      n     n     n     e
moire                  n    n     n     n     n      y     n     n     n
led_grid               e    n     n     y     n      y     n     n     n
lamp_flicker           e    e     e     n     y      n     y     n     n
"""

MATRIX = {
    name: dict(zip(COLUMNS, signs, strict=True))
    for name, *signs in map(str.split, _WRITTEN.strip().splitlines())
}
"""y, n or e (either), by fault and observation."""


def outcomes(fault, key):
    """Answers a fault may give, each with its share: `(answer, share)`."""
    return {
        "y": [(True, Fraction(1))], "n": [(False, Fraction(1))],
        "e": [(True, Fraction(1, 2)), (False, Fraction(1, 2))],
    }[MATRIX[fault][key]]


def consistent_with(seen):
    """Faults that may give every answer seen."""
    return tuple(
        fault for fault in MATRIX
        if all(answer in dict(outcomes(fault, key)) for key, answer in seen.items())
    )


def expected_left(seen, key):
    """Faults left after one more observation, averaged over faults and their answers."""
    possible = consistent_with(seen)
    return sum(
        share * len(consistent_with({**seen, key: answer}))
        for fault in possible for answer, share in outcomes(fault, key)
    ) / Fraction(len(possible))
