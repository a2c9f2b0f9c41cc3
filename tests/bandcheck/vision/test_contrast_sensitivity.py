import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows
from scipy.optimize import minimize_scalar
from second_opinion import colour_science

from bandcheck.errors import OutOfRangeError
from bandcheck.vision import contrast_sensitivity
from bandcheck.vision.contrast_sensitivity import (
    barten_1999_sensitivity,
    largest_sensitivity,
    peak_frequency_cpd,
    picture_height_deg,
    picture_width_deg,
    sensitivity_from_upwards,
    sensitivity_of_pupil,
)
from bandcheck.vision.eye import retinal_illuminance_td

CYCLES = np.logspace(-2, 1.7, 60)
NITS = np.array([[0.0505], [1.0], [18.0], [100.0], [1000.0]])


def colours_sensitivity(cycles, nits, field):
    theirs = colour_science().contrast
    pupil = theirs.pupil_diameter_Barten1999(nits, field, field)
    return theirs.contrast_sensitivity_function_Barten1999(
        cycles, sigma=theirs.sigma_Barten1999(0.5 / 60, 0.08 / 60, pupil), X_0=field,
        E=theirs.retinal_illuminance_Barten1999(nits, pupil),
    )


@pytest.mark.parametrize("row", reference_rows("vision", "fixed pupil"))
def test_published_sensitivity_of_a_fixed_pupil(row):
    given = dict(row["given"])
    light = retinal_illuminance_td(
        luminance_nits=given.pop("luminance_nits"), pupil_mm=given["pupil_mm"]
    )
    assert_agrees(row, sensitivity_of_pupil(illuminance_td=light, **given))


@pytest.mark.parametrize("row", reference_rows("vision", "smallest contrast"))
def test_published_smallest_contrast(row):
    nits = np.logspace(*row["given"]["decades_of_nits"], row["given"]["steps"])
    largest = largest_sensitivity(luminance_nits=nits, field_deg=row["given"]["field_deg"])
    assert_agrees(row, 2.0 / (1.27 * largest))


@pytest.mark.parametrize(
    "row",
    [
        *reference_rows("vision", "picture_height_deg"),
        *reference_rows("vision", "picture_width_deg"),
    ],
)
def test_angles_of_the_picture(row):
    assert_agrees(row, getattr(contrast_sensitivity, row["quantity"])(**row["given"]))


@pytest.mark.parametrize("field", [1.0, 12.0, 33.0, 120.0])
def test_colour_science_agrees(field):
    mine = barten_1999_sensitivity(cycles_per_degree=CYCLES, luminance_nits=NITS, field_deg=field)
    np.testing.assert_allclose(mine, colours_sensitivity(CYCLES, NITS, field), rtol=1e-11)


@pytest.mark.parametrize("field", [0.001, 0.1, 5.0, 33.0, 180.0])
@pytest.mark.parametrize("nits", [1e-6, 0.05, 1.0, 100.0, 1e4, 1e8])
def test_the_peak_is_where_a_search_finds_it(nits, field):
    found = minimize_scalar(
        lambda log: -colours_sensitivity(np.exp(log), nits, field),
        bounds=(np.log(1e-3), np.log(30.0)), method="bounded", options={"xatol": 1e-9},
    )
    peak = peak_frequency_cpd(luminance_nits=nits, field_deg=field)
    assert peak == pytest.approx(np.exp(found.x), rel=1e-5)
    assert largest_sensitivity(luminance_nits=nits, field_deg=field) == pytest.approx(
        -found.fun, rel=1e-9
    )


@given(st.floats(0.0, 5.0), st.floats(-3.0, 4.0), st.floats(0.1, 170.0))
@settings(derandomize=True, deadline=None)
def test_no_frequency_is_seen_better_than_the_peak(log_ratio, log_nits, field):
    nits = 10.0**log_nits
    peak = peak_frequency_cpd(luminance_nits=nits, field_deg=field)
    places = peak * np.array([np.exp(-log_ratio), 1.0, np.exp(log_ratio)])
    low, top, high = barten_1999_sensitivity(
        cycles_per_degree=places, luminance_nits=nits, field_deg=field
    )
    assert max(low, high) <= top * (1.0 + 1e-12)
    # One maximum only: further out is never seen better.
    further = barten_1999_sensitivity(
        cycles_per_degree=places[[0, 2]] * [0.9, 1.1], luminance_nits=nits, field_deg=field
    )
    assert further[0] <= low * (1.0 + 1e-12)
    assert further[1] <= high * (1.0 + 1e-12)


def test_from_a_frequency_upwards_is_the_best_of_a_dense_scan():
    scan = np.logspace(-2, 2, 20_001)
    scanned = barten_1999_sensitivity(cycles_per_degree=scan, luminance_nits=50.0, field_deg=33.0)
    best = np.maximum.accumulate(scanned[::-1])[::-1]
    found = sensitivity_from_upwards(cycles_per_degree=scan, luminance_nits=50.0, field_deg=33.0)
    np.testing.assert_allclose(found, best, rtol=1e-6, atol=1e-300)
    assert (found >= best * (1.0 - 1e-12)).all()


def test_limits_are_reached_without_a_warning():
    ends = barten_1999_sensitivity(
        cycles_per_degree=[0.0, 1e4, 1e200, 1.7e308], luminance_nits=[[0.0], [1e10]], field_deg=33
    )
    np.testing.assert_array_equal(ends, np.zeros((2, 4)))
    assert barten_1999_sensitivity(cycles_per_degree=3, luminance_nits=0, field_deg=33) == 0.0
    assert largest_sensitivity(luminance_nits=0.0, field_deg=33.0) == 0.0
    assert 0.0 < peak_frequency_cpd(luminance_nits=0.0, field_deg=33.0) < 0.01
    near = barten_1999_sensitivity(cycles_per_degree=1e-9, luminance_nits=1e-9, field_deg=33.0)
    assert 0.0 < near < 1e-6


def test_low_frequencies_are_seen_in_proportion():
    low = barten_1999_sensitivity(
        cycles_per_degree=[1e-5, 2e-5], luminance_nits=100.0, field_deg=33.0
    )
    assert low[1] / low[0] == pytest.approx(2.0, rel=1e-6)


def test_in_the_dark_the_square_root_law_holds():
    # Dimension: a hundred times the photons, ten times the sensitivity.
    dim, dimmer = sensitivity_of_pupil(
        cycles_per_degree=2.0, field_deg=33.0, pupil_mm=8.0, illuminance_td=[1e-5, 1e-7]
    )
    assert dim / dimmer == pytest.approx(10.0, rel=1e-3)


def test_angles_shrink_with_distance():
    assert picture_height_deg(view_heights=0.5) == pytest.approx(90.0, rel=1e-14)
    assert picture_width_deg(view_heights=1.0, picture_aspect=2.0) == pytest.approx(90.0)
    assert picture_height_deg(view_heights=1e-300) == pytest.approx(180.0)
    np.testing.assert_allclose(
        picture_width_deg(view_heights=[2.0, 3.0], picture_aspect=1.0),
        picture_height_deg(view_heights=[2.0, 3.0]), rtol=1e-14,
    )


def test_shapes():
    grid = barten_1999_sensitivity(cycles_per_degree=CYCLES, luminance_nits=NITS, field_deg=33.0)
    assert grid.shape == (5, 60)
    cells = [
        barten_1999_sensitivity(cycles_per_degree=CYCLES[7], luminance_nits=nits, field_deg=33.0)
        for nits in NITS[:, 0]
    ]
    np.testing.assert_array_equal(grid[:, 7], cells)
    assert peak_frequency_cpd(luminance_nits=NITS, field_deg=[10.0, 33.0]).shape == (5, 2)
    assert largest_sensitivity(luminance_nits=1.0, field_deg=33.0).shape == ()
    assert sensitivity_from_upwards(
        cycles_per_degree=np.empty((0, 1)), luminance_nits=[1.0, 2.0], field_deg=33.0
    ).shape == (0, 2)


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"cycles_per_degree": -1e-9}, "cycles_per_degree"),
        ({"cycles_per_degree": [1.0, np.nan]}, "cycles_per_degree"),
        ({"luminance_nits": -1e-9}, "luminance_nits"),
        ({"luminance_nits": np.inf}, "luminance_nits"),
        ({"field_deg": 9.99e-4}, "field_deg"),
        ({"field_deg": 180.001}, "field_deg"),
    ],
)
def test_impossible_viewers_are_refused(changed, named):
    possible = {"cycles_per_degree": 3.0, "luminance_nits": 100.0, "field_deg": 33.0}
    for function in (barten_1999_sensitivity, sensitivity_from_upwards):
        with pytest.raises(OutOfRangeError, match=f"^{named}: "):
            function(**{**possible, **changed})


def test_impossible_seats_are_refused():
    for bad in (0.0, -3.0, np.nan, 1.0001e4):
        with pytest.raises(OutOfRangeError, match=r"^view_heights: "):
            picture_height_deg(view_heights=bad)
        with pytest.raises(OutOfRangeError, match=r"^picture_aspect: "):
            picture_width_deg(view_heights=3.0, picture_aspect=bad)
    with pytest.raises(OutOfRangeError, match=r"^illuminance_td: "):
        sensitivity_of_pupil(cycles_per_degree=1, field_deg=33, pupil_mm=3, illuminance_td=-1)
