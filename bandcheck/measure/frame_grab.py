"""A frame grab as it lies in its file: PNG, JPEG or TIFF of 8 or 16 bit, or a CSV of row means.

Only the picture itself is read. Metadata (orientation, colour profile, date, place) is ignored, so
rows are those that the file stores; of a file with several pictures the first one is taken.
"""

import io
import sys
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_faults import plain_name

if TYPE_CHECKING:
    from PIL.ImageFile import ImageFile

__all__ = ["LARGEST_BYTES", "LARGEST_PIXELS", "FrameGrab", "file_content", "frame_grab"]

LARGEST_BYTES = 512 * 1024 * 1024
"""Largest file that is read: project choice, 80 megapixels of 16 bit, uncompressed."""

LARGEST_PIXELS = 120_000_000
"""Largest picture that is decoded: project choice, above any camera's frame."""

_ACCEPTED = "a PNG, JPEG or TIFF picture or a CSV of row means is wanted"
_BITS = {"1": 1, "L": 8, "LA": 8, "P": 8, "PA": 8, "RGB": 8, "RGBA": 8, "RGBa": 8, "RGBX": 8,
         "YCbCr": 8, "I;16": 16, "I;16B": 16, "I;16L": 16, "I;16N": 16}
_OTHER_BYTE = {";16B": ";16L", ";16L": ";16B",
               ";16N": ";16B" if sys.byteorder == "little" else ";16L"}


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FrameGrab:
    """One picture.

    Attributes
    ----------
    name
        The file's name, on one line.
    form
        "PNG", "JPEG" or "TIFF".
    codes
        Code values as they are stored, uint8 or uint16, shape (rows, columns, colours); one
        colour for gray pictures, else red, green, blue.
    """

    name: str
    form: str
    codes: NDArray[np.uint8] | NDArray[np.uint16]

    @property
    def top_code(self) -> int:
        """Largest code value that the picture's depth allows."""
        return int(np.iinfo(self.codes.dtype).max)

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows."""
        return self.codes.shape[1], self.codes.shape[0]


def file_content(path: str | Path, *, largest_bytes: int = LARGEST_BYTES) -> bytes:
    """What a file holds.

    Parameters
    ----------
    path
        The file.
    largest_bytes
        Size from which on it is refused.

    Returns
    -------
    bytes
        Its content.

    Raises
    ------
    ProfileError
        The file cannot be read or is too large.
    """
    file = plain_name(str(path))
    try:
        with Path(path).open("rb") as stream:
            content = stream.read(largest_bytes + 1)
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL in it
        reason = getattr(error, "strerror", None) or "is no path"
        raise ProfileError(file, [f"cannot be read: {reason[:1].lower()}{reason[1:]}"]) from None
    if len(content) > largest_bytes:
        raise ProfileError(file, [_too_large(largest_bytes)])
    return content


def frame_grab(
    content: bytes, *, name: str, largest_bytes: int = LARGEST_BYTES,
    largest_pixels: int = LARGEST_PIXELS,
) -> FrameGrab:
    """Picture of a file's content.

    Parameters
    ----------
    content
        The file.
    name
        Its name, for messages.
    largest_bytes, largest_pixels
        Sizes above which a file and a picture are refused, the latter before it is decoded.

    Returns
    -------
    FrameGrab
        The codes; alpha is left out, a palette is looked up.

    Raises
    ------
    ProfileError
        Not a picture that can be measured: damaged, too large, or of a kind that holds no light.
    """
    file = plain_name(name)
    if len(content) > largest_bytes:
        raise ProfileError(file, [_too_large(largest_bytes)])
    form, opener = _opener(content, file)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd metadata, which is not read
        try:
            picture = opener(io.BytesIO(content))
            _refuse_kind(picture, file, largest_pixels)
            codes = _codes(picture, lambda: opener(io.BytesIO(content)))
        except ProfileError:
            raise
        except MemoryError:
            raise ProfileError(file, ["does not fit into the memory"]) from None
        except Exception as error:  # a decoder may fail in any way on a damaged file
            raise ProfileError(file, [f"a damaged {form} file ({_reason(error)})"]) from None
    return FrameGrab(name=file, form=form, codes=codes)


def _too_large(largest_bytes: int) -> str:
    return f"larger than {largest_bytes / 2**20:g} MB, the most that is read"


def _reason(error: Exception) -> str:
    text = " ".join(str(error).split()) or type(error).__name__
    return plain_name(text[:80])


def _opener(content: bytes, file: str) -> tuple[str, Callable[[io.BytesIO], "ImageFile"]]:
    """Form of a picture by its first bytes, and its decoder.

    The decoders are called by name: whatever else the library can open stays closed, and limits
    are those of this module.
    """
    from PIL import JpegImagePlugin, PngImagePlugin, TiffImagePlugin  # slow, and not for a CSV

    forms: tuple[tuple[bytes, str, Callable[..., Any]], ...] = (
        (b"\x89PNG\r\n\x1a\n", "PNG", PngImagePlugin.PngImageFile),
        (b"\xff\xd8\xff", "JPEG", JpegImagePlugin.JpegImageFile),
        (b"II*\0", "TIFF", TiffImagePlugin.TiffImageFile),
        (b"MM\0*", "TIFF", TiffImagePlugin.TiffImageFile),
    )
    for magic, form, opener in forms:
        if content.startswith(magic):
            return form, opener
    what = "is empty" if not content else "is no picture, whatever its name ends in"
    raise ProfileError(file, [f"{what}; {_ACCEPTED}"])


def _refuse_kind(picture: "ImageFile", file: str, largest_pixels: int) -> None:
    width, height = picture.size
    if width * height > largest_pixels:
        most = f"{largest_pixels / 1e6:g} megapixels"
        raise ProfileError(file, [f"{width} x {height} pixels; at most {most} are decoded"])
    bits = _BITS.get(picture.mode)
    if bits is None or bits == 1:
        kind = {"1": "without grays", "CMYK": "in CMYK, which is ink and not light"}.get(
            picture.mode, f"of another kind ('{picture.mode}')"
        )
        raise ProfileError(file, [f"a picture {kind}; gray or RGB of 8 or 16 bit is wanted"])


def _codes(
    picture: "ImageFile", again: Callable[[], "ImageFile"]
) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """Codes of a picture, shape (rows, columns, colours)."""
    low = _low_bytes(picture, again)
    if picture.mode.startswith("I;16"):
        return np.asarray(picture).astype(np.uint16, copy=False)[:, :, np.newaxis]
    if picture.mode == "LA":
        picture_codes = np.asarray(picture)[:, :, :1]
    elif picture.mode in ("L", "RGB", "RGBA", "RGBX"):
        picture_codes = np.asarray(picture)
    else:  # palettes, YCbCr, premultiplied alpha
        palette = picture.mode in ("P", "PA", "RGBa")
        picture_codes = np.asarray(
            picture.convert("RGBA").convert("RGB") if palette else picture.convert("RGB")
        )
    if picture_codes.ndim == 2:
        picture_codes = picture_codes[:, :, np.newaxis]
    picture_codes = picture_codes[:, :, :3]
    if low is None:
        return picture_codes
    wide = picture_codes.astype(np.uint16)
    wide <<= 8
    wide |= low[:, :, :3]
    return wide


def _low_bytes(picture: "ImageFile", again: Callable[[], "ImageFile"]) -> NDArray[np.uint8] | None:
    """Lower bytes of a 16-bit colour picture; None where there are none.

    The library keeps only the upper byte of each colour. Told that the file's bytes stand in the
    other order, it keeps the lower one.
    """
    if picture.mode not in ("RGB", "RGBA", "RGBX"):
        return None
    rawmodes = {_rawmode(tile.args) for tile in picture.tile}
    endings = {rawmode[-4:] for rawmode in rawmodes}
    if len(rawmodes) != 1 or not endings <= set(_OTHER_BYTE) or rawmodes & {"LA;16B"}:
        return None
    rawmode = rawmodes.pop()
    swapped = rawmode[:-4] + _OTHER_BYTE[rawmode[-4:]]
    other = again()
    other.tile = [
        tile._replace(
            args=(swapped, *tile.args[1:]) if isinstance(tile.args, tuple) else swapped
        )
        for tile in other.tile
    ]
    return np.asarray(other)


def _rawmode(args: object) -> str:
    rawmode = args[0] if isinstance(args, tuple) and args else args
    return rawmode if isinstance(rawmode, str) else ""
