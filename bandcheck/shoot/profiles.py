"""Wall, camera and lamp profiles: found by name or file, read, and checked as a whole."""

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, Literal, TypeVar

from bandcheck.errors import ProfileError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profile_faults import (
    LARGEST_BYTES,
    checked_fields,
    document,
    fault,
    plain_name,
    source_faults,
    with_nearest,
)
from bandcheck.shoot.profile_keys import Key
from bandcheck.shoot.profile_models import CAMERA_KEYS, LAMP_KEYS, WALL_KEYS
from bandcheck.shoot.profile_rules import camera_faults, lamp_faults, wall_faults
from bandcheck.shoot.wall import Wall

__all__ = [
    "KINDS", "Kind", "KindName", "Profile", "file_faults", "load_camera", "load_lamp",
    "load_profile", "load_wall", "parse_camera", "parse_lamp", "parse_profile", "parse_wall",
    "shipped_folder", "shipped_names",
]

Profile = Wall | Camera | Lamp
KindName = Literal["wall", "camera", "lamp"]

P = TypeVar("P", bound=Profile)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Kind(Generic[P]):
    """One kind of profile.

    Attributes
    ----------
    name
        Its table in the file; its shipped profiles lie in the folder of that name plus s.
    make
        What it is read into.
    keys
        What its table may hold.
    faults_together
        Rules over several keys.
    """

    name: KindName
    make: type[P]
    keys: tuple[Key, ...]
    faults_together: Callable[[Mapping[str, Any], Mapping[str, object]], Iterator[str]]


_WALL = Kind(name="wall", make=Wall, keys=WALL_KEYS, faults_together=wall_faults)
_CAMERA = Kind(name="camera", make=Camera, keys=CAMERA_KEYS, faults_together=camera_faults)
_LAMP = Kind(name="lamp", make=Lamp, keys=LAMP_KEYS, faults_together=lamp_faults)

KINDS: Mapping[KindName, Kind[Any]] = {"wall": _WALL, "camera": _CAMERA, "lamp": _LAMP}


def load_wall(name_or_path: str | Path) -> Wall:
    """Wall of a shipped name or a file.

    Parameters
    ----------
    name_or_path
        A file's path if it ends in .toml, holds a separator or exists; else a shipped name.

    Returns
    -------
    Wall
        The profile in SI units.

    Raises
    ------
    ProfileError
        No such profile, a file that cannot be read, or one with faults: all of them at once.
    """
    text, file = _text_and_name(name_or_path, "wall")
    return _parsed(text, _WALL, file)


def load_camera(name_or_path: str | Path) -> Camera:
    """Camera mode of a shipped name or a file; see `load_wall`."""
    text, file = _text_and_name(name_or_path, "camera")
    return _parsed(text, _CAMERA, file)


def load_lamp(name_or_path: str | Path) -> Lamp:
    """Lamp of a shipped name or a file; see `load_wall`."""
    text, file = _text_and_name(name_or_path, "lamp")
    return _parsed(text, _LAMP, file)


def load_profile(name_or_path: str | Path) -> Profile:
    """Profile of whichever kind the name or file is; see `load_wall`."""
    text, file = _text_and_name(name_or_path, *KINDS)
    return parse_profile(text, file=file)


def parse_wall(text: str, *, file: str) -> Wall:
    """Wall of a TOML text.

    Parameters
    ----------
    text
        What a profile file holds.
    file
        Name for messages.

    Returns
    -------
    Wall
        The profile in SI units.

    Raises
    ------
    ProfileError
        Faults of the text, all of them at once.
    """
    return _parsed(text, _WALL, file)


def parse_camera(text: str, *, file: str) -> Camera:
    """Camera mode of a TOML text; see `parse_wall`."""
    return _parsed(text, _CAMERA, file)


def parse_lamp(text: str, *, file: str) -> Lamp:
    """Lamp of a TOML text; see `parse_wall`."""
    return _parsed(text, _LAMP, file)


def parse_profile(text: str, *, file: str) -> Profile:
    """Profile of whichever kind a TOML text is; see `parse_wall`."""
    tables = document(text, file=plain_name(file))
    found = [kind for name, kind in KINDS.items() if name in tables]
    if len(found) != 1:
        what = " and ".join(f"[{kind.name}]" for kind in found) or "none of these"
        fault_line = f"has {what}; a profile has one of [wall], [camera] or [lamp]"
        raise ProfileError(plain_name(file), [fault_line])
    profile: Profile = _built(tables, found[0], plain_name(file))
    return profile


def file_faults(path: str | Path) -> tuple[str, ...]:
    """Everything that is wrong with a profile file of any kind.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    tuple of str
        One line for each fault; none if the file can be used.
    """
    try:
        parse_profile(_file_text(Path(path)), file=str(path))
    except ProfileError as error:
        return error.faults
    return ()


def shipped_folder() -> Path:
    """Folder of the profiles that come with bandcheck, installed or in a checkout.

    Raises
    ------
    ProfileError
        The folder is not there.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_shipped", package.parent / "data"):
        if (folder / "walls").is_dir():
            return folder
    raise ProfileError("shipped profiles", ["missing from this installation; install it again"])


def shipped_names(kind: KindName) -> tuple[str, ...]:
    """Names of the shipped profiles of a kind, in the order of the alphabet."""
    return tuple(sorted(path.stem for path in (shipped_folder() / f"{kind}s").glob("*.toml")))


def _text_and_name(name_or_path: str | Path, *kinds: KindName) -> tuple[str, str]:
    """Text of a profile, and its name for messages."""
    name = os.fspath(name_or_path)
    separated = any(mark and mark in name for mark in (os.sep, os.altsep))
    if isinstance(name_or_path, Path) or separated or name.endswith(".toml") or (
        os.path.exists(name)
    ):
        return _file_text(Path(name)), name
    for kind in kinds:
        if name in shipped_names(kind):
            return _file_text(shipped_folder() / f"{kind}s" / f"{name}.toml"), name
    known = [known for kind in kinds for known in shipped_names(kind)]
    what = f"no {' or '.join(kinds)} of this name is shipped, and no file is called so"
    raise ProfileError(plain_name(name), [with_nearest(what, name, known, most=3)])


def _file_text(path: Path) -> str:
    file = plain_name(str(path))
    try:
        with path.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        # ValueError: a path with a NUL in it.
        reason = getattr(error, "strerror", None) or "is no path"
        raise ProfileError(file, [f"cannot be read: {reason[:1].lower()}{reason[1:]}"]) from None
    if len(content) > LARGEST_BYTES:
        raise ProfileError(file, [f"larger than {LARGEST_BYTES} bytes, the most it may have"])
    try:
        # Some editors begin a file with a byte-order mark.
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ProfileError(file, [f"line {line}: not UTF-8 text"]) from None


def _parsed(text: str, kind: Kind[P], file: str) -> P:
    return _built(document(text, file=plain_name(file)), kind, plain_name(file))


def _built(tables: Mapping[str, Any], kind: Kind[P], file: str) -> P:
    faults = list(_table_faults(tables, kind))
    table = tables.get(kind.name)
    if not isinstance(table, dict):
        raise ProfileError(file, faults)
    fields, key_faults = checked_fields(table, kind.keys)
    faults += [*key_faults, *kind.faults_together(fields, table)]
    source = tables.get("source", {})
    faults += source_faults(source, table, kind.keys)
    if faults:
        raise ProfileError(file, faults)
    return kind.make(**fields, source=dict(source))


def _table_faults(tables: Mapping[str, Any], kind: Kind[P]) -> Iterator[str]:
    for name, content in tables.items():
        shown = plain_name(name)
        if name == kind.name:
            if not isinstance(content, dict):
                yield fault(f"[{name}]", content, f"one table [{name}] with the keys below it")
        elif name in KINDS:
            yield f"[{name}]: this is the table of a {name} profile; [{kind.name}] is wanted"
        elif name == "source":
            continue
        elif isinstance(content, dict | list) and not any(key.name == name for key in kind.keys):
            yield with_nearest(f"[{shown}]: no such table", name, [kind.name, "source"])
        else:
            yield f"{shown}: stands outside the tables; write it below the line [{kind.name}]"
    if kind.name not in tables:
        yield f"[{kind.name}]: missing; its keys stand below a line that says [{kind.name}]"
