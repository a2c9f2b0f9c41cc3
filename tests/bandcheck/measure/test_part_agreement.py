"""Parts of a picture that show the same bands, others, or none."""

import numpy as np
from numpy.testing import assert_allclose

from bandcheck.measure.band_search import found_lines
from bandcheck.measure.harmonics import Source, harmonic_fit
from bandcheck.measure.noise_floor import noise_floor
from bandcheck.measure.part_agreement import INCOHERENT, incoherence, unsteadiness

ROWS, PARTS, NOISE = 300, 8, 0.01
AWAY = np.arange(ROWS) - (ROWS - 1) / 2


def parts_of(rng, amplitude=0.0, moire=0.0, apart=0.0):
    """Light of eight parts with common bands at 0.05, moire beside them, and noise of their own."""
    bands = amplitude * np.cos(2 * np.pi * 0.05 * AWAY + 0.4)
    turned = 2 * np.pi * ((0.05 + apart) * AWAY[:, np.newaxis] + np.arange(PARTS) / 2.7)
    return 1 + bands[:, np.newaxis] + moire * np.cos(turned) + NOISE * rng.standard_normal(
        (ROWS, PARTS))


def test_parts_with_nothing_in_common_agree_by_accident_as_often_as_is_said():
    """The chance is spread evenly from 0 to 1: of 400, 20 below 0.05, give or take 4.4."""
    rng = np.random.default_rng(1)
    chances = []
    for _ in range(400):
        parts = parts_of(rng)
        fit = harmonic_fit(parts.mean(axis=1), weight=np.ones(ROWS))
        chances.append(incoherence(fit, parts, 0.05))
    assert 7 <= np.sum(np.array(chances) < 0.05) <= 33
    assert 160 <= np.sum(np.array(chances) < 0.5) <= 240


def test_common_bands_agree():
    parts = parts_of(np.random.default_rng(2), amplitude=0.01)
    fit = harmonic_fit(parts.mean(axis=1), weight=np.ones(ROWS))
    assert incoherence(fit, parts, 0.05) < 1e-6 < INCOHERENT
    assert found_lines(parts.mean(axis=1), weight=np.ones(ROWS), parts=parts).count == 1


def test_too_few_parts_have_no_say():
    parts = parts_of(np.random.default_rng(3))[:, :3]
    fit = harmonic_fit(parts.mean(axis=1), weight=np.ones(ROWS), sources=[
        Source(cycles_per_row=0.05),
    ])
    assert incoherence(fit, parts, 0.05) == 0
    assert incoherence(fit, None, 0.05) == 0
    assert unsteadiness(fit, 0, parts, 1e-6) == unsteadiness(fit, 0, None, 1e-6) == 1


def factor(parts):
    light = parts.mean(axis=1)
    fit = harmonic_fit(light, weight=np.ones(ROWS), sources=[Source(cycles_per_row=0.05)])
    noise = float(noise_floor(fit.residual, fit.weight)(0.05))
    return unsteadiness(fit, 0, parts, noise)


def test_steady_bands_keep_their_uncertainty():
    rng = np.random.default_rng(4)
    factors = [factor(parts_of(rng, amplitude=0.05)) for _ in range(60)]
    assert np.sum(np.array(factors) > 1) <= 2


def test_moire_beside_the_bands_widens_their_uncertainty():
    """Moire of 5 % moves the phase in eight parts by 0.05 / sqrt 2 of the carrier, on the mean."""
    found = factor(parts_of(np.random.default_rng(5), amplitude=0.05, moire=0.05))
    spread = 0.05 / np.sqrt(2) / np.sqrt(PARTS)
    noise = np.sqrt(2 * NOISE**2 / PARTS / ROWS)
    assert_allclose(found, spread / noise, rtol=0.4)
