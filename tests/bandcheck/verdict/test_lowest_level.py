"""The lowest safe level against a plain loop over the levels."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from plain_shots import free_wall, plain_camera, plain_shot, plain_wall

from bandcheck.verdict.assess import assess
from bandcheck.verdict.light_cases import light_cases
from bandcheck.verdict.lowest_level import LOOKED_AT_PERCENT, lowest_safe_levels
from bandcheck.verdict.wall_cells import wall_cells

EXPOSURES = np.array([1 / 48, 1 / 60, 1 / 50, 1 / 24, 76 / 3840, 1 / 96, 0.0004])
SHOTS = {
    "spread": {},
    "even": {"wall": plain_wall(dealing="even", refreshes_per_frame=96)},
    "bit planes": {"wall": plain_wall(drive="binary_code", counts_per_refresh=4095)},
    "left open": {"wall": plain_wall(dealing=None, refreshes_per_frame=50)},
    "free": {"wall": free_wall(refresh_tolerance=1e-5)},
    "colours": {"wall": plain_wall(white_duty=(1.0, 0.7, 0.4))},
}


@pytest.mark.parametrize("changed", SHOTS.values(), ids=SHOTS)
def test_against_a_plain_loop(changed):
    shot = plain_shot(**changed)
    found = lowest_safe_levels(
        shot, exposure_s=EXPOSURES, cases=light_cases(shot.wall, shot.wall_fps)
    )
    for exposure, lowest in zip(EXPOSURES, found, strict=True):
        expected = np.nan
        for percent in LOOKED_AT_PERCENT:
            cells = wall_cells(
                shot, levels=[percent / 100], exposure_s=[exposure], extremes=False
            )
            if cells.visibility[0, 0] >= 1:
                break
            expected = percent / 100
        assert_array_equal(lowest, expected)


def test_not_even_white():
    shot = plain_shot(angle=Fraction("172.8"))
    assert assess(shot, fixes=False).banding.lowest_safe_level is None
    assert assess(plain_shot(), fixes=False).banding.lowest_safe_level == 0.1


def test_nothing_is_safe_on_a_camera_that_is_not_described():
    shot = plain_shot(camera=plain_camera(exposure_scheme="multi"))
    found = lowest_safe_levels(
        shot, exposure_s=EXPOSURES, cases=light_cases(shot.wall, shot.wall_fps)
    )
    assert found.shape == EXPOSURES.shape
    assert np.isnan(found).all()
