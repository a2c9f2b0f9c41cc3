"""The light of lamps in shot: mains ripple and pulsed fixtures."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import require
from bandcheck.light.pulse_train import PulseTrain

__all__ = ["mains_ripple_hz", "pulsed_lamp_train", "sine_modulation_caught"]


def mains_ripple_hz(mains_hz: ArrayLike) -> NDArray[np.float64]:
    """Frequency of the light on mains: twice the mains, as power is drawn at both half waves."""
    return 2 * require("mains_hz", mains_hz, "a frequency above 0 Hz", above=0)


def sine_modulation_caught(
    *, modulation: ArrayLike, light_hz: ArrayLike, exposure_s: ArrayLike
) -> NDArray[np.float64]:
    """Modulation left of a sine light after a window: `C = m |sinc(f T)|`.

    The transfer of a box average; `(Emax - Emin) / (Emax + Emin)` over all phases.

    Parameters
    ----------
    modulation
        Modulation m of the light, 0..1.
    light_hz, exposure_s
        Frequency of the light [Hz] and window [s], > 0, broadcast.

    Returns
    -------
    ndarray
        Modulation of the light caught, 0..1.

    Raises
    ------
    OutOfRangeError
        A modulation outside 0..1, a frequency or exposure that is not positive.
    """
    depth = require("modulation", modulation, "a share from 0 to 1", at_least=0, at_most=1)
    frequency = require("light_hz", light_hz, "a frequency above 0 Hz", above=0)
    exposure = require("exposure_s", exposure_s, "a time above 0 s", above=0)
    return np.asarray(depth * np.abs(np.sinc(frequency * exposure)))


def pulsed_lamp_train(*, pulse_hz: float, duty: float) -> PulseTrain:
    """Train of a lamp that is switched: one pulse of the given duty in each period.

    Parameters
    ----------
    pulse_hz
        Pulse rate [Hz], > 0.
    duty
        Lit share of a period, above 0 and at most 1.

    Returns
    -------
    PulseTrain
        Train of one level.

    Raises
    ------
    OutOfRangeError
        A rate or duty out of range.
    """
    require("pulse_hz", pulse_hz, "a frequency above 0 Hz", above=0)
    require("duty", duty, "a share above 0 and up to 1", above=0, at_most=1)
    return PulseTrain(
        cycle_s=1 / pulse_hz,
        refresh_pitch_s=1 / pulse_hz,
        first_pulse_s=0.0,
        count_s=duty / pulse_hz,
        counts=np.ones((1, 1), dtype=np.int64),
    )
