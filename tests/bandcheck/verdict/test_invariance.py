"""What must not change a verdict, exactly, and what may change it one way only."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_array_equal
from plain_shots import (
    free_wall,
    mains_lamp,
    plain_camera,
    plain_optics,
    plain_shot,
    plain_wall,
    pulsed_lamp,
)

from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.safe_ranges import common_ranges, source_ranges
from bandcheck.verdict.wall_cells import wall_cells

LEVELS = (1.0, 0.12, 0.03)

WALLS = st.one_of(
    st.builds(
        plain_wall, drive=st.sampled_from(["spread", "repeated", "binary_code"]),
        refreshes_per_frame=st.sampled_from([7, 16, 40, 96, 160]),
        counts_per_refresh=st.sampled_from([255, 1023]), scan_lines=st.sampled_from([1, 8, 16]),
        dealing=st.sampled_from(["even", "bit_reversed"]), pitch_mm=st.just(2.6),
        white_duty=st.sampled_from([(1.0, 1.0, 1.0), (1.0, 0.9, 0.5)]),
        scan_down=st.booleans(),
    ),
    st.builds(free_wall, refresh_tolerance=st.sampled_from([1e-5, 1e-3, 0.01])),
)
CAMERAS = st.builds(
    plain_camera, readout_s=st.floats(0.002, 0.02), sensor_height_mm=st.just(14.0),
    readout_down=st.booleans(), shutter_whole_lines=st.booleans(),
    readout_tolerance_s=st.sampled_from([0.0, 1e-4]),
)
LAMPS = st.one_of(
    st.builds(mains_lamp, mains_hz=st.sampled_from([50.0, 60.0]),
              modulation=st.floats(0, 1), mains_tolerance=st.sampled_from([0.0, 1e-3])),
    st.builds(pulsed_lamp, pulse_hz=st.floats(200, 3e4), duty=st.floats(0.02, 1)),
)
SHOTS = st.builds(
    plain_shot, fps=st.sampled_from(["24", "24000/1001", "50"]), wall=WALLS, camera=CAMERAS,
    angle=st.sampled_from([Fraction(180), Fraction("172.8"), Fraction(91), Fraction(11)]),
    lamps=st.lists(LAMPS, max_size=1).map(tuple), optics=st.sampled_from([None, plain_optics()]),
    levels=st.just(LEVELS), panel_rotation_deg=st.sampled_from([0, 90, 180]),
)
SOME = settings(derandomize=True, deadline=None, max_examples=20)


def exposures(shot):
    frame = 1 / float(shot.fps)
    return np.array([float(shot.exposure_s), frame * 0.0703])


def slower(shot, times):
    """Same shot with every time longer and every rate lower, by a power of two."""
    wall, camera = shot.wall, shot.camera
    return replace(
        shot, fps=shot.fps / times, wall_fps=shot.wall_fps / times,
        content_fps=shot.content_fps / times, exposure_s=shot.exposure_s * times,
        change_spread_s=shot.change_spread_s * times,
        wall=replace(
            wall, rated_fps=wall.rated_fps and wall.rated_fps / times,
            refresh_hz=wall.refresh_hz and wall.refresh_hz / times,
            clock_hz=wall.clock_hz and wall.clock_hz / times,
            line_switch_s=wall.line_switch_s and wall.line_switch_s * times,
        ),
        camera=replace(
            camera, readout_s=camera.readout_s * times,
            readout_tolerance_s=camera.readout_tolerance_s * times,
        ),
        lamps=tuple(
            replace(lamp, mains_hz=lamp.mains_hz and lamp.mains_hz / times,
                    pulse_hz=lamp.pulse_hz and lamp.pulse_hz / times)
            for lamp in shot.lamps
        ),
    )


def assert_same(shot, other, *, times=1):
    own = exposure_grades(shot, exposures(shot))
    others = exposure_grades(other, exposures(shot) * times)
    assert_array_equal(own.visibility, others.visibility)
    assert_array_equal(own.severity, others.severity)
    one, two = (
        wall_cells(each, levels=[0.03, 0.4], exposure_s=exposures(shot)[1:] * by)
        for each, by in ((shot, 1), (other, times))
    )
    for figure in ("visibility", "lowest", "highest", "counts"):
        assert_array_equal(getattr(one, figure), getattr(two, figure), figure)


@SOME
@given(shot=SHOTS, times=st.sampled_from([2, Fraction(1, 4)]))
def test_time_has_no_scale(shot, times):
    assert_same(shot, slower(shot, times), times=float(times))


@pytest.mark.parametrize("changed", [
    {"wall": plain_wall(clock_hz=26e6, line_switch_s=1e-7, frame_end=None, dealing=None)},
    {"wall_fps": 60}, {"wall_fps": "24000/1001", "genlock": "free"},
])
def test_nor_for_clocks_and_other_rates(changed):
    shot = plain_shot(**changed)
    assert_same(shot, slower(shot, 2), times=2)


@settings(SOME, max_examples=8)
@given(shot=SHOTS)
def test_a_picture_upside_down_is_as_good(shot):
    """Readout and scan both turned, or the panels hung the other way up and scanned back."""
    turned = replace(
        shot, camera=replace(shot.camera, readout_down=not shot.camera.readout_down),
        wall=replace(shot.wall, scan_down=not shot.wall.scan_down),
    )
    assert_same(shot, turned)
    other_way_up = {0: 180, 180: 0, 90: 270}[shot.panel_rotation_deg]
    hung = replace(
        shot, panel_rotation_deg=other_way_up,
        wall=replace(shot.wall, scan_down=not shot.wall.scan_down),
    )
    assert_same(shot, hung)
    if shot.optics is None or shot.panel_rotation_deg == 90:
        assert_same(shot, replace(shot, wall=turned.wall))


def test_but_scan_against_readout_is_another_picture():
    shot = plain_shot(
        wall=plain_wall(pitch_mm=2.6), camera=plain_camera(sensor_height_mm=14.0),
        optics=plain_optics(), angle=Fraction("172.8"),
    )
    against = replace(shot, camera=replace(shot.camera, readout_down=False))
    one, two = (exposure_grades(each, exposures(each)).visibility[0, 0] for each in (shot, against))
    assert abs(one / two - 1) > 0.05


@SOME
@given(shot=SHOTS, lamp=LAMPS)
def test_a_lamp_more_never_makes_a_shot_better(shot, lamp):
    lamp = replace(lamp, name="one more")
    lit = replace(shot, lamps=(*shot.lamps, lamp))
    without, with_it = (exposure_grades(each, exposures(shot)) for each in (shot, lit))
    assert_array_equal(with_it.visibility[: len(without.sources)], without.visibility)
    assert (with_it.severity >= without.severity).all()


@pytest.mark.parametrize("lamp", [mains_lamp(), pulsed_lamp(), mains_lamp(modulation=0.05)])
def test_a_lamp_never_enlarges_the_safe_set(lamp):
    shot = plain_shot(angle=144)
    lit = common_ranges(source_ranges(replace(shot, lamps=(lamp,))).values())
    assert lit
    scanned = [low + share * (high - low) for low, high in lit for share in (0, 0.5, 1)]
    grades = exposure_grades(shot, np.array(scanned))
    assert not grades.severity.any()


@SOME
@given(shot=SHOTS, tolerance=st.sampled_from([1e-5, 1e-4, 1e-3, 0.01, 0.05]))
def test_what_may_err_is_never_graded_better(shot, tolerance):
    drifting = replace(shot, genlock="free", wall=replace(shot.wall, rate_tolerance=tolerance))
    nominal, within = (
        wall_cells(drifting, levels=LEVELS, exposure_s=exposures(shot), nominal=nominal).visibility
        for nominal in (True, False)
    )
    assert (within >= nominal).all()


@pytest.mark.parametrize("seed", range(3))
def test_more_levels_never_make_a_shot_better(seed):
    rng = np.random.default_rng(seed)
    shot = plain_shot(angle=Fraction("171.9"), levels=(1.0,))
    worst = -1.0
    for _ in range(4):
        shot = replace(shot, levels=(*shot.levels, float(rng.random())))
        now = exposure_grades(shot, exposures(shot)).worst_visibility[0]
        assert now >= worst
        worst = now
