import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import assert_agrees, reference_rows
from scipy.special import j0
from second_opinion import colour_science

from bandcheck.errors import OutOfRangeError
from bandcheck.vision.chroma_sensitivity import chroma_sensitivity, opponent_modulation
from bandcheck.vision.contrast_sensitivity import barten_1999_sensitivity

AXES = ("red-green", "blue-yellow")
WHITE_XYZ = np.array([0.9505, 1.0, 1.0890])


def even_sensitivity(axis, level):
    """Sensitivity to even patches of colour on a gray of this level."""
    return chroma_sensitivity(
        axis=axis, cycles_per_degree=0.0, luminance_nits=level * 80.0, white_nits=80.0
    )


@pytest.mark.parametrize("row", reference_rows("vision", "chroma_sensitivity"))
def test_published_figures(row):
    assert_agrees(row, chroma_sensitivity(**row["given"]))


@pytest.mark.parametrize("level", [1.0, 0.18, 0.02, 0.005, 1e-4])
def test_even_patches_are_worth_the_lab_units_that_colour_science_finds(level):
    white_xy = WHITE_XYZ[:2] / WHITE_XYZ.sum()
    step = 1e-5
    for axis, changed, unit in (("red-green", 0, 1), ("blue-yellow", 2, 2)):
        gray = WHITE_XYZ * level
        more = gray.copy()
        more[changed] *= 1.0 + step
        lab = [colour_science().XYZ_to_Lab(xyz, white_xy) for xyz in (gray, more)]
        assert abs(lab[1] - lab[0])[unit] / step == pytest.approx(
            even_sensitivity(axis, level), rel=1e-4
        )


@pytest.mark.parametrize(
    ("axis", "spots"),
    [
        ("red-green", ((0.531, 0.0392), (0.330, 0.494))),
        ("blue-yellow", ((0.488, 0.0536), (0.371, 0.386))),
    ],
)
def test_detail_is_blurred_by_the_published_spots(axis, spots):
    # Second route: the filters as spots of light, summed and transformed ring by ring.
    radius, step = np.linspace(0.0, 4.0, 400_001, retstep=True)
    spot = sum(w / (np.pi * s**2) * np.exp(-((radius / s) ** 2)) for w, s in spots)
    for frequency in (0.3, 1.0, 4.0, 8.0):
        rings = 2.0 * np.pi * radius * spot * step
        blurred = (rings * j0(2.0 * np.pi * frequency * radius)).sum() / rings.sum()
        found = chroma_sensitivity(
            axis=axis, cycles_per_degree=frequency, luminance_nits=80.0, white_nits=80.0
        )
        assert found / even_sensitivity(axis, 1.0) == pytest.approx(blurred, abs=1e-7)


def test_fine_colour_is_seen_worse_than_fine_gray_and_coarse_colour_better():
    # Common practice, and why pictures are stored with half the colour detail.
    fine, coarse = (
        (
            barten_1999_sensitivity(cycles_per_degree=u, luminance_nits=80.0, field_deg=33.0),
            *(
                chroma_sensitivity(
                    axis=axis, cycles_per_degree=u, luminance_nits=80.0, white_nits=80.0
                )
                for axis in AXES
            ),
        )
        for u in (12.0, 0.05)
    )
    assert fine[0] > 5.0 * fine[1] > 5.0 * fine[2]
    assert coarse[1] > coarse[2] > coarse[0]


@pytest.mark.parametrize("axis", AXES)
def test_finer_or_darker_is_never_seen_better(axis):
    frequency = np.concatenate(([0.0], np.logspace(-3, 5, 300), [1.7e308]))
    level = np.concatenate(([0.0], np.logspace(-6, 0, 50)))[:, np.newaxis]
    seen = chroma_sensitivity(
        axis=axis, cycles_per_degree=frequency, luminance_nits=80.0 * level, white_nits=80.0
    )
    assert (np.diff(seen, axis=1) <= 0.0).all()
    assert (np.diff(seen, axis=0) >= 0.0).all()
    assert (seen[:, -1] == 0.0).all()
    assert (seen[0] == 0.0).all()


@given(st.floats(0.0, 20.0), st.floats(1e-4, 1.0), st.floats(1e-3, 1e3))
@settings(derandomize=True, deadline=None)
def test_only_the_share_of_white_counts(frequency, level, unit):
    # Dimension: another unit of luminance changes nothing.
    for axis in AXES:
        first, again = (
            chroma_sensitivity(
                axis=axis, cycles_per_degree=frequency, luminance_nits=level * white,
                white_nits=white,
            )
            for white in (1.0, unit)
        )
        np.testing.assert_allclose(first, again, rtol=1e-12)


@pytest.mark.parametrize("level", [1.0, 0.4])
@pytest.mark.parametrize("channels", [(1, 0, 0), (0, 1, 0), (0, 0, 1), (0.7, -0.2, -0.5)])
def test_channels_are_turned_into_what_colour_science_finds(level, channels):
    theirs = colour_science()
    amplitudes = np.array(channels) * 1e-3
    gray = np.full(3, level)
    low, high = (
        theirs.RGB_to_XYZ(rgb, theirs.RGB_COLOURSPACES["sRGB"])
        for rgb in (gray, gray * (1.0 + amplitudes))
    )
    x, y, z = (high - low) / low
    found = opponent_modulation(red=amplitudes[0], green=amplitudes[1], blue=amplitudes[2])
    np.testing.assert_allclose(found, np.abs([y, x - y, y - z]), rtol=1e-9)


def test_gray_has_no_colour_and_colours_add_up():
    luma, red_green, blue_yellow = opponent_modulation(red=0.3, green=0.3, blue=0.3)
    assert luma == pytest.approx(0.3, rel=1e-12)
    assert max(red_green, blue_yellow) < 1e-15
    np.testing.assert_allclose(
        opponent_modulation(red=0.0, green=1.0, blue=0.0)[0], 0.7152, rtol=1e-12
    )
    # Channels a quarter of a period apart: the sizes add as the sides of a right triangle.
    apart = opponent_modulation(red=1.0, green=0.0, blue=1j)
    alone = opponent_modulation(red=[1.0, 0.0], green=0.0, blue=[0.0, 1.0])
    np.testing.assert_allclose(apart, [np.hypot(*sizes) for sizes in alone], rtol=1e-12)


def test_shapes():
    assert chroma_sensitivity(
        axis="red-green", cycles_per_degree=np.ones((2, 1)), luminance_nits=[1.0, 2.0, 3.0],
        white_nits=3.0,
    ).shape == (2, 3)
    for part in opponent_modulation(red=np.ones((2, 1)), green=np.ones(3), blue=0.0):
        assert part.shape == (2, 3)


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"axis": "luma"}, "axis"),
        ({"cycles_per_degree": -1e-9}, "cycles_per_degree"),
        ({"cycles_per_degree": np.nan}, "cycles_per_degree"),
        ({"luminance_nits": -1e-9}, "luminance_nits"),
        ({"luminance_nits": 100.1}, "luminance_nits over white_nits"),
        ({"white_nits": 0.0}, "white_nits"),
    ],
)
def test_impossible_viewers_are_refused(changed, named):
    possible = {
        "axis": "red-green", "cycles_per_degree": 1.0, "luminance_nits": 50.0, "white_nits": 100.0
    }
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        chroma_sensitivity(**{**possible, **changed})


@pytest.mark.parametrize("bad", [np.nan, np.inf, complex(0, np.inf)])
def test_channels_that_are_not_numbers_are_refused(bad):
    with pytest.raises(OutOfRangeError, match=r"^red, green, blue: .*finite"):
        opponent_modulation(red=0.1, green=[0.1, bad], blue=0.1)
