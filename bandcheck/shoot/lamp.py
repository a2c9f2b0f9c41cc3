"""A lamp in shot."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Lamp"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Lamp:
    """One lamp; None where a figure is not known or does not apply.

    Attributes
    ----------
    kind
        "mains" ripples at twice the mains, "pulsed" switches at `pulse_hz`, "steady" does neither.
    mains_hz, mains_tolerance
        Mains frequency [Hz] and how well it is held (ratio).
    modulation
        (Emax - Emin) / (Emax + Emin) of the light, 0..1.
    pulse_hz, duty
        Pulse rate [Hz] and lit share of a pulsed lamp.
    source
        Where each figure comes from, by its key in the profile.
    """

    name: str
    kind: Literal["mains", "pulsed", "steady"]
    mains_hz: float | None = None
    mains_tolerance: float | None = None
    modulation: float | None = None
    pulse_hz: float | None = None
    duty: float | None = None
    source: Mapping[str, str] = field(default_factory=dict)
