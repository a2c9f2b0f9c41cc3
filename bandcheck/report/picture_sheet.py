"""A sheet for a picture: title, a field of cells, axes with labels, a key; saved as PNG."""

import io
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bandcheck.report.map_ink import hatched, ink, visibility_share
from bandcheck.report.rounding import number_text

__all__ = ["Sheet", "png_bytes"]

Pixels = NDArray[np.uint8]

_FOLDER = Path(__file__).with_name("fonts")
_BLACK = (20, 20, 20)
_LINE = 26
_MARGIN = 24
_BAR_PX = 300
_LONGEST_TEXT = 400
"""Letters of a line; as many of the narrowest are wider than any sheet."""


@cache
def _font(size: int, bold: bool = False) -> Any:
    from PIL import ImageFont

    name = "DejaVuSansCondensed-Bold" if bold else "DejaVuSansCondensed"
    return ImageFont.truetype(
        str(_FOLDER / f"{name}.ttf"), size, layout_engine=ImageFont.Layout.BASIC
    )


def png_bytes(pixels: Pixels, *, said: str = "") -> bytes:
    """Picture as a PNG file.

    Parameters
    ----------
    pixels
        sRGB, shape (height, width, 3).
    said
        Text to store in the file under "Description".

    Returns
    -------
    bytes
        The file; the same picture gives the same bytes.
    """
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    notes = PngInfo()
    if said:
        notes.add_itxt("Description", said)
    target = io.BytesIO()
    Image.fromarray(pixels).save(target, format="PNG", pnginfo=notes)
    return target.getvalue()


class Sheet:
    """A white sheet with a title, on which a field of cells and its axes are drawn.

    Parameters
    ----------
    title
        Lines above the field; the first is set bold. One that is too long is cut.
    field
        Width and height of the field [px].
    left
        Room for the labels of the upright axis [px].
    below
        Room under the field [px].
    """

    def __init__(
        self, *, title: Sequence[str], field: tuple[int, int], left: int, below: int
    ) -> None:
        from PIL import Image, ImageDraw

        width, height = field
        self.field = field
        self.left, self.top = left, _MARGIN + _LINE * len(title) + 14
        self.size = (left + width + 2 * _MARGIN, self.top + height + below)
        self.title = tuple(title)
        self._image = Image.new("RGB", self.size, "white")
        self._draw = ImageDraw.Draw(self._image)
        for number, line in enumerate(title):
            self.text(line, x=_MARGIN, y=_MARGIN + _LINE * number, bold=number == 0)

    def text(
        self, text: str, *, x: float, y: float, bold: bool = False, anchor: str = "la",
        size: int = 18,
    ) -> None:
        """Write one line; what does not fit the sheet is cut with an ellipsis."""
        font = _font(size, bold)
        shown = " ".join(text.split())[:_LONGEST_TEXT]
        room = self.size[0] - x - 4 if anchor[0] == "l" else self.size[0]
        while len(shown) > 1 and font.getlength(shown) > room:
            shown = shown[:-2].rstrip() + "…"
        self._draw.text((x, y), shown, fill=_BLACK, font=font, anchor=anchor)

    def cells(self, pixels: Pixels) -> None:
        """Lay the field in its frame."""
        from PIL import Image

        self._image.paste(Image.fromarray(pixels), (self.left, self.top))
        self._draw.rectangle(
            (self.left - 1, self.top - 1, self.left + self.field[0], self.top + self.field[1]),
            outline=_BLACK,
        )

    def line(self, *points: tuple[float, float], width: int = 2, light: bool = False) -> None:
        """Draw through points of the field, counted from its upper left corner [px]."""
        moved = [(self.left + x, self.top + y) for x, y in points]
        self._draw.line(moved, fill="white" if light else _BLACK, width=width)

    def across(self, ticks: Sequence[tuple[float, str]], label: str) -> None:
        """Axis under the field: places from its left edge [px] with their labels."""
        bottom = self.top + self.field[1]
        taken = -1e9
        for x, text in ticks:
            half = _font(16).getlength(text) / 2
            if x - half < taken + 8:
                continue
            taken = x + half
            self._draw.line(
                (self.left + x, bottom, self.left + x, bottom + 6), fill=_BLACK, width=2
            )
            self.text(text, x=self.left + x, y=bottom + 9, anchor="ma", size=16)
        self.text(label, x=self.left + self.field[0] / 2, y=bottom + 32, anchor="ma")

    def upright(self, ticks: Sequence[tuple[float, str]], label: str) -> None:
        """Axis left of the field: places from its upper edge [px] with their labels."""
        taken: list[float] = []
        for y, text in ticks:
            if any(abs(y - other) < 19 for other in taken):
                continue
            taken.append(y)
            self._draw.line(
                (self.left - 7, self.top + y, self.left - 1, self.top + y), fill=_BLACK, width=2
            )
            self.text(text, x=self.left - 11, y=self.top + y, anchor="rm", size=16)
        self._turned(label)

    def _turned(self, label: str) -> None:
        from PIL import Image, ImageDraw

        font = _font(18)
        strip = Image.new("RGB", (int(font.getlength(label)) + 4, _LINE), "white")
        ImageDraw.Draw(strip).text((0, 2), label, fill=_BLACK, font=font)
        turned = strip.rotate(90, expand=True)
        middle = self.top + self.field[1] // 2
        self._image.paste(turned, (6, max(0, middle - turned.height // 2)))

    def key(
        self, *, y: int, safe_below: float, visible_from: float, marks: Sequence[tuple[str, str]]
    ) -> None:
        """Scale of visibility and the kinds of lines.

        Parameters
        ----------
        y
            Where, from the lower edge of the field [px].
        safe_below, visible_from
            Limits of V.
        marks
            Kind of line (of `HATCH`) and what it says.
        """
        top = self.top + self.field[1] + y
        low, high = safe_below / 10, visible_from * 10
        bar = np.broadcast_to(ink(np.linspace(0, 1, _BAR_PX)), (22, _BAR_PX, 3))
        self._patch(np.array(bar), x=self.left, y=top)
        for value, word in (
            (low, "under"), (safe_below, "safe below"), (visible_from, "visible from"),
            (high, "over"),
        ):
            share = float(visibility_share(
                value, safe_below=safe_below, visible_from=visible_from
            ))
            x = self.left + share * _BAR_PX
            self._draw.line((x, top, x, top + 30), fill=_BLACK, width=2)
            anchor = "ra" if word == "safe below" else "la"
            if word in ("under", "over"):
                continue
            self.text(f"{word} {number_text(value, decimals=3)}", x=x, y=top + 32, size=15,
                      anchor=anchor)
        self.text("Visibility V", x=self.left, y=top - 24, size=16)
        for number, (kind, words) in enumerate(marks):
            sample = np.array(np.broadcast_to(ink(0.1 if kind != "unknown" else np.nan),
                                              (22, 44, 3)))
            which = np.ones((22, 44), dtype=np.bool_)
            if kind == "some safe":
                which[:11] = False
            hatched(sample, which, kind)
            x, down = self.left + _BAR_PX + 60, top + 28 * number - 8
            self._patch(sample, x=x, y=down)
            self.text(words, x=x + 56, y=down + 1, size=16)

    def _patch(self, pixels: Pixels, *, x: int, y: int) -> None:
        from PIL import Image

        height, width = pixels.shape[:2]
        self._image.paste(Image.fromarray(pixels), (x, y))
        self._draw.rectangle((x - 1, y - 1, x + width, y + height), outline=_BLACK)

    def png(self) -> bytes:
        """The sheet as a PNG file."""
        return png_bytes(np.asarray(self._image), said=". ".join(self.title))
