"""The blocks of work of a sweep, done one after the other or in processes of their own."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import OutOfRangeError
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.exposure_grades import exposure_grades, made_exposures_s
from bandcheck.verdict.wall_cells import wall_cells

__all__ = ["Block", "BlockFigures", "answers", "block_figures", "parts_of"]

FloatArray = NDArray[np.float64]

_ANGLES_AT_ONCE = 3600

_FEW_CELLS = 30_000
"""Cells that are done before a second process has started: project choice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Block:
    """A shot with the levels of the sweep, and the shutter angles [deg] that are wanted of it."""

    shot: Shot
    angles_deg: tuple[Fraction, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class BlockFigures:
    """Figures of A angles and L levels: `visibility` and `ripple` (A, L), the others (A,)."""

    visibility: FloatArray
    ripple: FloatArray
    other_visibility: FloatArray
    severity: NDArray[np.int8]


def parts_of(angles: int) -> list[slice]:
    """Which angles go into a block together: every n-th.

    So angles that add up to a whole frame, whose light is shared, stay together.
    """
    parts = -(-angles // _ANGLES_AT_ONCE)
    return [slice(first, None, parts) for first in range(parts)]


def block_figures(block: Block) -> BlockFigures | str:
    """Figures of a block, or why its shot cannot be run."""
    shot = block.shot
    exposure = np.array([float(angle / (360 * shot.fps)) for angle in block.angles_deg])
    try:
        cells = wall_cells(
            shot, levels=shot.levels, exposure_s=made_exposures_s(shot, exposure)
        )
        grades = exposure_grades(shot, exposure, wall_visibility=cells.visibility.max(axis=0))
    except OutOfRangeError as error:
        return str(error)
    unknown = np.nan if shot.camera.exposure_scheme != "single" else 0.0
    return BlockFigures(
        visibility=cells.visibility.T + unknown, ripple=cells.ripple.T + unknown,
        other_visibility=grades.visibility[1:].max(axis=0), severity=grades.severity,
    )


@contextmanager
def answers(
    blocks: Sequence[Block], *, workers: int
) -> Iterator[Iterator[BlockFigures | str]]:
    """Answers to blocks in their order, from several processes where that is worth it.

    Parameters
    ----------
    blocks
        The work.
    workers
        Most processes.

    Yields
    ------
    iterator
        The answers as they come. Whoever leaves early, interrupted for instance, ends the
        processes as well.
    """
    cells = sum(len(block.angles_deg) * len(block.shot.levels) for block in blocks)
    if workers < 2 or len(blocks) < 2 or cells < _FEW_CELLS:
        yield map(block_figures, blocks)
        return
    from bandcheck.verdict.processes import process_pool  # slow, and few sweeps are that large

    with process_pool(min(workers, len(blocks))) as pool:
        yield pool.map(block_figures, blocks)
