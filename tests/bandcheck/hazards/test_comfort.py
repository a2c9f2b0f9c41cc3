import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.comfort import comfort_finding, ieee_1789_modulation_limit
from bandcheck.vision.level import Level


@pytest.mark.parametrize("row", reference_rows("flicker", "ieee_1789_modulation_limit"))
def test_published_limits(row):
    assert_agrees(row, ieee_1789_modulation_limit(**row["given"]))


@pytest.mark.parametrize(
    ("practice", "frequency_hz", "expected"),
    [
        ("low_risk", [89.999, 90.0], [0.02249975, 0.072]),
        ("low_risk", [1249.9, 1250.0, 1250.1, 1e6], [0.99992, 1.0, 1.0, 1.0]),
        ("no_effect", [89.999, 90.0], [0.0089999, 0.02997]),
        ("no_effect", [2999.0, 3000.0, 1e6], [0.998667, 1.0, 1.0]),
    ],
)
def test_where_the_limits_bend(practice, frequency_hz, expected):
    found = ieee_1789_modulation_limit(frequency_hz=frequency_hz, practice=practice)
    np.testing.assert_allclose(found, expected, rtol=1e-12)


@given(st.floats(0.01, 44.0), st.sampled_from(["low_risk", "no_effect"]))
@settings(derandomize=True, deadline=None)
def test_twice_as_fast_may_be_twice_as_deep(frequency, practice):
    # Dimension: below the bend the limit is so much per hertz.
    one, two = ieee_1789_modulation_limit(
        frequency_hz=[frequency, 2.0 * frequency], practice=practice
    )
    assert two == pytest.approx(2.0 * one, rel=1e-12)


def test_low_risk_is_never_stricter_than_no_effect():
    frequency = np.logspace(-1, 5, 5000)
    low_risk, no_effect = (
        ieee_1789_modulation_limit(frequency_hz=frequency, practice=practice)
        for practice in ("low_risk", "no_effect")
    )
    assert (low_risk >= no_effect).all()
    assert (np.diff(low_risk) >= 0.0).all()
    assert (np.diff(no_effect) >= 0.0).all()


@pytest.mark.parametrize(
    ("frequency_hz", "modulation", "level", "reason"),
    [
        (100.0, 0.0333, Level.SAFE, "light_steady_enough"),
        (100.0, 0.0334, Level.MARGINAL, "light_at_low_risk"),
        (100.0, 0.08, Level.MARGINAL, "light_at_low_risk"),
        (100.0, 0.0801, Level.VISIBLE, "light_flickers"),
        (3840.0, 1.9, Level.SAFE, "light_steady_enough"),
        (2000.0, 1.9, Level.MARGINAL, "light_at_low_risk"),
        (60.0, 0.0151, Level.VISIBLE, "light_flickers"),
        (24.0, 0.0024, Level.SAFE, "light_steady_enough"),
        (24.0, 0.0025, Level.MARGINAL, "seizure_caution"),
        (24.0, 0.5, Level.VISIBLE, "seizure_caution"),
        (3.0, 0.5, Level.VISIBLE, "seizure_caution"),
        (30.0, 0.5, Level.VISIBLE, "seizure_caution"),
        (2.99, 0.5, Level.VISIBLE, "light_flickers"),
        (30.01, 0.5, Level.VISIBLE, "light_flickers"),
        (100.0, np.nan, Level.UNKNOWN, "light_not_known"),
        ([], [], Level.UNKNOWN, "light_not_known"),
        ([100.0, 50.0], [np.nan, 0.001], Level.UNKNOWN, "light_not_known"),
        ([100.0, 50.0], [np.nan, 0.01], Level.UNKNOWN, "light_not_known"),
        ([100.0, 50.0], [np.nan, 0.1], Level.VISIBLE, "light_flickers"),
        ([100.0, 24.0], [np.nan, 0.003], Level.UNKNOWN, "seizure_caution"),
    ],
)
def test_levels_and_reasons(frequency_hz, modulation, level, reason):
    finding = comfort_finding(frequency_hz=frequency_hz, modulation=modulation)
    assert (finding.hazard, finding.level, finding.reason) == ("comfort", level, reason)
    assert finding.unit == "ratio"


@pytest.mark.parametrize("frequency", [24.0, 70.0, 100.0])
def test_a_limit_itself_is_within_it(frequency):
    at_no_effect, at_low_risk = (
        comfort_finding(
            frequency_hz=frequency,
            modulation=ieee_1789_modulation_limit(frequency_hz=frequency, practice=practice),
        )
        for practice in ("no_effect", "low_risk")
    )
    assert (at_no_effect.level, at_no_effect.reason) == (Level.SAFE, "light_steady_enough")
    assert at_low_risk.level is Level.MARGINAL


def test_the_component_that_a_limit_bites_on_decides():
    # The strongest is harmless, the faster of the other two is the worse against its limit.
    finding = comfort_finding(frequency_hz=[7680.0, 48.0, 96.0], modulation=[1.8, 0.01, 0.07])
    assert finding.level is Level.MARGINAL
    assert finding.value == 0.07
    assert finding.limit == pytest.approx(0.0768, rel=1e-12)
    assert finding.figures == {
        "frequency_hz": 96.0, "no_effect_limit": pytest.approx(0.000333 * 96.0, rel=1e-12)
    }


@pytest.mark.parametrize(("frequency_hz", "modulation", "decides"), [
    # 0.0333 % of 1536 is 0.511: only the second is beyond a limit, though the first is nearer to
    # its low-risk one
    ([100.0, 1536.0], [0.03, 0.9], 1536.0),
    ([3840.0, 1536.0], [1.0, 0.9], 1536.0),
    ([1536.0, 2000.0], [0.9, 0.9], 1536.0),
    ([3840.0, 7680.0], [0.9, 1.0], 3840.0),  # none is held to anything: the first
    ([1536.0, 1536.0, 100.0], [0.1, 0.2, 0.0], 1536.0),
])
def test_what_is_beyond_a_limit_decides_before_what_comes_near_to_one(
    frequency_hz, modulation, decides
):
    finding = comfort_finding(frequency_hz=frequency_hz, modulation=modulation)
    assert finding.figures["frequency_hz"] == decides


def test_a_caution_names_the_strongest_slow_component_beside_the_deciding_one():
    finding = comfort_finding(
        frequency_hz=[100.0, 12.0, 24.0, 25.0], modulation=[0.8, 0.002, 0.003, 0.001]
    )
    assert (finding.level, finding.reason) == (Level.VISIBLE, "seizure_caution")
    assert (finding.value, finding.figures["frequency_hz"]) == (0.8, 100.0)
    assert finding.figures["flashes_hz"] == 24.0
    assert finding.figures["flashes_modulation"] == 0.003


def test_narrow_pulses_count_as_full_modulation():
    finding = comfort_finding(frequency_hz=60.0, modulation=2.0)
    assert finding.value == 1.0
    assert finding.limit == pytest.approx(0.015, rel=1e-12)


def test_what_is_not_known_has_no_figures():
    finding = comfort_finding(frequency_hz=100.0, modulation=np.nan)
    assert finding.value is None
    assert finding.limit is None
    assert finding.figures == {}


def test_any_shape_is_one_finding():
    grid = np.array([[24.0, 48.0], [96.0, 120.0]])
    flat = comfort_finding(frequency_hz=grid.ravel(), modulation=0.05)
    assert comfort_finding(frequency_hz=grid, modulation=0.05) == flat
    assert flat.value == 0.05
    assert flat.figures["frequency_hz"] == 24.0


@given(st.floats(0.1, 1e4), st.floats(0.0, 2.0), st.floats(0.0, 1.0))
@settings(derandomize=True, deadline=None)
def test_less_modulation_is_never_worse(frequency, modulation, share):
    whole = comfort_finding(frequency_hz=frequency, modulation=modulation)
    less = comfort_finding(frequency_hz=frequency, modulation=modulation * share)
    assert less.level <= whole.level


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"frequency_hz": 0.0}, "frequency_hz"),
        ({"frequency_hz": [24.0, np.nan]}, "frequency_hz"),
        ({"modulation": -1e-9}, "modulation"),
        ({"modulation": 2.01}, "modulation"),
        ({"modulation": np.inf}, "modulation"),
    ],
)
def test_impossible_lights_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        comfort_finding(**{"frequency_hz": 24.0, "modulation": 0.1, **changed})


def test_another_practice_is_refused():
    with pytest.raises(OutOfRangeError, match=r"^practice: 'strict' .* 'low_risk' or 'no_effect'"):
        ieee_1789_modulation_limit(frequency_hz=100.0, practice="strict")
    with pytest.raises(OutOfRangeError, match=r"^frequency_hz: "):
        ieee_1789_modulation_limit(frequency_hz=0.0, practice="low_risk")
