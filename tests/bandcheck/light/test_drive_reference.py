"""Drive of a multiplexed wall against component data sheets (tests/reference/drive.toml)."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.light.led_drive import (
    counts_for_gray_bits,
    dealing_order,
    lit_refreshes,
    refresh_counts,
)
from bandcheck.light.refresh_choice import (
    clock_for_refreshes_hz,
    refresh_from_clock_hz,
    refreshes_at_rate,
)
from bandcheck.light.scan_timing import scan_timing


def rows(*identities):
    return [row for row in reference_rows("drive") if row.id in identities]


def clocked_refresh_hz(given, *, clock_hz=None, dead_counts=None):
    return refresh_from_clock_hz(
        clock_hz=given.get("clock_hz", clock_hz), counts_per_refresh=given.get("counts", 512),
        dead_counts=given["dead_counts"] if dead_counts is None else dead_counts,
        scan_lines=given.get("scan_lines", 16),
    )


@pytest.mark.parametrize("row", rows("D2", "E1"))
def test_refresh_that_a_clock_carries(row):
    given = row["given"]
    assert_agrees(row, clocked_refresh_hz(given))
    # the same from the slots of a refresh that runs free: dead counts are dark time
    timing = scan_timing(
        wall_fps=Fraction(60), refreshes_per_frame=7, scan_lines=given["scan_lines"],
        counts_per_refresh=given["counts"], clock_hz=given["clock_hz"],
        line_switch_s=given["dead_counts"] / given["clock_hz"], refresh_hz=450.0,
    )
    assert_agrees(row, timing.refresh_hz)


@pytest.mark.parametrize("row", rows("D2"))
def test_print_gives_the_whole_part(row):
    assert int(clocked_refresh_hz(row["given"])) == row["printed"]


@pytest.mark.parametrize("row", rows("E1"))
def test_print_in_error_is_one_percent_off(row):
    assert row["printed"] / clocked_refresh_hz(row["given"]) - 1 == pytest.approx(0.01, abs=1e-3)


@pytest.mark.parametrize("row", rows("D4"))
def test_clock_that_a_scan_needs(row):
    given = row["given"]
    scan = {
        "wall_fps": Fraction(given["wall_fps"]), "scan_lines": given["scan_lines"],
        "refreshes_per_frame": given["refreshes_per_frame"],
        "counts_per_refresh": given["counts"], "line_switch_s": given["line_switch_s"],
    }
    clock_hz = clock_for_refreshes_hz(**scan)
    assert_agrees(row, clock_hz)
    assert_allclose(clock_hz, row["printed"], rtol=1e-3)
    # with that clock the frame is full to the brim, with a slower one it runs over
    assert_allclose(scan_timing(**scan, clock_hz=clock_hz).used_fraction, 1.0, rtol=1e-12)
    with pytest.raises(OutOfRangeError, match=r"32 refreshes x 30 lines x .*do not fit a frame"):
        scan_timing(**scan, clock_hz=clock_hz * (1 - 1e-6))


@pytest.mark.parametrize("row", rows("D5", "D7a", "D7b"))
def test_refreshes_of_a_frame_and_counts_of_a_refresh(row):
    given, rate = row["given"], Fraction(row["given"]["wall_fps"])
    refreshes = refreshes_at_rate(wall_fps=rate, refresh_hz=given["refresh_hz"], rated_fps=rate)
    found = [refreshes]
    if "gray_bits" in given:
        found.append(counts_for_gray_bits(
            gray_bits=given["gray_bits"], refreshes_per_frame=refreshes, drive="spread"
        ))
    expected = np.atleast_1d(row["expected"])
    assert_array_equal(found[-len(expected):], expected)
    limit = [value for key, value in given.items() if key.startswith("largest")]
    assert all(found[-1] > value for value in limit) == (row["printed"] == "refused" or not limit)


@pytest.mark.parametrize("row", rows("D7a"))
def test_what_the_driver_has_binds(row):
    given = row["given"]
    ask = {"wall_fps": Fraction(given["wall_fps"]), "refresh_hz": given["refresh_hz"],
           "rated_fps": Fraction(given["wall_fps"])}
    most = given["largest_refreshes_per_frame"]
    assert refreshes_at_rate(**ask, allowed=range(1, most + 1)) == most
    with pytest.raises(OutOfRangeError, match="320"):
        refreshes_at_rate(**ask, allowed=[512, 1024])


@pytest.mark.parametrize("row", rows("D8"))
def test_dead_counts_are_switch_time(row):
    given = row["given"]
    longer, shorter = (
        1 / clocked_refresh_hz(given, dead_counts=dead) for dead in (given["dead_counts"], 0)
    )
    assert_allclose((longer - shorter) / 16, row["expected"], rtol=1e-11)
    assert_allclose(row["printed"], row["expected"], rtol=2e-3)


@pytest.mark.parametrize("row", rows("D9a", "D9b"))
def test_clocks_of_a_full_count(row):
    given, clock_hz = row["given"], 20e6
    refreshes = given["refreshes_per_frame"]
    clocks = clock_hz * refreshes / clocked_refresh_hz(given, clock_hz=clock_hz)
    assert round(clocks) == row["expected"] == row["printed"]
    assert_allclose(clocks, row["expected"], rtol=1e-14)
    timing = scan_timing(
        wall_fps=Fraction(60), refreshes_per_frame=refreshes, scan_lines=given["scan_lines"],
        counts_per_refresh=given["counts"], clock_hz=clock_hz,
        line_switch_s=given["dead_counts"] / clock_hz, refresh_hz=1.0,
    )
    assert_allclose(timing.cycle_s * clock_hz, row["expected"], rtol=1e-12)


@pytest.mark.parametrize("row", rows("D10"))
def test_published_order_of_dealing(row):
    refreshes = row["given"]["refreshes_per_frame"]
    shown = refresh_counts(
        value=range(len(row["expected"]) + 1), refreshes_per_frame=refreshes, drive="spread"
    )
    newly_lit = [1 + int(np.flatnonzero(step)[0]) for step in np.diff(shown, axis=0)]
    assert newly_lit == row["expected"]
    assert np.diff(shown, axis=0).sum(axis=1).tolist() == [1] * len(newly_lit)
    # a full round later the same order again
    again = refresh_counts(
        value=np.arange(len(row["expected"]) + 1) + 5 * refreshes, refreshes_per_frame=refreshes,
        drive="spread",
    )
    assert_array_equal(again, shown + 5)
    assert_array_equal(dealing_order(refreshes)[: len(newly_lit)] + 1, row["expected"])


@pytest.mark.parametrize("row", rows("D11"))
@pytest.mark.parametrize("dealing", ["bit_reversed", "even"])
def test_small_counts_light_few_refreshes(row, dealing):
    given = row["given"]
    shown = refresh_counts(
        value=given["values"], refreshes_per_frame=given["refreshes_per_frame"], drive="spread",
        dealing=dealing,
    )
    assert_array_equal((shown > 0).sum(axis=1), row["expected"])
    assert_array_equal(shown.sum(axis=1), given["values"])
    assert_array_equal(
        lit_refreshes(given["values"], refreshes_per_frame=given["refreshes_per_frame"]),
        row["expected"],
    )


def test_every_row_of_the_table_is_asserted():
    asserted = {"D2", "D4", "D5", "D7a", "D7b", "D8", "D9a", "D9b", "D10", "D11", "E1"}
    assert {row.id for row in reference_rows("drive")} == asserted
