"""Row means in text, as people export them, and what is no such table."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from bandcheck.errors import ProfileError
from bandcheck.measure.picture_bands import picture_bands
from bandcheck.measure.row_csv import MOST_ROWS, csv_rows, is_text


@pytest.mark.parametrize("text", [
    "1\n2\n3\n", "light\n1\n2\n3", "0,1\n1,2\n2,3\n", "row;light\n0;1\n1;2\n2;3\n",
    "row\tlight\n5\t1\n6\t2\n7\t3\n", "0 1\n1 2\n2 3", "\ufeff1\r\n2\r\n\r\n3\r\n",
    "# of my camera\n1\n2\n3\n", "row,luma,other\n0,1,9\n1,2,9\n2,3,9\n",
    "row,light_red,light_green,light_blue,signal_pct\n0,0,1,2,99\n1,1,2,3,99\n2,2,3,4,99\n",
])
def test_tables_of_many_kinds(text):
    assert_array_equal(csv_rows(text.encode(), name="rows.csv"), [1, 2, 3])


@pytest.mark.parametrize(("text", "words"), [
    ("one\ntwo\n", "'two' is no finite number"),
    ("1\nnan\n", "line 2: 'nan'"),
    ("1\ninf\n", "line 2: 'inf'"),
    ("1\n1_0\n", "line 2: '1_0'"),
    ("light\n1\nx\n", "line 3: 'x'"),
    ("1,2\n3\n", "line 2: 1 columns where the first line has 2"),
    ("1\n-2\n", "row 1: -2; light is 0 or more"),
    ("row,light\n0,1\n2,1\n", "0 is followed by 2"),
    ("row,light\n0,1\n0,1\n", "0 is followed by 0"),
    ("light\n", "a number on each line"),
    ("\u00fc".encode("latin-1") + b"\n1\n", "not UTF-8"),
    ("1\n" * (MOST_ROWS + 2), "at most"),
    (",".join("1" * 100) + "\n", "a number on each line"),
], ids=range(13))
def test_what_is_no_table(text, words):
    content = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(ProfileError, match=words) as told:
        csv_rows(content, name="rows.csv")
    assert str(told.value).isprintable()
    assert len(str(told.value)) < 200


def test_text_is_told_from_pictures():
    assert is_text(b"1\n2\n")
    assert not is_text(b"")
    assert not is_text(b"\x89PNG\r\n\x1a\n\0\0")


def wave(rows=200, scale=1.0, contrast=0.1):
    row = np.arange(rows)
    return scale * (1 + contrast * np.cos(2 * np.pi * row / 16.7 + 1))


def as_text(values):
    return "\n".join(map(repr, values.tolist())).encode()


def test_row_means_are_linear_light_of_any_scale_unless_said():
    for scale in (1e-3, 1.0, 4e4):
        found = picture_bands(as_text(wave(scale=scale)), name="rows.csv")
        assert (found.form, found.transfer, found.transfer_given) == ("CSV", "linear", False)
        np.testing.assert_allclose(found.sources[0].contrast.value, 0.1, rtol=1e-5)
        np.testing.assert_allclose(found.sources[0].period_rows.value, 16.7, rtol=1e-6)


def test_encoded_row_means_run_to_1():
    with pytest.raises(ProfileError, match="run from 0 to 1"):
        picture_bands(as_text(wave()), name="rows.csv", transfer="srgb")
    encoded = wave(scale=0.4) ** (1 / 2.2)
    found = picture_bands(as_text(encoded), name="rows.csv", transfer="gamma")
    np.testing.assert_allclose(found.sources[0].contrast.value, 0.1, rtol=1e-5)
    found = picture_bands(as_text(encoded), name="rows.csv", transfer="gamma", gamma=2.2)
    np.testing.assert_allclose(found.sources[0].contrast.value, 0.1, rtol=1e-5)


def test_even_and_dark_rows():
    found = picture_bands(as_text(np.ones(100)), name="rows.csv")
    assert found.sources == ()
    assert found.detectable > 0
    with pytest.raises(ProfileError, match="lit and clear"):
        picture_bands(as_text(np.zeros(100)), name="rows.csv")
    with pytest.raises(ProfileError, match="at least 48"):
        picture_bands(as_text(np.ones(20)), name="rows.csv")
