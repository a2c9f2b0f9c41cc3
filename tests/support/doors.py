"""Where anything can come in: what is read, samples of it, and the only two ways it may end."""

import io
import random
import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial
from pathlib import Path

import numpy as np
from PIL import Image

from bandcheck.errors import AskedError, OutOfRangeError, ProfileError
from bandcheck.measure.picture_bands import picture_bands
from bandcheck.report.wording import LEVEL_MARKS
from bandcheck.shoot.asked import Given, given_shot
from bandcheck.shoot.card_file import card_shot
from bandcheck.shoot.plan_file import parse_plan
from bandcheck.shoot.profiles import parse_profile, shipped_folder
from bandcheck.verdict.assess import assess
from dashboard.state import asked, question_of, search_of

__all__ = ["DOORS", "Samples", "outcome", "samples", "spoiled"]

REFUSALS = (AskedError, OutOfRangeError, ProfileError)
FEW_PIXELS = 250_000
"""Most pixels that a picture made up by a machine may ask to be decoded."""

Samples = Sequence[bytes]

_VALUE = re.compile(rb'"[^"\n]*"|(?<=[=:,\[ ])-?[\w.+%-]+(?=[\s,&}\]]|$)', re.MULTILINE)
_ODD = (
    b"nan", b"inf", b"-1", b"0", b"-0.0", b"1e308", b"1e999", b"1e-320", b"4e9", b"1e18", b"0.1",
    b"1", b"2", b"3", b"7", b"1000003", b"9223372036854775808", b"9" * 5000, b"true", b"null",
    b"[]", b"{}", b"[1, 2]", b"[[0]]", b'""', b'"x"', b'"=1+1"', b'"\\u0000"', b'"\\ud800"',
    b'"../x.toml"', b'"1/0"', b'"24000/1001"', b'"own"', b'"rolling"', b'"global"', b'"free"',
    b"1979-05-27", b"12:00:00", b"0x10", b"1_0", b"%00", b"1/3", b"[" * 3000, b"\xff", b"\n", b"",
)


def outcome(door: str, content: bytes) -> str:
    """The refusal of some content, or "" where it was read.

    Anything else that reading it raises is a fault of ours and goes on to whoever called; a
    refusal that is no plain line is one too.
    """
    try:
        DOORS[door](content)
    except REFUSALS as error:
        for line in getattr(error, "faults", (str(error),)):
            assert line.isprintable(), line
            assert len(line) < 1000, len(line)
        return str(error)
    return ""


def spoiled(content: bytes, chance: random.Random) -> bytes:
    """Content with one to three of its values replaced, or a line left out or said twice.

    What is no text has some of its bytes changed, or its end cut off.
    """
    text = b"\0" not in content[:64]
    for _ in range(chance.randint(1, 3)):
        content = (_odd_value if text else _odd_byte)(content, chance)
    return content


def _odd_value(content: bytes, chance: random.Random) -> bytes:
    values = list(_VALUE.finditer(content))
    if values and chance.random() < 0.8:
        value = chance.choice(values)
        return content[: value.start()] + chance.choice(_ODD) + content[value.end():]
    lines = content.splitlines(keepends=True)
    place = chance.randrange(len(lines) or 1)
    return b"".join([*lines[:place], *lines[place:place + 1] * chance.choice((0, 2)),
                     *lines[place + 1:]])


def _odd_byte(content: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(min(len(content), chance.choice((64, 400, 1_000_000))) or 1)
    if chance.random() < 0.1:
        return content[:place]
    return content[:place] + bytes([chance.choice((0, 1, 127, 255, chance.randrange(256)))]) + (
        content[place + 1:]
    )


def _profile(content: bytes) -> None:
    parse_profile(content.decode("utf-8", "replace"), file="given.toml")


def _plan(content: bytes) -> None:
    parse_plan(
        content.decode("utf-8", "replace"), file="given.toml", folder=shipped_folder() / "plans"
    )


def _address(content: bytes) -> None:
    question = question_of(content.decode("utf-8", "replace"))
    asked(question)
    again = question_of(search_of(question))
    assert search_of(again) == search_of(question)


def _verdict(content: bytes) -> None:
    """A profile that is accepted, in a shot with shipped ones."""
    text = content.decode("utf-8", "replace")
    given = parse_profile(text, file="given.toml")
    kind = type(given).__name__.lower()
    own = {kind: (given,) if kind == "lamp" else given}
    shot = given_shot(Given(**{
        "wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": Fraction(24),
        "angle": Fraction(180), "levels": (1.0, 0.2), **own,
    }))
    assert assess(shot, fixes=False).overall in LEVEL_MARKS


DOORS: dict[str, Callable[[bytes], object]] = {
    "profile": _profile,
    "plan": _plan,
    "card": partial(card_shot, file="given.json"),
    "picture": partial(picture_bands, name="given", largest_pixels=FEW_PIXELS),
    "address": _address,
    "verdict": _verdict,
}
"""Door to what reads what comes through it."""


def samples(door: str) -> Samples:
    """Good content for a door, to be spoiled."""
    made: dict[str, Callable[[], Samples]] = {
        "plan": _plans, "card": _cards, "picture": _pictures, "address": _addresses,
    }
    return made.get(door, _profiles)()


def _read(pattern: str) -> Samples:
    return [path.read_bytes() for path in sorted(Path(shipped_folder()).glob(pattern))]


def _profiles() -> Samples:
    return [text for kind in ("walls", "cameras", "lamps") for text in _read(f"{kind}/*.toml")]


def _plans() -> Samples:
    return _read("plans/*.toml")


def _cards() -> Samples:
    from cli_run import run

    options = ("--camera", "cine-a-wide", "--fps", "24", "--json")
    return [
        run("card", "--wall", wall, *options).stdout.encode()
        for wall in ("side-2.8", "backdrop-2.9-free")
    ]


def _pictures() -> Samples:
    rows = 128 + 40 * np.sin(2 * np.pi * np.arange(96) / 17)
    gray = np.repeat(rows[:, np.newaxis], 64, axis=1).astype(np.uint8)
    deep = (gray.astype(np.uint16) << 8) + 77
    color = np.stack([gray, gray // 2, 255 - gray], axis=-1)
    pictures = (Image.fromarray(gray), Image.fromarray(deep), Image.fromarray(color))
    made = [
        _saved(picture, form) for picture in pictures for form in ("PNG", "TIFF", "JPEG")
        if not (form == "JPEG" and picture is pictures[1])
    ]
    table = "row,light\n" + "".join(f"{row},{light / 128:.4f}\n" for row, light in enumerate(rows))
    return [*made, table.encode()]


def _saved(picture: Image.Image, form: str) -> bytes:
    content = io.BytesIO()
    picture.save(content, form)
    return content.getvalue()


def _addresses() -> Samples:
    whole = {"wall": "own", "camera": "cine-a-wide", "fps": "24", "shutter": "180",
             "wall_toml": _profiles()[0].decode()}
    plain = b"?wall=stage-main-2.6&camera=cine-a-wide&fps=24&shutter=1/50&rates=24,25"
    lens = b"&levels=100,50,18&genlock=free&focal_mm=35&f_number=2.8&distance_m=6&phase_ms=3"
    return [plain, plain + lens, search_of(whole).encode()]
