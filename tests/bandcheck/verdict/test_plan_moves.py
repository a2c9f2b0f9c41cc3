"""Ramps against a dense scan of rates, and turns against the tear model."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from plain_shots import exposure_at, mains_lamp, plain_camera, plain_shot
from plan_cases import coarse_wall, coded_plan

from bandcheck.hazards.tearing import tearing
from bandcheck.shoot.plan import Interleave
from bandcheck.verdict.exposure_grades import exposure_grades
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.plan_agreement import plan_agreement
from bandcheck.verdict.plan_ramp import EDGE_FPS, RampQuestion, ramp_figures
from bandcheck.vision.level import Level

KEPT = coarse_wall(
    refreshes=None, refresh_hz=960.0, rated_fps=Fraction(24), on_rate_change="keep_refresh",
    name="kept",
)
CAMERA = plain_camera(rows_px=100)


def ramp(wall, *, keeps="angle", angle=180, low=24, high=48, **changed):
    shot = plain_shot(wall=wall, camera=CAMERA, angle=angle, levels=(1.0,), **changed)
    return RampQuestion(shot=shot, from_fps=Fraction(low), to_fps=Fraction(high), keeps=keeps)


def fails(question, fps):
    """Whether one rate fails: a shot built by hand, and graded."""
    fps = Fraction(fps).limit_denominator(10**9)
    exposure = exposure_at(180, fps) if question.keeps == "angle" else question.shot.exposure_s
    shot = plain_shot(
        wall=question.shot.wall, camera=CAMERA, fps=fps, levels=(1.0,), lamps=question.shot.lamps,
    )
    shot = replace(shot, exposure_s=exposure)
    return exposure_grades(shot, np.array([float(exposure)])).severity[0] > 0


@pytest.mark.parametrize("question", [
    ramp(KEPT), ramp(KEPT, keeps="time", angle=90), ramp(coarse_wall(40)),
    ramp(coarse_wall(40), lamps=(mains_lamp(modulation=0.1),)),
], ids=["jumps", "time", "holds", "lamp"])
def test_failing_spans_are_those_of_a_dense_scan_of_rates(question):
    failing = ramp_figures(question).failing
    rates = np.linspace(24, 48, 301)[1:-1]
    inside, beside = np.zeros(rates.shape, bool), np.zeros(rates.shape, bool)
    for span in failing:
        inside |= (rates >= span.from_fps) & (rates <= span.to_fps)
        for end in (span.from_fps, span.to_fps):
            beside |= np.abs(rates - end) <= 2 * EDGE_FPS
    scanned = np.array([fails(question, rate) for rate in rates])
    np.testing.assert_array_equal(scanned[~beside], inside[~beside])


def test_a_wall_that_keeps_its_refresh_jumps_where_a_frame_holds_one_less():
    question = ramp(KEPT)
    figures = ramp_figures(question)
    assert figures.refreshes == (40, 20)
    assert figures.follows
    # At 180 deg an odd number of refreshes leaves half of one: those spans, and no others, fail.
    odd = [(960 / (number + 1), 960 / number) for number in range(21, 40, 2)]
    assert len(figures.failing) == len(odd)
    for span, (low, high) in zip(figures.failing, odd[::-1], strict=True):
        assert abs(span.from_fps - low) < 2 * EDGE_FPS
        assert abs(span.to_fps - high) < 2 * EDGE_FPS
        assert span.level is not Level.SAFE
    assert figures.held == ()


def test_the_direction_of_a_ramp_does_not_matter():
    up, down = ramp(KEPT), ramp(KEPT)
    down = replace(down, from_fps=up.to_fps, to_fps=up.from_fps)
    assert ramp_figures(up).failing == ramp_figures(down).failing


def test_a_wall_whose_clock_is_too_slow_is_stuck_from_there():
    # 40 refreshes of 4 lines x 256 counts fit into a frame up to 30 frames/s.
    wall = coarse_wall(40, clock_hz=40 * 4 * 256 * 30.0, line_switch_s=0.0, frame_end="dark")
    figures = ramp_figures(ramp(wall))
    (stuck,) = figures.stuck
    assert abs(stuck.from_fps - 30) < 2 * EDGE_FPS
    assert (stuck.to_fps, stuck.level) == (48, Level.UNKNOWN)
    assert "do not fit a frame" in figures.why_stuck
    assert figures.refreshes == (40, None)


def test_a_wall_of_its_own_rate_runs_free_and_tears():
    question = ramp(coarse_wall(40), wall_fps=48)
    figures = ramp_figures(question)
    assert not figures.follows
    (span,) = figures.failing
    assert (span.from_fps, span.to_fps, span.level) == (24, 48, Level.VISIBLE)


def test_an_exposure_longer_than_the_frame_is_stuck():
    figures = ramp_figures(ramp(coarse_wall(40), keeps="time", angle=300))
    (stuck,) = figures.stuck
    assert abs(stuck.from_fps - 24 * 360 / 300) < 2 * EDGE_FPS
    assert "no longer than a frame" in figures.why_stuck


def turns_of(cameras, *, multiple=2, spread_s=0.0, angle=80):
    plan = coded_plan(
        walls={"a": coarse_wall(40)}, cameras=cameras, angle_deg=Fraction(angle),
        change_spread_s=spread_s,
    )
    plan = replace(plan, setups=(), interleaves=(Interleave(
        name="i", cameras=tuple(cameras), surface="a", wall_multiple=multiple,
        rates=(Fraction(24),),
    ),))
    (turns,) = plan_agreement(plan).turns
    return turns


@pytest.mark.parametrize(("multiple", "spread_s"), [(2, 0.0), (2, 0.001), (3, 0.0)])
def test_turns_equal_the_tear_model(multiple, spread_s):
    cameras = {
        "A": plain_camera(rows_px=200), "B": plain_camera(rows_px=200, readout_s=0.004),
    }
    turns = turns_of(cameras, multiple=multiple, spread_s=spread_s)
    rate = Fraction(24) * multiple
    for place, (turn, camera) in enumerate(zip(turns.turns, cameras.values(), strict=True)):
        low, high = min(
            turn.safe_deg, key=lambda each: abs(np.log2((each[0] + each[1]) / 2 / 80))
        )
        told = tearing(
            camera_fps=Fraction(24), wall_fps=rate, content_fps=rate, rows_px=200,
            exposure_s=(low + high) / 2 / 360 / 24, readout_s=camera.readout_s,
            change_spread_s=spread_s,
        )
        begins = place / float(rate)
        assert turn.slot.slot == place
        np.testing.assert_allclose(turn.slot.largest_angle_deg, told.largest_clean_angle_deg)
        np.testing.assert_allclose(
            turn.phase_s, (begins + told.phase_from_s, begins + told.phase_to_s)
        )
        # Whatever is told opens and closes inside the camera's own frame of the wall.
        closes = turn.phase_s[1] + (low + high) / 2 / 360 / 24 + camera.readout_s
        assert turn.phase_s[0] >= begins + spread_s - 1e-12
        assert closes <= begins + 1 / float(rate) + 1e-12
        assert all(end <= turn.slot.largest_angle_deg + 1e-6 for _, end in turn.safe_deg)


def test_a_camera_that_does_not_fit_its_turn_has_no_angle():
    turns = turns_of({"A": plain_camera(rows_px=200), "B": plain_camera(readout_s=0.03)})
    slow = turns.turns[1]
    assert slow.slot.largest_angle_deg == 0
    assert slow.safe_deg == turns.common_deg == ()
    assert slow.wanted.level is Level.VISIBLE
    assert turns.level is Level.VISIBLE


def test_the_wall_of_turns_runs_at_its_multiple():
    turns = turns_of({"A": plain_camera(rows_px=200)}, multiple=3)
    shot = turns.turns[0].shot
    assert (shot.wall_fps, shot.content_fps) == (72, 72)
    assert light_cases(shot.wall, shot.wall_fps)[0].timing.refreshes == 40
