"""Profiles back into TOML, and files to start a profile from."""

from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from bandcheck.shoot.profile_keys import Key, quoted
from bandcheck.shoot.profiles import KINDS, KindName, Profile, parse_profile

__all__ = ["blank_profile", "profile_text"]

_WIDTH = 96

# What, beside the required keys, makes the example of each kind whole.
_COMPLETED_BY = {
    "wall": ("gray_bits", "refreshes_per_frame"), "camera": ("readout_ms",), "lamp": ("mains_hz",),
}


def profile_text(profile: Profile) -> str:
    """TOML text of a profile, which reads back to an equal one.

    Parameters
    ----------
    profile
        Wall, camera or lamp.

    Returns
    -------
    str
        Its keys, but for those that only say what is taken unless stated, and their sources.

    Raises
    ------
    ProfileError
        A field holds what no profile file may say.
    """
    kind = next(kind for kind in KINDS.values() if isinstance(profile, kind.make))
    usual: dict[str, Any] = {each.name: each.default for each in fields(profile)}
    lines = [f"[{kind.name}]"]
    for key in kind.keys:
        value, default = getattr(profile, key.field), usual[key.field]
        if key.part is not None:
            value, default = value[key.part], default[key.part]
        if value != default or key.name in profile.source:
            lines.append(f"{key.name} = {key.written(value)}")
    if profile.source:
        lines += ["", "[source]"]
        lines += [f"{name} = {quoted(text)}" for name, text in profile.source.items()]
    text = "\n".join(lines) + "\n"
    parse_profile(text, file=profile.name)
    return text


def blank_profile(kind: KindName, *, filled: bool = False) -> str:
    """TOML text to start a profile from, with every key explained.

    Parameters
    ----------
    kind
        What to describe.
    filled
        Whether the required keys hold the example's values, so that the text can be read as it
        is; else every key is a comment, and a check of the text names what is missing.

    Returns
    -------
    str
        Each key as a comment with its meaning, unit, what it accepts and an example.
    """
    whole = KINDS[kind]
    lines = [
        f"# A {kind} for bandcheck. Take the # off the keys that you know and write your figures;",
        "# those that stand here are examples. What is not known is best left out.",
        "", f"[{kind}]",
    ]
    for key in whole.keys:
        set_now = filled and (key.required or key.name in _COMPLETED_BY[kind])
        lines += ["", *_explained(key), f"{'' if set_now else '#'}{key.name} = {key.example}"]
    figure = _COMPLETED_BY[kind][-1]
    lines += [
        "", "# Where each figure comes from, by its key:",
        '# "maker\'s sheet", "measured" and the date, "common practice" or "assumed".',
        "[source]", f"#{figure} = \"maker's sheet\"",
    ]
    return "\n".join(lines) + "\n"


def _explained(key: Key) -> Iterator[str]:
    from textwrap import wrap

    needed = "required: " if key.required else ""
    for text in (f"{key.meaning[:1].upper()}{key.meaning[1:]}", f"{needed}{key.accepted}"):
        yield from (f"# {line}" for line in wrap(text, _WIDTH))
