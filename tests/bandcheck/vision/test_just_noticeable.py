import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.vision import just_noticeable
from bandcheck.vision.just_noticeable import (
    displayed_luminance_nits,
    grade,
    gsdf_jnd_index,
    gsdf_luminance_nits,
    jnd_steps,
    modulation_reaching_the_eye,
    severities,
)
from bandcheck.vision.level import Level

INDICES = np.arange(1.0, 1024.0)


@pytest.mark.parametrize(
    "row",
    [
        *reference_rows("vision", "gsdf_jnd_index"),
        *reference_rows("vision", "gsdf_luminance_nits"),
    ],
)
def test_published_figures(row):
    assert_agrees(row, getattr(just_noticeable, row["quantity"])(**row["given"]))


def test_the_erratum_is_no_rounding():
    (row,) = (
        param.values[0]
        for param in reference_rows("vision", "gsdf_jnd_index")
        if "printed" in param.values[0]
    )
    found = gsdf_jnd_index(**row["given"])
    assert abs(found - row["printed"]) > 100 * abs(found - row["expected"])


def test_the_two_published_formulas_invert_each_other():
    inner = INDICES[1:]
    np.testing.assert_allclose(gsdf_jnd_index(gsdf_luminance_nits(inner)), inner, atol=0.1, rtol=0)
    assert (np.diff(gsdf_luminance_nits(INDICES)) > 0.0).all()


def test_the_steps_add_up_to_the_scale():
    # Second route: DICOM PS3.14 annex A (constants from memory) climbs from 0.05 cd/m2 by one
    # threshold of an older model of Barten's after the other, at 4 cycles per degree on a field
    # of 2 degrees. 1,022 steps end within 1.6 % of the closed formula.
    nits = [0.05]
    for _ in INDICES[1:]:
        pupil = 4.6 - 2.8 * np.tanh(0.4 * np.log10(0.625 * nits[-1]))
        blur = np.exp(-((np.pi * 4.0) ** 2) * (0.0133**2 + (0.0001 * pupil**3) ** 2))
        noise = np.sqrt(3.962774805e-5 / (pupil**2 * nits[-1]) + 1.356243499e-7)
        threshold = noise / (0.1183034375 * blur)
        nits.append(nits[-1] * (1.0 + threshold) / (1.0 - threshold))
    np.testing.assert_allclose(gsdf_luminance_nits(INDICES), nits, rtol=0.016)


def test_outside_the_standard_there_is_no_index():
    found = gsdf_jnd_index([0.0, 0.0499, 0.05, 4000.0, 4000.1, 1e6])
    np.testing.assert_array_equal(np.isnan(found), [True, True, False, False, True, True])
    found = gsdf_luminance_nits([-5.0, 0.0, 0.99, 1.0, 1023.0, 1023.1, 1e6])
    np.testing.assert_array_equal(np.isnan(found), [True, True, True, False, False, True, True])


def test_steps_add_up_and_change_sign():
    low, mid, high = 0.5, 20.0, 300.0
    whole = jnd_steps(luminance_low_nits=low, luminance_high_nits=high)
    parts = jnd_steps(luminance_low_nits=[low, mid], luminance_high_nits=[mid, high])
    assert parts.sum() == pytest.approx(whole, rel=1e-12)
    assert (parts > 0.0).all()
    back = jnd_steps(luminance_low_nits=high, luminance_high_nits=low)
    assert back == -whole
    assert np.isnan(jnd_steps(luminance_low_nits=0.0, luminance_high_nits=high))


@pytest.mark.parametrize(
    ("level", "push", "expected"),
    [(0.18, 0.0, 18.0), (0.18, 2.0, 72.0), (0.18, 3.0, 100.0), (1.0, -1.0, 50.0), (0.0, 20.0, 0.0),
     (1.0, 20.0, 100.0)],
)
def test_displayed_luminance_by_hand(level, push, expected):
    dim = displayed_luminance_nits(linear_level=level, peak_nits=0.5, push_stops=push)
    assert dim == pytest.approx(expected / 200.0, rel=1e-14)
    found = displayed_luminance_nits(linear_level=level, peak_nits=100.0, push_stops=push)
    assert found == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("modulation", "light", "flare", "expected"),
    [(0.3, 1.0, 0.5, 0.2), (2.0, 0.05, 0.05, 1.0), (0.3, 1.0, 0.0, 0.3), (0.3, 0.0, 0.5, 0.0),
     (0.3, 0.0, 0.0, 0.0), (0.0, 1.0, 1.0, 0.0)],
)
def test_flare_by_hand(modulation, light, flare, expected):
    found = modulation_reaching_the_eye(
        modulation=modulation, luminance_nits=light, flare_nits=flare
    )
    assert found == pytest.approx(expected, rel=1e-14)


@given(st.floats(0.0, 2.0), st.floats(1e-3, 1e3), st.floats(0.0, 10.0), st.floats(0.01, 100.0))
@settings(derandomize=True, deadline=None)
def test_flare_in_another_unit_of_light(modulation, light, flare, unit):
    # Dimension: both luminances in another unit change nothing; the amplitude itself is kept.
    found = modulation_reaching_the_eye(
        modulation=modulation, luminance_nits=light, flare_nits=flare
    )
    again = modulation_reaching_the_eye(
        modulation=modulation, luminance_nits=light * unit, flare_nits=flare * unit
    )
    # The smallest floats of all have no digits to keep.
    np.testing.assert_allclose(again, found, rtol=1e-12, atol=1e-300)
    np.testing.assert_allclose(
        found * (light + flare), modulation * light, rtol=1e-12, atol=1e-300
    )


def test_grades_at_their_limits():
    seen = [0.0, np.nextafter(1.0, 0), 1.0, np.nextafter(8.0, 0), 8.0, 1e9, np.inf, np.nan]
    expected = [
        Level.SAFE, Level.SAFE, Level.MARGINAL, Level.MARGINAL, Level.VISIBLE, Level.VISIBLE,
        Level.VISIBLE, Level.UNKNOWN,
    ]
    assert [grade(v, safe_below=1.0, visible_from=8.0) for v in seen] == expected
    found = severities(seen, safe_below=1.0, visible_from=8.0)
    np.testing.assert_array_equal(found, [level.severity for level in expected])
    assert found.dtype == np.int8


def test_one_threshold_leaves_nothing_marginal():
    found = severities([0.0, 1.99, 2.0, np.nan], safe_below=2.0, visible_from=2.0)
    np.testing.assert_array_equal(found, [0, 0, 3, 2])


def test_unknown_modulation_stays_unknown():
    left = modulation_reaching_the_eye(
        modulation=[0.1, np.nan], luminance_nits=10.0, flare_nits=0.05
    )
    assert grade(left[1] * 500.0, safe_below=1.0, visible_from=8.0) is Level.UNKNOWN


def test_shapes():
    for shape in ((), (2, 3), (0,)):
        assert severities(np.ones(shape), safe_below=1.0, visible_from=8.0).shape == shape
        assert gsdf_jnd_index(np.ones(shape)).shape == shape
        assert gsdf_luminance_nits(np.ones(shape)).shape == shape
    assert displayed_luminance_nits(
        linear_level=np.ones((2, 1)), peak_nits=[50.0, 100.0, 200.0], push_stops=0.0
    ).shape == (2, 3)
    assert modulation_reaching_the_eye(
        modulation=np.ones((2, 1)), luminance_nits=[0.0, 1.0, 2.0], flare_nits=0.05
    ).shape == (2, 3)


SHOWN = {"linear_level": 0.5, "peak_nits": 100.0, "push_stops": 0.0}
SEEN = {"modulation": 0.1, "luminance_nits": 10.0, "flare_nits": 0.05}
GRADED = {"visibility": 0.5, "safe_below": 1.0, "visible_from": 8.0}


@pytest.mark.parametrize(
    ("function", "possible", "changed"),
    [
        (displayed_luminance_nits, SHOWN, {"linear_level": 1.0001}),
        (displayed_luminance_nits, SHOWN, {"linear_level": -1e-9}),
        (displayed_luminance_nits, SHOWN, {"peak_nits": 0.0}),
        (displayed_luminance_nits, SHOWN, {"push_stops": 20.1}),
        (displayed_luminance_nits, SHOWN, {"push_stops": -20.1}),
        (modulation_reaching_the_eye, SEEN, {"modulation": -1e-9}),
        (modulation_reaching_the_eye, SEEN, {"modulation": np.inf}),
        (modulation_reaching_the_eye, SEEN, {"luminance_nits": -1e-9}),
        (modulation_reaching_the_eye, SEEN, {"flare_nits": -1e-9}),
        (modulation_reaching_the_eye, SEEN, {"flare_nits": np.nan}),
        (grade, GRADED, {"visibility": -1e-9}),
        (grade, GRADED, {"safe_below": 0.0}),
        (grade, GRADED, {"visible_from": 0.99}),
        (grade, GRADED, {"visible_from": np.nan}),
        (gsdf_jnd_index, {}, {"luminance_nits": -1e-9}),
        (gsdf_jnd_index, {}, {"luminance_nits": np.nan}),
        (gsdf_luminance_nits, {}, {"jnd_index": np.inf}),
    ],
)
def test_impossible_figures_are_refused(function, possible, changed):
    (named,) = changed
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        function(**{**possible, **changed})
