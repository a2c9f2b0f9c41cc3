import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from reference_rows import reference_rows

from bandcheck.errors import OutOfRangeError
from bandcheck.timing.dial import (
    dial_exposures,
    exposure_after_rate_change,
    flicker_free_angles_deg,
)
from bandcheck.timing.rates import beat_hz

FPS = Fraction(24)
SPEEDS = tuple(Fraction(1, n) for n in (24, 25, 48, 50, 60, 100))


@pytest.mark.parametrize("row", reference_rows("shutter", "exposure after a change of rate"))
def test_changes_of_rate_of_the_table(row):
    asked = row["given"]
    after = exposure_after_rate_change(
        exposure_s=Fraction(asked["exposure_s"]), from_fps=Fraction(asked["from_fps"]),
        to_fps=Fraction(asked["to_fps"]), kept=asked["kept"],
    )
    assert after.exposure_s == Fraction(row["expected"])
    assert after.clamped is row["clamped"]
    assert after.angle_deg == 360 * Fraction(row["expected"]) * Fraction(asked["to_fps"])


def test_a_time_of_just_one_new_frame_is_not_cut():
    after = exposure_after_rate_change(
        exposure_s=Fraction(1, 48), from_fps=FPS, to_fps=Fraction(48), kept="time"
    )
    assert (after.exposure_s, after.angle_deg, after.clamped) == (Fraction(1, 48), 360, False)


@pytest.mark.parametrize(("changed", "named"), [
    ({"exposure_s": Fraction(1, 23)}, "exposure"), ({"exposure_s": Fraction(0)}, "exposure"),
    ({"from_fps": Fraction(0)}, "fps"), ({"to_fps": Fraction(0)}, "to_fps"),
    ({"kept": "iso"}, "kept"),
])
def test_impossible_changes_of_rate_are_refused(changed, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        exposure_after_rate_change(**{
            "exposure_s": Fraction(1, 48), "from_fps": FPS, "to_fps": FPS, "kept": "angle",
            **changed,
        })


def test_a_dial_of_speeds_leaves_out_what_is_longer_than_the_frame():
    assert dial_exposures(fps=FPS, speeds_s=SPEEDS) == tuple(sorted(SPEEDS))
    assert dial_exposures(fps=Fraction(50), speeds_s=SPEEDS) == (
        Fraction(1, 100), Fraction(1, 60), Fraction(1, 50),
    )
    assert dial_exposures(fps=Fraction(120), speeds_s=SPEEDS) == ()


def test_a_dial_of_angles_follows_the_rate():
    angles = (Fraction(180), Fraction(864, 5), Fraction(180))
    assert dial_exposures(fps=FPS, angles_deg=angles) == (Fraction(1, 50), Fraction(1, 48))
    assert dial_exposures(fps=2 * FPS, angles_deg=angles) == (Fraction(1, 100), Fraction(1, 96))


def test_a_dial_in_steps_ends_at_the_last_step_inside_360_deg():
    angles = [360 * time * FPS for time in dial_exposures(fps=FPS, angle_step_deg=Fraction(100))]
    assert angles == [100, 200, 300]
    assert dial_exposures(fps=FPS, angle_step_deg=Fraction(360)) == (1 / FPS,)
    tenths = dial_exposures(fps=FPS, angle_step_deg=Fraction(1, 10))
    assert len(tenths) == 3600
    assert tenths[-1] == 1 / FPS
    assert len(dial_exposures(fps=FPS, angle_step_deg=Fraction(1, 1000))) == 360_000


def test_a_dial_that_offers_both_offers_each_exposure_once():
    offered = dial_exposures(fps=FPS, angles_deg=[Fraction(180)], speeds_s=SPEEDS)
    assert offered == tuple(sorted(SPEEDS))


def test_a_dial_without_stops_is_told_from_an_empty_one():
    assert dial_exposures(fps=FPS) is None


@pytest.mark.parametrize(("given_dial", "named"), [
    ({"angles_deg": [Fraction(361)]}, "angles_deg"), ({"speeds_s": [Fraction(0)]}, "speeds"),
    ({"angle_step_deg": Fraction(0)}, "angle_step_deg"),
    ({"angle_step_deg": Fraction(1, 1001)}, "angle_step_deg"),
    ({"angle_step_deg": Fraction(361)}, "angle_step_deg"), ({"fps": Fraction(0)}, "fps"),
])
def test_an_impossible_dial_is_refused(given_dial, named):
    with pytest.raises(OutOfRangeError, match=f"^{named}: "):
        dial_exposures(**{"fps": FPS, **given_dial})


@pytest.mark.parametrize("row", reference_rows("shutter", "flicker-free angles"))
def test_flicker_free_angles_of_the_table(row):
    angles = flicker_free_angles_deg(
        fps=Fraction(row["given"]["fps"]), mains_hz=row["given"]["mains_hz"]
    )
    assert angles == tuple(Fraction(angle) for angle in row["expected"])


@given(
    fps=st.fractions(min_value=1, max_value=130, max_denominator=8), mains=st.sampled_from([50, 60])
)
@settings(derandomize=True, deadline=None)
def test_at_a_flicker_free_angle_every_start_catches_the_same_light(fps, mains):
    starts = np.linspace(0, 1 / 120, 37)
    for angle in flicker_free_angles_deg(fps=fps, mains_hz=mains):
        time = float(angle / (360 * fps))
        swing = 2 * np.pi * 2 * mains
        caught = time + (np.sin(swing * (starts + time)) - np.sin(swing * starts)) / swing
        assert_allclose(caught, time, rtol=1e-9)
        assert angle <= 360


def test_a_frame_shorter_than_a_ripple_has_no_flicker_free_angle():
    assert flicker_free_angles_deg(fps=Fraction(101), mains_hz=50) == ()
    assert flicker_free_angles_deg(fps=Fraction(100), mains_hz=50.0) == (360,)
    assert flicker_free_angles_deg(fps=Fraction(2000), mains_hz=1000) == (360,)
    assert flicker_free_angles_deg(fps=Fraction(1, 2), mains_hz=Fraction(1, 2)) == (180, 360)


@pytest.mark.parametrize(
    "row", reference_rows("shutter", "frame rates at which every frame meets the mains alike")
)
def test_frame_rates_at_which_every_frame_meets_the_mains_alike(row):
    for mains in row["given"]["mains_hz"]:
        for ripples in row["given"]["ripples"]:
            rates = {"wall_fps": Fraction(2 * mains), "camera_fps": Fraction(2 * mains, ripples)}
            assert beat_hz(**rates, largest_denominator=1) == row["expected"]
    assert beat_hz(wall_fps=Fraction(120), camera_fps=Fraction(25), largest_denominator=1) == 5


@pytest.mark.parametrize("mains", [0, -50, math.nan, math.inf, 1001, 1e9])
def test_mains_out_of_range_are_refused(mains):
    with pytest.raises(OutOfRangeError, match=r"^mains_hz: .*up to 1000 Hz"):
        flicker_free_angles_deg(fps=FPS, mains_hz=mains)
