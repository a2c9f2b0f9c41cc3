"""The wall's grid and its moire in a recorded frame, as a factor on the light of its pixels.

Each fringe is a cosine with the contrast and the frequency that it has in the middle of the frame.
Where it begins is not known (a hair's breadth of camera movement shifts it), and towards the edges
of a turned or curved wall its frequency drifts: neither is in it.
"""

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.moire import FRINGE_CHANNELS, moire_lines
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.moire_scene import moire_scene

__all__ = ["fringe_factor"]

FloatArray = NDArray[np.float64]

_FINEST_CYCLES = 0.45
"""Finest fringe that is drawn, in cycles per pixel: finer ones would come back as false moire."""


def fringe_factor(
    shot: Shot, *, across: FloatArray, down: FloatArray, gain: float = 1.0
) -> FloatArray | None:
    """Factor by which grid and moire change the light of pixels, by colour.

    Parameters
    ----------
    shot
        The shot.
    across, down
        Middles of the pixels as shares of the picture's width and height, evenly spaced, shapes
        (columns,) and (rows,). Fringes are averaged over a pixel's width and height.
    gain
        Factor on the contrast.

    Returns
    -------
    ndarray or None
        Shape (rows, columns, 3), red, green and blue; None while the optics are not known.
    """
    scene = moire_scene(shot)
    if scene is None:
        return None
    lines = moire_lines(
        lattice=scene.lattice, sensor=scene.sensor, standpoint=scene.standpoint,
        viewer=scene.viewer,
    )
    wide, tall = _spacing(across), _spacing(down)
    per_pixel = np.hypot(lines.fringes_per_width * wide, lines.fringes_per_height * tall)
    lines = lines[(lines.contrast > 0) & (per_pixel <= _FINEST_CYCLES)]
    left = np.sinc(lines.fringes_per_width * wide) * np.sinc(lines.fringes_per_height * tall)
    waves_across = np.exp(2j * np.pi * np.outer(lines.fringes_per_width, across))
    waves_down = np.exp(2j * np.pi * np.outer(down, lines.fringes_per_height))
    factor = np.ones((down.size, across.size, 3))
    for place, channel in enumerate(("red", "green", "blue")):
        share = np.array([
            FRINGE_CHANNELS[int(colour)][channel] if int(colour) in FRINGE_CHANNELS else 1.0
            for colour in lines.colour
        ])
        amplitude = gain * lines.contrast * left * share
        factor[..., place] += ((waves_down * amplitude) @ waves_across).real
    return np.maximum(factor, 0.0)


def _spacing(places: FloatArray) -> float:
    return float(places[1] - places[0]) if places.size > 1 else 1.0
