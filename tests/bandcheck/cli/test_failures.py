"""Every error becomes a status and one line that cannot steer a terminal."""

import click
import pytest

from bandcheck.cli.failures import failure, one_line, option_name, with_nearest
from bandcheck.errors import OutOfRangeError, ProfileError


@pytest.mark.parametrize(
    ("error", "status", "line"),
    [
        (OutOfRangeError("--fps", "0", "above 0"), 2, "--fps: '0' is not accepted; above 0"),
        (ProfileError("a.toml", ["one", "two"]), 2, "a.toml: one; two"),
        (click.UsageError("two\nlines."), 2, "two lines"),
        (click.FileError("a.toml", "gone"), 2, "gone"),
        (click.Abort(), 130, "interrupted"),
        (KeyboardInterrupt(), 130, "interrupted"),
        (OSError(28, "No space left on device"), 2,
         "the system refused: [Errno 28] No space left on device"),
    ],
)
def test_status_and_line(error, status, line):
    assert failure(error) == (status, line)


@pytest.mark.parametrize("error", [ValueError("x"), KeyError("x"), AssertionError(), MemoryError()])
def test_anything_else_is_our_own_fault(error, monkeypatch):
    monkeypatch.delenv("BANDCHECK_TRACEBACK", raising=False)
    status, line = failure(error)
    assert status == 1
    assert line.startswith("this is a fault of bandcheck")
    assert type(error).__name__ in line
    assert "BANDCHECK_TRACEBACK=1" in line


def test_one_line_spells_out_what_could_steer_a_terminal():
    text = one_line("a\tb\r\n\x1b[31m\x07 \u202e\udcff é壁")
    assert text == r"a b \x1b[31m\x07 \u202e\udcff é壁"
    assert text.isprintable()


def test_long_words_of_a_command_line_are_cut():
    _, line = failure(click.UsageError(f"'{'x' * 5000}': no such command"))
    assert line == f"'{'x' * 179}…': no such command"


def test_the_nearest_word_or_all_of_them():
    assert with_nearest("no", "chekc", ["check", "sweep"]) == "no; did you mean check?"
    assert with_nearest("no", "zzz", ["check", "sweep"]) == "no; known: check, sweep"


def test_an_option_goes_by_its_longest_name():
    assert option_name(click.Option(["-o", "--output"])) == "--output"
    assert option_name(click.Argument(["kind"])) == "KIND"
    assert option_name(None) == "argument"
