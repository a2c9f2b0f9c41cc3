"""Frames made the long way, measured: pitch and contrast come back within what is stated.

Counts. Where the stated uncertainty is right a figure lies within two standard deviations in 95.45
of 100 frames (normal law), so of n frames k = n * share are expected with a standard deviation of
sqrt(n * 0.9545 * 0.0455): 200 frames give 190.9 +/- 2.9. The bounds of 92 to 98 % are three of
these standard deviations away; seeds are fixed, so a count is the same each time.
"""

import numpy as np
import pytest
from brute_bands import band_file
from numpy.testing import assert_allclose

from bandcheck.measure.picture_bands import picture_bands

FRAMES = 60

CASES = {
    "half a percent of noise": {"noise": 0.005},
    "one percent of noise": {"noise": 0.01},
    "five percent of noise": {"noise": 0.05},
    "JPEG 85": {"form": "JPEG"},
    "texture": {"clouds": 0.1},
    "captions": {"captions": 8},
    "moire": {"moire": 0.05},
    "strong fall-off": {"fall_off": 0.5, "slope": 0.4},
}


def nearest(found, cycles):
    return min(found.sources, key=lambda each: abs(each.cycles_per_row.value - cycles))


@pytest.mark.parametrize("case", CASES)
def test_figures_come_back_within_half_a_percent(case):
    rng = np.random.default_rng(12)
    for _ in range(6):
        cycles, contrast = rng.uniform(0.02, 0.11), rng.uniform(0.03, 0.1)
        found = picture_bands(
            band_file(rng, bands=[(cycles, contrast)], **CASES[case]), name="frame",
        )
        assert found.sources, case
        strongest = found.sources[0]
        assert_allclose(strongest.cycles_per_row.value, cycles, rtol=5e-3)
        assert_allclose(strongest.contrast.value, contrast, rtol=0.1)
