import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows
from second_opinion import colour_science

from bandcheck.errors import OutOfRangeError
from bandcheck.vision import eye
from bandcheck.vision.eye import (
    line_spread_deg,
    optical_transfer,
    pupil_diameter_mm,
    retinal_illuminance_td,
)

NITS = np.logspace(-4, 5, 40)
FIELDS = np.array([[0.5], [12.0], [33.0], [60.0], [180.0]])
PUPILS = np.linspace(2.0, 8.0, 13)


@pytest.mark.parametrize(
    "row",
    [
        row
        for quantity in ("pupil_diameter_mm", "retinal_illuminance_td", "line_spread_deg")
        for row in reference_rows("vision", quantity)
    ],
)
def test_published_figures(row):
    assert_agrees(row, getattr(eye, row["quantity"])(**row["given"]))


def test_colour_science_agrees():
    theirs = colour_science().contrast
    np.testing.assert_allclose(
        pupil_diameter_mm(luminance_nits=NITS, field_deg=FIELDS),
        theirs.pupil_diameter_Barten1999(NITS, FIELDS, FIELDS), rtol=1e-12,
    )
    np.testing.assert_allclose(
        retinal_illuminance_td(luminance_nits=NITS[:, None], pupil_mm=PUPILS),
        theirs.retinal_illuminance_Barten1999(NITS[:, None], PUPILS), rtol=1e-12,
    )
    np.testing.assert_allclose(
        line_spread_deg(pupil_mm=PUPILS),
        theirs.sigma_Barten1999(0.5 / 60, 0.08 / 60, PUPILS), rtol=1e-12,
    )


@pytest.mark.parametrize("pupil", [2.1, 5.0])
def test_the_transfer_is_the_transform_of_the_line(pupil):
    spread = float(line_spread_deg(pupil_mm=pupil))
    place, step = np.linspace(-9 * spread, 9 * spread, 4001, retstep=True)
    line = np.exp(-0.5 * (place / spread) ** 2)
    for frequency in (0.0, 3.0, 10.0, 30.0):
        wave = np.cos(2 * np.pi * frequency * place)
        np.testing.assert_allclose(
            optical_transfer(cycles_per_degree=frequency, pupil_mm=pupil),
            (line * wave).sum() * step / (line.sum() * step), rtol=1e-9,
        )


@given(st.floats(1e-6, 1e6), st.floats(0.1, 45.0), st.floats(1.0, 4.0))
@settings(derandomize=True, deadline=None)
def test_light_from_a_field_is_luminance_times_its_area(nits, field, times):
    # Dimension: the pupil sees luminance times area only.
    np.testing.assert_allclose(
        pupil_diameter_mm(luminance_nits=nits, field_deg=field * times),
        pupil_diameter_mm(luminance_nits=nits * times**2, field_deg=field), rtol=1e-12,
    )
    np.testing.assert_allclose(
        retinal_illuminance_td(luminance_nits=nits * times, pupil_mm=3.0),
        retinal_illuminance_td(luminance_nits=nits, pupil_mm=3.0) * times, rtol=1e-12,
    )


def test_the_pupil_has_ends():
    assert pupil_diameter_mm(luminance_nits=0.0, field_deg=33.0) == 8.0
    assert pupil_diameter_mm(luminance_nits=1.0, field_deg=40.0) == 5.0
    bright = pupil_diameter_mm(luminance_nits=1e10, field_deg=180.0)
    assert 2.0 < bright < 2.01
    assert (np.diff(pupil_diameter_mm(luminance_nits=NITS, field_deg=33.0)) < 0.0).all()


def test_the_transfer_has_ends():
    transfer = optical_transfer(cycles_per_degree=[0.0, 1e3, 1e200, 1.7e308], pupil_mm=2.0)
    np.testing.assert_array_equal(transfer[[0, 2, 3]], [1.0, 0.0, 0.0])
    assert transfer[1] < 1e-300


def test_shapes():
    assert pupil_diameter_mm(luminance_nits=NITS, field_deg=FIELDS).shape == (5, 40)
    assert retinal_illuminance_td(luminance_nits=5.0, pupil_mm=3.0).shape == ()
    found = optical_transfer(cycles_per_degree=np.ones((2, 1)), pupil_mm=[0.5, 4.0, 10.0])
    assert found.shape == (2, 3)
    assert line_spread_deg(pupil_mm=[]).shape == (0,)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: pupil_diameter_mm(luminance_nits=-1e-9, field_deg=33), "luminance_nits"),
        (lambda: pupil_diameter_mm(luminance_nits=1.0001e10, field_deg=33), "luminance_nits"),
        (lambda: pupil_diameter_mm(luminance_nits=[1, np.nan], field_deg=33), "luminance_nits"),
        (lambda: pupil_diameter_mm(luminance_nits=1, field_deg=9e-4), "field_deg"),
        (lambda: pupil_diameter_mm(luminance_nits=1, field_deg=180.1), "field_deg"),
        (lambda: retinal_illuminance_td(luminance_nits=-1, pupil_mm=3), "luminance_nits"),
        (lambda: retinal_illuminance_td(luminance_nits=1, pupil_mm=0), "pupil_mm"),
        (lambda: line_spread_deg(pupil_mm=10.001), "pupil_mm"),
        (lambda: optical_transfer(cycles_per_degree=-1e-9, pupil_mm=3), "cycles_per_degree"),
        (lambda: optical_transfer(cycles_per_degree=np.inf, pupil_mm=3), "cycles_per_degree"),
        (lambda: optical_transfer(cycles_per_degree=1, pupil_mm=np.nan), "pupil_mm"),
    ],
)
def test_what_no_eye_has_is_refused(call, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        call()
