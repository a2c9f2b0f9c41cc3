"""A sweep of one cell is what the check says of that setting, to the last bit."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from plain_shots import (
    FILM,
    exposure_at,
    free_wall,
    global_camera,
    mains_lamp,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.assess import assess
from bandcheck.verdict.row_sampling import exposure_used_s
from bandcheck.verdict.sweep import sweep, sweep_table
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.level import Level

LAMPS = (mains_lamp(mains_tolerance=0.001), pulsed_lamp())
SHOTS = {
    "locked": {},
    "locked 5/2": {"wall_fps": 60},
    "clocks free": {"wall_fps": "24000/1001", "genlock": "free"},
    "refresh free": {"wall": free_wall(refreshes_per_frame=None)},
    "whole lines": {"camera": plain_camera(shutter_whole_lines=True, readout_s=0.021)},
    "lamps": {"lamps": LAMPS},
    "bit planes": {"wall": plain_wall(drive="binary_code", counts_per_refresh=1023)},
    "global": {"camera": global_camera()},
    "optics": {
        "camera": plain_camera(sensor_height_mm=13.8), "wall": plain_wall(pitch_mm=2.6),
        "optics": plain_optics(), "panel_rotation_deg": 180,
    },
    "left open": {"wall": plain_wall(dealing=None, clock_hz=26e6)},
    "three colours": {"wall": plain_wall(white_duty=(1.0, 0.8, 0.6))},
    "not described": {"camera": plain_camera(exposure_scheme="multi")},
}
ANGLES = (Fraction(180), Fraction("172.8"), Fraction("91.07"))


@pytest.mark.parametrize("changed", SHOTS.values(), ids=SHOTS)
def test_one_cell_is_the_check(changed):
    for angle in ANGLES:
        shot = plain_shot(angle=angle, **changed)
        cell = sweep(shot, angles_deg=[angle], rates=[FILM])
        found = assess(shot, fixes=False)
        levels = [each for each in found.banding.levels if each.decides]
        describable = shot.camera.exposure_scheme == "single"
        for swept, figures in (
            (cell.visibility, [each.visibility for each in levels]),
            (cell.ripple, [each.ripple for each in levels]),
        ):
            assert_array_equal(swept[0, 0], figures if describable else np.nan)
        others = [each.finding.value for each in found.findings
                  if each.finding.hazard in ("flicker", "lamp")]
        assert_array_equal(cell.other_visibility[0, 0], max(others) if describable else np.nan)
        assert Level.of_severity(int(cell.severity[0, 0])) is found.overall
        cells = wall_cells(shot, levels=shot.levels, exposure_s=[exposure_used_s(shot)])
        if describable:
            assert_array_equal(cell.visibility[0], cells.visibility.T)
            assert_array_equal(cell.ripple[0], cells.ripple.T)


@pytest.mark.parametrize("kind", ["locked", "refresh free", "whole lines", "lamps", "global"])
def test_many_cells_are_single_ones_side_by_side(kind):
    shot = plain_shot(**SHOTS[kind])
    angles = [Fraction(tenths, 10) for tenths in (*range(1780, 1790), 1125, 3600, 7)]
    rates, levels = [FILM, Fraction(24000, 1001), Fraction(30)], (1.0, 0.37, 0.05)
    together = sweep(shot, angles_deg=angles, rates=rates, levels=levels)
    for place, rate in enumerate(rates):
        for index in (0, 3, 10, 12):
            alone = sweep(
                shot, angles_deg=[angles[index]], rates=[rate], levels=levels, workers=1
            )
            for name in ("visibility", "ripple", "other_visibility", "severity"):
                assert_array_equal(
                    getattr(together, name)[place, index], getattr(alone, name)[0, 0], name
                )


def test_a_wall_and_its_content_go_along_with_the_rate_only_if_they_ran_with_it():
    still_at_24 = sweep(
        plain_shot(wall_fps=48), angles_deg=[Fraction(90)], rates=[FILM, Fraction(48)]
    )
    own = plain_shot(fps=48, wall_fps=48, angle=90)
    assert_array_equal(
        still_at_24.visibility[1, 0],
        wall_cells(own, levels=own.levels, exposure_s=[1 / 192]).visibility[:, 0],
    )
    along = sweep(plain_shot(), angles_deg=[Fraction(180)], rates=[Fraction(30)])
    thirty = plain_shot(fps=30)
    assert_array_equal(
        along.visibility[0, 0],
        wall_cells(thirty, levels=thirty.levels, exposure_s=[1 / 60]).visibility[:, 0],
    )
    # 24p content on that wall: a rate of its own stays, and tears at 30 fps
    own_content = plain_shot(wall_fps=48, fps=24, content_fps=FILM)
    swept = sweep(own_content, angles_deg=[Fraction(180)], rates=[FILM, Fraction(36)])
    assert list(swept.severity[:, 0]) == [0, Level.VISIBLE.severity]


def test_rates_that_cannot_be_run_say_why_and_leave_the_rest():
    clocked = plain_wall(clock_hz=26e6, frame_end="dark")  # fills 97 % of a frame at 24 fps
    shot = plain_shot(wall=clocked)
    swept = sweep(shot, angles_deg=[Fraction(180)], rates=[FILM, Fraction(48)])
    assert list(swept.refused) == [Fraction(48)]
    assert "do not fit a frame" in swept.refused[Fraction(48)]
    assert np.isnan(swept.visibility[1]).all()
    assert np.isnan(swept.worst_visibility[1]).all()
    assert swept.severity[1, 0] == Level.UNKNOWN.severity
    assert np.isfinite(swept.visibility[0]).all()
    with pytest.raises(OutOfRangeError, match=r"^rates: '48, 60'.*do not fit a frame"):
        sweep(shot, angles_deg=[Fraction(180)], rates=[Fraction(48), Fraction(60)])


def test_the_worst_of_a_sweep():
    shot = plain_shot(lamps=LAMPS)
    angles = [Fraction(180), Fraction(144), Fraction("172.8")]
    swept = sweep(shot, angles_deg=angles, rates=[FILM], levels=(1.0, 0.5, 0.02))
    assert swept.visibility.shape == swept.ripple.shape == (1, 3, 3)
    by_hand = swept.visibility.max(axis=2)
    assert_array_equal(swept.worst_visibility, np.maximum(by_hand, swept.other_visibility))
    assert list(swept.worst_level_index[0]) == [2, 1, 0]  # 172.8: white is the worst
    assert swept.other_visibility[0, 0] > 4  # 60 Hz at 180 deg


def test_progress_is_told_block_by_block():
    told = []

    def progress(done, blocks):
        for each in done:
            told.append(blocks)
            yield each

    angles = [Fraction(180) + Fraction(step, 100) for step in range(601)]
    swept = sweep(plain_shot(), angles_deg=angles, rates=[FILM], levels=[1.0], progress=progress)
    assert set(told) == {len(told)}
    assert swept.visibility.shape == (1, 601, 1)
    assert np.isfinite(swept.visibility).all()


def test_the_table_has_a_row_for_each_rate_and_angle():
    swept = sweep(
        plain_shot(), angles_deg=[Fraction(180), Fraction("172.8")],
        rates=[FILM, Fraction(24000, 1001)], levels=(1.0, 0.125),
    )
    table = sweep_table(swept)
    assert list(table.columns) == [
        "fps", "angle_deg", "level", "visibility", "worst_signal_pct", "ripple_pct_at_100",
        "ripple_pct_at_12.5",
    ]
    assert list(table["fps"]) == ["24", "24", "24000/1001", "24000/1001"]
    assert list(table["angle_deg"]) == [180, 172.8, 180, 172.8]
    assert list(table["level"]) == ["safe", "marginal", "safe", "marginal"]
    np.testing.assert_allclose(table["ripple_pct_at_100"][1], 100 / 76.8, rtol=1e-9)
    assert_array_equal(table["visibility"], swept.worst_visibility.ravel())
    assert table["worst_signal_pct"][1] == 100


def test_the_exposure_of_an_angle():
    assert exposure_at(180, 48) == Fraction(1, 96)
    swept = sweep(plain_shot(fps=48), angles_deg=[Fraction(90)], rates=[Fraction(48)])
    shot = plain_shot(fps=48)
    cells = wall_cells(shot, levels=shot.levels, exposure_s=[1 / 192])
    assert_array_equal(swept.visibility[0], cells.visibility.T)
