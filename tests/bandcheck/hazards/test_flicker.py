import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards import flicker
from bandcheck.hazards.flicker import (
    flicker_index_of_harmonics,
    flicker_index_of_pulse,
    modulation_index,
    ripple,
    stroboscopic_threshold,
    stroboscopic_visibility,
    swing_stops,
)

PHASE = (np.arange(20_000) + 0.5) / 20_000


def index_by_area(light):
    """Flicker index of evenly spaced samples of one period, by its definition."""
    return np.clip(light - light.mean(), 0.0, None).sum() / light.sum()


def harmonics_of(light):
    """Amplitudes of the harmonics of such samples over their mean."""
    lines = np.fft.rfft(light)
    return 2.0 * lines[1:-1] / lines[0].real


@pytest.mark.parametrize(
    "row",
    [
        row
        for quantity in (
            "flicker_index_of_harmonics", "flicker_index_of_pulse", "stroboscopic_visibility"
        )
        for row in reference_rows("flicker", quantity)
    ],
)
def test_published_figures(row):
    assert_agrees(row, getattr(flicker, row["quantity"])(**row["given"]))


@pytest.mark.parametrize(
    ("largest", "smallest", "mean", "fmi", "relative", "stops"),
    [
        (77.0, 76.0, 76.8, 1 / 153, 1 / 76.8, np.log2(77 / 76)),  # 76 or 77 pulses
        (3.0, 1.0, 1.5, 0.5, 4 / 3, np.log2(3.0)),
        (2.0, 2.0, 2.0, 0.0, 0.0, 0.0),
        (4.0, 0.0, 1.0, 1.0, 4.0, np.nan),
        (0.0, 0.0, 0.0, 0.0, 0.0, np.nan),  # black
    ],
)
def test_extremes_by_hand(largest, smallest, mean, fmi, relative, stops):
    ends = {"largest": largest, "smallest": smallest}
    assert modulation_index(**ends) == pytest.approx(fmi, rel=1e-14)
    assert ripple(**ends, mean=mean) == pytest.approx(relative, rel=1e-14)
    np.testing.assert_allclose(swing_stops(**ends), stops, rtol=1e-12)


@given(st.floats(1e-3, 1e3), st.floats(0.0, 1.0), st.floats(1e-3, 1e3))
@settings(derandomize=True, deadline=None)
def test_extremes_in_another_unit_of_light(largest, share, unit):
    # Dimension: none of the three knows what the light is measured in.
    for function, more in (
        (modulation_index, ()), (swing_stops, ()), (ripple, (("mean", 0.7 * largest),)),
    ):
        ends = {"largest": largest, "smallest": largest * share, **dict(more)}
        scaled = {key: value * unit for key, value in ends.items()}
        np.testing.assert_allclose(function(**scaled), function(**ends), rtol=1e-9, atol=1e-12)


def test_modulation_index_and_stops_are_two_faces_of_one_ratio():
    largest, smallest = 5.0, np.linspace(0.1, 5.0, 50)
    fmi = modulation_index(largest=largest, smallest=smallest)
    np.testing.assert_allclose(
        swing_stops(largest=largest, smallest=smallest), np.log2((1 + fmi) / (1 - fmi)),
        rtol=1e-10, atol=1e-14,
    )


@pytest.mark.parametrize("duty", [0.01, 0.25, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("modulation", [0.0, 0.3, 1.0])
def test_the_index_of_a_pulse_is_the_area_above_its_mean(duty, modulation):
    light = np.where(duty > PHASE, 1.0 + modulation, 1.0 - modulation)
    found = flicker_index_of_pulse(duty=duty, modulation=modulation)
    assert found == pytest.approx(index_by_area(light), abs=1e-12)


@pytest.mark.parametrize(
    "light",
    [
        1.0 + 0.6 * np.cos(2 * np.pi * PHASE + 0.4),
        2.0 + np.cos(2 * np.pi * PHASE) + 0.8 * np.sin(6 * np.pi * PHASE),
        3.0 + np.cos(2 * np.pi * 7 * PHASE) - 0.5 * np.sin(2 * np.pi * 11 * PHASE + 1.0),
        1.0 + 0.3 * np.cos(2 * np.pi * 40 * PHASE),
    ],
)
def test_the_index_of_harmonics_is_the_area_above_the_mean(light):
    found = flicker_index_of_harmonics(harmonics_of(light)[:40])
    assert found == pytest.approx(index_by_area(light), abs=2e-6)


def test_many_harmonics_of_a_pulse_come_near_the_pulse():
    order = np.arange(1, 2001)
    for duty in (0.1, 0.5):
        found = flicker_index_of_harmonics(2.0 * np.sinc(order * duty))
        assert found == pytest.approx(flicker_index_of_pulse(duty=duty), abs=2e-4)


@given(st.floats(0.0, 1.0), st.floats(0.0, 2 * np.pi), st.integers(1, 9))
@settings(derandomize=True, deadline=None)
def test_the_index_of_a_sine_knows_neither_phase_nor_rate(depth, phase, order):
    # Dimension: the same sine, any number of times in the period, from anywhere in it.
    amplitudes = np.zeros(order, dtype=complex)
    amplitudes[-1] = depth * np.exp(1j * phase)
    assert flicker_index_of_harmonics(amplitudes) == pytest.approx(depth / np.pi, abs=1e-6)


def test_stroboscopic_visibility_of_several_harmonics_by_hand():
    thresholds = stroboscopic_threshold([100.0, 200.0, 300.0])
    # Each at twice its threshold: 2 x 3^(1/3.7); one of them alone: 2.
    both = stroboscopic_visibility(
        relative_amplitudes=2.0 * thresholds, frequency_hz=[100.0, 200.0, 300.0]
    )
    assert both == pytest.approx(2.0 * 3.0 ** (1 / 3.7), rel=1e-12)
    alone = stroboscopic_visibility(
        relative_amplitudes=[0.0, 2j * thresholds[1], 0.0], frequency_hz=[100.0, 200.0, 300.0]
    )
    assert alone == pytest.approx(2.0, rel=1e-12)


def test_the_stroboscopic_threshold_rises_to_full_modulation():
    # Half way, but for the last term's 1e-12, at 306.6 Hz; unmodulated light never reaches 1.
    assert stroboscopic_threshold(306.6) == pytest.approx(0.5, rel=1e-10)
    assert (np.diff(stroboscopic_threshold(np.linspace(90.0, 2000.0, 500))) > 0.0).all()
    assert stroboscopic_threshold(2000.0) == pytest.approx(1.0, abs=2e-4)
    assert stroboscopic_threshold(80.0) == pytest.approx(1 / (1 + np.exp(1.173788)) + 20 / np.e**8)


def test_light_outside_the_stroboscopic_range_does_not_count():
    beside = [79.9, 80.0, 2000.0, 2000.1]
    assert stroboscopic_visibility(relative_amplitudes=0.9, frequency_hz=0.5) == 0.0
    np.testing.assert_array_equal(
        np.isnan(stroboscopic_threshold(beside)), [True, False, False, True]
    )
    alone = [stroboscopic_visibility(relative_amplitudes=0.9, frequency_hz=f) for f in beside]
    assert alone[0] == alone[3] == 0.0
    assert min(alone[1:3]) > 0.89


def test_shapes():
    grid = np.ones((2, 3))
    assert modulation_index(largest=grid, smallest=[0.0, 0.5, 1.0]).shape == (2, 3)
    assert ripple(largest=grid, smallest=0.0, mean=[[1.0], [2.0]]).shape == (2, 3)
    assert swing_stops(largest=1.0, smallest=1.0).shape == ()
    assert flicker_index_of_pulse(duty=[[0.1], [0.2]], modulation=[0.1, 0.2, 0.3]).shape == (2, 3)
    assert flicker_index_of_harmonics(grid).shape == (2,)
    found = stroboscopic_visibility(relative_amplitudes=grid, frequency_hz=[100, 200, 300])
    assert found.shape == (2,)
    cells = [flicker_index_of_harmonics(row) for row in ([1.0, 0.2], [0.1, 0.9])]
    np.testing.assert_array_equal(flicker_index_of_harmonics([[1.0, 0.2], [0.1, 0.9]]), cells)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: modulation_index(largest=1.0, smallest=1.1), "smallest"),
        (lambda: modulation_index(largest=1.0, smallest=-1e-9), "smallest"),
        (lambda: swing_stops(largest=np.inf, smallest=1.0), "largest"),
        (lambda: swing_stops(largest=np.nan, smallest=1.0), "largest"),
        (lambda: ripple(largest=1.0, smallest=0.0, mean=-1.0), "mean"),
        (lambda: ripple(largest=[0.0, 1.0], smallest=0.0, mean=0.0), "mean"),
        (lambda: flicker_index_of_pulse(duty=0.0), "duty"),
        (lambda: flicker_index_of_pulse(duty=1.01), "duty"),
        (lambda: flicker_index_of_pulse(duty=0.5, modulation=1.01), "modulation"),
        (lambda: flicker_index_of_pulse(duty=0.5, modulation=-0.01), "modulation"),
        (lambda: flicker_index_of_harmonics([2.01]), "relative_amplitudes"),
        (lambda: flicker_index_of_harmonics([np.nan]), "relative_amplitudes"),
        (lambda: flicker_index_of_harmonics([]), "relative_amplitudes"),
        (lambda: flicker_index_of_harmonics(1.0), "relative_amplitudes"),
        (lambda: stroboscopic_threshold(0.0), "frequency_hz"),
        (lambda: stroboscopic_threshold([100.0, np.inf]), "frequency_hz"),
        (
            lambda: stroboscopic_visibility(relative_amplitudes=2.01, frequency_hz=100.0),
            "relative_amplitudes",
        ),
        (
            lambda: stroboscopic_visibility(relative_amplitudes=1.0, frequency_hz=-100.0),
            "frequency_hz",
        ),
    ],
)
def test_impossible_lights_are_refused(call, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        call()
