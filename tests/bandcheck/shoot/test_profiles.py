"""Profiles found by name or path, and files that cannot be read."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bandcheck.errors import ProfileError
from bandcheck.shoot import profiles
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.profiles import (
    file_faults,
    load_camera,
    load_lamp,
    load_profile,
    load_wall,
    shipped_folder,
    shipped_names,
)
from bandcheck.shoot.wall import Wall

LAMP = '[lamp]\nname = "my lamp"\nkind = "steady"\n'


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def fault(load, name) -> str:
    with pytest.raises(ProfileError) as caught:
        load(name)
    assert str(caught.value).isprintable()
    return str(caught.value)


def test_names_are_shipped_profiles():
    assert load_wall("stage-main-2.6").scan_lines == 16
    assert load_camera("cine-a-wide").readout_s == 0.008
    assert load_lamp("mains-50-tubes").mains_hz == 50


def test_paths_are_files(folder):
    (folder / "l.toml").write_text(LAMP, encoding="utf-8")
    (folder / "bare").write_text(LAMP, encoding="utf-8")
    (folder / "mains-50-tubes").write_text(LAMP, encoding="utf-8")
    for name in ("l.toml", "./bare", "bare", folder / "l.toml", Path("bare"), "mains-50-tubes"):
        assert load_lamp(name).name == "my lamp"


def test_windows_line_ends_and_byte_order_marks_do_no_harm(folder):
    (folder / "l.toml").write_bytes(b"\xef\xbb\xbf" + LAMP.replace("\n", "\r\n").encode())
    assert load_lamp("l.toml").name == "my lamp"


def test_an_unknown_name_is_told_the_nearest(folder):
    assert "nearest: stage-main-2.6" in fault(load_wall, "stage-main")
    assert "mains-60-tubes" in fault(load_lamp, "mains-60-tube")
    assert fault(load_wall, "cine-a-wide").startswith("cine-a-wide: no wall of this name")
    assert "no wall" in fault(load_wall, "")
    assert len(fault(load_wall, "n" * 5000)) < 500
    assert fault(load_wall, "a\x00b").startswith("a\\x00b: no wall")
    assert fault(load_wall, "..").startswith("..: ")


@pytest.mark.parametrize(("name", "reason"), [
    ("missing.toml", "no such file"), ("./missing", "no such file"), (".", "is a directory"),
    ("a\x00b.toml", "is no path"), ("n" * 5000 + ".toml", "file name too long"),
])
def test_files_that_cannot_be_read(folder, name, reason):
    assert f"cannot be read: {reason}" in fault(load_wall, name)


def test_a_file_without_permission(folder):
    (folder / "l.toml").write_text(LAMP, encoding="utf-8")
    (folder / "l.toml").chmod(0)
    if os.access("l.toml", os.R_OK):
        pytest.skip("this user may read everything")
    assert "cannot be read: permission denied" in fault(load_lamp, "l.toml")


def test_what_is_no_text_names_its_line(folder):
    (folder / "l.toml").write_bytes(LAMP.encode() + b"# \xff\n")
    assert fault(load_lamp, "l.toml") == "l.toml: line 4: not UTF-8 text"


def test_a_profile_may_have_256_kb_and_no_more(folder):
    for size, accepted in ((262_144, True), (262_145, False)):
        (folder / "l.toml").write_text(LAMP + "#" * (size - len(LAMP)), encoding="utf-8")
        if accepted:
            assert load_lamp("l.toml").name == "my lamp"
        else:
            assert "larger than 262144 bytes" in fault(load_lamp, "l.toml")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless file here")
def test_an_endless_file_is_not_read_to_its_end():
    assert "larger than" in fault(load_wall, "/dev/zero")


def test_a_profile_of_any_kind_by_name():
    assert isinstance(load_profile("stage-main-2.6"), Wall)
    assert isinstance(load_profile("cine-a-wide"), Camera)
    assert isinstance(load_profile("daylight-steady"), Lamp)
    assert "no wall or camera or lamp" in fault(load_profile, "nothing")


def test_faults_of_a_file(folder):
    (folder / "good.toml").write_text(LAMP, encoding="utf-8")
    (folder / "bad.toml").write_text(LAMP + "duty = 2\nmodulation = 2\n", encoding="utf-8")
    assert file_faults("good.toml") == ()
    assert [line.split(":")[0] for line in file_faults(folder / "bad.toml")] == [
        "modulation", "duty",  # more than 1
        "duty", "modulation",  # of a steady lamp
    ]
    assert file_faults("missing.toml") == ("cannot be read: no such file or directory",)


def test_an_installed_package_brings_its_own_profiles(tmp_path, monkeypatch):
    # As the wheel lays it out: bandcheck/_shipped, and no data folder beside the package.
    installed = tmp_path / "bandcheck"
    shutil.copytree(shipped_folder(), installed / "_shipped")
    monkeypatch.setattr(profiles, "__file__", str(installed / "shoot" / "profiles.py"))
    assert shipped_folder() == installed / "_shipped"
    assert "stage-main-2.6" in shipped_names("wall")
    assert load_wall("stage-main-2.6").name == "stage, main wall"
    shutil.rmtree(installed / "_shipped")
    assert "install it again" in fault(load_wall, "stage-main-2.6")


def test_an_edited_file_is_read_anew(folder):
    for name in ("first", "second"):
        (folder / "l.toml").write_text(LAMP.replace("my lamp", name), encoding="utf-8")
        assert load_lamp("l.toml").name == name


def test_loading_profiles_leaves_the_slow_half_of_pydantic_alone():
    # Its models take longer to import than numpy; its engine is all that profiles need.
    script = (
        "import sys; from bandcheck.shoot.profiles import load_wall, load_camera;"
        "load_wall('stage-main-2.6'); load_camera('cine-a-wide');"
        "print('pydantic_core' in sys.modules, 'pydantic' in sys.modules)"
    )
    answer = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    assert answer.stdout.split() == ["True", "False"]
