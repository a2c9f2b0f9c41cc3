"""What people in the room see of the wall's light, all its scan lines together."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.comfort import comfort_finding
from bandcheck.light.pulse_train import single_level
from bandcheck.light.spectrum import fourier_coefficients
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import LightCase, light_cases, primaries
from bandcheck.verdict.recorded_rows import linear_levels, pwm_brightness
from bandcheck.vision.level import Finding

__all__ = ["room_light_finding"]

FloatArray = NDArray[np.float64]

_SLOW_LIGHT_HZ = 3000.0
"""Up to where people in a room are said to be affected: IEEE 1789-2015."""


def room_light_finding(shot: Shot) -> Finding:
    """What a wall's flicker does to people beside it.

    Parameters
    ----------
    shot
        The shot; its camera does not matter.

    Returns
    -------
    Finding
        Of hazard "comfort": the worst of the levels that decide, of the ways in which the wall may
        pulse, and of red, green and blue where they pulse differently. Their sum, which is white,
        has at no frequency more modulation than the one of them that has most.
    """
    light = linear_levels(shot, np.array(shot.levels))
    frequency, modulation = [], []
    for case in light_cases(shot.wall, shot.wall_fps):
        frequency.append(np.array([case.timing.refresh_hz]))  # black has nothing slower
        modulation.append(np.array([0.0]))
        for share, shortest in primaries(shot.wall).values():
            counts = case.counts(light, pwm_share=pwm_brightness(shot) * share)
            for light_hz, depth in _harmonics(case, counts[counts > 0], shortest):
                frequency.append(light_hz)
                modulation.append(depth)
    return comfort_finding(
        frequency_hz=np.concatenate(frequency), modulation=np.concatenate(modulation)
    )


def _harmonics(
    case: LightCase, counts: NDArray[np.int64], shortest: int
) -> list[tuple[FloatArray, FloatArray]]:
    """Frequencies and modulations of the slow harmonics, for each count that lights."""
    delays = np.arange(case.timing.scan_lines) * case.timing.slot_s
    found = []
    for single in single_level(case.train(counts, min_pulse_counts=shortest)):
        number = np.arange(max(1, int(_SLOW_LIGHT_HZ * single.cycle_s)) + 1)
        light_hz = number[1:] / single.cycle_s  # a cycle may be a part of the frame
        lines = np.exp(-2j * np.pi * np.outer(light_hz, delays)).mean(axis=1)
        coefficients = fourier_coefficients(single, number)[0]
        depth = 2 * np.abs(coefficients[1:] * lines) / coefficients[0].real
        found.append((light_hz, np.minimum(2.0, depth)))
    return found
