"""The recorded frame as a picture: bands and tear over a gray ramp, as a simulation."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from bandcheck.levels.transfer import srgb_signal
from bandcheck.report.frame_wording import frame_title
from bandcheck.report.picture_sheet import Sheet
from bandcheck.report.rounding import number_text
from bandcheck.verdict.moire_scene import moire_missing
from bandcheck.verdict.recorded_frame import RecordedFrame, ramp_light
from bandcheck.verdict.recorded_fringes import fringe_factor

__all__ = ["COLUMNS", "RAMP_SIGNALS", "frame_picture"]

FloatArray = NDArray[np.float64]
Progress = Callable[[Iterator[Any], int], Iterator[Any]]

RAMP_SIGNALS = np.linspace(0, 1, 121)
"""Signal levels of the ramp."""

COLUMNS = 960
"""Width of a picture to look at on a page."""

_TALLEST = 720
_DEFAULT_ASPECT = 16 / 9
_WHITE = 0.75
"""Light of the wall's white in the picture, so that bands brighter than it are not cut."""

_PIXELS_AT_ONCE = COLUMNS * _TALLEST
_ROWS_AT_ONCE = 256
_TICKS = 12
_TICK_STEPS = tuple(step * 10**decade for decade in range(5) for step in (1, 2, 5))


def _picture_rows(frame: RecordedFrame, *, whole: bool, columns: int) -> NDArray[np.int64]:
    """Sensor rows at which the rows of the picture begin and the last one ends."""
    camera = frame.shot.camera
    aspect = camera.columns_px / camera.rows_px if camera.columns_px else _DEFAULT_ASPECT
    tallest = _TALLEST if columns <= COLUMNS else camera.rows_px
    height = max(1, min(tallest, round(columns / aspect), camera.rows_px))
    if whole:
        return np.arange(height + 1) * camera.rows_px // height
    first = (camera.rows_px - height) // 2
    return np.arange(first, first + height + 1)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Drawn:
    """Rows of the picture, sRGB, and how many of its pixels are cut off at black and at white."""

    pixels: NDArray[np.uint8]
    black: int
    white: int

    @classmethod
    def of(cls, light: FloatArray) -> Self:
        """Drawn form of light, 1 for the picture's white."""
        return cls(
            pixels=np.rint(255 * srgb_signal(np.clip(light, 0, 1))).astype(np.uint8),
            black=int((light < 0).any(axis=2).sum()), white=int((light > 1).any(axis=2).sum()),
        )


def _drawn(
    frame: RecordedFrame, edges: NDArray[np.int64], gain: float, *, columns: int, whole: bool,
    progress: Progress | None,
) -> _Drawn:
    """Rows between edges, averaged to one picture row each, the wall's white at `_WHITE`."""
    height = max(1, _PIXELS_AT_ONCE // columns)
    firsts = range(0, len(edges) - 1, height)
    parts = (
        _Drawn.of(_WHITE * _part(
            frame, edges[first : first + height + 1], gain, columns=columns, whole=whole
        ))
        for first in firsts
    )
    told = list(parts if progress is None else progress(parts, len(firsts)))
    return _Drawn(
        pixels=np.concatenate([each.pixels for each in told]),
        black=sum(each.black for each in told), white=sum(each.white for each in told),
    )


def _part(
    frame: RecordedFrame, edges: NDArray[np.int64], gain: float, *, columns: int, whole: bool
) -> FloatArray:
    """Light of some rows; below 0 and above 1 where it goes beyond what a picture can show."""
    parts = []
    step = max(1, _ROWS_AT_ONCE // int(np.diff(edges).max()))
    for first in range(0, len(edges) - 1, step):
        own = edges[first : first + step + 1]
        light = ramp_light(
            frame, columns=columns, rows=slice(int(own[0]), int(own[-1])), gain=gain
        )
        height = np.diff(own)[:, np.newaxis, np.newaxis]
        parts.append(np.add.reduceat(light, own[:-1] - own[0], axis=0) / height)
    light = np.concatenate(parts)
    fringes = _fringes(frame, edges, gain, columns=columns, whole=whole)
    return light if fringes is None else light * fringes


def _cut_sentence(drawn: _Drawn) -> str | None:
    """How much of a picture is drawn black or white because it can show no more."""
    all_pixels = drawn.pixels.shape[0] * drawn.pixels.shape[1]
    told = " and ".join(
        f"{number_text(100 * count / all_pixels, decimals=1)} % of pixels as {end}"
        for count, end in ((drawn.black, "black"), (drawn.white, "white")) if count > 0)
    return f"Cut off where light goes beyond this picture: {told}." if told else None


def _fringes(
    frame: RecordedFrame, edges: NDArray[np.int64], gain: float, *, columns: int, whole: bool
) -> FloatArray | None:
    """Grid and moire over the picture: the whole of it, or its middle photosite for photosite."""
    camera = frame.shot.camera
    middles = (edges[1:] + edges[:-1]) / 2 / camera.rows_px
    across = (np.arange(columns) + 0.5) / columns
    if not whole and camera.columns_px:  # photosite for photosite
        across = 0.5 + (across - 0.5) * min(1.0, columns / camera.columns_px)
    return fringe_factor(frame.shot, across=across, down=middles, gain=gain)


def frame_picture(
    frame: RecordedFrame, *, whole: bool, gain: float, columns: int | None = None,
    progress: Progress | None = None,
) -> bytes:
    """Picture of a recorded frame, labelled as the simulation it is.

    Parameters
    ----------
    frame
        From `recorded_frame`, at `RAMP_SIGNALS`.
    whole
        The whole frame, or its middle with a row of the picture for each row.
    gain
        Factor on the contrast of bands, grid and moire.
    columns
        Width of the whole frame's picture; None: a handy one, `COLUMNS`. A crop has that width.
    progress
        Wraps the parts of a large picture as they come, given their number.

    Returns
    -------
    bytes
        PNG.
    """
    width = COLUMNS if columns is None or not whole else columns
    edges = _picture_rows(frame, whole=whole, columns=width)
    drawn = _drawn(frame, edges, gain, columns=width, whole=whole, progress=progress)
    height = len(drawn.pixels)
    cut = _cut_sentence(drawn)
    sheet = Sheet(
        title=(*frame_title(frame, gain=gain), *([cut] if cut else [])),
        field=(width, height), left=110, below=120,
    )
    sheet.cells(drawn.pixels)
    percent = range(0, 101, 10)
    sheet.across(
        [(width * each / 100, str(each)) for each in percent], "Signal on the wall [%]"
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
