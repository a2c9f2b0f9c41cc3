"""The search that leaves out most of the work, against one that leaves out nothing."""

from functools import partial

import numpy as np
import pytest
from moire_cases import VIEWER, a_lattice, a_sensor, arrangement
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.hazards.moire import fringe_sensitivity
from bandcheck.imaging import fringe_search
from bandcheck.imaging.fringe_search import largest_fringes, places_of_interest
from bandcheck.imaging.fringe_table import fringe_table

SEEN = {"picture_aspect": VIEWER.picture_aspect,
        "sensitivity": partial(fringe_sensitivity, viewer=VIEWER)}
KINDS = ("luma", "colour", "grid")


def exhaustive(**arrangement):
    """Worst of each kind out of the whole table, whose contrasts nobody skipped."""
    table = fringe_table(**arrangement, **SEEN)
    chosen = {"luma": (table.colour == 0) & ~table.grid, "colour": table.colour > 0,
              "grid": table.grid}
    return [table.visibility[rows].max(initial=0.0) for rows in chosen.values()]


def random_standpoints(count, oblique):
    rng = np.random.default_rng(7)
    distance = rng.uniform(1500, 15000, count)
    turned = {"yaw_deg": rng.uniform(-60, 60, count), "tilt_deg": rng.uniform(-30, 30, count)}
    return {"focal_mm": rng.choice([18.0, 35.0, 85.0], count),
            "f_number": rng.choice([1.4, 2.8, 8.0], count), "distance_mm": distance,
            "focus_mm": np.where(rng.random(count) < 0.4, distance * rng.uniform(0.98, 1.02, count),
                                 rng.uniform(900, 20000, count)),
            "roll_deg": rng.uniform(-45, 45, count), **(turned if oblique else {})}


@pytest.mark.parametrize(("lattice", "sensor", "oblique", "squeeze"), [
    ({}, {}, False, 1.0), ({}, {}, True, 1.0), ({}, {"low_pass_px": 0}, True, 2.0),
    ({"emitter_shape": "disc", "emitter_fill": 0.3}, {"mosaic": "none"}, True, 1.0),
    ({"cabinet_angle_deg": 10.0, "cabinet_columns_px": 96}, {"delivery_columns_px": 1920}, False,
     1.0),
    ({}, {"delivery_columns_px": 1920, "delivery_filter": "sharp", "low_pass_px": 0,
          "photosite_fill": 0.7}, True, 1.0),
])
def test_nothing_worse_is_left_out(lattice, sensor, oblique, squeeze):
    lattice, sensor = a_lattice(**lattice), a_sensor(**sensor)
    many = random_standpoints(40, oblique)
    cases = {"lattice": lattice, "sensor": sensor, "squeeze": squeeze}
    found = largest_fringes(**arrangement(**cases, **many), **SEEN)
    for index in range(40):
        one = {name: float(values[index]) for name, values in many.items()}
        expected = exhaustive(**arrangement(**cases, **one))
        assert_allclose([getattr(found, kind)[0, 0, 0, 0, index] for kind in KINDS], expected,
                        rtol=1e-9, atol=1e-12)


def test_a_map_is_its_cells_to_the_last_bit(monkeypatch):
    many = random_standpoints(12, oblique=True)
    whole = largest_fringes(**arrangement(**many), **SEEN)
    monkeypatch.setattr(fringe_search, "_PLACES_AT_ONCE", 100)
    parted = largest_fringes(**arrangement(**many), **SEEN)
    for kind in KINDS:
        assert_array_equal(getattr(parted, kind), getattr(whole, kind))
    for index in range(12):
        one = {name: float(values[index]) for name, values in many.items()}
        cell = largest_fringes(**arrangement(**one), **SEEN)
        for kind in KINDS:
            assert getattr(cell, kind).shape == (1, 1, 1, 1)
            assert_array_equal(getattr(cell, kind)[0, 0, 0, 0],
                               getattr(whole, kind)[0, 0, 0, 0, index])


def test_unknown_figures_have_an_axis_each():
    lattice = a_lattice(emitter_fill=None, emitter_shape=None)
    sensor = a_sensor(low_pass_px=None, photosite_fill=None, delivery_columns_px=1920,
                      delivery_filter=None)
    standpoint = {"distance_mm": [[5000.0], [7000.0]], "focus_mm": [4000.0, 6000.0, 8000.0],
                  "yaw_deg": 15.0}
    found = largest_fringes(**arrangement(lattice=lattice, sensor=sensor, **standpoint), **SEEN)
    assert found.luma.shape == (len(lattice.emitters), 3, 3, 2, 2, 3)
    values = [(4, 1, 2, 1), (21, 2, 2, 0), (0, 0, 0, 0), (10, 2, 0, 1)]
    for emitter, shift, filled, resample in values:
        shape, fill = lattice.emitters[emitter]
        known = largest_fringes(**arrangement(
            lattice=a_lattice(emitter_fill=fill, emitter_shape=shape),
            sensor=a_sensor(
                low_pass_px=sensor.low_pass_px[shift], delivery_columns_px=1920,
                photosite_fill=sensor.photosite_fill[filled],
                delivery_filter=sensor.delivery_filters[resample]), **standpoint), **SEEN)
        for kind in KINDS:
            assert_allclose(getattr(found, kind)[emitter, shift, filled, resample],
                            getattr(known, kind)[0, 0, 0, 0], rtol=1e-12)


def test_a_flat_wall_that_faces_the_camera_needs_one_place():
    def count(**case):
        given = arrangement(**case)
        return places_of_interest(given["lattice"], given["standpoint"]).shape[1]

    assert count() == count(roll_deg=30.0) == 1
    assert count(yaw_deg=1.0) == count(tilt_deg=-1.0) == 45
    assert count(lattice=a_lattice(cabinet_angle_deg=5, cabinet_columns_px=192)) == 45
    facing = largest_fringes(**arrangement(distance_mm=4000.0), **SEEN)
    barely = largest_fringes(**arrangement(distance_mm=4000.0, yaw_deg=1e-6), **SEEN)
    for kind in KINDS:
        assert_allclose(getattr(facing, kind), getattr(barely, kind), rtol=1e-3)
