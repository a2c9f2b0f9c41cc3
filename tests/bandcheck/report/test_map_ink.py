"""Ink of the maps: even steps of lightness, one hue, marks that read in gray."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from second_opinion import colour_science

from bandcheck.report.map_ink import HATCH, NO_CELL, hatched, ink, visibility_share


def lab(pixels):
    """CIE 1976 L*a*b* by colour-science."""
    colour = colour_science()
    return colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.asarray(pixels) / 255))


def test_lightness_falls_in_even_steps_by_another_library():
    found = lab(ink(np.linspace(0, 1, 16)))
    assert_allclose(np.diff(found[:, 0]), (20 - 97) / 15, atol=0.5)  # 8 bits: half a step of L*
    assert_allclose(found[[0, -1], 0], [97, 20], atol=0.5)


def test_one_hue_inside_the_gamut():
    inner = lab(ink(np.linspace(0.1, 1, 12)))
    hue = np.degrees(np.arctan2(inner[:, 2], inner[:, 1])) % 360
    assert_allclose(hue, 335, atol=2)


def test_no_figure_is_neither_light_nor_dark():
    assert_array_equal(ink(np.nan), NO_CELL)
    assert_array_equal(ink([np.nan, 0.5])[0], NO_CELL)
    assert len(set(NO_CELL)) == 1


def test_the_scale_is_even_in_the_logarithm_and_holds_the_limits():
    share = visibility_share([0.05, 0.1, 1, 8, 80, 1e6], safe_below=1, visible_from=8)
    decades = np.log10(800)
    assert_allclose(share, [0, 0, 1 / decades, np.log10(80) / decades, 1, 1], atol=1e-12)
    assert np.isnan(visibility_share(np.nan, safe_below=1, visible_from=8))
    assert visibility_share(np.inf, safe_below=1, visible_from=8) == 1


@pytest.mark.parametrize("kind", HATCH)
@pytest.mark.parametrize("shade", [0.0, 1.0])
def test_lines_stand_off_from_what_is_under_them(kind, shade):
    cells = np.array(np.broadcast_to(ink(shade), (24, 24, 3)))
    before = cells.copy()
    which = np.zeros((24, 24), dtype=bool)
    which[:, :12] = True
    hatched(cells, which, kind)
    assert_array_equal(cells[:, 12:], before[:, 12:])
    drawn = (cells != before).any(axis=2)[:, :12]
    assert 0.1 < drawn.mean() < 0.5
    gray = np.abs(cells.mean(axis=2) - before.mean(axis=2))[:, :12]
    assert gray[drawn].min() > 100


def test_kinds_of_lines_differ():
    masks = {}
    for kind in HATCH:
        cells = np.full((42, 42, 3), 250, dtype=np.uint8)
        hatched(cells, np.ones((42, 42), dtype=bool), kind)
        masks[kind] = (cells < 100).any(axis=2).tobytes()
    assert len({masks["safe"], masks["torn"], masks["unknown"]}) == 3
