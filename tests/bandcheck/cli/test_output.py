"""Files are refused before the work starts, and stand whole or not at all."""

import os
import signal
import stat
import time

import click
import pytest
from cli_run import process

from bandcheck.cli.output import Output, output_option

SLOW_WRITER = """
import sys, time
from pathlib import Path
from bandcheck import __main__ as start
from bandcheck.cli.output import Output
start._end_like_ctrl_c()
path, force = Path(sys.argv[1]), sys.argv[2] == "force"
try:
    with Output(path=path, given=str(path), option="--output", force=force).opened() as file:
        file.write(b"half of it")
        file.flush()
        print("half", flush=True)
        time.sleep(30)
except KeyboardInterrupt:
    sys.exit(130)
"""

RACING_WRITER = """
import sys
from pathlib import Path
from bandcheck.cli.output import Output
path, letter = Path(sys.argv[1]), sys.argv[2].encode()
for _ in range(60):
    with Output(path=path, given=str(path), option="--output", force=True).opened() as file:
        for _ in range(20):
            file.write(letter * 5000)
"""


def planned(path, *, force=False):
    return Output(path=path, given=str(path), option="--output", force=force)


def options_of(*arguments):
    """What a command with `--output` receives, or the refusal."""

    @click.command
    @output_option(".csv", ".json")
    def command(output):
        return output

    return command.main([str(each) for each in arguments], standalone_mode=False)


def test_a_file_is_written_whole_and_nothing_else_is_left(tmp_path):
    planned(tmp_path / "rows.csv").write(b"1,2\n")
    assert (tmp_path / "rows.csv").read_bytes() == b"1,2\n"
    assert os.listdir(tmp_path) == ["rows.csv"]


def test_a_new_file_has_the_permissions_of_any_new_file(tmp_path):
    (tmp_path / "plain").touch()
    planned(tmp_path / "rows.csv").write(b"")
    assert (tmp_path / "rows.csv").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_replaced_file_keeps_its_permissions(tmp_path):
    path = tmp_path / "rows.csv"
    path.touch()
    path.chmod(0o640)
    planned(path, force=True).write(b"new")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert path.read_bytes() == b"new"


def test_a_link_is_followed(tmp_path):
    (tmp_path / "real.csv").write_bytes(b"old")
    (tmp_path / "link.csv").symlink_to(tmp_path / "real.csv")
    options_of("--output", tmp_path / "link.csv", "--force").write(b"new")
    assert (tmp_path / "link.csv").is_symlink()
    assert (tmp_path / "real.csv").read_bytes() == b"new"


def test_the_ending_chooses_in_any_case(tmp_path):
    assert options_of("--output", tmp_path / "A.JSON").ending == ".json"
    assert options_of() is None


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("rows.xml", "a name ending in .csv or .json"),
        ("rows", "a name ending in .csv or .json"),
        ("missing/rows.csv", "there is no folder"),
        ("there.csv", "exists already; add --force to replace it"),
        ("folder.csv", "is not a plain file"),
        ("n" * 300 + ".csv", "cannot be written"),
        ("plain/rows.csv", "there is no folder"),
        ("", "a name ending in"),
    ],
)
def test_refused_while_the_command_line_is_read(tmp_path, name, words):
    (tmp_path / "there.csv").write_bytes(b"kept")
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "plain").touch()
    before = sorted(os.listdir(tmp_path))
    with pytest.raises(click.UsageError) as refusal:
        options_of("--output", tmp_path / name if name else "")
    assert words in refusal.value.message
    assert refusal.value.message.startswith("--output: '")
    assert sorted(os.listdir(tmp_path)) == before
    assert (tmp_path / "there.csv").read_bytes() == b"kept"


@pytest.mark.parametrize("name", ["device.csv", "folder.csv"])
def test_force_replaces_plain_files_only(tmp_path, name):
    (tmp_path / "device.csv").symlink_to(os.devnull)
    (tmp_path / "folder.csv").mkdir()
    with pytest.raises(click.UsageError, match="is not a plain file"):
        options_of("--output", tmp_path / name, "--force")


def test_an_unwritable_folder_is_refused_early():
    with pytest.raises(click.UsageError, match=r"'/proc/rows\.csv' cannot be written"):
        options_of("--output", "/proc/rows.csv")


def test_a_file_made_meanwhile_is_not_replaced_without_force(tmp_path):
    path = tmp_path / "rows.csv"
    output = options_of("--output", path)
    path.write_bytes(b"somebody else's")
    with pytest.raises(click.UsageError, match="exists already"):
        output.write(b"mine")
    assert path.read_bytes() == b"somebody else's"
    assert os.listdir(tmp_path) == ["rows.csv"]


def test_without_hard_links_a_file_is_still_whole_and_not_replaced(tmp_path, monkeypatch):
    def no_links(*_names):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "rows.csv"
    planned(path).write(b"first")
    assert path.read_bytes() == b"first"
    with pytest.raises(click.UsageError, match="exists already"):
        planned(path).write(b"second")
    assert path.read_bytes() == b"first"
    assert os.listdir(tmp_path) == ["rows.csv"]


def test_a_full_disk_is_told_in_a_line(tmp_path, monkeypatch):
    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(click.UsageError, match=r"cannot be written \(No space left on device\)"):
        planned(tmp_path / "rows.csv").write(b"1")
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("force", ["force", "keep"])
def test_an_interrupted_export_leaves_what_was_there(tmp_path, number, force):
    path = tmp_path / "rows.csv"
    if force == "force":
        path.write_bytes(b"yesterday's")
    with process(path, force, code=SLOW_WRITER) as writer:
        assert writer.stdout.readline() == "half\n"
        assert len(list(tmp_path.glob(".rows.csv.*.part"))) == 1
        writer.send_signal(number)
        assert writer.wait(timeout=20) == 130
        assert writer.stderr.read() == ""
    kept = {each.name: each.read_bytes() for each in tmp_path.iterdir()}
    assert kept == ({"rows.csv": b"yesterday's"} if force == "force" else {})


def test_two_processes_at_once_never_mix(tmp_path):
    path = tmp_path / "rows.csv"
    whole = {b"a" * 100_000, b"b" * 100_000}
    writers = [process(path, letter, code=RACING_WRITER) for letter in "ab"]
    seen = set()
    deadline = time.monotonic() + 30
    while any(writer.poll() is None for writer in writers) and time.monotonic() < deadline:
        if path.exists():
            seen.add(path.read_bytes())
    for writer in writers:
        assert writer.communicate(timeout=30) == ("", "")
        assert writer.returncode == 0
    seen.add(path.read_bytes())
    assert seen <= whole
    assert os.listdir(tmp_path) == ["rows.csv"]
