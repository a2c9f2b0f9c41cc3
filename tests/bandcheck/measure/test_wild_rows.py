"""One row far too bright neither hides the bands nor makes up others.

Expected pitches are those that the rows were drawn with, and dealt out by hand here.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from bandcheck.errors import ProfileError
from bandcheck.measure.picture_bands import picture_bands
from bandcheck.measure.row_profile import row_profile

ROWS = 96
PITCH_ROWS = 17.0


def drawn_rows():
    noise = np.random.default_rng(1).normal(0, 0.002, ROWS)
    return 1 + 0.3 * np.sin(2 * np.pi * np.arange(ROWS) / PITCH_ROWS) + noise


def table(rows):
    return "".join(f"{each!r}\n" for each in rows.tolist()).encode()


@pytest.mark.parametrize("bright", [100, 1e3, 1e6, 1e9, 1e15])
@pytest.mark.parametrize("place", [0, 9, 29, 50, 80, 95])
def test_the_bands_beside_one_wild_row_keep_their_pitch(place, bright):
    rows = drawn_rows()
    rows[place] = bright
    (source,) = picture_bands(table(rows), name="rows.csv").sources
    assert_allclose(1 / source.cycles_per_row.value, PITCH_ROWS, rtol=1e-3)
    assert_allclose(source.contrast.value, 0.3, rtol=0.02)


@pytest.mark.parametrize(("bright", "kept"), [(19.9, 1), (20.1, 0)])
def test_a_row_is_left_out_from_twenty_times_almost_all_others_up(bright, kept):
    light = np.ones((9, 1))
    light[5] = bright
    assert row_profile(light).weight.tolist() == [1, 1, 1, 1, 1, kept, 1, 1, 1]


def test_bands_of_short_pulses_are_kept_whole():
    """Rows that catch all of a pulse, or nothing but stray light: the bright ones are no fault."""
    rows = np.where(np.arange(ROWS) % 32 < 2, 16.0, 1e-3)
    assert row_profile(rows[:, np.newaxis]).weight.sum() == ROWS


@pytest.mark.parametrize("number", ["1.1e15", "1e308", "-1e16"])
def test_a_number_that_no_row_can_have_is_refused(number):
    content = b"1\n" * 60 + f"{number}\n".encode()
    with pytest.raises(ProfileError, match=rf"line 61: '{number}' is beyond 1e\+15, and no row"):
        picture_bands(content, name="rows.csv")
