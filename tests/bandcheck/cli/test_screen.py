"""Results go to standard output, everything else to standard error, and JSON is strict."""

import json
import math
import os
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from cli_run import process

from bandcheck.cli.screen import json_text, note, progressed, say_json

PRINTS_MUCH = """
import sys
from bandcheck.cli.screen import note, say
for number in range(100_000):
    say(f"row {number}")
note("went on to the end")
sys.exit(3)
"""


def refused_constant(name):
    raise AssertionError(f"{name} is no JSON")


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (math.nan, None),
        (-math.inf, None),
        (np.float64("nan"), None),
        (0.1, 0.1),
        (np.float64(0.1), 0.1),
        (np.int64(7), 7),
        (np.bool_(True), True),
        (np.array([[1.5, math.inf], [0.0, -1.0]]), [[1.5, None], [0.0, -1.0]]),
        (Fraction(24000, 1001), "24000/1001"),
        (Path("a/b"), "a/b"),
        ((1, (2.0, None)), [1, [2.0, None]]),
        ({"deep": {"er": [math.nan]}}, {"deep": {"er": [None]}}),
        ("壁 \x1b[31m", "壁 \x1b[31m"),
    ],
)
def test_every_value_has_its_form_in_strict_json(value, expected):
    text = json_text({"it": value})
    assert json.loads(text, parse_constant=refused_constant) == {"it": expected}
    assert text.isascii()
    assert "\x1b" not in text


def test_numbers_are_not_rounded():
    value = 0.1 + 0.2
    assert json.loads(json_text({"it": value}))["it"] == value


@pytest.mark.parametrize("value", [object(), b"bytes", 1j])
def test_what_has_no_form_in_json_is_a_fault(value):
    with pytest.raises(TypeError, match="has no form in JSON"):
        json_text({"it": value})


def test_results_and_messages_do_not_mix(capsys):
    note("working")
    say_json({"answer": 42})
    out, err = capsys.readouterr()
    assert json.loads(out) == {"answer": 42}
    assert err == "working\n"


def test_no_progress_bar_where_standard_error_is_no_terminal(capsys):
    assert list(progressed(range(5), label="sweeping")) == [0, 1, 2, 3, 4]
    assert capsys.readouterr() == ("", "")


def test_a_progress_bar_on_a_terminal_stays_off_standard_output(capsys, monkeypatch):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    assert list(progressed(iter(range(5)), label="sweeping", length=5)) == [0, 1, 2, 3, 4]
    out, err = capsys.readouterr()
    assert out == ""
    assert "sweeping" in err
    assert "100%" in err


def test_a_reader_that_leaves_early_does_not_change_the_exit_status():
    with process(code=PRINTS_MUCH) as printing:
        assert printing.stdout.readline() == "row 0\n"
        printing.stdout.close()
        assert printing.stderr.read() == "went on to the end\n"
        assert printing.wait(timeout=20) == 3


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("arguments", [("--help",), ("--version",), ("profiles", "list")])
def test_a_full_standard_output_is_told_in_a_line(arguments):
    with Path("/dev/full").open("w") as full, process(*arguments, stdout=full) as printing:
        message = printing.stderr.read()
        assert printing.wait(timeout=20) == 2
    assert message.startswith("bandcheck: ")
    assert "No space left on device" in message
    assert message.count("\n") == 1


@pytest.mark.parametrize("arguments", [("--help",), ("--version",)])
def test_help_whose_reader_has_gone_ends_quietly(arguments):
    reader, writer = os.pipe()
    os.close(reader)
    with process(*arguments, stdout=writer) as printing:
        os.close(writer)
        assert printing.stderr.read() == ""
        assert printing.wait(timeout=20) == 0


@pytest.mark.parametrize("closed", [">&-", "2>&-", "0<&- >&- 2>&-"])
def test_a_stream_that_is_closed_from_the_start_does_no_harm(closed):
    command = f'exec "$0" -m bandcheck --version {closed}'
    outcome = subprocess.run(
        ["/bin/sh", "-c", command, sys.executable], capture_output=True, check=False, timeout=20
    )
    assert outcome.returncode == 0
    assert outcome.stderr == b""


def test_a_message_that_nobody_can_read_does_not_change_the_exit_status():
    reader, writer = os.pipe()
    os.close(reader)
    outcome = subprocess.run(
        [sys.executable, "-m", "bandcheck", "zzz"], stdout=subprocess.PIPE, stderr=writer,
        check=False, timeout=20,
    )
    os.close(writer)
    assert (outcome.returncode, outcome.stdout) == (2, b"")
