"""The shipped library: wide enough, sound, and with a source for every figure."""

import tomllib
from fractions import Fraction

import pytest

from bandcheck.shoot.profiles import (
    load_camera,
    load_lamp,
    load_wall,
    shipped_folder,
    shipped_names,
)

RATES = tuple(map(Fraction, (24, 25, 30, 48, 50, 60))) + tuple(
    Fraction(nominal * 1000, 1001) for nominal in (24, 30, 48, 60)
)
FILES = sorted(
    path for kind in ("walls", "cameras", "lamps") for path in (shipped_folder() / kind).iterdir()
)
NAMES_ONLY = {"name", "body", "mode"}


@pytest.fixture(params=FILES, ids=lambda path: path.stem)
def tables(request) -> dict:
    # The second route: floats straight from the file, nothing of bandcheck's reader.
    return tomllib.loads(request.param.read_text(encoding="utf-8"))


WALLS = {name: load_wall(name) for name in shipped_names("wall")}
CAMERAS = {name: load_camera(name) for name in shipped_names("camera")}
LAMPS = {name: load_lamp(name) for name in shipped_names("lamp")}


def test_every_figure_says_what_kind_of_source_it_has(tables):
    kinds = tomllib.loads((shipped_folder() / "sources.toml").read_text(encoding="utf-8"))["kinds"]
    assert set(kinds) == {"maker's sheet", "measured", "common practice", "assumed"}
    (table,) = (content for name, content in tables.items() if name != "source")
    assert tables["source"].keys() == table.keys() - NAMES_ONLY
    for text in tables["source"].values():
        assert text.startswith(tuple(kinds))
        assert not text.startswith("measured") or text[9:].count("-") == 2


def test_names_differ():
    names = [*WALLS, *CAMERAS, *LAMPS]
    assert len(set(names)) == len(names) == len(FILES)
    shown = [each.name for group in (WALLS, CAMERAS, LAMPS) for each in group.values()]
    assert len(set(shown)) == len(shown)
    assert all(len(name) <= 40 for name in shown)


def refreshes_and_counts(wall, fps: Fraction, keep_refresh: bool) -> tuple[int, int]:
    """Largest legal M by counting up, and C by trying."""
    if wall.refreshes_per_frame:
        refreshes = wall.refreshes_per_frame
    else:
        room = Fraction(wall.refresh_hz) / (fps if keep_refresh else wall.rated_fps)
        refreshes = sum(1 for number in range(1, 1000) if number <= room)
        legal = wall.refreshes_per_frame_allowed or range(1, 1000)
        refreshes = max(number for number in legal if number <= refreshes)
    if wall.counts_per_refresh:
        return refreshes, wall.counts_per_refresh
    full = 2**wall.gray_bits
    if wall.drive == "spread":
        return refreshes, max(n for n in range(1, full + 1) if n * refreshes <= full)
    return refreshes, full - 1 if wall.drive == "binary_code" else full


@pytest.mark.parametrize("keep_refresh", [True, False])
@pytest.mark.parametrize("fps", RATES, ids=str)
@pytest.mark.parametrize("name", WALLS)
def test_the_clock_of_a_wall_carries_every_common_rate(name, fps, keep_refresh):
    wall = WALLS[name]
    refreshes, counts = refreshes_and_counts(wall, fps, keep_refresh)
    if wall.refresh_lock == "free":
        line_s = 1 / Fraction(wall.refresh_hz) / wall.scan_lines
    else:
        line_s = 1 / (fps * refreshes * wall.scan_lines)
    switch_s = Fraction(wall.line_switch_s or 0)
    # Without a known clock a slot must leave room for one that driver chips have: up to 160 MHz
    # (common practice; the fastest in check_values is 83.4 MHz, doubled where both edges count).
    clock_hz = Fraction(wall.clock_hz or 160_000_000)
    tolerance = Fraction("1.001") if wall.refresh_lock == "free" else 1
    assert counts / clock_hz + switch_s <= line_s * tolerance


@pytest.mark.parametrize("name", CAMERAS)
def test_cameras_are_made_of_photosites_that_exist(name):
    camera = CAMERAS[name]
    if camera.shutter == "rolling":
        assert camera.max_fps is not None
        assert camera.readout_s * camera.max_fps <= 1
        assert 1e-6 < camera.readout_s / camera.rows_px < 20e-6
    if camera.sensor_width_mm is not None:
        across = camera.sensor_width_mm / camera.columns_px
        down = camera.sensor_height_mm / camera.rows_px
        assert 0.002 < across < 0.010
        assert abs(across / down - 1) < 2e-3


def test_the_demo_wall_is_the_one_of_the_page():
    wall = WALLS["stage-main-2.6"]
    assert (wall.drive, wall.refresh_lock, wall.scan_lines, wall.gray_bits) == (
        "spread", "frame", 16, 16
    )
    assert Fraction(wall.refresh_hz) / 24 == 160
    assert wall.clock_hz is None


def test_walls_cover_the_trade():
    walls = WALLS.values()
    assert len(walls) >= 8
    assert {(wall.drive, wall.refresh_lock) for wall in walls} >= {
        ("spread", "frame"), ("repeated", "frame"), ("repeated", "free"), ("binary_code", "free"),
        ("binary_code", "frame"),
    }
    assert {wall.scan_lines for wall in walls} >= {4, 8, 16, 32}
    assert {wall.refresh_hz for wall in walls} >= {960, 1920, 3840, 7680}
    assert any(wall.clock_hz and wall.line_switch_s and wall.drive == "spread" for wall in walls)
    assert any(wall.pitch_mm >= 8 for wall in walls)
    assert {wall.transfer for wall in walls} == {"bt1886", "gamma", "pq", "linear"}
    assert {wall.frame_end for wall in walls} == {None, "dark", "stretched"}
    assert any(wall.white_duty != (1, 1, 1) for wall in walls)
    assert any(wall.min_pulse_counts != (1, 1, 1) for wall in walls)
    assert any(wall.emitter_fill is None for wall in walls)


def test_cameras_cover_the_trade():
    cameras = CAMERAS.values()
    assert len(cameras) >= 10
    readouts = {round(1e3 * camera.readout_s) for camera in cameras if camera.shutter == "rolling"}
    assert readouts >= {4, 8, 16, 21, 30}
    assert any(camera.shutter == "global" for camera in cameras)
    bodies = [camera.body for camera in cameras]
    assert max(map(bodies.count, bodies)) >= 3
    assert any(camera.angles_deg for camera in cameras)
    assert any(camera.speeds_s for camera in cameras)
    assert any(camera.angle_step_deg == Fraction(1, 10) for camera in cameras)
    assert {camera.shutter_whole_lines for camera in cameras} == {True, False, None}
    assert {camera.mosaic for camera in cameras} == {"bayer", "none", None}


def test_lamps_cover_the_trade():
    lamps = LAMPS.values()
    assert len(lamps) >= 6
    for mains in (50, 60):
        assert len({lamp.modulation for lamp in lamps if lamp.mains_hz == mains}) >= 3
    assert sum(lamp.kind == "pulsed" for lamp in lamps) >= 2
    assert any((lamp.mains_tolerance or 0) >= 0.01 for lamp in lamps)
