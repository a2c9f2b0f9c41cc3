"""Full disks, closed folders, interrupts and two at once, tried on whole commands.

Whatever happens: one plain line, the promised exit status, the file that was there before or a
whole new one, and nothing else left in the folder.
"""

import json
import os
import signal
import subprocess
import sys
from importlib import import_module

import pytest
from cli_run import process
from shot_command import profile_files

LINUX = sys.platform == "linux"

SHOT = ("--fps", "24", "--angle", "172.8", "--levels", "100")
WRITERS = {
    "frame.csv": ("frame",), "frame.png": ("frame",), "sweep.csv": ("sweep", "--angles", "90,180"),
    "sweep.npz": ("sweep", "--angles", "90,180"), "card.json": ("card",), "card.pdf": ("card",),
    "map.csv": ("moire", "--map", "focus", "--focal-mm", "35", "--f-number", "2.8",
                "--distance-m", "6", "--focus-m", "4"),
}

FIRST_BYTES = 100
DATES = ("2026-03-01", "2026-03-02")

LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv.pop(1)),) * 2)
from bandcheck.__main__ import main
sys.exit(main())
"""

WITHOUT_ROOTS_RIGHTS = """
import ctypes, os, sys
if os.geteuid() == 0:
    version, nothing = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
    assert ctypes.CDLL(None).capset(version, nothing) == 0
from bandcheck.__main__ import main
sys.exit(main())
"""

TOLD = """
import sys
from importlib import import_module
from bandcheck.__main__ import main
module, name = sys.argv.pop(1), sys.argv.pop(1)
work = getattr(import_module(module), name)
def told(*given, **named):
    print("begun", flush=True)
    while True:
        work(*given, **named)
setattr(import_module(module), name, told)
sys.exit(main())
"""


def written(name, folder):
    """Arguments of a command that writes a file of this name."""
    command, *others = WRITERS[name]
    profiles = profile_files(folder.parent, optics=True)
    return (command, *profiles, *SHOT, *others, "--output", str(folder / name))


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "out"
    made.mkdir()
    return made


def ended(running):
    """Exit status and the one line of a command that ends by itself."""
    out, err = running.communicate(timeout=120)
    assert out == ""
    assert "Traceback" not in err
    (line,) = err.splitlines()
    return running.returncode, line


@pytest.mark.skipif(not LINUX, reason="limits the size of a process's files as Linux does")
@pytest.mark.parametrize("name", WRITERS)
def test_a_disk_that_fills_up_in_the_middle_leaves_what_was_there(folder, name):
    (folder / name).write_bytes(b"yesterday's")
    status, line = ended(process(FIRST_BYTES, *written(name, folder), "--force", code=LIMITED))
    assert status == 2
    assert line.startswith(f"bandcheck: --output: '{folder / name}' cannot be written (")
    assert {each.name: each.read_bytes() for each in folder.iterdir()} == {name: b"yesterday's"}


def test_a_disk_without_any_room_is_told_in_a_line(folder):
    """A file system of one page, where this user may make one."""
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4k", "tmpfs", str(folder)],
                          capture_output=True, check=False) if LINUX else None
    if made is None or made.returncode:
        pytest.skip("no small file system can be made here; the limit on file sizes is tried above")
    try:
        status, line = ended(process(*written("frame.csv", folder)))
        assert (status, os.listdir(folder)) == (2, [])
        assert line.endswith("cannot be written (No space left on device)")
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.skipif(not LINUX, reason="gives up a superuser's rights as Linux does")
@pytest.mark.parametrize("there", ["nothing", "a file"])
def test_a_folder_that_is_closed_is_refused_before_any_work(folder, there):
    if there == "a file":
        (folder / "card.json").write_bytes(b"yesterday's")
    folder.chmod(0o555)
    running = process(*written("card.json", folder), "--force", code=WITHOUT_ROOTS_RIGHTS)
    status, line = ended(running)
    folder.chmod(0o755)
    assert status == 2
    assert line.endswith("cannot be written (Permission denied)")
    assert os.listdir(folder) == (["card.json"] if there == "a file" else [])


@pytest.mark.skipif(not LINUX, reason="gives up a superuser's rights as Linux does")
def test_a_file_that_is_closed_to_writing_is_kept_even_with_force(folder):
    (folder / "card.json").write_bytes(b"signed")
    (folder / "card.json").chmod(0o444)
    running = process(*written("card.json", folder), "--force", code=WITHOUT_ROOTS_RIGHTS)
    assert ended(running) == (2, f"bandcheck: --output: '{folder / 'card.json'}' cannot be written;"
                                 " the file there is closed to writing")
    assert (folder / "card.json").read_bytes() == b"signed"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize(("name", "module", "work"), [
    ("card.json", "bandcheck.cli.card", "card_figures"),
    ("sweep.csv", "bandcheck.cli.sweep", "sweep_of_shots"),
    ("frame.png", "bandcheck.cli.frame", "recorded_frame"),
])
def test_an_interrupt_in_the_middle_of_the_work(folder, name, module, work, number):
    assert hasattr(import_module(module), work)
    (folder / name).write_bytes(b"yesterday's")
    running = process(module, work, *written(name, folder), "--force", code=TOLD)
    assert running.stdout.readline() == "begun\n"
    running.send_signal(number)
    assert ended(running) == (130, "bandcheck: interrupted")
    assert {each.name: each.read_bytes() for each in folder.iterdir()} == {name: b"yesterday's"}


def test_two_that_write_the_same_card_at_once_leave_one_of_them_whole(folder):
    both = [
        process(*written("card.json", folder), "--date", date, "--force")
        for date in DATES
    ]
    assert [ended(each)[0] for each in both] == [0, 0]
    assert os.listdir(folder) == ["card.json"]
    card = json.loads((folder / "card.json").read_bytes())
    assert card["date"] in DATES


def test_of_two_that_may_replace_nothing_one_is_refused(folder):
    both = [process(*written("card.json", folder), "--date", date) for date in DATES]
    ends = [ended(each) for each in both]
    assert sorted(status for status, _ in ends) == [0, 2]
    winner = next(date for date, (status, _) in zip(DATES, ends, strict=True) if status == 0)
    assert json.loads((folder / "card.json").read_bytes())["date"] == winner
    refusal = next(line for status, line in ends if status == 2)
    assert refusal.endswith("exists already; add --force to replace it")
    assert os.listdir(folder) == ["card.json"]
