"""From a modulation of light to steps that can just be seen, and to a grade.

Sources
-------
DICOM PS3.14, Grayscale Standard Display Function (GSDF), section 7.1, where it is given for
0.05 to 4000 cd/m2, just-noticeable differences (JND) 1 to 1023. The grades' two thresholds are
the caller's: 1 is Barten's threshold, 8 a project choice.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bandcheck.errors import OutOfRangeError, require
from bandcheck.vision.level import Level

__all__ = [
    "displayed_luminance_nits",
    "grade",
    "gsdf_jnd_index",
    "gsdf_luminance_nits",
    "jnd_steps",
    "modulation_reaching_the_eye",
    "severities",
]

_GSDF_NITS = (0.05, 4000.0)
_GSDF_INDEX = (1.0, 1023.0)
_NUMERATOR = (
    -1.3011877, 8.0242636e-2, 1.3646699e-1, -2.5468404e-2, 1.3635334e-3,
)  # a c e g m, of rising powers of ln j
_DENOMINATOR = (
    1.0, -2.5840191e-2, -1.0320229e-1, 2.8745620e-2, -3.1978977e-3, 1.2992634e-4,
)  # 1 b d f h k
_INVERSE = (
    71.498068, 94.593053, 41.912053, 9.8247004, 0.28175407, -1.1878455, -0.18014349,
    0.14710899, -0.017046845,
)  # A to I, of rising powers of log10 L


def gsdf_luminance_nits(jnd_index: ArrayLike) -> NDArray[np.float64]:
    """Luminance at a JND index.

    Parameters
    ----------
    jnd_index
        Index j, any shape; need not be whole.

    Returns
    -------
    ndarray
        L(j) [cd/m2]; NaN outside 1..1023, where the standard gives none. A rational function of
        ln j (DICOM PS3.14, section 7.1).

    Raises
    ------
    OutOfRangeError
        An index that is not finite.
    """
    index = require("jnd_index", jnd_index, "a finite number")
    inside = _inside(index, _GSDF_INDEX)
    power = np.log(np.where(inside, index, 1.0))
    nits = 10.0 ** (_polynomial(_NUMERATOR, power) / _polynomial(_DENOMINATOR, power))
    return np.where(inside, nits, np.nan)


def gsdf_jnd_index(luminance_nits: ArrayLike) -> NDArray[np.float64]:
    """JND index of a luminance.

    Parameters
    ----------
    luminance_nits
        Luminance [cd/m2], at least 0, any shape.

    Returns
    -------
    ndarray
        j(L); NaN outside 0.05..4000 cd/m2, where the standard gives none. A polynomial of
        log10 L (DICOM PS3.14, section 7.1); it inverts L(j) to within 0.1 of j.

    Raises
    ------
    OutOfRangeError
        A luminance that is negative or not finite.
    """
    nits = require("luminance_nits", luminance_nits, "at least 0 cd/m2", at_least=0.0)
    inside = _inside(nits, _GSDF_NITS)
    power = np.log10(np.where(inside, nits, 1.0))
    return np.where(inside, _polynomial(_INVERSE, power), np.nan)


def jnd_steps(
    *, luminance_low_nits: ArrayLike, luminance_high_nits: ArrayLike
) -> NDArray[np.float64]:
    """Number of just-noticeable steps from one luminance up to another.

    Parameters
    ----------
    luminance_low_nits, luminance_high_nits
        Luminances [cd/m2], at least 0; they broadcast.

    Returns
    -------
    ndarray
        j(high) - j(low), negative where high is the lower one; NaN where either lies outside
        the GSDF.

    Raises
    ------
    OutOfRangeError
        A luminance that is negative or not finite.
    """
    return np.asarray(gsdf_jnd_index(luminance_high_nits) - gsdf_jnd_index(luminance_low_nits))


def displayed_luminance_nits(
    *, linear_level: ArrayLike, peak_nits: ArrayLike, push_stops: ArrayLike
) -> NDArray[np.float64]:
    """Luminance at which the viewer's display shows a level.

    Parameters
    ----------
    linear_level
        Light of the picture over its white, 0..1, any shape.
    peak_nits
        White of the display [cd/m2], above 0.
    push_stops
        Stops by which the picture is brightened after the shoot, -20..20. All three broadcast.

    Returns
    -------
    ndarray
        min(peak, peak x level x 2^push) [cd/m2].

    Raises
    ------
    OutOfRangeError
        An argument outside its range.
    """
    level = require("linear_level", linear_level, "from 0 to 1", at_least=0.0, at_most=1.0)
    peak = require("peak_nits", peak_nits, "above 0 cd/m2", above=0.0)
    push = require("push_stops", push_stops, "from -20 to 20", at_least=-20.0, at_most=20.0)
    return np.asarray(peak * np.minimum(1.0, level * np.exp2(push)))


def modulation_reaching_the_eye(
    *, modulation: ArrayLike, luminance_nits: ArrayLike, flare_nits: ArrayLike
) -> NDArray[np.float64]:
    """Modulation that is left when the screen's black and the room's light are added.

    Parameters
    ----------
    modulation
        Modulation of the displayed light, at least 0, any shape; NaN where it is not known.
    luminance_nits
        Mean of that light [cd/m2], at least 0.
    flare_nits
        Light that is added [cd/m2], at least 0. All three broadcast.

    Returns
    -------
    ndarray
        m L / (L + Lf); NaN stays NaN; 0 where there is no light at all. It is seen at the
        luminance L + Lf.

    Raises
    ------
    OutOfRangeError
        A negative or infinite argument.
    """
    given = np.asarray(modulation, dtype=np.float64)
    accepted = "at least 0, or NaN where it is not known"
    require("modulation", given[~np.isnan(given)], accepted, at_least=0.0)
    light = require("luminance_nits", luminance_nits, "at least 0 cd/m2", at_least=0.0)
    flare = require("flare_nits", flare_nits, "at least 0 cd/m2", at_least=0.0)
    whole = light + flare
    return np.asarray(given * (light / np.where(whole > 0.0, whole, 1.0)))


def severities(
    visibility: ArrayLike, *, safe_below: float, visible_from: float
) -> NDArray[np.int8]:
    """Grades of many visibilities at once, as the numbers that `Level.of_severity` names.

    Parameters
    ----------
    visibility
        Modulation over its threshold, at least 0, any shape; NaN where it is not known.
    safe_below, visible_from
        The two thresholds, 0 < safe_below <= visible_from.

    Returns
    -------
    ndarray of int8
        0 safe, 1 marginal, 2 unknown (NaN), 3 visible: the largest of several is the worst.

    Raises
    ------
    OutOfRangeError
        A negative visibility, or thresholds that are not in order.
    """
    require("safe_below", safe_below, "above 0", above=0.0)
    accepted = f"at least safe_below, {safe_below:g}"
    require("visible_from", visible_from, accepted, at_least=safe_below)
    seen = np.asarray(visibility, dtype=np.float64)
    if np.any(seen < 0.0):
        raise OutOfRangeError("visibility", seen[seen < 0.0][0], "at least 0, or NaN")
    severity = np.full(seen.shape, Level.UNKNOWN.severity, dtype=np.int8)
    severity[seen < visible_from] = Level.MARGINAL.severity
    severity[seen < safe_below] = Level.SAFE.severity
    severity[seen >= visible_from] = Level.VISIBLE.severity
    return severity


def grade(visibility: float, *, safe_below: float, visible_from: float) -> Level:
    """Grade of one visibility; arguments and refusals as in `severities`."""
    found = severities(visibility, safe_below=safe_below, visible_from=visible_from)
    return Level.of_severity(int(found))


def _inside(value: NDArray[np.float64], ends: tuple[float, float]) -> NDArray[np.bool_]:
    return np.asarray((value >= ends[0]) & (value <= ends[1]))


def _polynomial(rising: tuple[float, ...], power: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.polynomial.polynomial.polyval(power, rising))
