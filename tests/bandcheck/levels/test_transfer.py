import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows
from second_opinion import colour_science

from bandcheck.errors import OutOfRangeError
from bandcheck.levels import transfer
from bandcheck.levels.transfer import (
    bt709_light,
    bt709_signal,
    bt1886_light,
    bt1886_signal,
    gamma_light,
    gamma_signal,
    pq_nits,
    pq_signal,
    srgb_light,
    srgb_signal,
    wall_light,
    wall_signal,
)

EVEN = np.linspace(0.0, 1.0, 2001)
WALLS = (
    {"transfer": "bt1886"},
    {"transfer": "gamma", "gamma": 2.2},
    {"transfer": "gamma", "gamma": 1.0},
    {"transfer": "pq", "peak_nits": 1500.0},
    {"transfer": "pq", "peak_nits": 10_000.0},
    {"transfer": "linear"},
)


@pytest.mark.parametrize(
    "row",
    [
        row
        for quantity in ("pq_signal", "bt709_signal", "bt1886_light", "srgb_light")
        for row in reference_rows("transfer", quantity)
    ],
)
def test_published_figures(row):
    assert_agrees(row, getattr(transfer, row["quantity"])(*row["given"].values()))


@pytest.mark.parametrize(
    ("mine", "theirs", "rtol"),
    [
        (bt1886_light, lambda c: lambda v: c.models.eotf_BT1886(v), 1e-12),
        (bt709_signal, lambda c: lambda v: c.models.oetf_BT709(v), 1e-12),
        (srgb_light, lambda c: lambda v: c.models.eotf_sRGB(v), 1e-12),
        (srgb_signal, lambda c: lambda v: c.models.eotf_inverse_sRGB(v), 1e-12),
        (pq_nits, lambda c: lambda v: c.models.eotf_BT2100_PQ(v), 1e-11),
    ],
)
def test_colour_science_agrees(mine, theirs, rtol):
    np.testing.assert_allclose(mine(EVEN), theirs(colour_science())(EVEN), rtol=rtol, atol=1e-15)


def test_colour_science_agrees_on_pq_signals():
    nits = np.concatenate(([0.0], np.logspace(-4, 4, 500)))
    theirs = colour_science().models.eotf_inverse_BT2100_PQ(nits)
    np.testing.assert_allclose(pq_signal(nits), theirs, rtol=1e-12)


@pytest.mark.parametrize(
    ("there", "back", "atol"),
    [
        (bt1886_signal, bt1886_light, 1e-15),
        (bt709_signal, bt709_light, 1e-15),
        (srgb_signal, srgb_light, 1e-15),
        (lambda light: pq_signal(light * 1e4), lambda signal: pq_nits(signal) / 1e4, 1e-12),
    ],
)
def test_light_comes_back(there, back, atol):
    np.testing.assert_allclose(back(there(EVEN)), EVEN, rtol=1e-12, atol=atol)


def test_pq_black_stays_black():
    assert pq_nits(0.0) == 0.0
    assert pq_nits(pq_signal(0.0)) == 0.0
    assert pq_nits(1.0) == pytest.approx(10_000.0, rel=1e-14)


def test_sides_of_the_joints():
    # BT.709's rounded constants leave a step; sRGB's leave one of 3e-8.
    assert bt709_signal(0.018) - bt709_signal(np.nextafter(0.018, 0)) == pytest.approx(
        1.099 * 0.018**0.45 - 0.099 - 0.081, rel=1e-9
    )
    assert bt709_light(0.0811) > 0.0811 / 4.5 * 0.99
    assert bt709_light(4.5 * 0.018) == pytest.approx((0.18 / 1.099) ** (20 / 9), rel=1e-12)
    assert bt709_light(0.0809) == pytest.approx(0.0809 / 4.5, rel=1e-14)
    assert srgb_signal(0.0031308) == pytest.approx(12.92 * 0.0031308, rel=1e-14)
    assert srgb_signal(0.00314) == pytest.approx(1.055 * 0.00314 ** (5 / 12) - 0.055, rel=1e-12)
    assert srgb_light(0.04045) == pytest.approx(0.04045 / 12.92, rel=1e-14)


@pytest.mark.parametrize("wall", WALLS, ids=str)
def test_every_wall_goes_there_and_back(wall):
    light = wall_light(EVEN, **wall)
    assert light[0] == pytest.approx(0.0, abs=1e-12)
    assert light[-1] == pytest.approx(1.0, rel=1e-12)
    assert (np.diff(light) >= 0.0).all()
    below = light < 1.0
    back = wall_signal(light, **wall)[below]
    np.testing.assert_allclose(back, EVEN[below], rtol=1e-12, atol=1e-6)


def test_a_wall_is_its_published_curve():
    np.testing.assert_array_equal(wall_light(EVEN, transfer="bt1886"), bt1886_light(EVEN))
    np.testing.assert_array_equal(wall_light(EVEN, transfer="linear"), EVEN)
    np.testing.assert_array_equal(wall_signal(EVEN, transfer="linear"), EVEN)
    np.testing.assert_array_equal(
        wall_light(EVEN, transfer="gamma", gamma=2.2), gamma_light(EVEN, gamma=2.2)
    )
    np.testing.assert_array_equal(
        wall_signal(EVEN, transfer="gamma", gamma=2.2), gamma_signal(EVEN, gamma=2.2)
    )


def test_pq_counts_from_the_walls_own_peak_and_is_clipped_there():
    assert wall_light(0.751827, transfer="pq", peak_nits=2000.0) == pytest.approx(0.5, rel=1e-5)
    assert wall_light(0.751827, transfer="pq", peak_nits=1000.0) == pytest.approx(1.0, rel=1e-5)
    assert wall_light(0.9, transfer="pq", peak_nits=1000.0) == 1.0
    # Dimension: twice the light against twice the peak is the same share.
    twice = pq_signal(2.0 * pq_nits(0.4))
    np.testing.assert_allclose(
        wall_light(twice, transfer="pq", peak_nits=3000.0),
        wall_light(0.4, transfer="pq", peak_nits=1500.0), rtol=1e-12,
    )


@given(st.floats(0.0, 1.0), st.floats(0.1, 10.0), st.floats(1e-3, 1.0))
@settings(derandomize=True, deadline=None)
def test_a_power_law_scales(signal, gamma, share):
    # Dimension: a share of the signal is that share's own light of the light.
    np.testing.assert_allclose(
        gamma_light(signal * share, gamma=gamma),
        gamma_light(signal, gamma=gamma) * gamma_light(share, gamma=gamma),
        rtol=1e-12, atol=1e-300,
    )


@pytest.mark.parametrize("wall", WALLS, ids=str)
def test_shapes_are_kept(wall):
    assert wall_light(0.5, **wall).shape == ()
    assert wall_light(np.full((2, 3), 0.5), **wall).shape == (2, 3)
    assert wall_signal(np.full((0, 3), 0.5), **wall).shape == (0, 3)
    assert bt709_light([0.5]).shape == srgb_light([0.5]).shape == (1,)


@pytest.mark.parametrize("bad", [-1e-9, 1.0 + 1e-9, np.nan, np.inf])
def test_signals_out_of_range_are_refused(bad):
    for function in (bt1886_light, pq_nits, srgb_light, bt709_light):
        with pytest.raises(OutOfRangeError, match=r"signal: .* from 0 to 1"):
            function([0.5, bad])
    for function in (bt1886_signal, srgb_signal, bt709_signal):
        with pytest.raises(OutOfRangeError, match=r"light: .* from 0 to 1"):
            function(bad)
    for name in ("linear", "pq"):
        with pytest.raises(OutOfRangeError, match="light"):
            wall_signal(bad, transfer=name, peak_nits=1000.0)
        with pytest.raises(OutOfRangeError, match="signal"):
            wall_light(bad, transfer=name, peak_nits=1000.0)
    with pytest.raises(OutOfRangeError, match=r"nits: .* from 0 to 10000"):
        pq_signal(bad * 1e4)


@pytest.mark.parametrize(
    ("wall", "named"),
    [
        ({"transfer": "log"}, "transfer: 'log' .* 'bt1886'"),
        ({"transfer": "gamma"}, "gamma: None .* 'gamma'"),
        ({"transfer": "gamma", "gamma": 0.09}, "gamma: 0.09"),
        ({"transfer": "gamma", "gamma": 10.1}, "gamma: 10.1"),
        ({"transfer": "pq"}, "peak_nits: None .* 'pq'"),
        ({"transfer": "pq", "peak_nits": 0.0}, "peak_nits: 0.0"),
        ({"transfer": "pq", "peak_nits": 10_001.0}, "peak_nits: 10001.0"),
    ],
)
def test_walls_that_cannot_be_are_refused(wall, named):
    for function in (wall_light, wall_signal):
        with pytest.raises(OutOfRangeError, match=named):
            function(0.5, **wall)


def test_transfer_limits_themselves_are_accepted():
    for gamma in (0.1, 10.0):
        assert gamma_light(1.0, gamma=gamma) == gamma_signal(1.0, gamma=gamma) == 1.0
    for peak in (0.5, 10_000.0):
        assert wall_light(1.0, transfer="pq", peak_nits=peak) == 1.0
