"""Files that are uploaded are read or refused in plain words; a download has a safe name."""

import base64
import re

import pytest

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import shipped_folder
from dashboard.pages.profiles.sheet import Sheet, sheet_text
from dashboard.pages.profiles.upload import file_name, uploaded_sheet

SIDE = (shipped_folder() / "walls" / "side-2.8.toml").read_bytes()


def sent(content, name="stage.toml", **more):
    coded = base64.b64encode(content).decode()
    return {"name": name, "size": len(content), "contents": coded, **more}


def refusal(what, kind="wall"):
    """The one line in which a file is refused."""
    with pytest.raises(ProfileError) as refused:
        uploaded_sheet(what, kind)
    line = str(refused.value)
    assert line.isprintable()
    assert len(line) < 600
    return line


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_profile_is_read(mark):
    sheet = uploaded_sheet(sent(mark + SIDE, "MY WALL.TOML"), "wall")
    assert sheet.figures["pitch_mm"] == "2.8"
    assert sheet.sources["pitch_mm"] == "maker's sheet"


def test_a_figure_with_a_fault_is_shown_not_refused():
    content = SIDE.replace(b"pitch_mm = 2.8", b"pitch_mm = -2.8")
    assert uploaded_sheet(sent(content), "wall").figures["pitch_mm"] == "-2.8"


@pytest.mark.parametrize("told", [262_145, 1e12, float("inf")])
def test_what_is_too_large_is_refused_by_its_size_alone(told):
    line = refusal({"name": "big.toml", "size": told, "contents": ""})
    assert line.startswith("big.toml: ")
    assert line.endswith("bytes; a profile has at most 262144")


def test_what_is_larger_than_it_says_is_refused():
    assert "262145 bytes" in refusal(sent(b"#" * 262_145, size=1))
    assert "[wall]: missing" in refusal(sent(b"#" * 262_144))


@pytest.mark.parametrize("name", ["photo.png", "stage", "stage.toml.exe", ".toml "])
def test_another_type_of_file_is_refused(name):
    assert "a text file whose name ends in .toml" in refusal(sent(SIDE, name))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\x89PNG\r\n\x1a\n\0\0", "line 1: not UTF-8 text"),
        (b"[wall]\n\xff", "line 2: not UTF-8 text"),
        (b"\0" * 50, "not TOML"), (b"", "[wall]: missing"), (b"{}", "not TOML"),
        (b"[wall]\nname = 'a'\nname = 'b'", "line 3"),
        (b"a." * 100_000 + b"a = 1", "nested deeper"),
        (b"[wall]\nname = " + b"[" * 100_000, "nested deeper"),
        (b"[wall]\nname = " + b"{a=" * 60_000, "nested deeper"),
        (b"[wall]\nx = " + b"9" * 200_000, "not TOML"), (b"[[wall]]\n" * 20_000, "one table"),
        (b"[wall]\n" + b"".join(b"k%d = 1\n" % i for i in range(9000)), "no such key"),
        (b"[camera]\nname = 'a'", "this is the table of a camera profile"),
    ],
)
def test_what_is_no_profile_of_this_kind_is_refused(content, words):
    with pytest.raises(ProfileError) as refused:
        uploaded_sheet(sent(content), "wall")
    assert any(words in line for line in refused.value.faults)
    assert all(len(line) < 400 for line in refused.value.faults)


@pytest.mark.parametrize(
    "odd", [None, 7, [], "x", {}, {"name": 7}, {"name": "a.toml", "contents": ["x"]},
            {"name": "a.toml", "contents": "%%%"}, {"name": "a.toml", "size": "x", "contents": 3}],
)
def test_whatever_else_is_sent_is_refused(odd):
    assert refusal(odd)


def test_a_name_cannot_steer_a_terminal_or_fill_the_screen():
    line = refusal(sent(SIDE, "\x1b[31m<script>" + "x" * 5000))
    assert "\x1b" not in line
    assert len(line) < 160


@pytest.mark.parametrize(
    ("name", "kind", "file"),
    [
        ("Stage, main wall", "wall", "wall-stage-main-wall.toml"), ("", "camera", "camera.toml"),
        ("../../etc/passwd", "lamp", "lamp-etc-passwd.toml"), ("CON", "wall", "wall-con.toml"),
        ("javascript:alert(1)", "wall", "wall-javascript-alert-1.toml"),
        ("<b>壁</b>\n", "wall", "wall-b-b.toml"), ("a" * 5000, "wall", f"wall-{'a' * 60}.toml"),
    ],
)
def test_a_download_has_a_name_that_every_system_takes(name, kind, file):
    found = file_name(sheet_text(Sheet(kind=kind, figures={"name": name}, sources={})), kind)
    assert found == file
    assert re.fullmatch(r"[a-z0-9-]+\.toml", found)
