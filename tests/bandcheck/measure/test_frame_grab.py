"""Picture files of every kind, read whole or refused in one line."""

import io
import struct
import zlib

import numpy as np
import pytest
from brute_bands import picture_file
from numpy.testing import assert_array_equal
from PIL import Image

from bandcheck.errors import ProfileError
from bandcheck.measure.frame_grab import LARGEST_BYTES, file_content, frame_grab

RNG = np.random.default_rng(3)
GRAY = RNG.integers(0, 256, (40, 30), dtype=np.uint8)
COLOUR = RNG.integers(0, 256, (40, 30, 3), dtype=np.uint8)
DEEP = RNG.integers(0, 65536, (40, 30, 3), dtype=np.uint16)


def png16(codes):
    """A PNG of 16 bits, built chunk by chunk (W3C PNG, sections 5 and 11)."""
    height, width, colours = codes.shape
    kind = {1: 0, 3: 2, 4: 6}[colours]

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(
            ">I", zlib.crc32(name + data))

    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in codes)
    header = struct.pack(">IIBBBBB", width, height, 16, kind, 0, 0, 0)
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(rows))
            + chunk(b"IEND", b""))


def tiff16(codes, *, order="<", deflate=False):
    """A TIFF of three colours and 16 bits, built tag by tag (TIFF 6.0, sections 2 and 6)."""
    height, width, _ = codes.shape
    data = codes.astype(f"{order}u2").tobytes()
    data = zlib.compress(data) if deflate else data
    start = 8 + 2 + 12 * 10 + 4
    tags = [(256, 4, width), (257, 4, height), (258, 3, None), (259, 3, 8 if deflate else 1),
            (262, 3, 2), (273, 4, start + 6), (277, 3, 3), (278, 4, height), (279, 4, len(data)),
            (284, 3, 1)]
    out = (b"II" if order == "<" else b"MM") + struct.pack(f"{order}HIH", 42, 8, len(tags))
    for tag, kind, value in tags:
        count = 3 if value is None else 1
        packed = (struct.pack(f"{order}I", start) if value is None else
                  struct.pack(f"{order}HH", value, 0) if kind == 3 else
                  struct.pack(f"{order}I", value))
        out += struct.pack(f"{order}HHI", tag, kind, count) + packed
    return out + struct.pack(f"{order}I3H", 0, 16, 16, 16) + data


@pytest.mark.parametrize("form", ["PNG", "TIFF"])
@pytest.mark.parametrize("codes", [GRAY, COLOUR, DEEP[:, :, 0]], ids=["gray", "colour", "gray16"])
def test_codes_come_back_as_they_were(form, codes):
    grab = frame_grab(picture_file(codes, form), name="grab")
    assert grab.form == form
    assert grab.size == (30, 40)
    assert grab.top_code == (255 if codes.dtype == np.uint8 else 65535)
    assert_array_equal(grab.codes, codes.reshape(40, 30, -1))


@pytest.mark.parametrize("content", [
    png16(DEEP), png16(np.dstack([DEEP, DEEP[:, :, :1]])), tiff16(DEEP), tiff16(DEEP, order=">"),
    tiff16(DEEP, deflate=True), tiff16(DEEP, order=">", deflate=True),
], ids=["png", "png alpha", "tiff", "tiff big", "tiff packed", "tiff big packed"])
def test_colour_of_16_bits_keeps_all_of_them(content):
    assert_array_equal(frame_grab(content, name="grab").codes, DEEP)


def test_alpha_is_left_out_and_a_palette_looked_up():
    with_alpha = np.dstack([COLOUR, GRAY])
    assert_array_equal(frame_grab(picture_file(with_alpha), name="a").codes, COLOUR)
    two = np.dstack([GRAY, GRAY[::-1]])
    assert_array_equal(frame_grab(picture_file(two), name="a").codes[:, :, 0], GRAY)
    image = Image.fromarray(COLOUR[:4, :4]).quantize(16)
    target = io.BytesIO()
    image.save(target, "PNG")
    assert_array_equal(
        frame_grab(target.getvalue(), name="p").codes, np.asarray(image.convert("RGB"))
    )


def test_orientation_and_other_metadata_are_ignored():
    exif = Image.Exif()
    exif[0x0112] = 6  # turned by 90 degrees
    target = io.BytesIO()
    Image.fromarray(COLOUR).save(target, "JPEG", exif=exif)
    assert frame_grab(target.getvalue(), name="j").size == (30, 40)


def saved(image, form):
    target = io.BytesIO()
    image.save(target, form)
    return target.getvalue()


@pytest.mark.parametrize(("content", "words"), [
    (b"", "is empty"),
    (b"GIF89a" + bytes(40), "no picture"),
    (picture_file(COLOUR)[:60], "damaged PNG"),
    (picture_file(COLOUR)[:-40], "damaged PNG"),
    (picture_file(COLOUR, "JPEG")[:300], "damaged JPEG"),
    (b"\xff\xd8\xff" + bytes(100), "damaged JPEG"),
    (picture_file(COLOUR, "TIFF")[:50], "damaged TIFF"),
    (b"II*\0" + b"\xff" * 60, "damaged TIFF"),
    (saved(Image.fromarray(COLOUR).convert("CMYK"), "JPEG"), "CMYK"),
    (saved(Image.fromarray(COLOUR).convert("CMYK"), "TIFF"), "CMYK"),
    (saved(Image.fromarray(COLOUR).convert("1"), "PNG"), "without grays"),
    (saved(Image.fromarray(GRAY.astype(np.float32)), "TIFF"), "of another kind"),
    (saved(Image.fromarray(GRAY.astype(np.int32)), "TIFF"), "of another kind"),
], ids=str)
def test_what_holds_no_light_is_refused(content, words):
    with pytest.raises(ProfileError, match=words) as told:
        frame_grab(content, name="a\nb.png")
    assert str(told.value).isprintable()
    assert len(str(told.value)) < 200


@pytest.mark.parametrize("form", ["PNG", "TIFF"])
def test_a_picture_that_would_fill_the_memory_is_not_decoded(form, monkeypatch):
    from PIL import ImageFile

    bomb = saved(Image.new("L", (20_000, 20_000)), form) if form == "PNG" else None
    if bomb is None:
        small = bytearray(tiff16(DEEP))
        for tag in (256, 257):  # the header alone promises it
            place = small.index(struct.pack("<HHI", tag, 4, 1)) + 8
            small[place : place + 4] = struct.pack("<I", 30_000)
        bomb = bytes(small)
    monkeypatch.setattr(ImageFile.ImageFile, "load", lambda *_: pytest.fail("decoded"))
    with pytest.raises(ProfileError, match="megapixels"):
        frame_grab(bomb, name="bomb")


def test_files_are_read_up_to_a_size(tmp_path):
    path = tmp_path / "grab.png"
    path.write_bytes(bytes(1000))
    assert len(file_content(path, largest_bytes=1000)) == 1000
    with pytest.raises(ProfileError, match="larger than"):
        file_content(path, largest_bytes=999)
    with pytest.raises(ProfileError, match="larger than"):
        frame_grab(bytes(1000), name="grab", largest_bytes=999)
    with pytest.raises(ProfileError, match="cannot be read"):
        file_content(tmp_path)
    with pytest.raises(ProfileError, match="is no path"):
        file_content("a\0b")
    assert LARGEST_BYTES >= 2 * 3 * 40_000_000
