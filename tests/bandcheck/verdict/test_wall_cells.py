"""Colours, brightness, transfer and several lines a row, through the cells of a wall."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from overlap_sum import ListedWall, exact_extremes, mean_light
from plain_shots import FILM, plain_camera, plain_optics, plain_shot, plain_wall

from bandcheck.shoot.shot import Viewing
from bandcheck.verdict.assess import assess
from bandcheck.verdict.banding_cells import banding_cells
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.verdict.wall_cells import wall_cells

FULL = 160 * 409
SLOW = Fraction("172.8")


def cells(shot, levels, exposure_s=(1 / 50,), **how):
    return wall_cells(shot, levels=levels, exposure_s=exposure_s, **how)


class TestColours:
    def test_the_worst_colour_is_named(self):
        # 40 of 160 counts light every fourth refresh: 1/19.2; 160 all of them: 1/76.8
        linear = plain_wall(transfer="linear", white_duty=(1.0, 1.0, 0.25))
        shot = plain_shot(wall=linear, levels=(160 / FULL,), angle=SLOW)
        (level,) = [
            each for each in assess(shot, fixes=False).banding.levels if each.decides
        ]
        assert level.colour == "blue"
        assert level.counts == 160  # of the first colour
        assert_allclose(level.ripple, 1 / 19.2, rtol=1e-9)
        assert_allclose(level.effective_refresh_hz, 40 * 24)

    def test_the_worst_of_three_is_kept(self):
        levels = [1, 0.3, 0.1, 0.05]
        walls = [plain_wall(white_duty=(duty,) * 3) for duty in (1.0, 0.53, 0.31)]
        together = cells(plain_shot(wall=plain_wall(white_duty=(1.0, 0.53, 0.31))), levels,
                         [1 / 60, 1 / 48])
        alone = [cells(plain_shot(wall=wall), levels, [1 / 60, 1 / 48]) for wall in walls]
        assert_array_equal(together.visibility, np.max([e.visibility for e in alone], axis=0))
        assert_array_equal(together.ripple, np.max([each.ripple for each in alone], axis=0))
        worst = np.argmax([each.visibility for each in alone], axis=0)
        assert_array_equal(together.worst_colour, worst)
        assert_array_equal(together.counts, alone[0].counts)
        assert len(set(worst.ravel())) > 1

    def test_a_longer_shortest_pulse_lights_fewer_refreshes(self):
        wall = plain_wall(transfer="linear", min_pulse_counts=(1, 1, 4))
        found = assess(plain_shot(wall=wall, levels=(160 / FULL,), angle=SLOW), fixes=False)
        level = found.banding.levels[[e.decides for e in found.banding.levels].index(True)]
        assert level.colour == "blue"
        assert_allclose(level.ripple, 1 / 19.2, rtol=1e-9)
        assert_allclose(level.effective_refresh_hz, 40 * 24)

    def test_even_light_is_white(self):
        report = assess(plain_shot(angle=SLOW), fixes=False).banding
        assert {each.colour for each in report.levels} == {"white"}


class TestBrightness:
    def test_dimming_by_pulse_width_costs_counts(self):
        dim = plain_shot(wall=plain_wall(brightness_control="pwm"), brightness=0.25, angle=SLOW)
        assert list(cells(dim, [1, 0.5]).counts) == [FULL // 4, round(FULL / 4 * 0.5**2.4)]
        full = replace(dim, brightness=1.0)
        assert cells(dim, [0.05]).counts[0] == 12
        assert cells(dim, [0.05]).ripple > 2 * cells(full, [0.05]).ripple

    def test_dimming_by_current_does_not(self):
        shot = plain_shot(angle=SLOW)
        dim = cells(replace(shot, brightness=0.25), [1, 0.5, 0.05])
        assert_array_equal(dim.counts, cells(shot, [1, 0.5, 0.05]).counts)
        assert_array_equal(dim.visibility, cells(shot, [1, 0.5, 0.05]).visibility)

    def test_not_known_counts_as_the_worse_and_is_listed(self):
        shot = plain_shot(wall=plain_wall(brightness_control=None), brightness=0.25, angle=SLOW)
        stated = replace(shot, wall=plain_wall(brightness_control="pwm"))
        assert_array_equal(cells(shot, [0.5]).counts, cells(stated, [0.5]).counts)
        keys = [each.key for each in assess(shot, fixes=False).assumptions]
        assert "brightness_control" in keys
        whole = assess(replace(shot, brightness=1.0), fixes=False).assumptions
        assert "brightness_control" not in [each.key for each in whole]


def test_levels_go_through_the_transfer():
    for transfer, extra, light in (
        ("bt1886", {}, 0.5**2.4), ("gamma", {"gamma": 2.2}, 0.5**2.2), ("linear", {}, 0.5),
        (None, {}, 0.5**2.4),
    ):
        wall = plain_wall(transfer=transfer, **extra)
        assert cells(plain_shot(wall=wall), [0.5]).counts[0] == round(light * FULL)


def test_black_is_even():
    found = cells(plain_shot(), [1.0, 0.001, 0.0], exposure_s=[1 / 50, 1 / 48, 0.001])
    assert found.visibility.shape == found.ripple.shape == found.modulation.shape == (3, 3)
    assert list(found.counts) == [FULL, 0, 0]
    assert_array_equal(found.visibility[1:], 0)
    assert_array_equal(found.ripple[1:], 0)
    assert_array_equal(found.highest[1:], 1)
    assert_array_equal(found.modulation[1:], 0)


def test_figures_are_wanted_or_not():
    shot = plain_shot(angle=SLOW)
    with_extremes, without = (cells(shot, [1, 0.5], extremes=want) for want in (True, False))
    assert_array_equal(with_extremes.visibility, without.visibility)
    assert_array_equal(without.ripple, 0)
    assert (with_extremes.ripple > 0).all()


def test_nominal_rates_leave_out_the_tolerance():
    drifting = plain_shot(wall=plain_wall(rate_tolerance=1e-3), genlock="free")
    exact = plain_shot(wall=plain_wall(rate_tolerance=0.0), genlock="free")
    levels, exposures = [1, 0.5, 0.18], [1 / 48, 1 / 50]
    assert_array_equal(
        cells(drifting, levels, exposures, nominal=True).visibility,
        cells(exact, levels, exposures).visibility,
    )
    assert (cells(drifting, levels, exposures).visibility
            > cells(exact, levels, exposures).visibility)[:, 0].all()


LISTED = ListedWall(
    wall_fps=FILM, refreshes_per_frame=5, scan_lines=4, counts_per_refresh=31,
    line_switch_s=1e-4, clock_hz=100e3, frame_end="dark",
)


@pytest.mark.parametrize("drive", ["spread", "repeated", "binary_code"])
@pytest.mark.parametrize("coupling", [2.0, 3.7, 4.0, 9.0])
def test_a_row_that_covers_lines_sees_their_mean_wherever_it_lies(drive, coupling):
    """Against sums of overlaps for every set of neighbours, across the seam of the scan too."""
    listed = replace(LISTED, drive=drive)
    wall = plain_wall(
        refreshes_per_frame=5, scan_lines=4, counts_per_refresh=31, drive=drive,
        line_switch_s=1e-4, clock_hz=100e3, frame_end="dark", transfer="linear",
    )
    covered = min(4, int(coupling))
    sets = [[(first + step) % 4 for step in range(covered)] for first in range(4)]
    value, exposure = 11, 0.0123
    rows = replace(row_sampling(plain_shot()), wall_rows_per_row=coupling)
    found = banding_cells(
        cases=light_cases(wall, FILM), colours=((1.0, 1),), rows=rows,
        light=np.array([value / listed.full_scale]), brightness=1.0, viewing=Viewing(),
        exposure_s=np.array([exposure]),
    )
    assert found.counts[0] == value
    mean = float(mean_light(listed, value, exposure_s=exposure))
    extremes = [exact_extremes(listed, value, exposure_s=exposure, lines=each) for each in sets]
    assert_allclose(found.lowest[0, 0], float(min(low for low, _ in extremes)) / mean, rtol=1e-9)
    assert_allclose(found.highest[0, 0], float(max(high for _, high in extremes)) / mean, rtol=1e-9)


def test_a_row_that_covers_the_whole_scan_hardly_sees_it():
    # all 16 lines together are lit all the time: white has nothing to beat with
    near = plain_shot(
        wall=plain_wall(pitch_mm=0.1), camera=plain_camera(sensor_height_mm=13.8),
        optics=plain_optics(), angle=SLOW,
    )
    assert row_sampling(near).wall_rows_per_row > 10
    far = replace(near, optics=plain_optics(distance_mm=60_000.0))
    assert row_sampling(far).wall_rows_per_row > 16
    assert_allclose(cells(far, [1.0]).ripple, 0, atol=1e-9)
    assert_allclose(cells(far, [1.0]).visibility, 0, atol=1e-6)
    assert cells(near, [1.0]).visibility < cells(plain_shot(angle=SLOW), [1.0]).visibility
