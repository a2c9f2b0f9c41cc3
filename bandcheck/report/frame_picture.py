"""The recorded frame as a picture: bands and tear over a gray ramp, as a simulation."""

import numpy as np
from numpy.typing import NDArray

from bandcheck.levels.transfer import srgb_signal
from bandcheck.report.frame_wording import frame_title
from bandcheck.report.picture_sheet import Sheet
from bandcheck.report.rounding import number_text
from bandcheck.verdict.moire_scene import moire_missing
from bandcheck.verdict.recorded_frame import RecordedFrame, ramp_light
from bandcheck.verdict.recorded_fringes import fringe_factor

__all__ = ["RAMP_SIGNALS", "frame_picture"]

FloatArray = NDArray[np.float64]

RAMP_SIGNALS = np.linspace(0, 1, 121)
"""Signal levels of the ramp."""

_COLUMNS = 960
_TALLEST = 720
_DEFAULT_ASPECT = 16 / 9
_WHITE = 0.75
"""Light of the wall's white in the picture, so that bands brighter than it are not cut."""

_ROWS_AT_ONCE = 256
_TICKS = 12
_TICK_STEPS = tuple(step * 10**decade for decade in range(5) for step in (1, 2, 5))


def _picture_rows(frame: RecordedFrame, *, whole: bool) -> NDArray[np.int64]:
    """Sensor rows at which the rows of the picture begin and the last one ends."""
    camera = frame.shot.camera
    aspect = camera.columns_px / camera.rows_px if camera.columns_px else _DEFAULT_ASPECT
    height = max(1, min(_TALLEST, round(_COLUMNS / aspect), camera.rows_px))
    if whole:
        return np.arange(height + 1) * camera.rows_px // height
    first = (camera.rows_px - height) // 2
    return np.arange(first, first + height + 1)


def _light(frame: RecordedFrame, edges: NDArray[np.int64], gain: float) -> FloatArray:
    """Light of rows between edges, averaged to one picture row each, white at `_WHITE`.

    Below 0 and above 1 where it goes beyond what a picture can show.
    """
    parts = []
    step = max(1, _ROWS_AT_ONCE // int(np.diff(edges).max()))
    for first in range(0, len(edges) - 1, step):
        own = edges[first : first + step + 1]
        light = ramp_light(
            frame, columns=_COLUMNS, rows=slice(int(own[0]), int(own[-1])), gain=gain
        )
        height = np.diff(own)[:, np.newaxis, np.newaxis]
        parts.append(np.add.reduceat(light, own[:-1] - own[0], axis=0) / height)
    light = np.concatenate(parts)
    fringes = _fringes(frame, edges, gain)
    if fringes is not None:
        light = light * fringes
    return _WHITE * light


def _cut_sentence(light: FloatArray) -> str | None:
    """How much of a picture is drawn black or white because it can show no more."""
    black, white = (float(beyond.any(axis=2).mean()) for beyond in (light < 0, light > 1))
    told = " and ".join(
        f"{number_text(100 * share, decimals=1)} % of pixels as {end}"
        for share, end in ((black, "black"), (white, "white")) if share > 0)
    return f"Cut off where light goes beyond this picture: {told}." if told else None


def _fringes(
    frame: RecordedFrame, edges: NDArray[np.int64], gain: float
) -> FloatArray | None:
    """Grid and moire over the picture: the whole of it, or its middle photosite for photosite."""
    camera = frame.shot.camera
    middles = (edges[1:] + edges[:-1]) / 2 / camera.rows_px
    across = (np.arange(_COLUMNS) + 0.5) / _COLUMNS
    if edges[-1] - edges[0] < camera.rows_px and camera.columns_px:
        across = 0.5 + (across - 0.5) * min(1.0, _COLUMNS / camera.columns_px)
    return fringe_factor(frame.shot, across=across, down=middles, gain=gain)


def frame_picture(frame: RecordedFrame, *, whole: bool, gain: float) -> bytes:
    """Picture of a recorded frame, labelled as the simulation it is.

    Parameters
    ----------
    frame
        From `recorded_frame`, at `RAMP_SIGNALS`.
    whole
        The whole frame made smaller, or its middle with a row of the picture for each row.
    gain
        Factor on the contrast of bands, grid and moire.

    Returns
    -------
    bytes
        PNG.
    """
    edges = _picture_rows(frame, whole=whole)
    light = _light(frame, edges, gain)
    height = len(light)
    cut = _cut_sentence(light)
    sheet = Sheet(
        title=(*frame_title(frame, gain=gain), *([cut] if cut else [])),
        field=(_COLUMNS, height), left=110, below=120,
    )
    sheet.cells(np.rint(255 * srgb_signal(np.clip(light, 0, 1))).astype(np.uint8))
    percent = range(0, 101, 10)
    sheet.across(
        [(_COLUMNS * each / 100, str(each)) for each in percent], "Signal on the wall [%]"
    )
    first, last = int(edges[0]), int(edges[-1])
    step = next(each for each in _TICK_STEPS if (last - first) / each <= _TICKS)
    named = range(-(-first // step) * step, last, step)
    ticks = [((row - first) * height / (last - first), str(row)) for row in named]
    averaged = frame.shot.camera.rows_px / height if whole else 1.0
    label = "Row, from the top"
    if averaged > 1:
        label += f"; {number_text(averaged, decimals=1)} rows in each shown"
    sheet.upright(ticks, label)
    sheet.text(
        "A light and a dark bar move one step with each picture on the wall: where rows hold two"
        " pictures, or differ in them, the bars break.",
        x=110, y=sheet.top + height + 66, size=15,
    )
    if moire_missing(frame.shot) == ():
        sheet.text(
            "The LED grid and its moire are drawn as they lie on the photosites"
            + (", without what is finer than this picture." if whole else ", 1:1."),
            x=110, y=sheet.top + height + 88, size=15,
        )
    return sheet.png()
