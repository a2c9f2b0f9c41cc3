"""The command `bandcheck` starts fast, lists what it can do and ends with the promised status."""

import json
import signal
import subprocess
import sys
from importlib import import_module
from importlib.metadata import entry_points, version

import click
import pytest
from cli_run import process, refused, run

from bandcheck import __main__
from bandcheck.cli.commands import Entry
from bandcheck.cli.main import COMMANDS

IMPORTED_BY = """
import json, sys
from bandcheck.cli.main import exit_status
status = exit_status(sys.argv[1:])
print(json.dumps(sorted(sys.modules)), file=sys.stderr)
sys.exit(status)
"""

STARTS = """
import signal, sys, time
from bandcheck import __main__ as start
from bandcheck.cli import main
def work(_arguments=None):
    print("started", flush=True)
    time.sleep(30)
main.exit_status = work
sys.exit(start.main())
"""


@pytest.fixture
def acting(monkeypatch):
    """Register a command that does what a test asks for."""

    def add(action):
        module = type(sys)("acting_command")
        module.command = click.command("act", help="Act.")(action)
        monkeypatch.setitem(sys.modules, "acting_command", module)
        monkeypatch.setitem(COMMANDS, "act", Entry("acting_command", "Act."))

    return add


@pytest.mark.parametrize("arguments", [(), ("--help",), ("-h",)])
def test_help_lists_every_command_with_its_line(arguments):
    result = run(*arguments)
    assert result.exit_code == 0
    assert result.stderr == ""
    for name, entry in COMMANDS.items():
        line = next(row for row in result.stdout.splitlines() if row.split()[:1] == [name])
        assert line.split(maxsplit=1)[1] == entry.help
    assert all(len(row) <= 80 for row in result.stdout.splitlines())


@pytest.mark.parametrize("arguments", [("--help",), ("--version",), ("chekc",)])
def test_starting_imports_nothing_slow(arguments):
    with process(*arguments, code=IMPORTED_BY) as started:
        modules = json.loads(started.stderr.read().splitlines()[-1])
    slow = ("numpy", "pandas", "pydantic_core", "PIL", "bandcheck.cli.profiles", "bandcheck.errors")
    assert not set(slow) & set(modules)
    assert "bandcheck.cli.main" in modules


@pytest.mark.parametrize("name", COMMANDS)
def test_the_table_says_what_the_command_says_of_itself(name):
    command = import_module(COMMANDS[name].module).command
    assert command.name == name
    assert command.get_short_help_str(limit=200) == COMMANDS[name].help


def test_version():
    result = run("--version")
    assert (result.exit_code, result.stdout) == (0, f"bandcheck {version('bandcheck')}\n")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("profilse",), "'profilse': no such command of bandcheck; did you mean profiles?"),
        (("zzz",), "'zzz': no such command of bandcheck; known: check, settings,"),
        (("x" * 5000,), "no such command"),
        (("\x1b[31mred\x07",), r"'\x1b[31mred\x07': no such command"),
        (("--verson",), "--verson: no such option of bandcheck; did you mean --version?"),
        (("--qqq",), "--qqq: no such option of bandcheck; see bandcheck --help"),
        (("-q",), "-q: no such option of bandcheck"),
        (("--version=3",), "Option '--version' does not take a value"),
    ],
)
def test_a_slip_is_told_in_one_line(arguments, words):
    assert words in refused(*arguments)


def test_status_of_a_command_that_ends_well(acting):
    acting(lambda: None)
    assert run("act").exit_code == 0


def test_status_that_a_command_chooses(acting):
    acting(click.pass_context(lambda ctx: ctx.exit(3)))
    assert run("act").exit_code == 3


def test_a_fault_of_our_own_says_so(acting, monkeypatch):
    monkeypatch.delenv("BANDCHECK_TRACEBACK", raising=False)
    acting(lambda: divmod(1, 0))
    result = run("act")
    assert result.exit_code == 1
    assert result.stderr == (
        "bandcheck: this is a fault of bandcheck, not of what you gave it: ZeroDivisionError: "
        f"{zero_division_text()} (set BANDCHECK_TRACEBACK=1 and run again to see where)\n"
    )


def test_the_traceback_of_a_fault_can_be_had(acting, monkeypatch):
    monkeypatch.setenv("BANDCHECK_TRACEBACK", "1")
    acting(lambda: divmod(1, 0))
    result = run("act")
    assert result.exit_code == 1
    assert result.stderr.startswith("Traceback (most recent call last)")
    assert result.stderr.splitlines()[-1].startswith("bandcheck: this is a fault of bandcheck")


def zero_division_text():
    with pytest.raises(ZeroDivisionError) as division:
        divmod(1, 0)
    return str(division.value)


def test_ctrl_c_inside_a_command(acting):
    def pressed():
        raise KeyboardInterrupt

    acting(pressed)
    result = run("act")
    assert (result.exit_code, result.stdout) == (130, "")
    assert result.stderr.strip() == "bandcheck: interrupted"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_request_to_end_is_an_interruption(number):
    with process(code=STARTS) as started:
        assert started.stdout.readline() == "started\n"
        started.send_signal(number)
        assert started.wait(timeout=20) == 130
        assert started.stderr.read() == ""


def test_a_hang_up_that_is_ignored_stays_ignored():
    with process(code="import signal; signal.signal(signal.SIGHUP, signal.SIG_IGN)" + STARTS
                 ) as started:
        assert started.stdout.readline() == "started\n"
        started.send_signal(signal.SIGHUP)
        with pytest.raises(subprocess.TimeoutExpired):
            started.wait(timeout=0.5)
        started.send_signal(signal.SIGTERM)
        assert started.wait(timeout=20) == 130


def test_python_dash_m_is_the_same_command():
    with process("--version") as started:
        assert started.communicate(timeout=20) == (f"bandcheck {version('bandcheck')}\n", "")


def test_the_installed_command_is_this_one():
    (script,) = entry_points(group="console_scripts", name="bandcheck")
    assert script.load() is __main__.main
