"""People in the room: light that flickers slowly enough to disturb or to harm.

A model of neither health nor law. Local codes and licensed practice come first, for flashing
light as for rigging, power and the brightness of a wall.

Sources
-------
IEEE 1789-2015, recommended practices 1 and 2 (memory, agreeing public code). ITU-R BT.1702 and
WCAG 2.3.1: photosensitive epilepsy.
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.vision.level import Finding, Level

__all__ = ["Ieee1789Practice", "comfort_finding", "ieee_1789_modulation_limit"]

Ieee1789Practice = Literal["low_risk", "no_effect"]

_SLOW_BELOW_HZ = 90.0
_PRACTICES = {"low_risk": (0.00025, 0.0008, 1250.0), "no_effect": (0.0001, 0.000333, 3000.0)}
"""Modulation per hertz below 90 Hz and from there on, and the frequency where limits end [Hz]."""

_SEIZURE_HZ = (3.0, 30.0)


def ieee_1789_modulation_limit(
    *, frequency_hz: ArrayLike, practice: Ieee1789Practice
) -> NDArray[np.float64]:
    """Largest modulation of a light that a practice of IEEE 1789-2015 accepts.

    Parameters
    ----------
    frequency_hz
        Frequency of the light [Hz], above 0, any shape.
    practice
        "low_risk" or "no_effect" (no observable effect).

    Returns
    -------
    ndarray
        Largest (Emax - Emin) / (Emax + Emin), a ratio. Low risk: 0.025 % per hertz below 90 Hz,
        0.08 % from there to 1250 Hz; no effect: 0.01 % and 0.0333 %, to 3000 Hz. Beyond, 1: any
        modulation is accepted.

    Raises
    ------
    OutOfRangeError
        A frequency that is not above 0 or not finite, or another practice.
    """
    if practice not in _PRACTICES:
        raise OutOfRangeError("practice", practice, "'low_risk' or 'no_effect'")
    slow, fast, end = _PRACTICES[practice]
    frequency = require("frequency_hz", frequency_hz, "above 0 Hz", above=0.0)
    limit = np.where(frequency < _SLOW_BELOW_HZ, slow, fast) * np.minimum(frequency, end)
    return np.where(frequency < end, limit, 1.0)


def comfort_finding(*, frequency_hz: ArrayLike, modulation: ArrayLike) -> Finding:
    """What the light of a wall or a lamp does to people who are in the room with it.

    Parameters
    ----------
    frequency_hz
        Frequency of each component of the light [Hz], above 0.
    modulation
        Amplitude of each over the mean light, 0..2, NaN where it is not known; above 1, which
        narrow pulses reach, it counts as 1. Both broadcast; the strongest component is enough,
        but the strongest is not always the one that a limit bites on.

    Returns
    -------
    Finding
        Value: modulation of the component that comes closest to its low-risk limit or exceeds
        it most, among those beyond the limit that decided where there are any, a ratio; limit:
        that low-risk limit. Safe where every component is within its no-effect
        limit, marginal where within its low-risk limit, visible beyond; unknown where one is not
        known, or none is given, and the known ones are not beyond theirs. Reasons:
        "light_steady_enough", "light_at_low_risk", "light_flickers", "light_not_known", and
        before all of these "seizure_caution" where a component from 3 to 30 Hz is beyond its
        no-effect limit. Figures: `frequency_hz` and `no_effect_limit` of the component that
        decided; with a caution `flashes_hz` and `flashes_modulation` of the strongest slow one.

    Raises
    ------
    OutOfRangeError
        A frequency or a modulation outside its range.

    Notes
    -----
    The caution is far more careful than its sources, which speak of flashes by 10 % and more of
    white, more than three in a second: a wall fills the room, and what is on it is not known
    here (project choice).
    """
    frequency, depth = _components(frequency_hz, modulation)
    known = ~np.isnan(depth)
    if not known.any():
        return Finding(
            hazard="comfort", level=Level.UNKNOWN, value=None, limit=None, unit="ratio",
            reason="light_not_known",
        )
    frequency, depth = frequency[known], depth[known]
    low_risk = ieee_1789_modulation_limit(frequency_hz=frequency, practice="low_risk")
    no_effect = ieee_1789_modulation_limit(frequency_hz=frequency, practice="no_effect")
    level, reason = Level.SAFE, "light_steady_enough"
    if np.any(depth > low_risk):
        level, reason = Level.VISIBLE, "light_flickers"
    elif not known.all():
        level, reason = Level.UNKNOWN, "light_not_known"
    elif np.any(depth > no_effect):
        level, reason = Level.MARGINAL, "light_at_low_risk"
    worst = _deciding(
        depth, low_risk, no_effect, over=low_risk if level is Level.VISIBLE else no_effect
    )
    figures = {
        "frequency_hz": float(frequency[worst]), "no_effect_limit": float(no_effect[worst])
    }
    slow = (frequency >= _SEIZURE_HZ[0]) & (frequency <= _SEIZURE_HZ[1]) & (depth > no_effect)
    if slow.any():
        reason = "seizure_caution"
        strongest = int(np.argmax(np.where(slow, depth, -1.0)))
        figures["flashes_hz"] = float(frequency[strongest])
        figures["flashes_modulation"] = float(depth[strongest])
    return Finding(
        hazard="comfort", level=level, value=float(depth[worst]), limit=float(low_risk[worst]),
        unit="ratio", reason=reason, figures=figures,
    )


def _deciding(
    depth: NDArray[np.float64], low_risk: NDArray[np.float64], no_effect: NDArray[np.float64], *,
    over: NDArray[np.float64],
) -> int:
    """Index of the component nearest to its low-risk limit, of those over a limit if any is.

    Where any modulation is accepted there is nothing to come close to; then the no-effect limit
    tells which one is nearest.
    """
    to_low_risk = np.where(low_risk < 1.0, depth / low_risk, 0.0)
    to_no_effect = np.where(no_effect < 1.0, depth / no_effect, 0.0)
    first_of_equals = -np.arange(depth.size)
    return int(np.lexsort((first_of_equals, to_no_effect, to_low_risk, depth > over))[-1])


def _components(
    frequency_hz: ArrayLike, modulation: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    frequency = require("frequency_hz", frequency_hz, "above 0 Hz", above=0.0)
    depth = np.asarray(modulation, dtype=np.float64)
    accepted = "from 0 to 2, or NaN where it is not known"
    require("modulation", depth[~np.isnan(depth)], accepted, at_least=0.0, at_most=2.0)
    frequency, depth = np.broadcast_arrays(frequency, np.minimum(depth, 1.0))
    return frequency.ravel(), depth.ravel()
