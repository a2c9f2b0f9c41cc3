"""Files that come and go: a profile that somebody uploads, and the one that is downloaded."""

import base64
import binascii
import re
import tomllib
from typing import Final

from bandcheck.errors import ProfileError
from bandcheck.shoot.profile_faults import LARGEST_BYTES, plain_name
from bandcheck.shoot.profiles import KindName
from dashboard.pages.profiles.sheet import Sheet, sheet_of

__all__ = ["file_name", "uploaded_sheet"]

_LONGEST_NAME: Final = 60


def uploaded_sheet(sent: object, kind: KindName) -> Sheet:
    """Sheet of a file that was uploaded.

    Parameters
    ----------
    sent
        What the browser sends: `name`, `size` in bytes and `contents` in base 64.
    kind
        What it has to describe.

    Returns
    -------
    Sheet
        Figures as they stand in the file, those with faults too.

    Raises
    ------
    ProfileError
        Too large, no TOML, or something in it that no field could show.
    """
    told = sent if isinstance(sent, dict) else {}
    name, contents = told.get("name"), told.get("contents")
    file = plain_name(name)[:_LONGEST_NAME] if isinstance(name, str) and name else "the file"
    size = told.get("size")
    if isinstance(size, int | float) and size > LARGEST_BYTES:
        raise ProfileError(file, [_too_large(int(min(size, 1e15)))])
    if not file.lower().endswith(".toml"):
        raise ProfileError(file, ["a profile is a text file whose name ends in .toml"])
    try:
        content = base64.b64decode(contents if isinstance(contents, str) else "?", validate=True)
    except (binascii.Error, ValueError):
        raise ProfileError(file, ["it did not arrive whole; choose it again"]) from None
    if len(content) > LARGEST_BYTES:
        raise ProfileError(file, [_too_large(len(content))])
    return sheet_of(_text(content, file), kind, file=file)


def _too_large(size: int) -> str:
    return f"{size} bytes; a profile has at most {LARGEST_BYTES}"


def _text(content: bytes, file: str) -> str:
    try:
        return content.decode("utf-8-sig")  # some editors begin a file with a byte-order mark
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ProfileError(file, [f"line {line}: not UTF-8 text"]) from None


def file_name(text: str, kind: KindName) -> str:
    """Name of a file for a profile, of letters that every system takes.

    Parameters
    ----------
    text
        The profile's TOML text.
    kind
        What it describes.

    Returns
    -------
    str
        Kind and name, ending in .toml.
    """
    name = str(tomllib.loads(text)[kind].get("name", ""))
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()[: 10 * _LONGEST_NAME])[:_LONGEST_NAME]
    return f"{kind}-{plain.strip('-')}".strip("-") + ".toml"
