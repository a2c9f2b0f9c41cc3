import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from picture_simulation import CONTENT, RATES, SHARES, torn_in_some_frame
from reference_rows import assert_agrees, reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.genlock import (
    clean_phase_margin_s,
    clean_phase_range,
    clean_phase_slack_s,
    frame_phase_s,
    interleaved_slots,
    largest_clean_angle_deg,
)
from bandcheck.timing.picture_changes import pattern_frames, picture_changes
from bandcheck.timing.rates import frame_rate

SPREADS = st.sampled_from([Fraction(0), Fraction(1, 500)])
FILM = Fraction(24)
NUDGE = Fraction(1, 10**9)


def changes_of(wall, content, camera=FILM):
    return picture_changes(
        wall_fps=Fraction(wall), content_fps=Fraction(content), camera_fps=Fraction(camera)
    )


@pytest.mark.parametrize("row", reference_rows("genlock", "largest clean angle"))
def test_largest_clean_angles_of_the_table(row):
    stated = dict(row["given"])
    readout = stated.pop("readout_s")
    rates = {name: frame_rate(rate) for name, rate in stated.items()}
    _, rest = picture_changes(**rates).longest_rest
    limits = {"rest_s": float(rest), "readout_s": readout}
    angle = largest_clean_angle_deg(**limits, camera_fps=rates["camera_fps"])
    assert_agrees(row, angle)
    assert_allclose(angle, row["printed"], rtol=5e-4)
    longest = float(angle) / 360 / float(rates["camera_fps"])
    assert clean_phase_slack_s(**limits, exposure_s=longest) == 0
    assert clean_phase_slack_s(**limits, exposure_s=longest + 1e-9) < 0


def test_48_fps_at_180_deg_with_a_long_readout_has_no_clean_phase():
    assert clean_phase_range(
        changes=changes_of(48, 48, 48), exposure_s=1 / 96, readout_s=0.0156
    ) is None


@given(
    wall=RATES, content=CONTENT, camera=RATES, angle=SHARES, readout=SHARES, spread=SPREADS,
    phase=SHARES,
)
@settings(derandomize=True, deadline=None, max_examples=150)
def test_clean_phases_are_those_of_the_walk(wall, content, camera, angle, readout, spread, phase):
    exposure, readout_s = angle / camera, readout / camera
    rates = {"wall_fps": wall, "content_fps": content, "camera_fps": camera}
    changes = picture_changes(**rates)
    times = {
        "exposure_s": float(exposure), "readout_s": float(readout_s),
        "change_spread_s": float(spread),
    }

    def torn(at):
        return torn_in_some_frame(
            **rates, frames=pattern_frames(**rates), phase=at, open_for=readout_s + exposure,
            spread=spread,
        )

    start, rest = changes.longest_rest
    slack = rest - spread - exposure - readout_s
    found = clean_phase_range(changes=changes, **times)
    if slack < 0:
        assert found is None
        assert torn(start + spread + slack / 2)
    else:
        first, last = start + spread, start + spread + slack
        assert not torn(first)
        assert not torn(last)
        assert torn(first - NUDGE)
        assert torn(last + NUDGE)
        assert_allclose(
            [found.from_s, found.to_s, found.best_s, found.slack_s],
            [float(each) for each in (first, last, (first + last) / 2, slack)], atol=1e-12,
        )
    at = phase / camera
    margin = clean_phase_margin_s(changes=changes, phase_s=float(at), **times)
    assert (margin < 0) == torn(at)


def test_phases_repeat():
    times = {"exposure_s": 1 / 96, "readout_s": 0.004}
    for changes in (changes_of(48, 48), changes_of(60, 24), changes_of(60, 60)):
        phases = np.linspace(-0.03, 0.05, 101)
        again = phases + 3 * float(changes.period_s)
        assert_allclose(
            clean_phase_margin_s(changes=changes, phase_s=again, **times),
            clean_phase_margin_s(changes=changes, phase_s=phases, **times), atol=1e-11,
        )
        found = clean_phase_range(changes=changes, **times)
        if found is not None:
            assert found.repeats_every_s == float(changes.period_s)


def test_the_ends_of_the_range_are_clean_and_the_middle_has_the_most_margin():
    changes = changes_of(60, 24)
    times = {"exposure_s": 1 / 48, "readout_s": 0.008, "change_spread_s": 0.001}
    found = clean_phase_range(changes=changes, **times)
    ends = np.array([found.from_s, found.best_s, found.to_s])
    for turns in (-1, 0, 1000):
        margin = clean_phase_margin_s(
            changes=changes, phase_s=ends + turns * found.repeats_every_s, **times
        )
        assert_allclose(margin, [0, found.slack_s / 2, 0], atol=3e-11)
    assert_array_equal(
        clean_phase_margin_s(changes=changes, phase_s=ends[[0, 2]], **times), [0, 0]
    )


def test_a_range_may_be_a_single_phase():
    found = clean_phase_range(changes=changes_of(24, 24), exposure_s=1 / 48, readout_s=1 / 48)
    assert (found.from_s, found.to_s, found.best_s, found.slack_s) == (0, 0, 0, 0)


def test_a_phase_that_is_0_but_for_rounding_is_0():
    for phase in (0.0, -1e-12, -1.00000001e-12, 1e-12, 1 / 24, -1 / 24):
        margin = clean_phase_margin_s(
            changes=changes_of(24, 24), phase_s=phase, exposure_s=0.01, readout_s=0.0
        )
        assert_allclose(margin, 0, atol=2e-12)


def test_slack_and_angle_broadcast():
    slack = clean_phase_slack_s(
        rest_s=1 / 24, exposure_s=np.array([[0.01], [0.04]]), readout_s=[0.0, 0.008, 0.02],
        change_spread_s=0.001,
    )
    assert slack.shape == (2, 3)
    assert_allclose(slack[1, 1], 1 / 24 - 0.049, rtol=1e-12)
    angles = largest_clean_angle_deg(
        rest_s=1 / 24, camera_fps=FILM, readout_s=[0.0, 0.02, 0.05], change_spread_s=1 / 240
    )
    assert_allclose(angles, [324, 324 - 172.8, 0], rtol=1e-12)
    assert largest_clean_angle_deg(rest_s=1.0, camera_fps=FILM, readout_s=0.0) == 360


@given(scale=st.floats(0.1, 10), exposure=st.floats(1e-4, 0.05), readout=st.floats(0, 0.05))
@settings(derandomize=True, deadline=None)
def test_slack_scales_with_time(scale, exposure, readout):
    once = clean_phase_slack_s(rest_s=0.04, exposure_s=exposure, readout_s=readout)
    scaled = clean_phase_slack_s(
        rest_s=0.04 * scale, exposure_s=exposure * scale, readout_s=readout * scale
    )
    assert_allclose(scaled, once * scale, atol=2e-11)


def test_frame_one_million_is_as_exact_as_frame_one():
    rates = {"camera_fps": Fraction(24000, 1001), "wall_fps": Fraction(60000, 1001)}
    phase = Fraction("0.0032")
    near = [frame_phase_s(frame=n, phase_s=phase, **rates) for n in (0, 1, 2)]
    assert near == [phase, (phase + Fraction(1001, 24000)) % Fraction(1001, 60000), phase]
    assert [frame_phase_s(frame=10**6 + n, phase_s=phase, **rates) for n in (0, 1, 2)] == near
    walk = phase
    for _ in range(999):
        walk = (walk + Fraction(1001, 24000)) % Fraction(1, 24)
    drifting = {"camera_fps": Fraction(24000, 1001), "wall_fps": FILM}
    assert frame_phase_s(frame=999, phase_s=phase, **drifting) == walk
    assert frame_phase_s(frame=10**6, phase_s=phase, **drifting) == phase


def test_two_cameras_on_a_wall_at_twice_the_rate():
    first, second = interleaved_slots(cameras=2, wall_multiple=2, fps=FILM, readout_s=0.008)
    assert (first.slot, second.slot) == (0, 1)
    assert (first.offset_s, second.offset_s) == (0, Fraction(1, 48))
    for each in (first, second):
        assert_allclose(each.largest_angle_deg, 110.88, rtol=1e-12)
        assert_allclose(each.stops_lost, math.log(180 / 110.88, 2), rtol=1e-12)


def test_each_camera_has_its_own_readout():
    slots = interleaved_slots(
        cameras=3, wall_multiple=4, fps=FILM, readout_s=[0.0, 0.005, 0.011], change_spread_s=0.0005
    )
    assert [each.offset_s * 96 for each in slots] == [0, 1, 2]
    assert_allclose([each.largest_angle_deg for each in slots], [85.68, 42.48, 0], rtol=1e-12)
    assert slots[2].stops_lost is None


def test_a_camera_alone_gains_light():
    (alone,) = interleaved_slots(cameras=1, wall_multiple=1, fps=FILM, readout_s=0.0)
    assert alone.largest_angle_deg == 360
    assert alone.stops_lost == -1


@pytest.mark.parametrize(("changed", "named"), [
    ({"cameras": 0}, "cameras"), ({"cameras": 3}, "wall_multiple"),
    ({"readout_s": [0.0]}, "readout_s"), ({"readout_s": [0.0] * 3}, "readout_s"),
    ({"readout_s": -1.0}, "readout_s"),
    ({"fps": Fraction(0)}, "fps"), ({"change_spread_s": math.nan}, "change_spread_s"),
])
def test_impossible_turns_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        interleaved_slots(**{
            "cameras": 2, "wall_multiple": 2, "fps": FILM, "readout_s": 0.0, **changed,
        })


@pytest.mark.parametrize(("changed", "named"), [
    ({"exposure_s": 0.0}, "exposure_s"), ({"exposure_s": math.nan}, "exposure_s"),
    ({"readout_s": -1e-3}, "readout_s"), ({"readout_s": math.inf}, "readout_s"),
    ({"change_spread_s": -1e-3}, "change_spread_s"),
])
def test_impossible_times_are_refused(changed, named):
    times = {"exposure_s": 0.02, "readout_s": 0.008, "change_spread_s": 0.0, **changed}
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        clean_phase_slack_s(rest_s=1 / 24, **times)
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        clean_phase_range(changes=changes_of(24, 24), **times)
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        clean_phase_margin_s(changes=changes_of(24, 24), phase_s=0.0, **times)
    if named != "exposure_s":
        times.pop("exposure_s")
        with pytest.raises(OutOfRangeError, match=f"^{named}: "):
            largest_clean_angle_deg(rest_s=1 / 24, camera_fps=FILM, **times)


def test_no_rest_and_no_phase_are_refused():
    with pytest.raises(OutOfRangeError, match=r"^rest_s: "):
        clean_phase_slack_s(rest_s=0.0, exposure_s=0.01, readout_s=0.0)
    for rest in (0.0, [0.1, math.nan]):
        with pytest.raises(OutOfRangeError, match=r"^rest_s: "):
            largest_clean_angle_deg(rest_s=rest, camera_fps=FILM, readout_s=0.0)
    with pytest.raises(OutOfRangeError, match=r"^phase_s: "):
        clean_phase_margin_s(
            changes=changes_of(24, 24), phase_s=math.nan, exposure_s=0.01, readout_s=0.0
        )
