"""Blocks of a sweep in other processes: the same bits, refusals told, nothing left behind."""

from fractions import Fraction
from multiprocessing import active_children

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from plain_shots import FILM, plain_shot, plain_wall

from bandcheck.verdict import sweep_blocks
from bandcheck.verdict.sweep import sweep
from bandcheck.verdict.sweep_blocks import Block, answers, block_figures, parts_of

ANGLES = [Fraction(tenth, 10) for tenth in (*range(1, 3601, 45), 1800, 3600)]
CLOCKED = plain_wall(clock_hz=26e6, frame_end="dark")  # cannot run at 48


@pytest.fixture
def small_is_large(monkeypatch):
    monkeypatch.setattr(sweep_blocks, "_FEW_CELLS", 1)


def test_two_processes_give_the_bits_of_one(small_is_large):
    arguments = {
        "angles_deg": ANGLES, "rates": [FILM, Fraction(20), Fraction(48)], "levels": (1.0, 0.05),
    }
    alone = sweep(plain_shot(wall=CLOCKED), **arguments)
    together = sweep(plain_shot(wall=CLOCKED), workers=2, **arguments)
    for name in ("visibility", "ripple", "other_visibility", "severity"):
        assert_array_equal(getattr(together, name), getattr(alone, name), name)
    assert list(together.refused) == [Fraction(48)]
    assert together.refused == alone.refused
    assert active_children() == []


def test_whoever_leaves_early_leaves_no_process_behind(small_is_large):
    blocks = [Block(shot=plain_shot(), angles_deg=tuple(ANGLES))] * 40

    def interrupted():
        with answers(blocks, workers=2) as found:
            next(found)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert active_children() == []


def test_a_small_sweep_starts_no_process():
    with answers([Block(shot=plain_shot(), angles_deg=(Fraction(180),))] * 2, workers=2) as found:
        assert active_children() == []
        first, second = found
    assert_array_equal(first.visibility, second.visibility)


@pytest.mark.parametrize("angles", [1, 3599, 3600, 3601, 7200, 10801])
def test_parts_hold_every_angle_once_and_mirror_images_together(angles):
    parts = parts_of(angles)
    held = [range(angles)[part] for part in parts]
    assert sorted(index for part in held for index in part) == list(range(angles))
    assert max(map(len, held)) <= 3600
    # 0.05 deg .. 360 deg: what two angles make 360 with stand 7198 apart in sum, both even or odd
    if angles == 7200:
        assert len(parts) == 2
        assert all((7198 - index) in held[0] for index in held[0] if index < 7199)


def test_a_block_that_cannot_be_run_says_why():
    block = Block(shot=plain_shot(fps=48, wall=CLOCKED), angles_deg=(Fraction(90),))
    assert "do not fit a frame" in block_figures(block)
    assert np.isfinite(
        block_figures(Block(shot=plain_shot(), angles_deg=(Fraction(90),))).visibility
    ).all()
