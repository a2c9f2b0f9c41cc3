"""Frame rates as exact fractions, the ratios at which two of them lock, and their beats."""

import math
import re
from decimal import Decimal
from fractions import Fraction

from bandcheck.errors import OutOfRangeError, require

__all__ = [
    "LARGEST_DENOMINATOR", "beat_hz", "beat_range_hz", "exact_number", "frame_rate", "locked_ratio",
    "nearest_small_ratio", "positive_rate", "rate_text", "roll_time_s",
]

LARGEST_DENOMINATOR = 8
"""Largest q of a ratio p/q that two devices are held to lock at (project choice)."""

# One frame in a quarter of an hour; what is slower is a slip of the hand and would fill memory.
_LOWEST_FPS = Fraction(1, 1000)
_HIGHEST_FPS = 100_000
_PULLED_DOWN_FPS = (24, 30, 48, 60, 120)
_LONGEST_TEXT = 60
_DECIMAL = re.compile(r"[0-9]+\.?[0-9]*(?:[eE][+-]?[0-9]{1,2})?|\.[0-9]+(?:[eE][+-]?[0-9]{1,2})?")
_RATIO = re.compile(r"([0-9]+)/([0-9]+)")


def exact_number(number: str | float | Fraction, *, argument: str, accepted: str) -> Fraction:
    """Fraction of a number as it is written: '0.02' is 1/50 exactly, and so is the float 0.02.

    Parameters
    ----------
    number
        Digits with a decimal point, perhaps an exponent; or two whole numbers as 'a/b'. Floats
        stand for the shortest decimal text that names them.
    argument, accepted
        For the message: where the number comes from and what is accepted, in words.

    Returns
    -------
    Fraction
        The number, not negative.

    Raises
    ------
    OutOfRangeError
        Anything else: empty, signed, not finite, divided by 0, or over 60 characters long.
    """
    if isinstance(number, Fraction) and number >= 0:
        return number
    text = str(number).strip()
    ratio = _RATIO.fullmatch(text)
    if len(text) > _LONGEST_TEXT or not (_DECIMAL.fullmatch(text) or ratio):
        raise OutOfRangeError(argument, number, accepted)
    if ratio is None:
        return Fraction(text)
    above, below = int(ratio[1]), int(ratio[2])
    if below == 0:
        raise OutOfRangeError(argument, number, accepted)
    return Fraction(above, below)


def positive_rate(argument: str, rate: Fraction) -> Fraction:
    """The rate unchanged, refused unless it is above 0.

    Parameters
    ----------
    argument, rate
        Name to put in the message; rate of any kind [1/s].

    Raises
    ------
    OutOfRangeError
        0, negative or not finite.
    """
    if not 0 < rate < math.inf:
        raise OutOfRangeError(argument, str(rate), "a rate above 0")
    return Fraction(rate)


def _pulled_down(rate: Fraction, decimals: int) -> Fraction:
    """Rate n 1000/1001 that a decimal text rounds, or the rate itself where it rounds none."""
    # Floats carry about 16 digits: nine decimals already tell every rate of this family apart.
    half_a_digit = Fraction(1, 2 * 10 ** min(decimals, 9))
    for nominal in _PULLED_DOWN_FPS:
        exact = Fraction(nominal * 1000, 1001)
        if abs(rate - exact) <= half_a_digit:
            return exact
    return rate


def frame_rate(rate: str | float | Fraction, *, argument: str = "fps") -> Fraction:
    """Frame rate as people type it, as an exact fraction.

    24, 30, 48, 60 and 120 frames/s divided by 1.001 are typed rounded: 23.976 or 23.98, 29.97,
    47.952 or 47.95, 59.94, 119.88. A decimal number with two or more decimals that is one of them
    rounded stands for the fraction, such as 24000/1001 (common practice). Anything else is taken
    at its word, and so is every ratio 'a/b'.

    Parameters
    ----------
    rate
        Text such as '24', '23.976' or '24000/1001', or a number [frames/s].
    argument
        Name of the option, for the message.

    Returns
    -------
    Fraction
        The rate [frames/s], 0.001 to 100000 (project choice).

    Raises
    ------
    OutOfRangeError
        Empty, not a number, not finite, divided by 0, or outside the range.
    """
    accepted = f"a frame rate from 0.001 to {_HIGHEST_FPS}, such as 24, 23.976 or 24000/1001"
    exact = exact_number(rate, argument=argument, accepted=accepted)
    if not _LOWEST_FPS <= exact <= _HIGHEST_FPS:
        raise OutOfRangeError(argument, rate, accepted)
    text = str(rate)
    if "/" in text:
        return exact
    decimals = -int(Decimal(text.strip()).as_tuple().exponent)
    return _pulled_down(exact, decimals) if decimals >= 2 else exact


def rate_text(rate: Fraction) -> str:
    """Rate as text that `frame_rate` reads back exactly: '24', '24000/1001', '25/2'.

    Parameters
    ----------
    rate
        Any rate.
    """
    return str(Fraction(rate))


def locked_ratio(
    *, wall_fps: Fraction, camera_fps: Fraction, largest_denominator: int = LARGEST_DENOMINATOR
) -> Fraction:
    """Ratio p/q of two locked rates, refused where it is not one of small numbers.

    Parameters
    ----------
    wall_fps, camera_fps
        Frame rates [frames/s].
    largest_denominator
        Largest q; after q camera frames the pattern comes round again.

    Returns
    -------
    Fraction
        wall_fps / camera_fps in lowest terms (physics page 1 and 5; the limit is a project choice).

    Raises
    ------
    OutOfRangeError
        A rate is not above 0, or q is above the limit: such rates never lock.
    """
    ratio = positive_rate("wall_fps", wall_fps) / positive_rate("fps", camera_fps)
    if ratio.denominator > largest_denominator:
        raise OutOfRangeError(
            "genlock", f"wall at {rate_text(wall_fps)}, camera at {rate_text(camera_fps)}",
            f"rates whose ratio is {rate_text(ratio)} never lock (locked rates stand as p/q with q "
            f"up to {largest_denominator}): run free (--genlock free) or change one of the rates",
        )
    return ratio


def nearest_small_ratio(
    *, wall_fps: Fraction, camera_fps: Fraction, largest_denominator: int = LARGEST_DENOMINATOR
) -> Fraction:
    """Ratio p/q near to which two rates drift past each other most slowly.

    Of all p/q with q up to the limit it is the one whose beat |q wall - p camera| is smallest, the
    smaller q where two are equal: 50 against 24 rolls at 2 Hz by 2/1, not at 8 Hz by the closer
    17/8.

    Parameters
    ----------
    wall_fps, camera_fps
        Rates [1/s]; a refresh rate may stand for the wall's.
    largest_denominator
        Largest q; 1 folds the wall's rate by the camera's as an eye sees it frame by frame.

    Returns
    -------
    Fraction
        p/q in lowest terms; 0 where the wall is by far the slower.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0, or the limit is below 1.
    """
    require("largest_denominator", largest_denominator, "1 or more", at_least=1)
    ratio = positive_rate("wall_fps", wall_fps) / positive_rate("fps", camera_fps)
    candidates = (
        Fraction(math.floor(q * ratio + Fraction(1, 2)), q)
        for q in range(1, largest_denominator + 1)
    )
    return min(candidates, key=lambda small: abs(ratio - small) * small.denominator)


def beat_hz(
    *, wall_fps: Fraction, camera_fps: Fraction, largest_denominator: int = LARGEST_DENOMINATOR
) -> Fraction:
    """Rate at which a free-running wall's pattern passes through the camera's frame.

    `|q F - p fps|` (physics page 5) for p/q from `nearest_small_ratio`; exact for exact rates, so
    nothing of the clocks' errors is in it: see `beat_range_hz`.

    Parameters
    ----------
    wall_fps, camera_fps, largest_denominator
        As for `nearest_small_ratio`.

    Returns
    -------
    Fraction
        Beat [Hz]; 0 where the rates stand in a small ratio exactly.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0.
    """
    small = nearest_small_ratio(
        wall_fps=wall_fps, camera_fps=camera_fps, largest_denominator=largest_denominator
    )
    return abs(small.denominator * Fraction(wall_fps) - small.numerator * Fraction(camera_fps))


def roll_time_s(
    *, wall_fps: Fraction, camera_fps: Fraction, largest_denominator: int = LARGEST_DENOMINATOR
) -> float:
    """Time in which the pattern passes through the frame once: one over the beat.

    Parameters
    ----------
    wall_fps, camera_fps, largest_denominator
        As for `nearest_small_ratio`.

    Returns
    -------
    float
        Roll time [s]; infinite where nothing rolls.

    """
    beat = beat_hz(
        wall_fps=wall_fps, camera_fps=camera_fps, largest_denominator=largest_denominator
    )
    return float(1 / beat) if beat else math.inf


def beat_range_hz(
    *, wall_fps: Fraction, camera_fps: Fraction, wall_tolerance: float = 0.0,
    camera_tolerance: float = 0.0, largest_denominator: int = LARGEST_DENOMINATOR,
) -> tuple[float, float]:
    """Slowest and fastest beat that the errors of both clocks allow.

    Parameters
    ----------
    wall_fps, camera_fps, largest_denominator
        As for `nearest_small_ratio`.
    wall_tolerance, camera_tolerance
        Error of each clock either way (ratio; 1e-6 is one ppm), 0 up to 1.

    Returns
    -------
    tuple of float
        Lowest and highest beat [Hz] about the nominal ratio p/q; both clocks' errors widen it:
        `|q F - p fps| -/+ (q F e_wall + p fps e_camera)`, never below 0.

    Raises
    ------
    OutOfRangeError
        A rate is not above 0, or a tolerance lies outside 0 to 1.
    """
    for argument, tolerance in (
        ("wall_tolerance", wall_tolerance), ("camera_tolerance", camera_tolerance),
    ):
        require(argument, tolerance, "from 0 up to 1", at_least=0, below=1)
    small = nearest_small_ratio(
        wall_fps=wall_fps, camera_fps=camera_fps, largest_denominator=largest_denominator
    )
    wall, camera = small.denominator * Fraction(wall_fps), small.numerator * Fraction(camera_fps)
    spread = float(wall) * wall_tolerance + float(camera) * camera_tolerance
    nominal = float(abs(wall - camera))
    return max(0.0, nominal - spread), nominal + spread
