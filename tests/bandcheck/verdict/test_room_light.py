"""What people beside the wall see of it: every way it may pulse, every colour, the worst kept."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from plain_shots import plain_shot, plain_wall

from bandcheck.hazards.comfort import comfort_finding
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.room_light import room_light_finding
from bandcheck.vision.level import Level


def of_wall(levels=(1.0, 0.5, 0.18), **wall):
    return room_light_finding(plain_shot(wall=plain_wall(**wall), levels=levels))


RATED = {
    "drive": "repeated", "refreshes_per_frame": None, "refresh_hz": 3840.0,
    "rated_fps": Fraction(60), "scan_lines": 1,
}
"""At 24 frames/s 160 refreshes a frame if it keeps its refresh, 64 if it keeps their number."""


def test_a_wall_that_may_pulse_in_two_ways_is_as_bad_as_the_worse():
    known = {rule: of_wall(**RATED, on_rate_change=rule)
             for rule in ("keep_refresh", "keep_refreshes_per_frame")}
    assert known["keep_refresh"].level is Level.SAFE  # 3840 Hz: any modulation is accepted
    slow = known["keep_refreshes_per_frame"]
    assert (slow.level, slow.reason) == (Level.MARGINAL, "light_at_low_risk")
    assert_allclose(slow.figures["frequency_hz"], 64 * 24)
    assert of_wall(**RATED) == slow


def test_the_order_of_what_is_not_known_does_not_matter():
    """A dark end of the frame makes a wall flicker at its frame rate; the first case has none."""
    wall = plain_wall(drive="repeated", clock_hz=3e7, refreshes_per_frame=40, scan_lines=16)
    cases = light_cases(wall, Fraction(24))
    assert [each.taken[0].value for each in cases] == ["stretched", "dark"]
    either, stretched, dark = (
        room_light_finding(plain_shot(wall=replace(wall, frame_end=end)))
        for end in (None, "stretched", "dark")
    )
    assert "flashes_hz" not in stretched.figures
    assert_allclose(dark.figures["flashes_hz"], 24)
    assert either.figures["flashes_hz"] == dark.figures["flashes_hz"]
    assert either.level is max(dark.level, stretched.level)


def test_a_colour_that_flickers_more_than_white_decides():
    """The shortest pulse of blue lights few refreshes in dark grays."""
    levels = (0.1,)
    alike, slow = of_wall(levels), of_wall(levels, min_pulse_counts=(40, 40, 40))
    assert slow.level > Level.SAFE
    assert alike != slow
    assert of_wall(levels, min_pulse_counts=(1, 1, 40)).figures == slow.figures
    assert of_wall(levels, min_pulse_counts=(40, 1, 1)).figures == slow.figures


@pytest.mark.parametrize("level", [0.5, 0.004, 0.0005])
def test_a_colour_at_a_tenth_of_full_drive_is_a_level_a_tenth_as_bright(level):
    share = of_wall((level,), transfer="linear", white_duty=(1.0, 1.0, 0.1))
    both = of_wall((level, level / 10), transfer="linear")
    assert share == both
    assert of_wall((level,), transfer="linear") != both


def test_the_light_of_all_lines_by_sums_over_its_moments():
    """Second route: every count of every line in turn, and a transform of what they add up to."""
    refreshes, lines, counts, lit = 4, 5, 8, 6
    finding = of_wall(
        (lit / counts,), drive="repeated", refreshes_per_frame=refreshes, scan_lines=lines,
        counts_per_refresh=counts, transfer="linear",
    )
    moments = np.zeros(refreshes * lines * counts)
    for slot in range(refreshes * lines):
        moments[slot * counts : slot * counts + lit] += 1
    fine = np.repeat(moments, 64)  # so that a transform of steps is one of pulses
    depth = 2 * np.abs(np.fft.rfft(fine)) / fine.sum()
    number = np.arange(1, int(3000 / 24) + 1)
    assert_allclose(finding.value, depth[lines * refreshes], rtol=1e-3)
    assert 0.5 < finding.value < 0.7
    assert_allclose(finding.figures["frequency_hz"], 24 * refreshes * lines)
    by_sums = comfort_finding(frequency_hz=24.0 * number, modulation=depth[number])
    assert by_sums.level is finding.level


def test_black_is_steady():
    assert of_wall((0.0,)).level is Level.SAFE
