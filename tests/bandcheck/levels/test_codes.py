from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_rows import reference_rows
from second_opinion import colour_science

from bandcheck.errors import OutOfRangeError
from bandcheck.levels import codes
from bandcheck.levels.codes import (
    full_range_code,
    full_range_code_at_least,
    full_range_signal,
    narrow_range_code,
    narrow_range_signal,
)

BITS = (8, 10, 12)
TO_CODE = (full_range_code, full_range_code_at_least, narrow_range_code)


@pytest.mark.parametrize(
    "row",
    [
        row
        for function in TO_CODE
        for row in reference_rows("transfer", function.__name__)
    ],
)
def test_published_codes(row):
    function = getattr(codes, row["quantity"])
    assert [int(function(bits=bits, **row["given"])) for bits in BITS] == row["expected"]


@pytest.mark.parametrize("bits", BITS)
def test_every_code_comes_back(bits):
    every = np.arange(2**bits)
    signal = full_range_signal(every, bits=bits)
    np.testing.assert_array_equal(full_range_code(signal, bits=bits), every)
    np.testing.assert_array_equal(full_range_code_at_least(signal, bits=bits), every)
    luma = np.arange(16 << bits - 8, (235 << bits - 8) + 1)
    inside = np.clip(narrow_range_signal(luma, bits=bits), 0.0, 1.0)
    np.testing.assert_array_equal(narrow_range_code(inside, bits=bits), luma)


@pytest.mark.parametrize("bits", BITS)
def test_the_least_code_is_the_least_even_a_last_bit_beside_it(bits):
    top = 2**bits - 1
    exact = np.arange(1, top) / top
    for signal in (np.nextafter(exact, 0), exact, np.nextafter(exact, 1)):
        code = full_range_code_at_least(signal, bits=bits)
        assert (full_range_signal(code, bits=bits) >= signal).all()
        assert (full_range_signal(code - 1, bits=bits) < signal).all()
    assert full_range_code_at_least(5e-324, bits=bits) == 1
    assert full_range_code_at_least(0.0, bits=bits) == 0


@given(st.floats(0.0, 1.0), st.sampled_from(BITS))
@settings(derandomize=True, deadline=None)
def test_codes_against_exact_fractions(signal, bits):
    exact = Fraction(signal) * (2**bits - 1)
    found = int(full_range_code(signal, bits=bits))
    assert abs(found - exact) <= Fraction(1, 2) + Fraction(1, 10**9)
    at_least = int(full_range_code_at_least(signal, bits=bits))
    assert -Fraction(1, 10**9) <= at_least - exact < 1 + Fraction(1, 10**9)
    luma = (219 * Fraction(signal) + 16) * 2 ** (bits - 8)
    found = int(narrow_range_code(signal, bits=bits))
    assert abs(found - luma) <= Fraction(1, 2) + Fraction(1, 10**9)


@pytest.mark.parametrize("bits", BITS)
def test_colour_science_agrees(bits):
    signal = np.linspace(0.0, 1.0, 997)
    cv_range = colour_science().CV_range
    low, high = cv_range(bits, is_legal=True, is_int=True)
    np.testing.assert_array_equal(narrow_range_code([0.0, 1.0], bits=bits), [low, high])
    low, high = cv_range(bits, is_legal=False, is_int=True)
    np.testing.assert_array_equal(full_range_code([0.0, 1.0], bits=bits), [low, high])
    assert (np.diff(narrow_range_code(signal, bits=bits)) >= 0).all()


@pytest.mark.parametrize("bits", BITS)
def test_only_halves_are_rounded_up(bits):
    for share, expected in ((0.4999, 3), (0.5001, 4)):
        assert full_range_code((3 + share) / (2**bits - 1), bits=bits) == expected
        luma = 16 * 2 ** (bits - 8) + 3
        signal = ((luma + share) / 2 ** (bits - 8) - 16) / 219
        assert narrow_range_code(signal, bits=bits) == luma - 3 + expected


def test_more_bits_are_finer_steps():
    # Dimension: four steps of 10 bit, sixteen of 12 bit, to one of 8 bit; narrow range exactly so.
    np.testing.assert_array_equal(
        narrow_range_signal(np.arange(256) * 4, bits=10), narrow_range_signal(range(256), bits=8)
    )
    np.testing.assert_array_equal(
        narrow_range_signal(np.arange(256) * 16, bits=12), narrow_range_signal(range(256), bits=8)
    )
    assert narrow_range_signal(0, bits=8) == pytest.approx(-16 / 219, rel=1e-14)
    assert narrow_range_signal(1023, bits=10) == pytest.approx(239.75 / 219, rel=1e-14)


@pytest.mark.parametrize("function", TO_CODE)
def test_shapes_and_whole_numbers(function):
    for shape in ((), (3,), (2, 3), (0,)):
        found = function(np.full(shape, 0.3), bits=10)
        assert found.shape == shape
        assert found.dtype == np.int64


@pytest.mark.parametrize("function", TO_CODE)
@pytest.mark.parametrize("bad", [-1e-9, 1.0 + 1e-9, np.nan, np.inf])
def test_signals_out_of_range_are_refused(function, bad):
    with pytest.raises(OutOfRangeError, match=r"signal: .* from 0 to 1"):
        function([0.5, bad], bits=10)


@pytest.mark.parametrize("function", [*TO_CODE, full_range_signal, narrow_range_signal])
@pytest.mark.parametrize("bits", [0, 9, 16, -8])
def test_other_depths_are_refused(function, bits):
    with pytest.raises(OutOfRangeError, match=f"bits: {bits} .* 8, 10 or 12"):
        function(0, bits=bits)


@pytest.mark.parametrize("function", [full_range_signal, narrow_range_signal])
def test_codes_out_of_range_are_refused(function):
    for bad in (-1, 1024, np.nan):
        with pytest.raises(OutOfRangeError, match=r"code: .* from 0 to 1023"):
            function(bad, bits=10)
