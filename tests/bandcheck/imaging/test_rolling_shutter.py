"""Rows, lines, bands and roll by hand and by counting in a recorded frame."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from bandcheck.errors import OutOfRangeError
from bandcheck.imaging.rolling_shutter import (
    band_cycles_per_row,
    folded,
    lines_covered,
    roll_cycles_per_frame,
    row_open_s,
    scan_direction,
    scan_line_of_row,
)


def test_rows_open_one_after_another():
    ask = {"rows": [0, 1, 9], "line_time_s": 1e-3, "phase_s": 0.5, "rows_px": 10}
    assert_allclose(row_open_s(**ask), [0.5, 0.501, 0.509], rtol=1e-12)
    assert_allclose(row_open_s(**ask, readout_down=False), [0.509, 0.508, 0.5], rtol=1e-12)
    assert_allclose(row_open_s(rows=[0, 9], line_time_s=0.0, rows_px=10), [0, 0])
    assert row_open_s(
        rows=np.arange(4), line_time_s=[[1e-3], [2e-3]], rows_px=4
    ).shape == (2, 4)


@pytest.mark.parametrize(("rotation", "scan_down", "readout_down", "direction"), [
    (0, True, True, 1), (0, False, True, -1), (0, True, False, -1), (0, False, False, 1),
    (180, True, True, -1), (180, False, True, 1), (180, True, False, 1), (180, False, False, -1),
    (90, True, True, 0), (270, False, True, 0),
])
def test_scan_against_readout(rotation, scan_down, readout_down, direction):
    assert scan_direction(
        panel_rotation_deg=rotation, scan_down=scan_down, readout_down=readout_down
    ) == direction


def test_the_line_that_a_row_sees():
    # 1.5 wall rows a row, 4 scan lines
    ask = {"rows": np.arange(6), "wall_rows_per_row": 1.5, "scan_lines": 4}
    assert scan_line_of_row(**ask).tolist() == [0, 1, 3, 0, 2, 3]
    assert scan_line_of_row(**ask, direction=-1).tolist() == [0, 2, 1, 3, 2, 0]
    assert scan_line_of_row(**ask, direction=0, first_wall_row=6.9).tolist() == [2] * 6
    assert scan_line_of_row(**ask, first_wall_row=2.5).tolist() == [2, 0, 1, 3, 0, 2]


@pytest.mark.parametrize(("coupling", "lines"), [
    (None, 1), (0.3, 1), (1.0, 1), (1.99, 1), (2.0, 2), (7.9, 7), (8.0, 8), (8.5, 8), (300.0, 8),
])
def test_lines_that_a_row_is_sure_to_cover(coupling, lines):
    assert lines_covered(wall_rows_per_row=coupling, scan_lines=8) == lines


@settings(derandomize=True, deadline=None)
@given(cycles=st.floats(-1e6, 1e6))
def test_folding_is_what_sampling_sees(cycles):
    sample = np.arange(5)
    found = float(folded(cycles))
    assert -0.5 <= found <= 0.5
    assert_allclose(
        np.exp(2j * np.pi * sample * found), np.exp(2j * np.pi * sample * (cycles % 1)), atol=1e-6
    )


def counted_cycles_per_row(*, light_hz, line_time_s, coupling, lines, direction):
    """Band frequency in a frame of rows that each see their own line of a scan at `light_hz`.

    Line s lights s/S of a refresh later; each row records the phase of its line's light.
    """
    rows = np.arange(4096)
    position = direction * rows * coupling
    turns = light_hz * rows * line_time_s - position / lines
    spectrum = np.abs(np.fft.fft(np.exp(2j * np.pi * turns)))
    return np.fft.fftfreq(4096)[spectrum.argmax()]


@pytest.mark.parametrize("direction", [-1, 0, 1])
@pytest.mark.parametrize("coupling", [0.417, 0.9, 2.3])
@pytest.mark.parametrize("readout_s", [0.008, 0.016])
def test_bands_against_a_recorded_frame(direction, coupling, readout_s):
    ask = {"light_hz": 3840.0, "line_time_s": readout_s / 2160}
    found = band_cycles_per_row(
        **ask, refresh_hz=3840.0, wall_rows_per_row=coupling, scan_lines=16, direction=direction
    )
    counted = counted_cycles_per_row(**ask, coupling=coupling, lines=16, direction=direction)
    assert_allclose(found, counted, atol=0.51 / 4096)


def test_a_readout_that_keeps_pace_with_the_scan_has_no_bands():
    # a row lasts as long as it takes the scan to move by one row
    kept = band_cycles_per_row(
        light_hz=3840.0, line_time_s=0.5 / 16 / 3840, refresh_hz=3840.0, wall_rows_per_row=0.5,
        scan_lines=16,
    )
    assert_allclose(kept, 0, atol=1e-12)


def test_harmonics_of_a_frame_go_with_the_nearest_of_the_refresh():
    found = band_cycles_per_row(
        light_hz=[24.0, 1900.0, 1940.0, 3840.0, 7690.0], line_time_s=0.0, refresh_hz=3840.0,
        wall_rows_per_row=0.4, scan_lines=16,
    )
    assert_allclose(found, [0, 0, -0.025, -0.025, -0.05], atol=1e-12)


def test_without_optics_or_for_lamps_the_readout_alone_counts():
    light_hz = np.array([[120.0, 3840.0], [1e5, 3e5]])
    bare = band_cycles_per_row(light_hz=light_hz, line_time_s=4e-6)
    assert_allclose(bare, folded(light_hz * 4e-6))
    assert bare.shape == (2, 2)
    for known in ({"refresh_hz": 3840.0}, {"wall_rows_per_row": 0.4}):
        assert_array_equal(
            band_cycles_per_row(light_hz=light_hz, line_time_s=4e-6, scan_lines=16, **known), bare
        )


def test_roll():
    assert_allclose(
        roll_cycles_per_frame(light_hz=[3840, 120, 60, 100], camera_fps=24.0),
        [0, 0, 0.5, 100 / 24 - 4], atol=1e-12,
    )
    # 24.000 against 23.976: a roll in 41.7083 s (derived: check values)
    rolled = roll_cycles_per_frame(light_hz=24.0, camera_fps=24000 / 1001) * 24000 / 1001
    assert_allclose(1 / rolled, 41.7083, rtol=1e-5)
    assert_allclose(abs(roll_cycles_per_frame(light_hz=3840.0, camera_fps=25.0)) * 25, 10)


def test_refuses():
    for rotation in (45, -90, 360):
        with pytest.raises(OutOfRangeError, match=r"panel_rotation.*0, 90, 180 or 270"):
            scan_direction(panel_rotation_deg=rotation, scan_down=True, readout_down=True)
    for coupling in (0.0, -1.0, np.nan, np.inf):
        with pytest.raises(OutOfRangeError, match=r"^wall_rows_per_row: .* above 0"):
            scan_line_of_row(rows=[0], wall_rows_per_row=coupling, scan_lines=8)
    for rate in (0.0, -24.0, np.nan):
        with pytest.raises(OutOfRangeError, match=r"^camera_fps: "):
            roll_cycles_per_frame(light_hz=100.0, camera_fps=rate)
