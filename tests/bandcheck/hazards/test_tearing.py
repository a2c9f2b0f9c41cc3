import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from picture_simulation import SHARES, mixed_in_some_frame, torn_in_some_frame

from bandcheck.errors import OutOfRangeError
from bandcheck.hazards.tearing import tearing
from bandcheck.timing.picture_changes import pattern_frames
from bandcheck.vision.level import Level

FILM = Fraction(24)


def of(**changed):
    """24 fps at 180 deg, 8 ms readout, wall and content at 24, but for what is named."""
    return tearing(**{
        "camera_fps": FILM, "wall_fps": FILM, "content_fps": FILM, "exposure_s": 1 / 48,
        "readout_s": 0.008, "rows_px": 1000, **changed,
    })


def verdict(result):
    return result.finding.level, result.finding.reason


def test_safe_on_condition_of_a_phase():
    result = of()
    assert verdict(result) == (Level.SAFE, "phase_needed")
    assert result.possible_clean is True
    assert result.phase_from_s == 0
    slack = 1 / 24 - 1 / 48 - 0.008
    assert_allclose(
        [result.phase_to_s, result.phase_best_s, result.slack_s, result.phase_repeats_every_s],
        [slack, slack / 2, slack, 1 / 24], rtol=1e-12,
    )
    assert_allclose(result.largest_clean_angle_deg, 290.88, rtol=1e-12)
    assert result.mixed_rows is None
    assert_allclose([result.finding.value, result.finding.limit], [1 / 48 + 0.008, 1 / 24])
    assert result.finding.unit == "s"


def test_a_change_that_takes_time_takes_it_from_the_range():
    result = of(change_spread_s=0.002)
    assert_allclose(result.finding.value, 1 / 48 + 0.010, rtol=1e-12)
    assert_allclose([result.phase_from_s, result.phase_to_s], [0.002, 1 / 48 - 0.008], rtol=1e-12)
    assert verdict(of(change_spread_s=0.002, phase_s=0.001)) == (Level.VISIBLE, "phase_outside")


def test_48_fps_at_180_deg_with_a_long_readout_cannot_be_clean():
    fast = Fraction(48)
    result = of(
        camera_fps=fast, wall_fps=fast, content_fps=fast, exposure_s=1 / 96, readout_s=0.0156
    )
    assert verdict(result) == (Level.VISIBLE, "no_clean_phase")
    assert result.possible_clean is False
    assert (result.phase_from_s, result.phase_to_s, result.phase_best_s) == (None, None, None)
    assert_allclose(result.slack_s, 1 / 48 - 1 / 96 - 0.0156, rtol=1e-12)
    assert_allclose(result.largest_clean_angle_deg, 90.432, rtol=1e-12)
    assert result.finding.value > result.finding.limit


def test_a_phase_inside_the_range_is_safe():
    result = of(phase_s=0.006)
    assert verdict(result) == (Level.SAFE, "phase_clean")
    assert result.mixed_rows == ()
    assert_allclose(result.finding.figures["phase_margin_s"], 0.006, rtol=1e-9)
    assert verdict(of(phase_s=of().phase_to_s)) == (Level.SAFE, "phase_clean")
    assert verdict(of(phase_s=0.0)) == (Level.SAFE, "phase_clean")


def test_a_phase_outside_names_the_rows_that_hold_two_pictures():
    # The change comes 21.667 ms after the first opening; rows from 834 us on are still open then.
    result = of(phase_s=0.02)
    assert verdict(result) == (Level.VISIBLE, "phase_outside")
    assert result.mixed_rows == ((105, 999),)
    assert result.finding.figures["mixed_row_count"] == 895
    upward = of(phase_s=0.02, readout_down=False)
    assert upward.mixed_rows == ((0, 894),)


def test_a_tear_in_the_middle_and_two_tears_in_a_frame():
    short = {"exposure_s": 0.001, "readout_s": 0.02}
    # 20 us a line: the rows that open less than 1 ms before the change hold two pictures.
    middle = of(phase_s=1 / 24 - 0.01, **short)
    assert middle.mixed_rows == ((451, 499),)
    fast = {"wall_fps": Fraction(120), "content_fps": Fraction(120)}
    assert of(phase_s=0.0, **short, **fast).mixed_rows == ((367, 416), (784, 833))


def test_a_change_between_two_rows_tears_without_mixing_any():
    coarse = {"exposure_s": 1e-6, "readout_s": 0.02, "rows_px": 10}
    result = of(phase_s=1 / 24 - 0.009, **coarse)
    assert verdict(result) == (Level.VISIBLE, "phase_outside")
    assert result.mixed_rows == ()
    after_the_last = of(phase_s=1 / 24 - 0.019, **coarse)
    assert verdict(after_the_last) == (Level.MARGINAL, "phase_at_edge")


def test_a_phase_that_uses_up_the_last_line_is_marginal():
    line = 0.008 / 1000
    edge = of().phase_to_s
    assert verdict(of(phase_s=edge + 0.5 * line)) == (Level.MARGINAL, "phase_at_edge")
    assert of(phase_s=edge + 0.5 * line).mixed_rows == ()
    assert verdict(of(phase_s=edge + line)) == (Level.MARGINAL, "phase_at_edge")
    assert verdict(of(phase_s=edge + 1.5 * line)) == (Level.VISIBLE, "phase_outside")
    assert of(phase_s=edge + 1.5 * line).mixed_rows == ((999, 999),)


def test_a_global_shutter_mixes_all_rows_or_none():
    assert verdict(of(readout_s=0.0, phase_s=1 / 48)) == (Level.SAFE, "phase_clean")
    result = of(readout_s=0.0, phase_s=0.03)
    assert verdict(result) == (Level.VISIBLE, "phase_outside")
    assert result.mixed_rows == ((0, 999),)
    assert of(readout_s=0.0, phase_s=0.03, rows_px=1).mixed_rows == ((0, 0),)


@pytest.mark.parametrize("changed", [
    {}, {"genlock": "free"}, {"exposure_scheme": "multi"}, {"phase_s": 0.03},
    {"exposure_s": 1 / 24},
])
def test_a_still_picture_never_tears(changed):
    result = of(content_fps=Fraction(0), **changed)
    assert verdict(result) == (Level.SAFE, "still_content")
    assert result.possible_clean is True
    assert result.mixed_rows == ()


def test_content_at_half_the_walls_rate_tears_at_every_second_wall_frame_only():
    wall = {"wall_fps": Fraction(48)}
    assert_allclose(of(**wall).largest_clean_angle_deg, 290.88, rtol=1e-12)
    assert verdict(of(**wall, phase_s=0.001)) == (Level.SAFE, "phase_clean")
    both = of(**wall, content_fps=Fraction(48))
    assert verdict(both) == (Level.VISIBLE, "no_clean_phase")
    assert_allclose(both.largest_clean_angle_deg, 110.88, rtol=1e-12)


def test_no_phase_holds_on_a_wall_that_runs_free():
    film = Fraction(24000, 1001)
    result = of(
        camera_fps=film, wall_fps=Fraction(60), content_fps=Fraction(60), genlock="free",
        exposure_s=0.001, wall_tolerance=20e-6, camera_tolerance=10e-6, phase_s=0.0,
    )
    assert verdict(result) == (Level.VISIBLE, "runs_free")
    assert result.possible_clean is False
    assert_allclose(result.finding.value, 1001 / 120, rtol=1e-12)
    assert_allclose(
        [result.finding.figures["beat_slowest_hz"], result.finding.figures["beat_fastest_hz"]],
        [120 / 1001 - 120 * 30e-6, 120 / 1001 + 120 * 30e-6], rtol=1e-4,
    )
    assert result.slack_s is None
    assert result.largest_clean_angle_deg is None
    assert result.mixed_rows is None


def test_a_free_wall_at_the_same_rate_drifts_by_its_clock_alone():
    result = of(genlock="free", wall_tolerance=1e-5)
    assert verdict(result) == (Level.VISIBLE, "runs_free")
    assert result.finding.value is None
    assert_allclose(result.finding.figures["beat_fastest_hz"], 24e-5)


def test_slow_content_on_a_free_wall_passes_as_often_as_it_changes():
    result = of(
        genlock="free", camera_fps=Fraction(24000, 1001), wall_fps=Fraction(48), exposure_s=0.02
    )
    assert_allclose(result.finding.value, 1001 / 24, rtol=1e-12)
    held = of(
        genlock="free", camera_fps=Fraction(24000, 1001), content_fps=Fraction(60), exposure_s=0.02
    )
    assert_allclose(held.finding.value, 1001 / 24, rtol=1e-12)


@pytest.mark.parametrize("scheme", ["multi", "global_reset"])
@pytest.mark.parametrize("genlock", ["locked", "free"])
def test_a_scheme_that_the_model_does_not_describe_is_unknown(scheme, genlock):
    result = of(exposure_scheme=scheme, genlock=genlock, phase_s=0.0)
    assert verdict(result) == (Level.UNKNOWN, "exposure_scheme")
    assert result.possible_clean is None


def test_the_longer_readout_inside_the_tolerance_decides():
    assert of(readout_tolerance_s=0.0005) == of(readout_s=0.0085)
    near = {"exposure_s": 0.0333, "phase_s": 0.0001}
    assert verdict(of(**near)) == (Level.SAFE, "phase_clean")
    assert verdict(of(**near, readout_tolerance_s=0.0005)) == (Level.VISIBLE, "no_clean_phase")
    assert of(readout_s=0.0415, readout_tolerance_s=0.01) == of(readout_s=float(1 / FILM))


@given(
    wall=st.sampled_from([24, 30, 48, 60, 96]), content=st.sampled_from([12, 24, 30, 48, 60]),
    angle=SHARES, readout=SHARES, phase=SHARES,
)
@settings(derandomize=True, deadline=None, max_examples=80)
def test_level_and_rows_agree_with_the_walk(wall, content, angle, readout, phase):
    rates = {
        "wall_fps": Fraction(wall), "content_fps": Fraction(content), "camera_fps": FILM,
    }
    mixed = mixed_in_some_frame(
        **rates, frames=pattern_frames(**rates), phase=phase / FILM, exposure=angle / FILM,
        line_time=readout / FILM / 7, rows=7,
    )
    result = tearing(
        **rates, exposure_s=float(angle / FILM), readout_s=float(readout / FILM), rows_px=7,
        phase_s=float(phase / FILM),
    )
    rows = {row for first, last in result.mixed_rows for row in range(first, last + 1)}
    assert rows == {row for row, is_mixed in enumerate(mixed) if is_mixed}
    assert (result.finding.level is Level.VISIBLE) == torn_in_some_frame(
        **rates, frames=pattern_frames(**rates), phase=phase / FILM,
        open_for=readout / FILM * Fraction(6, 7) + angle / FILM,
    )


@pytest.mark.parametrize(("changed", "named"), [
    ({"wall_fps": Fraction(60000, 1001)}, "genlock"), ({"genlock": "maybe"}, "genlock"),
    ({"exposure_s": 0.0}, "exposure_s"), ({"exposure_s": 0.0, "genlock": "free"}, "exposure_s"),
    ({"exposure_s": math.nan, "genlock": "free"}, "exposure_s"),
    ({"readout_s": -1.0}, "readout_s"), ({"readout_tolerance_s": -1.0}, "readout_tolerance_s"),
    ({"change_spread_s": math.inf}, "change_spread_s"),
    ({"content_fps": Fraction(-1)}, "content_fps"),
    ({"phase_s": math.nan}, "phase_s"), ({"rows_px": 0, "phase_s": 0.0}, "rows_px"),
])
def test_impossible_shots_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        of(**changed)
