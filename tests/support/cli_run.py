"""Run the command line inside this process, or as a process of its own."""

import os
import subprocess
import sys

from click.testing import CliRunner, Result

from bandcheck.cli.main import exit_status


class _Program:
    """What click's test runner asks of a command, answered by the real entry point."""

    name = "bandcheck"

    def main(self, args, prog_name, **_settings):
        sys.exit(exit_status(args))


def run(*arguments: object) -> Result:
    """Outcome of one command run in this process: `exit_code`, `stdout`, `stderr`."""
    return CliRunner().invoke(_Program(), [str(each) for each in arguments])


def refused(*arguments: object) -> str:
    """The one line in which a command refuses; fails where it does not refuse as promised."""
    result = run(*arguments)
    assert result.exit_code == 2, (result.exit_code, result.stdout, result.stderr)
    assert result.stdout == ""
    lines = result.stderr.splitlines()
    assert len(lines) == 1, lines
    assert lines[0].startswith("bandcheck: ")
    assert lines[0].isprintable()
    assert "Traceback" not in lines[0]
    assert len(lines[0]) < 500
    return lines[0]


def process(*arguments: object, code: str | None = None, **settings) -> subprocess.Popen:
    """A process of its own: `bandcheck` with arguments, or Python code given arguments."""
    start = ["-c", code] if code else ["-m", "bandcheck"]
    environment = {**os.environ, "PYTHONWARNINGS": "error", **settings.pop("env", {})}
    return subprocess.Popen(
        [sys.executable, *start, *map(str, arguments)], text=True, env=environment,
        stdout=settings.pop("stdout", subprocess.PIPE), stderr=subprocess.PIPE, **settings,
    )
