"""Fourier coefficients of pulse trains against hand formulas and power."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall
from wall_cases import modelled_train

from bandcheck.light.lamps import pulsed_lamp_train
from bandcheck.light.pulse_train import PulseTrain
from bandcheck.light.spectrum import fourier_coefficients

SMALL = ListedWall(
    wall_fps=Fraction(50), refreshes_per_frame=6, scan_lines=3, counts_per_refresh=15
)
DRIVES = ["spread", "repeated", "binary_code"]


def test_one_pulse_a_period():
    number = np.arange(40)
    found = fourier_coefficients(pulsed_lamp_train(pulse_hz=100.0, duty=0.25), number)[0]
    # 1/P of the integral from 0 to P/4
    by_hand = np.full(40, 0.25, dtype=complex)
    by_hand[1:] = (1 - np.exp(-0.5j * np.pi * number[1:])) / (2j * np.pi * number[1:])
    assert_allclose(found, by_hand, atol=1e-15)
    always = fourier_coefficients(pulsed_lamp_train(pulse_hz=100.0, duty=1.0), number)[0]
    assert_allclose(always, number == 0, atol=1e-15)


@pytest.mark.parametrize("drive", DRIVES)
@pytest.mark.parametrize("end", ["none", "dark", "stretched"])
def test_the_power_is_that_of_light_that_is_on_or_off(drive, end):
    """Of light that is 0 or 1 the mean square is the mean (Parseval)."""
    clock_hz = None if end == "none" else 50 * 6 * 3 * 15 / 0.9
    wall = replace(
        SMALL, drive=drive, clock_hz=clock_hz, frame_end="dark" if end == "dark" else "stretched"
    )
    number = np.arange(60_000)
    found = fourier_coefficients(modelled_train(wall, [1, 9, 15]), number)
    power = np.abs(found[:, 0]) ** 2 + 2 * (np.abs(found[:, 1:]) ** 2).sum(axis=1)
    assert_allclose(power, found[:, 0].real, rtol=2e-3)
    assert_allclose(found[:, 0].imag, 0, atol=1e-15)


def test_later_light_turns_the_phase():
    early = modelled_train(SMALL, [7])
    late = replace(early, first_pulse_s=early.first_pulse_s + 1e-3)
    number = np.arange(30)
    turn = np.exp(-2j * np.pi * number * 1e-3 * 50)
    assert_allclose(
        fourier_coefficients(late, number), fourier_coefficients(early, number) * turn, atol=1e-15
    )


def test_an_uneven_pitch_is_the_even_one_where_both_apply():
    """A pitch off by a trace goes the long way to the same figures."""
    even = modelled_train(SMALL, [7, 50])
    uneven = replace(even, refresh_pitch_s=even.refresh_pitch_s * (1 - 1e-10))
    assert even.evenly_pitched
    assert not uneven.evenly_pitched
    number = np.arange(200)
    expected = fourier_coefficients(even, number)
    assert_allclose(fourier_coefficients(uneven, number), expected, atol=1e-7)
    few = np.array([199, 3, 14, 15])
    assert_allclose(fourier_coefficients(uneven, few), expected[:, few], atol=1e-7)


def test_a_slot_of_bit_planes_by_hand():
    coded = PulseTrain(
        cycle_s=7.0, refresh_pitch_s=7.0, first_pulse_s=0.0, count_s=1.0,
        counts=np.array([[5]]), binary_code=True,
    )
    number = np.arange(1, 20)
    lit = [(0.0, 1.0), (3.0, 7.0)]
    by_hand = sum(
        (np.exp(-2j * np.pi * number * start / 7) - np.exp(-2j * np.pi * number * stop / 7))
        / (2j * np.pi * number) for start, stop in lit
    )
    assert_allclose(fourier_coefficients(coded, number)[0], by_hand, atol=1e-15)


def test_shapes_and_black():
    found = fourier_coefficients(modelled_train(SMALL, [0, 3, 90]), np.array([0, 6, 7]))
    assert found.shape == (3, 3)
    assert_array_equal(found[0], 0)
    assert_allclose(found[:, 0].real, [0, 3 / 270, 90 / 270], rtol=1e-12)
    assert fourier_coefficients(modelled_train(SMALL, [3]), np.array([], dtype=int)).shape == (1, 0)


def test_time_has_no_scale():
    quick, slow = (
        modelled_train(replace(SMALL, wall_fps=rate), [7]) for rate in (Fraction(50), Fraction(25))
    )
    number = np.arange(50)
    assert_array_equal(fourier_coefficients(quick, number), fourier_coefficients(slow, number))
