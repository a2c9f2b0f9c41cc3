"""Moire: fringes between the wall's LEDs and the sensor's photosites, and who sees them.

A line of the wall's lattice that the sensor resolves is the wall's own grid, another complaint
with another cure: it is graded apart.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint
from bandcheck.imaging.fringe_search import LargestFringes, largest_fringes
from bandcheck.imaging.fringe_table import FringeTable, fringe_table
from bandcheck.vision.chroma_sensitivity import (
    OpponentAxis,
    chroma_sensitivity,
    opponent_modulation,
)
from bandcheck.vision.contrast_sensitivity import (
    barten_1999_sensitivity,
    peak_frequency_cpd,
    picture_height_deg,
    picture_width_deg,
)
from bandcheck.vision.graded import graded_finding
from bandcheck.vision.just_noticeable import severities
from bandcheck.vision.level import Finding, Hazard, Level

__all__ = [
    "FRINGE_CHANNELS", "FringeGrades", "Viewer", "fringe_grades", "fringe_sensitivity",
    "moire_findings", "moire_lines", "open_figures", "open_severity",
]

Floats = NDArray[np.float64]

FRINGE_CHANNELS = {1: {"red": 1, "green": 0, "blue": -1}, 2: {"red": -1, "green": 1, "blue": -1}}
"""What a fringe of each colour does to the picture's channels, per unit of its contrast."""

_AXES: tuple[OpponentAxis, ...] = ("red-green", "blue-yellow")


@dataclass(frozen=True, kw_only=True, slots=True)
class Viewer:
    """Who looks at the delivered picture of the wall.

    Attributes
    ----------
    luminance_nits
        Luminance at which the viewer's display shows the wall [cd/m2]; white is the worst.
    white_nits
        White of that display [cd/m2].
    flare_nits
        Light that screen and room add [cd/m2].
    view_heights, picture_aspect
        Viewing distance in picture heights; width over height of the picture.
    grade_contrast
        Factor by which the grade multiplies modulation.
    """

    luminance_nits: float = 100.0
    white_nits: float = 100.0
    flare_nits: float = 0.05
    view_heights: float = 3.0
    picture_aspect: float = 16 / 9
    grade_contrast: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class FringeGrades:
    """Visibility of moire and of the wall's grid at each standpoint.

    Attributes
    ----------
    moire, grid
        The largest that it may be, shape of the standpoint.
    moire_least, grid_least
        The least that it may be: lower where figures are not known.
    found
        Both for every value that the unknown figures may have.
    """

    moire: Floats
    grid: Floats
    moire_least: Floats
    grid_least: Floats
    found: LargestFringes


def fringe_sensitivity(
    lowest: Floats, highest: Floats, colour: NDArray[np.int8], *, viewer: Viewer,
) -> Floats:
    """Sensitivity to the modulation of a fringe: the largest between two frequencies.

    Luma is met with Barten's sensitivity, which has one maximum. A colour fringe changes luminance
    as well as two opponent colours; whichever is seen best counts (project choice).

    Parameters
    ----------
    lowest, highest
        Range of frequency [cycles per picture height].
    colour
        Index into `bandcheck.imaging.sampling.COLOURS`, of the same shape.
    viewer
        Who looks; the light that screen and room add dilutes the modulation.

    Returns
    -------
    ndarray
        One over the contrast that is just seen.
    """
    nits = viewer.luminance_nits + viewer.flare_nits
    height = picture_height_deg(view_heights=viewer.view_heights)
    field = float(picture_width_deg(
        view_heights=viewer.view_heights, picture_aspect=viewer.picture_aspect))
    peak = peak_frequency_cpd(luminance_nits=nits, field_deg=field)
    best = barten_1999_sensitivity(
        cycles_per_degree=np.clip(peak, lowest / height, highest / height), luminance_nits=nits,
        field_deg=field)
    for index, channels in FRINGE_CHANNELS.items():
        where = colour == index
        if where.any():
            luminance, *opponents = opponent_modulation(**channels)
            seen = [luminance * best[where]]
            seen += [
                modulation * chroma_sensitivity(
                    axis=axis, cycles_per_degree=lowest[where] / height, luminance_nits=nits,
                    white_nits=viewer.white_nits + viewer.flare_nits)
                for axis, modulation in zip(_AXES, opponents, strict=True)]
            best[where] = np.maximum.reduce(seen)
    return np.asarray(best * (viewer.grade_contrast * viewer.luminance_nits / nits))


def fringe_grades(
    *, lattice: LedLattice, sensor: Sensor, standpoint: Standpoint, viewer: Viewer,
) -> FringeGrades:
    """Visibility of the worst moire and of the worst line of the grid, for any standpoints.

    Graded contrast (the bound of defocus, the largest within 1 % of the distance, at the worst
    place of the frame) times the largest sensitivity to its fringes within that 1 %.

    Parameters
    ----------
    lattice, sensor, standpoint
        Wall, camera, and lens and geometry of any shape.
    viewer
        Who looks.

    Returns
    -------
    FringeGrades
        Arrays of the standpoint's shape.

    Raises
    ------
    OutOfRangeError
        Optics that cannot be: distance 0, focus inside the focal length, yaw 90.
    """
    found = largest_fringes(
        lattice=lattice, sensor=sensor, standpoint=standpoint,
        picture_aspect=viewer.picture_aspect,
        sensitivity=partial(fringe_sensitivity, viewer=viewer))
    unknown = (0, 1, 2, 3)
    both = np.maximum(found.luma, found.colour)
    least = found.luma if sensor.mosaic is None else both
    return FringeGrades(
        moire=both.max(axis=unknown), moire_least=least.min(axis=unknown),
        grid=found.grid.max(axis=unknown), grid_least=found.grid.min(axis=unknown), found=found)


def moire_lines(
    *, lattice: LedLattice, sensor: Sensor, standpoint: Standpoint, viewer: Viewer,
) -> FringeTable:
    """All fringes of one standpoint, the best visible first.

    Parameters
    ----------
    lattice, sensor, standpoint, viewer
        As for `fringe_grades`; one standpoint, numbers and no arrays.

    Returns
    -------
    FringeTable
        Its largest visibilities are what `fringe_grades` says of this standpoint.

    Raises
    ------
    OutOfRangeError
        As `fringe_grades`, and for more than one standpoint.
    """
    return fringe_table(
        lattice=lattice, sensor=sensor, standpoint=standpoint,
        picture_aspect=viewer.picture_aspect,
        sensitivity=partial(fringe_sensitivity, viewer=viewer))


def open_severity(
    *, largest: Floats, least: Floats, safe_below: float, visible_from: float,
) -> NDArray[np.int8]:
    """Grade of what is only known to lie between two visibilities: unknown where they disagree.

    Parameters
    ----------
    largest, least
        Visibilities of any one shape.
    safe_below, visible_from
        Limits of visibility.

    Returns
    -------
    ndarray of int8
        Severities as `bandcheck.vision.just_noticeable.severities` gives them.
    """
    worst, best = (severities(value, safe_below=safe_below, visible_from=visible_from)
                   for value in (largest, least))
    return np.where(worst == best, worst, np.int8(Level.UNKNOWN.severity))


def open_figures(
    grades: FringeGrades, *, lattice: LedLattice, sensor: Sensor, safe_below: float,
    visible_from: float,
) -> tuple[str, ...]:
    """Figures that are not known and that change a grade, others being what they may be.

    Parameters
    ----------
    grades
        From `fringe_grades`.
    lattice, sensor
        Those that were graded.
    safe_below, visible_from
        Limits of visibility.

    Returns
    -------
    tuple of str
        Names as profiles have them: what to find out.
    """
    def changes(first: Floats, second: Floats) -> bool:
        low, high = (severities(value, safe_below=safe_below, visible_from=visible_from)
                     for value in (first, second))
        return bool((low != high).any())

    found = grades.found
    moire = np.maximum(found.luma, found.colour)
    shapes, fills = (set(each) for each in zip(*lattice.emitters, strict=True))
    emitter = "emitter_fill" if len(fills) > 1 else "emitter_shape"
    names = (emitter, "low_pass_px", "photosite_fill", "delivery_filter")
    opened = [
        name for axis, name in enumerate(names)
        if any(changes(each.min(axis=axis), each.max(axis=axis)) for each in (moire, found.grid))]
    if emitter in opened and len(shapes) > 1 and len(fills) > 1:
        opened.insert(1, "emitter_shape")
    if sensor.mosaic is None and changes(found.luma, moire):
        opened.append("mosaic")
    return tuple(opened)


def moire_findings(
    grades: FringeGrades, *, safe_below: float, visible_from: float,
) -> tuple[Finding, Finding]:
    """Findings of moire and of the wall's grid at one standpoint.

    Parameters
    ----------
    grades
        From `fringe_grades`, of a single standpoint.
    safe_below, visible_from
        Limits of visibility.

    Returns
    -------
    tuple of Finding
        Moire and grid. Unknown only where figures that are not known change the level.
    """
    def finding(hazard: Hazard, largest: Floats, least: Floats, seen_reason: str) -> Finding:
        severity = open_severity(
            largest=largest, least=least, safe_below=safe_below, visible_from=visible_from)
        unknown = int(severity) == Level.UNKNOWN.severity
        return graded_finding(
            hazard=hazard, visibility=np.nan if unknown else float(largest),
            safe_below=safe_below, visible_from=visible_from, safe_reason="below_threshold",
            seen_reason=seen_reason,
            figures={"largest_visibility": float(largest), "least_visibility": float(least)})

    coloured = np.max(grades.found.colour) > np.max(grades.found.luma)
    return (
        finding("moire", grades.moire, grades.moire_least,
                "colour_fringes" if coloured else "luma_fringes"),
        finding("grid", grades.grid, grades.grid_least, "grid_resolved"),
    )
