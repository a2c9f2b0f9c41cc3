"""Bounds that work is left out by, against all that they bound, worked out in full."""

from functools import partial

import numpy as np
import pytest
from moire_cases import VIEWER, a_lattice, a_sensor, arrangement

from bandcheck.hazards.moire import fringe_sensitivity
from bandcheck.imaging.fringe_bounds import FringeBounds, RoughPlaces
from bandcheck.imaging.fringes import (
    colour_fringes,
    cycles_per_height,
    frequency_range,
    graded_transfer,
    luma_fringes,
)
from bandcheck.imaging.lattice import LINES, Places, line_frequency
from bandcheck.imaging.perspective import frame_places

PER_PATCH = 15
SEEN = partial(fringe_sensitivity, viewer=VIEWER)
CASES = {
    "turned": ({}, {}, {"yaw_deg": 30.0, "tilt_deg": 10.0, "roll_deg": 20.0}),
    "horizon in frame": ({}, {}, {"yaw_deg": 80.0, "focal_mm": 14.0}),
    "curved, delivered smaller": (
        {"cabinet_angle_deg": 10.0, "cabinet_columns_px": 96},
        {"delivery_columns_px": 1500, "delivery_filter": "sharp", "low_pass_px": 0},
        {"distance_mm": 2500.0, "focus_mm": 2500.0}),
    "anamorphic, photosites not square": (
        {}, {"height_mm": 9.0, "low_pass_px": 0}, {"squeeze": 1.8, "tilt_deg": -25.0}),
    "little known": (
        {}, {"low_pass_px": None, "photosite_fill": None}, {"yaw_deg": -15.0, "focus_mm": 8e3}),
}


@pytest.mark.parametrize("name", CASES)
def test_bounds_are_never_below_what_they_bound(name):
    lattice, sensor, standpoint = CASES[name]
    sensor, squeeze = a_sensor(**sensor), standpoint.get("squeeze", 1.0)
    grid = frame_places(whole_frame=True)
    grid = grid[:, np.argsort(grid[0], kind="stable")]
    places = Places.of(
        **arrangement(lattice=a_lattice(**lattice), sensor=sensor, **standpoint), grid=grid)
    rough = RoughPlaces.of(places, PER_PATCH)
    bounds = FringeBounds.of(sensor=sensor, squeeze=squeeze, sensitivity=SEEN,
                             picture_aspect=VIEWER.picture_aspect)
    in_patch = bounds.patches(rough)
    shown = np.zeros(3, dtype=bool)
    for index, (m, n) in enumerate(LINES):
        patch = np.arange(3)
        frequency, change = rough.lines(patch, np.full(3, index))
        bound = bounds.transfer(frequency, change, rough.circle_mm, rough.cutoff_per_mm)
        closer = bound * bounds.sharper(frequency, change)
        line = line_frequency(places, m=m, n=n)
        there = np.isfinite(line[0] + line[1]).all(axis=0)
        for coloured in (False, True):
            fringes = colour_fringes(*line) if coloured else luma_fringes(
                *line, sensor=sensor, squeeze=squeeze)
            fringes, here = fringes[there], places[there]
            transfer = graded_transfer(fringes, here, sensor=sensor, squeeze=squeeze)
            seen = transfer.max(axis=(0, 1, 2)) * SEEN(*frequency_range(*cycles_per_height(
                fringes, sensor=sensor, squeeze=squeeze, picture_aspect=VIEWER.picture_aspect,
            )), fringes.colour)
            at_most, kind = bounds.visibility(
                closer.ravel()[there], frequency.reshape(2, -1)[:, there],
                change.ravel()[there], coloured=coloured)
            counts = kind >= 0
            assert (at_most[counts] >= seen[counts] * (1 - 1e-9)).all()
            assert (closer.ravel()[there] <= bound.ravel()[there] * (1 + 1e-9)).all()
            for one in np.unique(kind[counts]):
                shown[one] |= (seen[kind == one] > 0.5 * at_most[kind == one]).any()
                for each in patch:
                    own = (kind == one) & (np.flatnonzero(there) // PER_PATCH == each)
                    assert in_patch[one, each, index] >= seen[own].max(initial=0) * (1 - 1e-9)
    assert shown[:2].all(), "close to what they bound, somewhere"


def test_where_the_wall_is_not_seen_nothing_is():
    places = Places.of(**arrangement(yaw_deg=85.0, focal_mm=12.0),
                       grid=frame_places(whole_frame=True))
    rough = RoughPlaces.of(places, 45)
    bounds = FringeBounds.of(sensor=a_sensor(), squeeze=1.0, sensitivity=SEEN,
                             picture_aspect=VIEWER.picture_aspect)
    hidden = np.isnan(places.depth_mm)
    assert hidden.any()
    every = np.zeros(len(LINES), dtype=int)
    bound = bounds.transfer(*rough.lines(every, np.arange(len(LINES))), rough.circle_mm[every],
                            rough.cutoff_per_mm[every])
    assert not bound[:, hidden].any()
