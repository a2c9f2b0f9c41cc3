import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from picture_simulation import (
    CONTENT,
    RATES,
    SHARES,
    mixed_in_some_frame,
    older_share_of_row,
    shown,
)

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.picture_changes import (
    mixed_rows,
    older_share,
    pattern_frames,
    picture_changes,
)

FILM = Fraction(24)


def rates(wall, content, camera=FILM):
    return {
        "wall_fps": Fraction(wall), "content_fps": Fraction(content), "camera_fps": Fraction(camera)
    }


@pytest.mark.parametrize(("wall", "content", "camera", "period"), [
    (24, 24, 24, Fraction(1, 24)), (48, 48, 24, Fraction(1, 48)), (48, 24, 24, Fraction(1, 24)),
    (60, 60, 24, Fraction(1, 120)), (24, 24, 48, Fraction(1, 48)), (120, 30, 24, Fraction(1, 120)),
    (24, 60, 24, Fraction(1, 24)), (24, 1, 24, Fraction(1, 24)),
    (Fraction(24000, 1001), Fraction(24000, 1001), Fraction(24000, 1001), Fraction(1001, 24000)),
])
def test_an_even_cadence_folds_to_one_change_every_1_over_q_content_rate(
    wall, content, camera, period
):
    changes = picture_changes(**rates(wall, content, camera))
    assert changes.instants_s == (0,)
    assert changes.period_s == period
    assert changes.longest_rest == (0, period)


def test_24_on_a_60_hz_wall_rests_for_two_or_three_wall_frames():
    changes = picture_changes(**rates(60, 24))
    assert changes.instants_s == (0, Fraction(1, 120))
    assert changes.period_s == Fraction(1, 24)
    assert changes.longest_rest == (Fraction(1, 120), Fraction(1, 30))
    assert pattern_frames(**rates(60, 24)) == 2


def test_an_uneven_cadence_repeats_within_a_slow_camera_frame():
    assert picture_changes(**rates(120, 48, 12)).period_s == Fraction(1, 24)


def test_a_picture_that_drifts_past_the_wall_may_change_at_any_wall_frame():
    changes = picture_changes(**rates(60, Fraction(24000, 1001)))
    assert changes.longest_rest == (0, Fraction(1, 120))
    endless = picture_changes(**rates(60, Fraction(24 * 10**40 - 1, 10**40)))
    assert endless == picture_changes(**rates(60, 60))


def test_a_still_picture_never_changes():
    assert picture_changes(**rates(24, 0)) is None


@given(wall=RATES, content=CONTENT, camera=RATES)
@settings(derandomize=True, deadline=None)
def test_instants_are_those_met_by_walking_through_the_wall_frames(wall, content, camera):
    changes = picture_changes(**rates(wall, content, camera))
    each = {"wall_fps": wall, "content_fps": content}
    walked = {
        frame / wall % changes.period_s for frame in range(600)
        if shown(frame, **each) != shown(frame - 1, **each)
    }
    assert tuple(sorted(walked)) == changes.instants_s


@given(
    wall=RATES, content=CONTENT, camera=RATES, angle=SHARES, readout=SHARES, phase=SHARES,
    spread=st.sampled_from([Fraction(0), Fraction(1, 500)]),
)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_mixed_rows_are_those_of_the_walk(wall, content, camera, angle, readout, phase, spread):
    exposure, readout_s, phase_s = angle / camera, readout / camera, phase / camera
    expected = mixed_in_some_frame(
        **rates(wall, content, camera), frames=pattern_frames(**rates(wall, content, camera)),
        phase=phase_s, exposure=exposure, line_time=readout_s / 9, rows=9, spread=spread,
    )
    found = mixed_rows(
        changes=picture_changes(**rates(wall, content, camera)), phase_s=float(phase_s),
        exposure_s=float(exposure), readout_s=float(readout_s), rows=9,
        change_spread_s=float(spread),
    )
    assert found.tolist() == expected


@given(wall=RATES, content=CONTENT, camera=RATES, angle=SHARES, readout=SHARES, phase=SHARES)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_older_shares_are_those_of_the_walk(wall, content, camera, angle, readout, phase):
    exposure, readout_s, phase_s = angle / camera, readout / camera, phase / camera
    frames = range(pattern_frames(**rates(wall, content, camera)))
    expected = [
        [
            float(older_share_of_row(
                wall_fps=wall, content_fps=content, exposure=exposure,
                opens=phase_s + frame / camera + row * readout_s / 5,
            )) for row in range(5)
        ] for frame in frames
    ]
    settled = {
        "phase_s": float(phase_s), "exposure_s": float(exposure), "readout_s": float(readout_s),
        "rows": 5,
    }
    shares = older_share(**rates(wall, content, camera), frames=frames, **settled)
    assert_allclose(shares, expected, atol=1e-9)
    changes = picture_changes(**rates(wall, content, camera))
    assert_array_equal((shares > 0).any(axis=0), mixed_rows(changes=changes, **settled))


SETTLED = {"phase_s": 0.02, "exposure_s": 1 / 48, "readout_s": 0.008, "rows": 8}


def test_share_by_hand():
    # Row 4 opens at 24 ms, the change comes at 41.667 ms: 17.667 of 20.833 ms are the older.
    share = older_share(**rates(24, 24), frames=[0], **SETTLED)
    assert_allclose(share[0, 4], (1 / 24 - 0.024) * 48, rtol=1e-12)
    assert share[0, 0] == 0


def test_a_fade_is_what_many_looks_at_it_add_up_to():
    spread, looks = 0.004, (np.arange(200_000) + 0.5) / 200_000
    fade = older_share(**rates(24, 24), frames=[0, 1], **SETTLED, change_spread_s=spread)
    for frame, row in np.ndindex(2, 8):
        opens = 0.02 + frame / 24 + row * 0.001
        change = math.floor((opens + 1 / 48) * 24) / 24
        older = np.clip((change + spread - opens - looks / 48) / spread, 0, 1).mean()
        assert_allclose(fade[frame, row], older, atol=1e-9)
    assert np.ptp(fade) > 0.5
    inside = older_share(
        **rates(24, 24), frames=[0], phase_s=0.001, exposure_s=0.002, readout_s=0.0, rows=1,
        change_spread_s=spread,
    )
    assert_allclose(inside, (0.75 + 0.25) / 2, rtol=1e-12)


def test_frame_one_million_is_as_exact_as_frame_one():
    film = Fraction(24000, 1001)
    settled = {**rates(Fraction(60000, 1001), film, film), **SETTLED}
    near = older_share(**settled, frames=[1, 2, 3])
    far = older_share(**settled, frames=[10**6 + 1, 10**6 + 2, 10**6 + 3])
    assert pattern_frames(**rates(Fraction(60000, 1001), film, film)) == 2
    assert_array_equal(near, far)


def test_phases_broadcast_before_the_rows():
    changes = picture_changes(**rates(24, 24))
    mixed = mixed_rows(
        changes=changes, phase_s=np.array([[0.0], [0.02]]), exposure_s=[0.01, 1 / 48, 1 / 24],
        readout_s=0.008, rows=8,
    )
    assert mixed.shape == (2, 3, 8)
    assert not mixed[0, :2].any()
    assert mixed[0, 2, 1:].all()
    one = mixed_rows(changes=changes, phase_s=0.02, exposure_s=1 / 48, readout_s=0.008, rows=8)
    assert_array_equal(mixed[1, 1], one)


def test_a_global_shutter_shares_one_mixture():
    one = {**SETTLED, "readout_s": 0.0, "phase_s": 0.03}
    share = older_share(**rates(24, 24), frames=[0], **one)
    assert_allclose(share, (1 / 24 - 0.03) * 48, rtol=1e-9)
    assert mixed_rows(changes=picture_changes(**rates(24, 24)), **one).all()


@pytest.mark.parametrize(("overlap", "mixes"), [(3e-9, True), (1e-13, False), (-3e-9, False)])
def test_nanoseconds_of_the_next_picture_mix_and_rounding_does_not(overlap, mixes):
    settled = {
        "phase_s": 1 / 48 + overlap, "exposure_s": 1 / 48, "readout_s": 0.0, "rows": 1,
    }
    assert mixed_rows(changes=picture_changes(**rates(24, 24)), **settled).all() == mixes
    assert (older_share(**rates(24, 24), frames=[0], **settled) > 0).all() == mixes


def test_a_longer_second_mixes_the_same_rows():
    slow = {name: 7 * value for name, value in SETTLED.items() if name != "rows"}
    assert_allclose(
        older_share(**rates(Fraction(24, 7), Fraction(24, 7), Fraction(24, 7)), frames=[0], rows=8,
                    **slow),
        older_share(**rates(24, 24), frames=[0], **SETTLED), rtol=1e-9, atol=1e-12,
    )


@pytest.mark.parametrize(("changed", "named"), [
    ({"phase_s": math.nan}, "phase_s"), ({"exposure_s": 0.0}, "exposure_s"),
    ({"readout_s": -1e-3}, "readout_s"), ({"rows": 0}, "rows_px"),
    ({"change_spread_s": -1e-3}, "change_spread_s"), ({"exposure_s": math.inf}, "exposure_s"),
])
def test_impossible_times_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        older_share(**rates(24, 24), frames=[0], **{**SETTLED, **changed})
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        mixed_rows(changes=picture_changes(**rates(24, 24)), **{**SETTLED, **changed})


@pytest.mark.parametrize(("bad", "named"), [
    (rates(0, 24), "wall_fps"), (rates(24, -24), "content_fps"), (rates(24, 24, 0), "fps"),
])
def test_impossible_rates_are_refused(bad, named):
    for function in (picture_changes, pattern_frames):
        with pytest.raises(OutOfRangeError, match=f"^{named}: "):
            function(**bad)
