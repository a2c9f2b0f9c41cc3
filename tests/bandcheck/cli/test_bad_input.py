"""Whatever is wrong with a shot, every command that looks at one refuses it in one plain line.

A command with the shared options is found by itself; one that needs more than they say for a
plain run has it in `ALSO_NEEDED`.
"""

from importlib import import_module

import pytest
from cli_run import refused, run
from shot_command import CAMERA, LAMP, WALL, profile_files

from bandcheck.cli.commands import Entry
from bandcheck.cli.main import COMMANDS

STAND_IN = "shoot"
"""Builds a shot and does nothing with it."""

ALSO_NEEDED: dict[str, list[str]] = {
    "change": ["--to-fps", "25"],
    "measure": ["rows.csv"],
    "moire": ["--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6"],
}

ROWS = "\n".join(str(100 + 20 * (row % 64 < 32)) for row in range(640))
"""Row means of a frame grab with bands, for the command that asks for one."""


def looks_at_a_shot(name):
    parameters = import_module(COMMANDS[name].module).command.params
    return {"wall", "camera", "fps"} <= {parameter.name for parameter in parameters}


SHOT_COMMANDS = [STAND_IN, *filter(looks_at_a_shot, COMMANDS)]


@pytest.fixture(params=SHOT_COMMANDS)
def shot_command(request, tmp_path, monkeypatch):
    """A command and the arguments of a good shot, to which one slip is added."""
    monkeypatch.setitem(COMMANDS, STAND_IN, Entry("shot_command", "Build a shot."))
    also = [
        str(tmp_path / each) if each == "rows.csv" else each
        for each in ALSO_NEEDED.get(request.param, [])
    ]
    (tmp_path / "rows.csv").write_text(ROWS)
    files = profile_files(tmp_path, optics=True)
    return [request.param, *files, "--fps", "24", "--angle", "172.8", *also]


def test_without_a_slip_it_runs(shot_command):
    result = run(*shot_command)
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        (("--fps", "24/0"), "--fps: '24/0' is not accepted; a frame rate above 0"),
        (("--fps", "0"), "--fps: '0' is not accepted"),
        (("--fps", "nan"), "--fps: 'nan' is not accepted"),
        (("--fps", "inf"), "--fps: 'inf' is not accepted"),
        (("--fps", "film"), "--fps: 'film' is not accepted"),
        (("--fps", "61"), "--fps: 61.0 is not accepted; at most 60 frames/s"),
        (("--fps", "9" * 5000), "(5000 characters)' is not accepted; a frame rate"),
        (("--wall-fps", "-24"), "--wall-fps: '-24' is not accepted"),
        (("--wall-fps", "23.976"), "--genlock free"),
        (("--content-fps", "-1"), "--content-fps: '-1' is not accepted"),
        (("--angle", "361"), "--angle: '361' is not accepted; an angle above 0 and up to 360"),
        (("--angle", "0"), "--angle: '0' is not accepted"),
        (("--angle", "nan"), "--angle: 'nan' is not accepted"),
        (("--angle", "172,8"), "--angle: '172,8' is not accepted"),
        (("--speed", "1/50"), "--angle and --speed: give one of them"),
        (("--levels", ""), "--levels: '' is not accepted; signal levels in %"),
        (("--levels", "120"), "--levels: '120' is not accepted"),
        (("--levels", "100,nan"), "--levels: '100,nan' is not accepted"),
        (("--brightness-pct", "0"), "--brightness-pct: '0' is not accepted"),
        (("--phase-ms", "nan"), "--phase-ms: 'nan' is not accepted"),
        (("--phase-ms", "50"), "--phase-ms: 50.0 is not accepted"),
        (("--genlock", "lose"), "--genlock: 'lose' is not one of 'locked', 'free'"),
        (("--panel-rotation", "45"), "--panel-rotation: '45' is not one of"),
        (("--focal-mm", "inf", "--distance-m", "6"), "--focal-mm: 'inf' is not accepted"),
        (("--focal-mm", "35"), "--focal-mm: given without --distance-m"),
        (("--distance-m", "six"), "--distance-m: 'six' is not accepted"),
        (("--yaw-deg", "90"), "--yaw-deg: '90' is not accepted; a number above -90 and below 90"),
        (("--view-heights", "0"), "--view-heights: '0' is not accepted"),
        (("--flare-nits", "-1"), "--flare-nits: '-1' is not accepted; a number from 0"),
        (("--safe-below", "9"), "--visible-from: 8.0 is not accepted; not below --safe-below, 9"),
        (("--wall", "nowhere.toml"), "nowhere.toml: cannot be read"),
        (("--wall", "no such wall"), "no such wall: no wall of this name"),
        (("--camera", ""), "no camera of this name"),
        (("--lamp", "x" * 1999), "no lamp of this name"),
        (("--lamp", "."), "cannot be read"),
        (("--wal", "x"), "--wal: no such option of bandcheck"),
        (("--fps",), "--fps: its value is missing; a frame rate above 0"),
        (("surplus",), "surplus"),
    ],
    ids=lambda value: ascii(" ".join(value))[:40] if isinstance(value, tuple) else "",
)
def test_a_slip_on_the_command_line(shot_command, slip, words):
    if slip == ("--focal-mm", "35") and "--distance-m" in shot_command:
        pytest.skip("no slip where the lens is given as it should be")
    if slip == ("surplus",) and shot_command[0] == "measure":
        pytest.skip("takes several files")
    assert words in refused(*shot_command, *slip)


TEXTS = {"wall": WALL, "camera": CAMERA, "lamp": LAMP}


@pytest.mark.parametrize(
    ("kind", "old", "new", "words"),
    [
        ("wall", "[wall]", "[wall", "not TOML"),
        ("wall", "[wall]", "[camera]", "[camera]"),
        ("wall", WALL, "", "[wall]: missing"),
        ("wall", "drive", "drvie", "drvie: no such key; nearest: drive"),
        ("wall", "= 16\n", "= 'many'\n", 'scan_lines: "many" is not accepted'),
        ("wall", "= 16\n", "= nan\n", "scan_lines: NaN is not accepted"),
        ("wall", "= 16\n", "= 0\n", "scan_lines: 0 is not accepted"),
        ("wall", "= 16\n", "= -16\n", "scan_lines: -16 is not accepted"),
        ("wall", "= 16\n", "= 16.5\n", "scan_lines: 16.5 is not accepted"),
        ("wall", "= 409", "= 409\nclock_mhz = inf", "clock_mhz: Infinity is not accepted"),
        ("wall", "= 160", "= 1_000_000_000", "refreshes_per_frame: 1000000000 is not accepted"),
        ("wall", "= 160", "= 160\nrated_fps = 24\nclock_mhz = 10", "do not fit a frame"),
        ("wall", "Test wall", "w" * 5000, "(5000 characters) is not accepted"),
        ("wall", "Test wall", "\\u0007", "name"),
        ("camera", "= 8\n", "= 21\n", "readout_ms: 21 is not accepted"),
        ("camera", "= 8\nmax_fps = 60", "= 42", "--fps: 24.0 is not accepted; at most 23.8"),
        ("camera", "= 8\n", "= -8\n", "readout_ms: -8 is not accepted"),
        ("camera", "rolling", "rollin", 'shutter: "rollin" is not accepted'),
        ("lamp", "0.3", "1.3", "modulation: 1.3 is not accepted"),
        ("lamp", "0.3", "nan", "modulation: NaN is not accepted"),
    ],
)
def test_a_slip_in_a_profile(shot_command, tmp_path, kind, old, new, words):
    assert TEXTS[kind].count(old) == 1
    path = tmp_path / "slip.toml"
    path.write_text(TEXTS[kind].replace(old, new), encoding="utf-8")
    line = refused(*shot_command, f"--{kind}", path)
    assert words in line
    assert f"bandcheck: {path}: " in line or line.startswith("bandcheck: --fps: ")


@pytest.mark.parametrize("content", [b"\xff\xfe[wall]", b"\0" * 100, b"# " * 200_000])
def test_a_profile_that_is_no_text(shot_command, tmp_path, content):
    path = tmp_path / "slip.toml"
    path.write_bytes(content)
    assert f"{path}: " in refused(*shot_command, "--wall", path)
