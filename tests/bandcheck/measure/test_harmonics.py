"""Fit of sources and trend, against a general optimiser and against what was put in."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import least_squares

from bandcheck.measure.band_search import found_lines
from bandcheck.measure.harmonics import Source, harmonic_fit
from bandcheck.measure.noise_floor import FALSE_ALARM, noise_floor, row_spectrum, seen_amplitude

ROWS = 400
ROW = np.arange(ROWS)
AWAY = ROW - (ROWS - 1) / 2


def trend(x):
    return 1 + 0.2 * x - 0.3 * x**2 + 0.05 * x**3 + 0.04 * x**4


def wave(cycles, contrast, phase=0.3):
    return contrast * np.cos(2 * np.pi * cycles * AWAY + phase)


def test_without_noise_everything_comes_back():
    light = trend(AWAY / 200) * (1 + wave(0.0234, 0.3) + wave(0.0468, 0.1, 1) + wave(0.11, 0.05))
    fit = harmonic_fit(light, weight=np.ones(ROWS), sources=[
        Source(cycles_per_row=0.0236, orders=(1, 2)), Source(cycles_per_row=0.1105),
    ])
    assert_allclose([each.cycles_per_row for each in fit.sources], [0.0234, 0.11], rtol=1e-9)
    assert_allclose(np.abs(fit.amplitudes[0]), [0.3, 0.1], rtol=1e-8)
    assert_allclose(np.angle(fit.amplitudes[0]), [0.3, 1.0], rtol=1e-7)
    assert_allclose(np.abs(fit.amplitudes[1]), [0.05], rtol=1e-8)
    assert_allclose(fit.trend, trend(AWAY / 200), rtol=1e-8)
    assert_allclose(fit.residual, 0, atol=1e-9)


def test_a_general_optimiser_finds_the_same():
    rng = np.random.default_rng(2)
    light = trend(AWAY / 200) * (1 + wave(0.0234, 0.05)) * (1 + 0.02 * rng.standard_normal(ROWS))
    weight = np.where((ROW > 50) & (ROW < 70), 0.0, 1.0)

    def off(p):
        curve = np.polyval(p[3:], AWAY / 200)
        bands = p[0] * np.cos(2 * np.pi * p[2] * AWAY) + p[1] * np.sin(2 * np.pi * p[2] * AWAY)
        return weight * (light / curve - 1 - bands)

    start = [0.05, 0.0, 0.0234, 0, 0, 0, 0, 1]
    other = least_squares(off, start, x_scale=[0.01, 0.01, 1e-5, *[0.1] * 5], xtol=1e-14,
                          ftol=1e-14)
    fit = harmonic_fit(light, weight=weight, sources=[Source(cycles_per_row=0.0236)])
    assert_allclose(fit.sources[0].cycles_per_row, other.x[2], atol=1e-6)
    assert_allclose(fit.amplitudes[0][0], other.x[0] - 1j * other.x[1], atol=2e-4)
    # covariance of the frequency: inverse of the optimiser's own Jacobian
    normal = np.linalg.inv(other.jac.T @ other.jac)
    assert_allclose(fit.inverse[0, 0], normal[2, 2], rtol=0.02)


def test_variance_of_a_frequency_is_that_of_the_textbook():
    """A sine in white noise: 24 s^2 / ((2 pi)^2 A^2 N^3) (Rife and Boorstyn 1974, eq. 17)."""
    light = 1 + wave(0.0834, 0.05)
    fit = harmonic_fit(light, weight=np.ones(ROWS), sources=[Source(cycles_per_row=0.0834)])
    expected = 24 / ((2 * np.pi) ** 2 * 0.05**2 * ROWS**3)
    assert_allclose(fit.inverse[0, 0], expected, rtol=0.02)


def test_the_noise_floor_is_the_variance_of_white_noise():
    rng = np.random.default_rng(5)
    found = []
    for _ in range(60):
        residual = 0.03 * rng.standard_normal(ROWS)
        found.append(noise_floor(residual, np.ones(ROWS))(np.array([0.02, 0.1, 0.4])))
    low, middle, high = np.mean(found, axis=0) / 0.03**2
    assert_allclose([middle, high], 1, rtol=0.12)
    # near the lower end few frequencies say anything, and noise is expected to rise: never too low
    assert 0.95 < low < 1.5


def test_the_noise_floor_follows_a_colour_and_passes_over_a_line():
    """Noise whose amplitude falls with the frequency, with and without a line of 20 % in it."""
    rng = np.random.default_rng(6)
    at = np.array([0.06, 0.1, 0.3])
    frequency = np.fft.rfftfreq(4 * ROWS)
    frequency[0] = frequency[1]
    plain, lined = [], []
    for _ in range(30):
        red = np.fft.irfft(np.fft.rfft(rng.standard_normal(4 * ROWS)) / frequency)[:ROWS] * 1e-3
        red -= red.mean()
        plain.append(np.log(noise_floor(red, np.ones(ROWS))(at) * (at / 1e-3) ** 2))
        lined.append(np.log(noise_floor(red + wave(0.1, 0.2), np.ones(ROWS))(at)
                            * (at / 1e-3) ** 2))
    assert_allclose(np.mean(plain, axis=0), 0, atol=0.25)
    assert_allclose(np.mean(lined, axis=0), np.mean(plain, axis=0), atol=0.25)


@pytest.mark.parametrize("oversampled", [1, 4])
def test_the_spectrum_of_a_sine(oversampled):
    cycles, power = row_spectrum(wave(0.1, 0.2), np.ones(ROWS), oversampled=oversampled)
    top = int(power.argmax())
    assert_allclose(cycles[top], 0.1, atol=1e-9)
    assert_allclose(power[top], 0.2**2 / 4 * ROWS / 1.5, rtol=1e-3)  # Hann: 1.5 bins of noise


def test_threshold_and_alarm_are_one_thing():
    floor = noise_floor(0.01 * np.random.default_rng(7).standard_normal(ROWS), np.ones(ROWS))
    at = np.array([0.01, 0.05, 0.3])
    assert_allclose(np.exp(floor.alarm(at, floor(at) * floor.threshold(at))), FALSE_ALARM)
    louder = seen_amplitude(at, floor=floor, weight=np.ones(ROWS))
    assert (louder**2 / 4 * ROWS / 1.5 > floor(at) * floor.threshold(at)).all()


def test_a_comb_is_one_source_and_two_lights_are_two():
    rng = np.random.default_rng(8)
    comb = sum(wave(0.02 * order, 0.05 / order, order) for order in (1, 2, 3))
    light = 1 + comb + wave(0.0287, 0.03) + 0.005 * rng.standard_normal(ROWS)
    found = found_lines(light, weight=np.ones(ROWS))
    assert found.count == 2
    assert [each.orders for each in found.fit.sources] == [(1, 2, 3), (1,)]


def test_a_stronger_line_is_no_harmonic_of_a_weaker_one():
    light = 1 + wave(0.02, 0.01) + wave(0.04, 0.05)
    light = light + 0.002 * np.random.default_rng(9).standard_normal(ROWS)
    found = found_lines(light, weight=np.ones(ROWS))
    assert [each.orders for each in found.fit.sources] == [(1,), (1,)]
    assert_allclose(found.fit.sources[0].cycles_per_row, 0.04, rtol=1e-3)


def test_rows_that_lie_far_off_count_for_nothing():
    light = 1 + wave(0.05, 0.04) + 0.002 * np.random.default_rng(10).standard_normal(ROWS)
    light[[40, 41, 200]] = 3.0
    found = found_lines(light, weight=np.ones(ROWS))
    assert found.fit.weight.sum() == ROWS - 3
    assert_allclose(np.abs(found.fit.amplitudes[0]), 0.04, rtol=0.02)


def test_lines_of_the_block_grid_are_no_bands():
    blocks = wave(1 / 8, 0.05) + wave(3 / 8, 0.02)
    light = 1 + blocks + 0.003 * np.random.default_rng(11).standard_normal(ROWS)
    assert found_lines(light, weight=np.ones(ROWS)).fit.sources[0].orders == (1, 3)
    assert found_lines(light, weight=np.ones(ROWS), blocks=True).count == 0


def test_a_line_that_parts_of_the_picture_disagree_on_is_no_band():
    rng = np.random.default_rng(12)
    phases = 2 * np.pi * np.arange(8) / 6  # moire turns across the picture
    parts = 1 + np.stack([wave(0.05, 0.05, each) for each in phases], axis=1)
    parts = parts + 0.003 * rng.standard_normal(parts.shape)
    light = parts.mean(axis=1)
    assert found_lines(light, weight=np.ones(ROWS)).count == 1
    found = found_lines(light, weight=np.ones(ROWS), parts=parts)
    assert found.count == 0
    assert_allclose(found.vetoed, [0.05], rtol=1e-2)
