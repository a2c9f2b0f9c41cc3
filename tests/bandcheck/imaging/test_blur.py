"""Transfers against print, exact integrals, other people's code and picked-apart squares."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_less
from prysm import coordinates, detector, otf, propagation
from reference_rows import assert_agrees, reference_rows
from scipy import special
from scipy.integrate import quad

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.blur import (
    defocus_bound,
    defocus_transfer,
    diffraction_transfer,
    emitter_amplitude,
    four_spot_transfer,
    jinc,
    photosite_transfer,
)

CLOSED_FORM_ERROR = 0.017


def overlap_of_pupils(nu, waves):
    """Transfer of a defocused round pupil by the overlap integral (Hopkins 1955).

    `waves` of path at the edge; x from the middle of the overlap, its half-height the square root.
    """
    def strip(x):
        return np.sqrt(1 - (x + nu) ** 2) * np.cos(8 * np.pi * waves * nu * x)
    return 4 / np.pi * quad(strip, 0, 1 - nu, limit=400, epsabs=1e-9)[0]


def closed_form(nu, waves, defocus):
    """The blur circle of so many waves is 8 N W20, so that c k = 8 waves nu."""
    return diffraction_transfer(nu) * defocus(8 * waves * nu * (1 - nu))


@pytest.mark.parametrize("row", reference_rows("optics", "jinc zeros"))
def test_jinc_is_zero_where_print_says(row):
    zeros = np.pi * np.array(row["given"]["argument_over_pi"])
    assert_allclose(jinc(zeros), row["expected"], atol=row["tolerance"])


@pytest.mark.parametrize("row", reference_rows("optics", "jinc lobes"))
def test_jinc_lobes_are_as_deep_as_print_says(row):
    lobes = [jinc(np.pi * np.linspace(*ends, 4001)) for ends in row["given"]["between_over_pi"]]
    assert_agrees(row, [lobe[np.abs(lobe).argmax()] for lobe in lobes])


def test_jinc_against_scipy():
    z = np.concatenate([[0.0, 3.0], np.geomspace(1e-6, 500, 5000)])
    expected = np.ones_like(z)
    expected[1:] = 2 * special.j1(z[1:]) / z[1:]
    assert_allclose(jinc(z), expected, atol=3e-8)
    assert_allclose(jinc(-z), jinc(z), rtol=0)
    assert np.isnan(jinc([np.nan]))
    assert jinc(0.5).shape == ()


@pytest.mark.parametrize("row", reference_rows("optics", "diffraction"))
def test_diffraction_at_half_the_cutoff(row):
    assert_agrees(row, diffraction_transfer(row["given"]["nu"]))


@pytest.mark.parametrize("row", reference_rows("optics", "lens cutoff"))
def test_diffraction_and_photosites_against_prysm(row):
    number, wavelength = row["given"]["f_number"], row["given"]["wavelength_um"]
    per_mm = np.linspace(0, 1.2 * row["expected"], 200)
    assert_allclose(diffraction_transfer(per_mm / row["expected"]),
                    otf.diffraction_limited_mtf(number, wavelength, per_mm.copy()), atol=1e-9)
    kx, ky = np.linspace(-3, 3, 61), np.linspace(2, -1, 61)
    assert_allclose(photosite_transfer(kx=kx, ky=ky, fill=0.8),
                    np.abs(detector.pixel_ft(kx / 5, ky / 5, 4, 4)), atol=1e-12)


@pytest.mark.parametrize("row", reference_rows("optics", "defocus"))
def test_the_exact_defocus_integral_and_prysm_agree(row):
    """The yardstick itself, before it is used below."""
    nu, waves = np.array(row["given"]["nu"]), row["given"]["waves"]
    assert_agrees(row, [overlap_of_pupils(each, waves) for each in nu])
    x, y = coordinates.make_xy_grid(512, diameter=10)
    radius = np.hypot(x, y) / 5
    wave = propagation.Wavefront.from_amp_and_phase(
        radius <= 1, waves * 550 * radius**2, 0.55, x[0, 1] - x[0, 0])
    mtf = otf.mtf_from_psf(wave.focus(efl=40, Q=4).intensity)
    middle = mtf.data.shape[0] // 2
    per_mm = mtf.dx * np.arange(middle)
    assert_allclose(np.interp(nu / (4 * 0.55e-3), per_mm, mtf.data[middle, middle:]),
                    row["expected"], atol=2e-4)


@pytest.fixture(scope="module")
def exact_defocus():
    nu, waves = np.meshgrid(np.linspace(0.02, 0.98, 25), [0.1, 0.3, 0.5, 0.8, 1.3, 2, 3.5, 6])
    return nu, waves, np.vectorize(overlap_of_pupils)(nu, waves)


def test_expected_defocus_errs_by_less_than_stated(exact_defocus):
    nu, waves, exact = exact_defocus
    error = np.abs(closed_form(nu, waves, defocus_transfer) - exact)
    assert 0.01 < error.max() < CLOSED_FORM_ERROR


def test_the_bound_is_not_below_the_exact_defocus(exact_defocus):
    nu, waves, exact = exact_defocus
    assert_array_less(np.abs(exact), closed_form(nu, waves, defocus_bound) + CLOSED_FORM_ERROR)


def test_the_bound_never_rises_and_is_above_jinc():
    x = np.linspace(0, 60, 60001)
    bound = defocus_bound(x)
    assert bound[0] == 1
    assert (np.diff(bound) <= 0).all()
    assert (bound >= np.abs(defocus_transfer(x))).all()
    # tight: it meets jinc in the middle of the first lobe, and its crests further out
    assert_allclose(bound[1630], np.abs(defocus_transfer(x[1630])), rtol=1e-3)
    far = slice(50000, None)
    assert np.abs(defocus_transfer(x[far]) / bound[far]).max() > 0.98
    assert defocus_bound(0.3).shape == ()


def test_four_spots_are_the_mean_of_four_shifts():
    kx, ky, shift = 0.41, -0.23, 0.7
    corners = [np.exp(2j * np.pi * (kx * x + ky * y) * shift / 2)
               for x in (-1, 1) for y in (-1, 1)]
    assert_allclose(four_spot_transfer(kx=kx, ky=ky, shift_px=shift), abs(np.mean(corners)))
    assert_allclose(four_spot_transfer(kx=1 / (2 * 0.7), ky=0.1, shift_px=0.7), 0, atol=1e-15)
    assert four_spot_transfer(kx=0.3, ky=0.3, shift_px=0) == 1


@pytest.mark.parametrize("row", reference_rows("optics", "photosite"))
def test_photosites(row):
    assert_agrees(row, photosite_transfer(**row["given"]))


@pytest.mark.parametrize("row", reference_rows("optics", "emitter"))
def test_emitters(row):
    named = row["given"]
    found = emitter_amplitude(m=named["m"], n=0, fill=named["fill"], shape=named["shape"])
    assert_allclose(found, row["expected"], atol=row["tolerance"], err_msg=row["source"])


@given(m=st.integers(-6, 6), n=st.integers(0, 6), fill=st.floats(0.15, 1))
@settings(derandomize=True, deadline=None, max_examples=30)
def test_emitters_from_their_pictures(m, n, fill):
    if m == n == 0:
        return
    x = (np.arange(400) + 0.5) / 400 - 0.5
    wave = np.exp(-2j * np.pi * np.add.outer(n * x, m * x))
    disc = np.hypot(*np.meshgrid(x, x)) < fill / 2
    square = np.maximum(*np.abs(np.meshgrid(x, x))) < fill / 2
    for shape, lit in (("disc", disc), ("square", square)):
        drawn = 2 * abs((wave * lit).sum() / lit.sum())
        assert_allclose(emitter_amplitude(m=m, n=n, fill=fill, shape=shape), drawn, atol=0.04)


@pytest.mark.parametrize(("name", "value"), [
    ("fill", 0), ("fill", 1.01), ("fill", np.nan), ("shape", "hexagon"),
])
def test_emitters_that_cannot_be_are_refused(name, value):
    with pytest.raises(OutOfRangeError, match=f"emitter_{name}"):
        emitter_amplitude(**{"m": 1, "n": 0, "fill": 0.5, "shape": "disc", name: value})
