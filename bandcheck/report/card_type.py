"""Letters for print: the fonts that come with bandcheck, and text cut to fit a width."""

from functools import cache
from pathlib import Path
from unicodedata import normalize

__all__ = ["BOLD", "PLAIN", "REPLACEMENT", "fitted", "printable", "text_width", "wrapped"]

PLAIN = "DejaVuSansCondensed"
BOLD = "DejaVuSansCondensed-Bold"

REPLACEMENT = "\u25af"
"""Stands where the fonts have no shape for a letter."""

_FOLDER = Path(__file__).with_name("fonts")
_ELLIPSIS = "\u2026"


@cache
def _shapes() -> frozenset[int]:
    """Letters that both fonts have; they are registered on the way."""
    from reportlab.pdfbase.pdfmetrics import getFont, registerFont  # type: ignore[import-untyped]
    from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

    for name in (PLAIN, BOLD):
        registerFont(TTFont(name, str(_FOLDER / f"{name}.ttf")))
    plain, bold = (getFont(name).face.charToGlyph for name in (PLAIN, BOLD))
    return frozenset(plain) & frozenset(bold)


def printable(text: str) -> str:
    """Text with every letter that the fonts lack replaced by one visible mark.

    Parameters
    ----------
    text
        Any text.

    Returns
    -------
    str
        One line; accents joined with their letters where such a letter exists.
    """
    shapes = _shapes()
    joined = normalize("NFC", " ".join(text.split()))
    return "".join(each if ord(each) in shapes else REPLACEMENT for each in joined)


def text_width(text: str, *, font: str, size: float) -> float:
    """Width of a printable text [pt]."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    _shapes()
    return float(stringWidth(text, font, size))


def _cut(text: str, *, font: str, size: float, width: float) -> int:
    """Number of letters of a text that fit, at least one."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle], font=font, size=size) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def wrapped(text: str, *, font: str, size: float, width: float) -> list[str]:
    """Text broken into lines; a word longer than a line is broken too.

    Parameters
    ----------
    text
        Any text.
    font, size, width
        Name of the font, its size and the longest line [pt].

    Returns
    -------
    list of str
        At least one line, printable.
    """
    lines = [""]
    for word in printable(text).split(" "):
        joined = f"{lines[-1]} {word}".lstrip()
        if text_width(joined, font=font, size=size) <= width:
            lines[-1] = joined
            continue
        if lines[-1]:
            lines.append("")
        while text_width(word, font=font, size=size) > width:
            fits = _cut(word, font=font, size=size, width=width)
            if fits == len(word):
                break
            lines[-1:] = [word[:fits], ""]
            word = word[fits:]
        lines[-1] = word
    return lines


def fitted(text: str, *, font: str, size: float, width: float, smallest: float = 6.5) -> tuple[
    str, float
]:
    """Text on one line: set smaller, and then cut with an ellipsis, until it fits.

    Parameters
    ----------
    text
        Any text.
    font, size, width
        Name of the font, the size wanted and the room [pt].
    smallest
        Size below which letters are cut instead [pt].

    Returns
    -------
    text, size
        What to print and how large.
    """
    shown = printable(text)
    natural = text_width(shown, font=font, size=size)
    if natural <= width:
        return shown, size
    smaller = max(min(smallest, size), size * width / natural)
    if text_width(shown, font=font, size=smaller) <= width + 1e-6:
        return shown, smaller
    room = width - text_width(_ELLIPSIS, font=font, size=smaller)
    return shown[: _cut(shown, font=font, size=smaller, width=room)] + _ELLIPSIS, smaller
