"""Every command explains itself with an example that names its own options."""

import re
import shlex
from importlib import import_module
from pathlib import Path

import click
import pytest
from cli_run import run

import bandcheck.cli
from bandcheck.cli.main import COMMANDS

SERVING = {("dashboard",)}
"""Commands that serve screens and have no result to hand over."""

OTHER_SERVERS = {"gunicorn"}
"""Programs that an example may show beside bandcheck itself."""


def all_commands():
    for name, entry in COMMANDS.items():
        command = import_module(entry.module).command
        if isinstance(command, click.Group):
            for below, each in command.commands.items():
                yield (name, below), each
        else:
            yield (name,), command


@pytest.mark.parametrize(("path", "command"), list(all_commands()), ids=str)
def test_help_ends_with_an_example_of_this_command(path, command):
    text = run(*path, "--help").stdout
    examples = text.split("\nExample:\n")[1].replace("\\\n", "").splitlines()
    assert examples
    assert all(len(line) <= 80 for line in text.splitlines())
    options = {option for parameter in command.params for option in parameter.opts}
    for line in examples:
        words = shlex.split(line)
        if words[0] in OTHER_SERVERS:
            continue
        assert tuple(words[: len(path) + 1]) == ("bandcheck", *path)
        assert {word for word in words if word.startswith("--")} <= options


@pytest.mark.parametrize(("path", "command"), list(all_commands()), ids=str)
def test_every_command_offers_json_or_writes_a_file(path, command):
    options = {option for parameter in command.params for option in parameter.opts}
    assert options & {"--json", "--output"} or path in SERVING
    assert ("--output" in options) == ("--force" in options)


def test_commands_print_through_one_door_only():
    for path in Path(bandcheck.cli.__file__).parent.glob("*.py"):
        if path.name != "screen.py":
            found = re.findall(r"click\.(?:s?echo|style)\(|(?<!\w)print\(", path.read_text())
            assert not found, path.name
