"""The shared options carry the promised names and are explained in the help."""

import re

import click
import pytest
from click.testing import CliRunner
from shot_command import command

from bandcheck.cli.options import shot_options
from bandcheck.shoot.asked import Given

# The names that scripts rely on (the interface's list, written out by hand).
NAMES = [
    "--wall", "--camera", "--fps", "--angle", "--speed", "--wall-fps", "--genlock",
    "--phase-ms", "--levels", "--focal-mm", "--f-number", "--distance-m", "--focus-m",
    "--yaw-deg", "--tilt-deg", "--roll-deg", "--squeeze", "--lamp", "--exposure-ms",
    "--shutter-hz", "--brightness-pct", "--content-fps", "--push-stops", "--flare-nits",
    "--view-heights", "--safe-below", "--visible-from", "--grade-contrast",
    "--change-spread-ms", "--panel-rotation",
]


def help_text():
    return CliRunner().invoke(command, ["--help"], terminal_width=80).stdout


def test_the_names_are_the_promised_ones():
    names = {option for parameter in command.params for option in parameter.opts}
    assert names == {*NAMES, "--lenient"}


def test_every_option_reaches_the_command():
    assert {name[2:].replace("-", "_") for name in NAMES} == set(Given.__dataclass_fields__)


@pytest.mark.parametrize("name", NAMES)
def test_every_option_is_explained(name):
    assert re.search(rf"^  {name} \S+ .*[a-z]", help_text(), re.MULTILINE) or re.search(
        rf"^  {name} .*\n {{10,}}\S", help_text(), re.MULTILINE
    )


def test_the_help_has_headings_with_the_commands_own_options_first():
    headings = re.findall(r"^(\S.*):$", help_text(), re.MULTILINE)
    assert headings[0] == "Options"
    assert len(headings) == len(set(headings)) == 8
    assert headings[-1] == "Example"
    assert help_text().endswith("Example:\n  bandcheck shoot --fps 24\n")
    own = help_text().split("Options:")[1].split("\n\n")[0]
    assert "--lenient" in own
    assert "--wall" not in own
    assert all(len(line) <= 80 for line in help_text().splitlines())


def test_defaults_are_shown():
    text = " ".join(help_text().split())
    for shown in ("[default: 100,50,18]", "[default: locked]", "[default: 3]", "[default: 0.05]",
                  "[default: the wall's]", "[default: the camera's]"):
        assert shown in text


def test_a_command_gets_its_own_options_beside_the_shared_ones():
    @click.command
    @shot_options
    @click.option("--own", default=1)
    def mixed(given, own):
        return given.fps, own

    assert mixed.main(["--fps", "25", "--own", "2"], standalone_mode=False) == (25, 2)
