"""What a profile leaves open is graded every way, the worst kept, and listed."""

from dataclasses import replace
from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from plain_shots import FILM, free_wall, mains_lamp, plain_camera, plain_shot, plain_wall

from bandcheck.errors import OutOfRangeError
from bandcheck.verdict.assess import assess
from bandcheck.verdict.light_cases import light_cases, primaries
from bandcheck.verdict.wall_cells import wall_cells
from bandcheck.vision.level import Level

LEVELS = np.array([1.0, 0.5, 0.18, 0.05, 0.01])
EXPOSURES = np.array([1 / 60, 1 / 48, 1 / 50, 0.0137])
CLOCKED = {"clock_hz": 26e6, "refreshes_per_frame": 160}
RATED = {"refreshes_per_frame": None, "refresh_hz": 3840.0, "rated_fps": FILM}
CHOICES = {
    "frame_end": ("dark", "stretched"),
    "dealing": ("bit_reversed", "even"),
    "on_rate_change": ("keep_refresh", "keep_refreshes_per_frame"),
}
OPEN = {
    "frame end": ("frame_end",),
    "dealing": ("dealing",),
    "frame end and dealing": ("frame_end", "dealing"),
    "rate change": ("on_rate_change",),
    "rate change and dealing": ("on_rate_change", "dealing"),
}


@pytest.mark.parametrize("keys", OPEN.values(), ids=OPEN)
def test_what_is_left_out_is_graded_every_way_and_the_worst_kept(keys):
    rate = Fraction(25) if "on_rate_change" in keys else FILM  # 153 refreshes, or 160
    wall = plain_wall(**(RATED if "on_rate_change" in keys else CLOCKED), frame_end="stretched")
    left_open = replace(wall, **dict.fromkeys(keys))
    stated = [
        replace(wall, **dict(zip(keys, values, strict=True)))
        for values in product(*(CHOICES[key] for key in keys))
    ]
    cells, *each = (
        wall_cells(plain_shot(fps=rate, wall=one), levels=LEVELS, exposure_s=EXPOSURES)
        for one in (left_open, *stated)
    )
    assert_array_equal(cells.visibility, np.max([one.visibility for one in each], axis=0))
    assert_array_equal(cells.ripple, np.max([one.ripple for one in each], axis=0))
    assert len(light_cases(left_open, rate)) == len(stated)
    assert any((one.visibility < cells.visibility).any() for one in each)  # it does matter
    taken = {each.key for each in light_cases(left_open, rate)[0].taken}
    assert taken == set(keys)
    listed = assess(plain_shot(fps=rate, wall=left_open), fixes=False).assumptions
    assert set(keys) <= {each.key for each in listed}


def test_the_assumption_that_is_listed_is_the_one_that_decided():
    # 1 % of dark at the end of the frame ripples 2.5 % at 180 deg; stretched, nothing
    wall = plain_wall(clock_hz=24 * 160 * 16 * 409 / 0.99)
    found = assess(plain_shot(wall=wall), fixes=False)
    assert_allclose(found.banding.levels[0].ripple, 0.025, rtol=1e-9)
    decided = {each.key: each.value for each in found.assumptions}
    assert decided["frame_end"] == "dark"
    assert found.banding.case.timing.refresh_pitch_s < 1 / 3840


def test_what_is_stated_is_not_assumed():
    for wall in (
        plain_wall(dealing="even"), plain_wall(dealing=None, refreshes_per_frame=128),
        plain_wall(dealing=None, drive="repeated"),
    ):
        (case,) = light_cases(wall, FILM)
        assert case.taken == ()
    assert light_cases(plain_wall(dealing=None, refreshes_per_frame=128), FILM)[0].dealing == (
        "bit_reversed"
    )
    (at_rated_rate,) = light_cases(plain_wall(**RATED), FILM)
    assert at_rated_rate.taken == ()
    assert at_rated_rate.timing.refreshes == 160


def test_refreshes_at_another_rate():
    def refreshes(**changed):
        return [case.timing.refreshes for case in light_cases(plain_wall(**changed), Fraction(30))]

    assert refreshes(**RATED, on_rate_change="keep_refresh") == [128]
    assert refreshes(**RATED, on_rate_change="keep_refreshes_per_frame") == [160]
    assert refreshes(**RATED) == [128, 160]
    assert refreshes(**RATED, refreshes_per_frame_allowed=(64, 100, 150)) == [100, 150]
    assert refreshes(**RATED, refreshes_per_frame_allowed=(64, 100)) == [100]  # alike: once
    assert refreshes(refreshes_per_frame=160, rated_fps=FILM) == [160]


def test_ways_that_cannot_run_are_left_out_and_none_at_all_is_refused():
    # at 48 fps only half the refreshes fit under this clock
    clocked = plain_wall(**RATED, clock_hz=26e6, frame_end="stretched")
    (only,) = light_cases(clocked, Fraction(48))
    assert only.timing.refreshes == 80
    with pytest.raises(OutOfRangeError, match=r"160 refreshes x 16 lines"):
        light_cases(replace(clocked, on_rate_change="keep_refreshes_per_frame"), Fraction(48))
    with pytest.raises(OutOfRangeError, match="gray_bits or counts_per_refresh"):
        light_cases(plain_wall(counts_per_refresh=None), FILM)
    with pytest.raises(OutOfRangeError, match="refresh_hz together with rated_fps"):
        light_cases(plain_wall(refreshes_per_frame=None), FILM)


def test_gray_bits_give_counts():
    bits = {"counts_per_refresh": None, "gray_bits": 16}
    assert light_cases(plain_wall(**bits), FILM)[0].counts_per_refresh == 65536 // 160
    assert light_cases(plain_wall(**bits), FILM)[0].full_scale == 409 * 160
    coded = light_cases(plain_wall(**bits, drive="binary_code"), FILM)[0]
    assert coded.counts_per_refresh == coded.full_scale == 65535
    repeated = light_cases(plain_wall(**bits, drive="repeated"), FILM)[0]
    assert repeated.counts_per_refresh == repeated.full_scale == 65536


def test_a_free_refresh_keeps_its_own_time():
    (case,) = light_cases(free_wall(), Fraction(30))
    assert not case.locked_to_frame
    assert_allclose(case.timing.cycle_s, 160 / 3840, rtol=1e-12)
    (of_the_frame,) = light_cases(plain_wall(refresh_lock="free"), Fraction(30))
    assert_allclose(of_the_frame.timing.refresh_hz, 160 * 30, rtol=1e-12)


def test_the_camera_that_is_not_described_is_unknown():
    for scheme in ("multi", "global_reset"):
        camera = plain_camera(exposure_scheme=scheme)
        for changed in ({}, {"content_fps": Fraction(0)}, {"lamps": (mains_lamp(),)}):
            found = assess(plain_shot(camera=camera, **changed))
            assert found.overall is Level.UNKNOWN
            levels = {each.finding.hazard: each.finding.level for each in found.findings}
            assert levels["banding"] is levels["flicker"] is Level.UNKNOWN
            assert levels["tearing"] is (
                Level.SAFE if "content_fps" in changed else Level.UNKNOWN  # nothing to tear
            )
            assert levels.get("lamp", Level.UNKNOWN) is Level.UNKNOWN
            assert found.banding.lowest_safe_level is None
            reasons = {each.finding.hazard: each.finding.reason for each in found.findings}
            assert reasons["banding"] == "exposure_scheme_not_described"


def test_colours_that_pulse_alike_are_white():
    assert primaries(plain_wall()) == {"white": (1.0, 1)}
    assert primaries(plain_wall(white_duty=(0.7, 0.7, 0.7), min_pulse_counts=(2, 2, 2))) == {
        "white": (0.7, 2)
    }
    assert primaries(plain_wall(white_duty=(1.0, 0.9, 0.8), min_pulse_counts=(1, 2, 3))) == {
        "red": (1.0, 1), "green": (0.9, 2), "blue": (0.8, 3),
    }
    assert list(primaries(plain_wall(min_pulse_counts=(1, 1, 2)))) == ["red", "green", "blue"]
