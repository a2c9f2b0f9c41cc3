"""From a multiplexed LED wall's drive to the pulse train of its scan lines."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.scan_timing import ScanTiming

__all__ = [
    "counts_for_gray_bits",
    "dealing_order",
    "full_scale_counts",
    "led_train",
    "lit_refreshes",
    "refresh_counts",
    "value_counts",
]

Drive = Literal["spread", "repeated", "binary_code"]
Dealing = Literal["bit_reversed", "even"]

LARGEST_REFRESHES = 100_000
"""Refreshes per frame beyond which an entry is taken for a slip of the pen."""


def counts_for_gray_bits(*, gray_bits: int, refreshes_per_frame: int, drive: Drive) -> int:
    """Gray-clock counts C of one refresh and line for a gray depth.

    `floor(2^B / M)` in spread drive (a gray depth of `log2(M C)` bits), `2^B - 1` in binary code
    and `2^B` where every refresh repeats the value. The segment length of Texas Instruments
    SLVAFI4 (2023), equations 1 and 2, for spread drive.

    Parameters
    ----------
    gray_bits
        Gray depth B, 1..32.
    refreshes_per_frame
        Refreshes M in a frame.
    drive
        How a value is shared over the refreshes.

    Returns
    -------
    int
        Counts, >= 1.

    Raises
    ------
    OutOfRangeError
        A depth too small to give every refresh one count.
    """
    if drive == "binary_code":
        return int(2**gray_bits - 1)
    counts = 2**gray_bits // refreshes_per_frame if drive == "spread" else 2**gray_bits
    if counts < 1:
        raise OutOfRangeError(
            "gray_bits", gray_bits,
            f"enough bits for at least one count in each of {refreshes_per_frame} refreshes",
        )
    return int(counts)


def full_scale_counts(*, counts_per_refresh: int, refreshes_per_frame: int, drive: Drive) -> int:
    """Counts of full drive: `M C` when they are spread over the frame, else `C`."""
    return counts_per_refresh * (refreshes_per_frame if drive == "spread" else 1)


def value_counts(light: ArrayLike, *, full_scale: int, pwm_share: float = 1.0) -> NDArray[np.int64]:
    """Counts `v = round(x b full scale)`, half up, that show a linear light level.

    Parameters
    ----------
    light
        Linear light levels x, 0..1, any shape.
    full_scale
        Counts of full drive.
    pwm_share
        Share b of full drive that brightness and white balance leave, 0..1; dimming by LED
        current does not enter.

    Returns
    -------
    ndarray
        Counts, int64, 0..full scale.

    Raises
    ------
    OutOfRangeError
        A level or share outside 0..1.
    """
    level = require("light", light, "a linear level from 0 to 1", at_least=0, at_most=1)
    share = require("pwm_share", pwm_share, "a share from 0 to 1", at_least=0, at_most=1)
    return np.floor(level * share * full_scale + 0.5).astype(np.int64)


def dealing_order(refreshes: int) -> NDArray[np.int64]:
    """Order in which bit-reversed dealing reaches the refreshes of a frame.

    The published order for a power of two: Texas Instruments TLC5943 data sheet SBVS101, table 3.
    For other numbers the order over the next power of two without what lies beyond the frame:
    project choice.

    Parameters
    ----------
    refreshes
        Refreshes in a frame, >= 1.

    Returns
    -------
    ndarray
        Refresh numbers from 0, shape (refreshes,).
    """
    bits = (refreshes - 1).bit_length()
    index = np.arange(1 << bits)
    reverse = np.zeros_like(index)
    for bit in range(bits):
        reverse |= ((index >> bit) & 1) << (bits - 1 - bit)
    return reverse[reverse < refreshes]


def _even_shares(
    total: NDArray[np.int64], places: NDArray[np.int64], length: int
) -> NDArray[np.bool_]:
    """Which of the first `places` of `length` places hold one when a total is dealt evenly."""
    place = np.arange(length)
    places = places[:, np.newaxis]
    total = total[:, np.newaxis]
    step = (place + 1) * total // places - place * total // places
    return np.asarray((step > 0) & (place < places))


def lit_refreshes(
    value: ArrayLike, *, refreshes_per_frame: int, min_pulse_counts: int = 1
) -> NDArray[np.int64]:
    """Refreshes of a frame that light in spread drive: `n = min(M, max(1, v // shortest pulse))`.

    A value below the number of refreshes lights only that many: Macroblock MBI5153 application
    note V1.02, page 8. The effective refresh is this number times the frame rate.

    Parameters
    ----------
    value
        Counts v of the frame, >= 0, any shape.
    refreshes_per_frame
        Refreshes M in a frame.
    min_pulse_counts
        Shortest pulse that lights an LED.

    Returns
    -------
    ndarray
        Lit refreshes, 0 for a value of 0.
    """
    counts = np.asarray(value, dtype=np.int64)
    lit = np.minimum(refreshes_per_frame, np.maximum(1, counts // min_pulse_counts))
    return np.where(counts > 0, lit, 0)


def refresh_counts(
    *, value: ArrayLike, refreshes_per_frame: int, drive: Drive,
    dealing: Dealing = "bit_reversed", min_pulse_counts: int = 1,
) -> NDArray[np.int64]:
    """Counts that each refresh of a frame shows.

    Spread drive shares the value over `n` refreshes (see `lit_refreshes`): with
    `q, r = divmod(v, n)` each of them shows q, and r of them one more. Which come first is the
    dealing: bit-reversed (see `dealing_order`), or even, `floor((k+1) n/M) - floor(k n/M)`.
    The other drives show the value in every refresh.

    Parameters
    ----------
    value
        Counts v of the levels, >= 0, shape (levels,) or a number.
    refreshes_per_frame
        Refreshes M in a frame, 1..100 000.
    drive, dealing
        How a value is shared, and which refreshes come first.
    min_pulse_counts
        Shortest pulse that lights an LED, in counts.

    Returns
    -------
    ndarray
        int64, shape (levels, refreshes).

    Raises
    ------
    OutOfRangeError
        A negative value or an impossible number of refreshes.
    """
    counts = np.atleast_1d(np.asarray(value, dtype=np.int64))
    if (counts < 0).any():
        raise OutOfRangeError("value", int(counts.min()), "counts of 0 or more")
    if not 1 <= refreshes_per_frame <= LARGEST_REFRESHES:
        raise OutOfRangeError(
            "refreshes_per_frame", refreshes_per_frame, f"a number from 1 to {LARGEST_REFRESHES}"
        )
    if drive != "spread":
        return np.repeat(counts[:, np.newaxis], refreshes_per_frame, axis=1)
    lit = np.maximum(
        1,
        lit_refreshes(
            counts, refreshes_per_frame=refreshes_per_frame, min_pulse_counts=min_pulse_counts
        ),
    )
    each, more = np.divmod(counts, lit)
    if dealing == "bit_reversed":
        rank = np.empty(refreshes_per_frame, dtype=np.int64)
        rank[dealing_order(refreshes_per_frame)] = np.arange(refreshes_per_frame)
        shown, extra = rank < lit[:, np.newaxis], rank < more[:, np.newaxis]
        return np.asarray(shown * each[:, np.newaxis] + extra, dtype=np.int64)
    whole = np.full_like(lit, refreshes_per_frame)
    shown = _even_shares(lit, whole, refreshes_per_frame)
    extra = np.zeros_like(shown)
    # The one-mores are dealt over the lit refreshes, in the order in which they light.
    for row, chosen in enumerate(_even_shares(more, lit, refreshes_per_frame)):
        extra[row, shown[row]] = chosen[: lit[row]]
    return np.asarray(shown * each[:, np.newaxis] + extra, dtype=np.int64)


def led_train(
    *, timing: ScanTiming, counts: NDArray[np.int64], counts_per_refresh: int,
    binary_code: bool = False,
) -> PulseTrain:
    """Pulse train of scan line 0; line s is the same train, `s` slots later.

    The pulse of line s in refresh k starts `s slot + switch` after the refresh and lasts
    `counts / counts_per_refresh` of the slot's light.

    Parameters
    ----------
    timing
        From `scan_timing`.
    counts
        From `refresh_counts`, shape (levels, refreshes).
    counts_per_refresh
        Counts C that fill a slot.
    binary_code
        Whether a slot shows bit planes instead of one pulse.

    Returns
    -------
    PulseTrain
        Train of these levels.

    Raises
    ------
    OutOfRangeError
        More counts than a slot holds.
    """
    if counts.max(initial=0) > counts_per_refresh:
        raise OutOfRangeError(
            "counts", int(counts.max()), f"at most {counts_per_refresh} counts in one refresh"
        )
    return PulseTrain(
        cycle_s=timing.cycle_s,
        refresh_pitch_s=timing.refresh_pitch_s,
        first_pulse_s=timing.switch_s,
        count_s=timing.lit_s / counts_per_refresh,
        counts=counts,
        binary_code=binary_code,
    )
