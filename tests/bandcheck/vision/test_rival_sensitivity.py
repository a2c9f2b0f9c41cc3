import numpy as np
import pytest
from reference_rows import assert_agrees, reference_rows
from scipy.optimize import minimize_scalar

from bandcheck.errors import OutOfRangeError
from bandcheck.vision import rival_sensitivity
from bandcheck.vision.contrast_sensitivity import barten_1999_sensitivity
from bandcheck.vision.rival_sensitivity import (
    kelly_1979_sensitivity,
    mannos_sakrison_1974_sensitivity,
)


@pytest.mark.parametrize(
    "row",
    [
        *reference_rows("vision", "kelly_1979_sensitivity"),
        *reference_rows("vision", "mannos_sakrison_1974_sensitivity"),
    ],
)
def test_published_figures(row):
    assert_agrees(row, getattr(rival_sensitivity, row["quantity"])(**row["given"]))


def test_mannos_and_sakrison_peak_where_they_say():
    found = minimize_scalar(
        lambda u: -mannos_sakrison_1974_sensitivity(u), bounds=(1.0, 30.0), method="bounded",
        options={"xatol": 1e-9},
    )
    assert found.x == pytest.approx(7.8909, abs=5e-5)
    assert -found.fun == pytest.approx(0.98088, abs=5e-6)


@pytest.mark.parametrize("speed", [0.15, 3.0, 32.0])
def test_kelly_peaks_at_the_frequency_of_his_equation_7(speed):
    # a = 45.9 / (v + 2), where the derivative of a^2 exp(-2 a (v + 2) / 45.9) is 0.
    found = minimize_scalar(
        lambda u: -kelly_1979_sensitivity(cycles_per_degree=u, degrees_per_second=speed),
        bounds=(0.01, 20.0), method="bounded", options={"xatol": 1e-10},
    )
    assert found.x == pytest.approx(45.9 / (speed + 2.0) / (2.0 * np.pi), rel=1e-5)


def test_kelly_by_hand_a_decade_from_his_centre():
    # log10(v / 3) is -1 and +1: 6.1 + 7.3 either way.
    slow, fast = kelly_1979_sensitivity(cycles_per_degree=1.0, degrees_per_second=[0.3, 30.0])
    assert slow == pytest.approx(13.4 * 0.3 * 4 * np.pi**2 * np.exp(-4 * np.pi * 2.3 / 45.9))
    assert fast == pytest.approx(13.4 * 30 * 4 * np.pi**2 * np.exp(-4 * np.pi * 32 / 45.9))
    # Half a decade from it: 6.1 + 7.3 / 8.
    speed = 3.0 * 10**0.5
    near = kelly_1979_sensitivity(cycles_per_degree=1.0, degrees_per_second=speed)
    assert near == pytest.approx(
        7.0125 * speed * 4 * np.pi**2 * np.exp(-4 * np.pi * (speed + 2) / 45.9)
    )


def test_three_models_agree_on_the_decade_that_is_seen_best():
    # A rough second opinion on Barten: the peaks lie within a factor of three of each other.
    frequency = np.logspace(-1, 1.5, 2000)
    models = (
        barten_1999_sensitivity(cycles_per_degree=frequency, luminance_nits=100, field_deg=33),
        kelly_1979_sensitivity(cycles_per_degree=frequency, degrees_per_second=0.15),
        mannos_sakrison_1974_sensitivity(frequency),
    )
    peaks = [frequency[np.argmax(model)] for model in models]
    assert max(peaks) < 3.2 * min(peaks)


def test_shapes_and_far_ends():
    assert kelly_1979_sensitivity(
        cycles_per_degree=np.ones((2, 1)), degrees_per_second=[1.0, 2.0, 3.0]
    ).shape == (2, 3)
    assert mannos_sakrison_1974_sensitivity(np.empty((0, 2))).shape == (0, 2)
    assert mannos_sakrison_1974_sensitivity(1000.0) < 1e-50


@pytest.mark.parametrize("bad", [0.0, -1.0, 100.001, np.nan])
def test_impossible_figures_are_refused(bad):
    with pytest.raises(OutOfRangeError, match=r"^cycles_per_degree: "):
        kelly_1979_sensitivity(cycles_per_degree=bad, degrees_per_second=3.0)
    with pytest.raises(OutOfRangeError, match=r"^degrees_per_second: "):
        kelly_1979_sensitivity(cycles_per_degree=2.0, degrees_per_second=bad)
    with pytest.raises(OutOfRangeError, match=r"^cycles_per_degree: "):
        mannos_sakrison_1974_sensitivity([2.0, 10.0 * bad - 0.005])
