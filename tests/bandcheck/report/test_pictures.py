"""Pictures of sweeps and of maps, read back pixel by pixel."""

import io
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from PIL import Image

from bandcheck.report.map_ink import NO_CELL, ink, visibility_share
from bandcheck.report.pictures import MOST_COLUMNS, moire_map_picture, sweep_heat_map
from bandcheck.verdict.moire_map import MoireMap
from bandcheck.verdict.sweep import Sweep
from bandcheck.vision.level import Level

TITLE = ("a wall x a camera", "levels 100, 50 %")
LEFT, TOP = 110, 24 + 26 * len(TITLE) + 14
LIMITS = {"safe_below": 1.0, "visible_from": 8.0}
SEVERITY = {level: Level(level).severity for level in ("safe", "marginal", "visible", "unknown")}
DRAWN = 40, 240
"""Gray of lines on light and on dark cells."""


def a_sweep(visibility, levels, angles=None):
    """Sweep of one gray level with given V and grades, shape (rates, angles)."""
    values = np.array(visibility, dtype=float)
    return Sweep(
        rates=tuple(Fraction(24 + row) for row in range(values.shape[0])),
        angles_deg=tuple(angles or (Fraction(90 + each) for each in range(values.shape[1]))),
        levels=(1.0,), visibility=values[..., np.newaxis], ripple=values[..., np.newaxis] / 100,
        other_visibility=np.zeros(values.shape),
        severity=np.vectorize(SEVERITY.get)(np.array(levels)).astype(np.int8), refused={},
    )


def opened(png):
    with Image.open(io.BytesIO(png)) as image:
        return np.asarray(image.convert("RGB")), image.text


def cell(pixels, *, row, rows, column, columns, height):
    """Pixels of one cell without its frame."""
    tall, wide = height // rows, 1200 // columns
    top, left = TOP + row * tall, LEFT + column * wide
    return pixels[top + 2 : top + tall - 2, left + 2 : left + wide - 2]


def drawn(part):
    """Share of pixels that are lines."""
    return np.isin(part, DRAWN).all(axis=2).mean()


def shade(visibility):
    return ink(visibility_share(visibility, **LIMITS))


def test_every_cell_has_its_ink_and_safe_ones_their_lines():
    values = [[0.2, 3.0, 40.0], [3.0, 0.2, 0.9]]
    levels = [["safe", "marginal", "visible"], ["marginal", "safe", "safe"]]
    pixels, text = opened(sweep_heat_map(a_sweep(values, levels), title=TITLE, **LIMITS))
    for row in range(2):
        for column in range(3):
            part = cell(pixels, row=row, rows=2, column=column, columns=3, height=128)
            own = (part == shade(values[row][column])).all(axis=2).mean()
            if levels[row][column] == "safe":
                assert 0.2 < drawn(part) < 0.4
                assert own + drawn(part) == 1
            else:
                assert own == 1
    assert text["Description"] == "a wall x a camera. levels 100, 50 %"


def test_what_tears_below_the_limit_and_what_is_unknown_never_look_safe():
    swept = a_sweep([[0.2, 0.2, np.nan, 3.0]], [["safe", "visible", "unknown", "unknown"]])
    pixels, _ = opened(sweep_heat_map(swept, title=TITLE, **LIMITS))
    safe, torn, unknown, doubtful = (
        cell(pixels, row=0, rows=1, column=column, columns=4, height=64) for column in range(4)
    )
    rows_of_lines = np.isin(torn, DRAWN).all(axis=2)
    assert_array_equal(rows_of_lines, rows_of_lines[:, :1] & np.ones(torn.shape[1], bool))
    assert not np.array_equal(safe, torn)
    assert (unknown == NO_CELL).all(axis=2).any()
    assert 0.05 < drawn(unknown) < 0.2
    assert 0.05 < drawn(doubtful) < 0.2


def test_one_safe_angle_among_thousands_is_marked():
    angles = [Fraction(each, 10) for each in range(1, 3601)]
    values, levels = np.full((1, 3600), 5.0), np.full((1, 3600), "marginal", dtype="<U8")
    values[0, 1799], levels[0, 1799] = 0.1, "safe"  # 180 deg
    pixels, _ = opened(sweep_heat_map(
        a_sweep(values, levels, angles), title=TITLE, **LIMITS
    ))
    field = pixels[TOP : TOP + 64, LEFT : LEFT + 1200]
    marked = np.isin(field, DRAWN).all(axis=2)
    step = 1200 // MOST_COLUMNS
    assert set(np.flatnonzero(marked.any(axis=0)) // step) == {1799 * MOST_COLUMNS // 3600}
    assert not marked[:32].any()  # the lower half only: the column holds others
    assert (field[:32] == shade(5.0)).all()  # and its ink is that of the worst


def test_the_worst_of_a_column_shows_and_a_column_of_safe_angles_is_safe_all_over():
    angles = [Fraction(each, 10) for each in range(1, 601)]  # two angles to a column
    values, levels = np.full((1, 600), 0.5), np.full((1, 600), "safe", dtype="<U8")
    values[0, 300], levels[0, 300] = 50.0, "visible"
    pixels, _ = opened(sweep_heat_map(
        a_sweep(values, levels, angles), title=TITLE, **LIMITS
    ))
    column = slice(LEFT + 150 * 4, LEFT + 151 * 4)
    assert (pixels[TOP : TOP + 32, column] == shade(50.0)).all()
    assert np.isin(pixels[TOP + 32 : TOP + 64, column], DRAWN).all(axis=2).any()
    other = pixels[TOP : TOP + 32, LEFT : LEFT + 400]
    assert 0.2 < drawn(other) < 0.4


def test_the_same_sweep_gives_the_same_file_and_long_names_fit():
    swept = a_sweep([[0.2, 3.0]], [["safe", "marginal"]])
    long = ("w" * 3000, "\u4e2d\n\t" * 50)
    assert sweep_heat_map(swept, title=long, **LIMITS) == sweep_heat_map(
        swept, title=long, **LIMITS
    )


@pytest.mark.parametrize("rates", [1, 40, 300])
def test_any_number_of_rates(rates):
    swept = a_sweep(np.full((rates, 2), 3.0), np.full((rates, 2), "marginal"))
    pixels, _ = opened(sweep_heat_map(swept, title=TITLE, **LIMITS))
    assert pixels.shape[0] < 2200


def a_map(**changed):
    """Twelve by twelve cells: safe where the second axis is in its lower half."""
    moire = np.where(np.arange(12)[:, np.newaxis] < 6, 0.3, 20.0) * np.ones((12, 12))
    severity = np.where(moire < 1, SEVERITY["safe"], SEVERITY["visible"]).astype(np.int8)
    return MoireMap(**{
        "kind": "focus", "distance_mm": np.geomspace(1e3, 1e5, 12),
        "other_mm": np.geomspace(1e3, 1e5, 12), "moire": moire, "grid": moire / 10,
        "severity": severity, "here": (1e4, 1e4), **changed,
    })


def test_a_map_stands_upright_outlines_what_is_safe_and_marks_the_shot():
    pixels, _ = opened(moire_map_picture(a_map(), title=TITLE, **LIMITS))
    left, size = 120, 840
    field = pixels[TOP : TOP + size, left : left + size]
    assert (field[10, 10] == shade(20.0)).all()  # far focus is up, and seen
    assert 0.2 < drawn(field[-60:, :60]) < 0.4  # near focus is down, and safe
    outline = (field == 20).all(axis=2)
    assert outline[size // 2 - 2 : size // 2 + 2, 60].any()
    assert not outline[100, :300].any()
    assert (field[size // 2, size // 2] == 20).all()  # the cross: half-way in the logarithm


def test_what_no_lens_can_do_is_gray_and_the_unknown_dotted():
    moire = np.full((12, 12), 3.0)
    moire[:, :6] = np.nan
    severity = np.full((12, 12), SEVERITY["unknown"], dtype=np.int8)
    pixels, _ = opened(moire_map_picture(
        a_map(moire=moire, severity=severity, kind="focal"), title=TITLE, **LIMITS
    ))
    field = pixels[TOP : TOP + 840, 120 : 120 + 840]
    assert (field[100:200, 10:200] == NO_CELL).all()
    assert 0.05 < drawn(field[100:200, 600:800]) < 0.2
