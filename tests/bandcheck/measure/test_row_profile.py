"""Where a picture is clear, and one light for each row out of stripes that need not all agree."""

import numpy as np
import pytest
from brute_bands import codes, picture_file, srgb_code
from numpy.testing import assert_allclose

from bandcheck.errors import OutOfRangeError
from bandcheck.measure.clear_region import clear_part
from bandcheck.measure.frame_grab import frame_grab
from bandcheck.measure.row_light import RowLight, clipped_share, picture_light, row_light
from bandcheck.measure.row_profile import row_profile

ROWS, STRIPES = 240, 20


def rows_of(light):
    return RowLight(light=light, first_row=0, edges=np.arange(light.shape[1] + 1) * 12)


def banded(rng, noise=0.003):
    row = np.arange(ROWS)[:, np.newaxis]
    light = 0.4 * (1 + 0.05 * np.sin(row / 7)) * np.ones((1, STRIPES))
    return light * (1 + noise * rng.standard_normal((ROWS, STRIPES)))


@pytest.mark.parametrize(("transfer", "gamma"), [
    ("srgb", None), ("bt709", None), ("linear", None), ("gamma", 2.4),
])
def test_light_of_a_row_is_the_mean_of_its_pixels_light(transfer, gamma):
    rng = np.random.default_rng(1)
    code = rng.integers(0, 256, (60, 50, 3), dtype=np.uint8)
    grab = frame_grab(picture_file(code), name="g")
    found = row_light(grab, transfer=transfer, gamma=gamma)
    # pixel by pixel, by the definitions (IEC 61966-2-1, BT.709 item 1.2 turned round)
    signal = code / 255
    light = {
        "srgb": np.where(signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4),
        "bt709": np.where(signal < 0.081, signal / 4.5, ((signal + 0.099) / 1.099) ** (1 / 0.45)),
        "linear": signal, "gamma": signal**2.4,
    }[transfer]
    expected = light[:, : found.edges[-1]].mean(axis=(1, 2))
    assert_allclose(found.light.mean(axis=1), expected, rtol=1e-5)


def test_a_region_along_columns_is_that_part_turned():
    rng = np.random.default_rng(2)
    code = rng.integers(0, 256, (64, 96), dtype=np.uint8)
    upright = row_light(frame_grab(picture_file(code), name="g"), transfer="linear",
                        region=(12, 8, 60, 50))
    turned = row_light(frame_grab(picture_file(code.T), name="g"), transfer="linear",
                       region=(8, 12, 50, 60), along="columns")
    assert_allclose(turned.light, upright.light, rtol=1e-12)
    assert (turned.first_row, upright.first_row) == (8, 8)
    assert_allclose(upright.light[0, 0], code[8, 12:24].mean() / 255, rtol=1e-6)


def test_transfers_that_are_none_are_refused():
    with pytest.raises(OutOfRangeError, match="transfer"):
        picture_light(0.5, transfer="log")
    with pytest.raises(OutOfRangeError, match="gamma"):
        picture_light(0.5, transfer="gamma")


def test_clipped_codes_are_counted():
    code = np.full((90, 90), 100, dtype=np.uint8)
    code[:45] = 255
    code[45:60, :45] = 0
    found = clipped_share(frame_grab(picture_file(code), name="g"), region=(0, 0, 90, 90))
    assert_allclose(found, (1 / 2, 1 / 12), atol=1e-12)


def test_a_wall_in_a_dark_studio_is_found():
    rng = np.random.default_rng(3)
    light = np.full((ROWS, STRIPES), 0.004) * (1 + 0.01 * rng.standard_normal((ROWS, STRIPES)))
    light[60:190, 5:16] = banded(rng)[60:190, 5:16]
    rows, stripes = clear_part(rows_of(light))
    assert (stripes.start, stripes.stop) == (5, 16)
    assert (rows.start, rows.stop) == (60, 190)


def test_clipped_and_busy_parts_are_left_out():
    rng = np.random.default_rng(4)
    light = banded(rng)
    light[:, :4] = 1.0
    light[:, 14:] *= np.exp(0.5 * rng.standard_normal((ROWS, 6)))
    rows, stripes = clear_part(rows_of(light))
    assert 4 <= stripes.start <= 5
    assert 13 <= stripes.stop <= 15
    assert (rows.start, rows.stop) == (0, ROWS)


def test_bands_do_not_count_as_busy():
    light = banded(np.random.default_rng(5)) ** 1.0
    light *= 1 + 0.5 * np.sin(np.arange(ROWS) / 3)[:, np.newaxis]
    assert clear_part(rows_of(light))[0] == slice(0, ROWS)


def test_all_dark_takes_everything():
    assert clear_part(rows_of(np.zeros((ROWS, STRIPES)))) == (slice(0, ROWS), slice(0, STRIPES))


def test_what_stands_in_single_stripes_does_not_reach_the_profile():
    rng = np.random.default_rng(6)
    clean = banded(rng)
    light = clean.copy()
    light[50:90, 3:9] *= 1.8  # a face in front of the wall
    light[120:132, 10:14] = 0.9  # a caption
    expected = 1 + 0.05 * np.sin(np.arange(ROWS) / 7)
    found = row_profile(light).light
    assert_allclose(found / found.mean(), expected / expected.mean(), rtol=5e-3)
    assert np.ptp(light.mean(axis=1) / expected) > 0.1  # the plain mean would show both


def test_dark_bands_are_bands():
    light = banded(np.random.default_rng(7))
    dark = (np.arange(ROWS) // 10) % 3 > 0  # two thirds of the rows are black
    light[dark] = 0.0
    found = row_profile(light)
    assert found.weight.all()
    assert_allclose(found.light[dark], 0, atol=1e-12)
    assert (found.light[~dark] > 0.5).all()
    assert clear_part(rows_of(light))[0].stop > ROWS - 30


def test_a_stripe_without_light_says_nothing():
    light = banded(np.random.default_rng(7))
    light[:, 3:9] = 0.0
    assert_allclose(row_profile(light).light, row_profile(np.delete(light, range(3, 9), 1)).light,
                    rtol=5e-3)
    assert not row_profile(np.zeros((ROWS, STRIPES))).weight.any()


def test_uneven_light_across_the_picture_is_taken_out_of_each_stripe():
    rng = np.random.default_rng(8)
    fall_off = 1 - 0.5 * np.linspace(-1, 1, STRIPES) ** 2 * np.linspace(0.2, 1, ROWS)[:, np.newaxis]
    one, other = (row_profile(banded(rng) * each).light for each in (1.0, fall_off))
    ratio = other / one
    smooth = np.polyval(np.polyfit(np.arange(ROWS), ratio, 4), np.arange(ROWS))
    assert_allclose(ratio, smooth, rtol=5e-3)


def test_the_made_up_encoding_is_the_standard_one():
    signal = srgb_code(np.array([0.0, 0.0031308, 0.18, 1.0]))
    assert_allclose(picture_light(signal, transfer="srgb"), [0, 0.0031308, 0.18, 1], rtol=1e-4)
    assert codes(np.array([0.5]), bits=16)[0] == 48192  # 0.735357 of 65535
