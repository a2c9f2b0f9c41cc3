"""From signal to code values and back.

Sources
-------
ITU-R BT.709 item 4 (8 and 10 bit, narrow range) and ITU-R BT.2100 table 9 (10 and 12 bit,
narrow and full range); halves are rounded up there, INT(x + 0.5). 8-bit full range is common
practice.
"""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "CodeBits",
    "full_range_code",
    "full_range_code_at_least",
    "full_range_signal",
    "narrow_range_code",
    "narrow_range_signal",
]

CodeBits = Literal[8, 10, 12]


def full_range_code(signal: ArrayLike, *, bits: CodeBits) -> NDArray[np.int64]:
    """Nearest full-range code of a signal.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.
    bits
        8, 10 or 12.

    Returns
    -------
    ndarray of int64
        floor((2^bits - 1) V + 1/2), 0..2^bits - 1 (BT.2100 table 9).

    Raises
    ------
    OutOfRangeError
        A signal outside 0..1, or another number of bits.
    """
    return _whole(np.floor(_signal(signal) * _top(bits) + 0.5))


def full_range_code_at_least(signal: ArrayLike, *, bits: CodeBits) -> NDArray[np.int64]:
    """Smallest full-range code whose signal is no less than the given one.

    For a lowest safe level, which must not be rounded down. Parameters, range and refusals as
    in `full_range_code`; for every code, `full_range_signal` of it gives that code back.
    """
    wanted = _signal(signal)
    top = _top(bits)
    code = np.ceil(wanted * top)
    # wanted * top may come out a last bit below the product: on a whole number, and too low.
    return _whole(code + (code / top < wanted))


def full_range_signal(code: ArrayLike, *, bits: CodeBits) -> NDArray[np.float64]:
    """Signal of a full-range code, code / (2^bits - 1); the code 0..2^bits - 1, any shape."""
    top = _top(bits)
    return np.asarray(
        require("code", code, f"from 0 to {top}", at_least=0.0, at_most=top) / top
    )


def narrow_range_code(signal: ArrayLike, *, bits: CodeBits) -> NDArray[np.int64]:
    """Nearest narrow-range luma code of a signal.

    Parameters
    ----------
    signal
        Signal 0..1, any shape.
    bits
        8, 10 or 12.

    Returns
    -------
    ndarray of int64
        floor((219 V + 16) 2^(bits - 8) + 1/2): at 10 bit 64 for black, 940 for white (BT.709
        item 4, BT.2100 table 9).

    Raises
    ------
    OutOfRangeError
        A signal outside 0..1, or another number of bits.
    """
    return _whole(np.floor((219.0 * _signal(signal) + 16.0) * _unit(bits) + 0.5))


def narrow_range_signal(code: ArrayLike, *, bits: CodeBits) -> NDArray[np.float64]:
    """Signal of a narrow-range luma code; below 0 and above 1 in the foot- and headroom."""
    top = _top(bits)
    given = require("code", code, f"from 0 to {top}", at_least=0.0, at_most=top)
    return np.asarray((given / _unit(bits) - 16.0) / 219.0)


def _signal(value: ArrayLike) -> NDArray[np.float64]:
    return require("signal", value, "from 0 to 1", at_least=0.0, at_most=1.0)


def _top(bits: CodeBits) -> int:
    if bits not in get_args(CodeBits):
        raise OutOfRangeError("bits", bits, "8, 10 or 12")
    return int(2**bits - 1)


def _unit(bits: CodeBits) -> int:
    """Steps of this depth in one step of 8 bits."""
    return (_top(bits) + 1) // 256


def _whole(code: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.asarray(code, dtype=np.int64)
