"""Whatever is typed behind any command, it answers or refuses in one plain line."""

from importlib import import_module

import click
import pytest
from cli_run import run
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plan_cases import HEAD
from shot_command import profile_files

from bandcheck.cli.main import COMMANDS

ODD = (
    "", " ", "0", "-0", "-1", "1", "7", "24", "180", "1e308", "1e-308", "1e999", "nan", "-inf",
    "9" * 5000, "1/0", "0/0", "1/3", "24000/1001", "1e-9/1e9", "0x10", "1_000", "١٢", "1,5", "1,,2",
    "nan,1", "1:0:1", "1:360:1e-9", "1:360:0", "0:0:0", ":", "1," * 900, "12,34,56,78", "-1,-1,0,0",
    "abc", "own", "locked", "later", "levels", "=1+1", "@", "--", "-", "\x1b[31m", "a\nb", "\0",
    "\udcff", "ü" * 300, "%s", "{}", "[", "'\"", "tear=yes", "=", "no=", "..", "/", "nowhere/x.csv",
    "x.csv", "x.json", "x.png", "x.toml", "missing.toml", "wall.toml", "camera.toml", "2026-02-30",
)
NEEDED = {
    "card": ("--rates", "24"), "change": ("--to-fps", "25"), "sweep": ("--angles", "90,180"),
    "moire": ("--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6"),
}
FILES = {"plan": ("plan.toml",), "measure": ("rows.csv", "--source-hz", "3840")}
PLAN = HEAD.replace('"side-2.8"', '"wall.toml"').replace('"cine-a-wide"', '"camera.toml"') + (
    '[[setup]]\nname = "one"\ncamera = "A"\nsurfaces = ["main"]\n'
)
ENDS = {0, 2, 3}
TRIES = 60
TOLD_LONGEST = 600


@pytest.fixture(autouse=True)
def scratch(tmp_path, monkeypatch):
    """A folder of its own to write to, in which no dashboard is ever served."""
    def no_server(_listening):
        raise KeyboardInterrupt

    monkeypatch.setattr("bandcheck.cli.dashboard._server", no_server)
    monkeypatch.chdir(tmp_path)
    profile_files(tmp_path, optics=True)
    (tmp_path / "plan.toml").write_text(PLAN)
    (tmp_path / "rows.csv").write_text("".join(f"{100 + row % 9}\n" for row in range(90)))


def shot_of(name):
    """Arguments with which a command that looks at a shot runs."""
    if name in FILES:
        return FILES[name]
    parameters = {each.name for each in import_module(COMMANDS[name].module).command.params}
    if not {"wall", "camera", "fps"} <= parameters:
        return ()
    wall = ("--wall", "wall.toml", "--camera", "camera.toml", "--fps", "24", "--levels", "50")
    return (*wall, "--angle", "180", *NEEDED.get(name, ()))


@st.composite
def typed(draw, name):
    """One to three odd words: values of options, arguments, or options that nobody has."""
    command = import_module(COMMANDS[name].module).command
    commands = list(getattr(command, "commands", {}).values())
    words = []
    if commands and draw(st.booleans()):
        command = draw(st.sampled_from(commands))
        words.append(command.name)
    options = [each for each in command.params if isinstance(each, click.Option)]
    options = [each for each in options if each.name not in ("open_it", "help")]
    for _ in range(draw(st.sampled_from((1, 1, 2, 3)))):
        odd = draw(st.sampled_from(ODD))
        option = draw(st.sampled_from([None, *options]))
        if option is None:
            words.append(odd)
        elif option.is_flag:
            words.append(option.opts[0])
        else:
            words += [option.opts[0], odd]
    return words


@pytest.mark.parametrize("name", COMMANDS)
def test_odd_words_are_answered_or_refused_in_a_line(name):
    good = shot_of(name)
    assert not good or run(name, *good).exit_code == 0

    @settings(derandomize=True, deadline=None, database=None, max_examples=TRIES,
              suppress_health_check=list(HealthCheck))
    @given(typed(name))
    def asked(words):
        result = run(name, *good, *words)
        ends = ENDS | {130} if name == "dashboard" else ENDS
        assert result.exit_code in ends, (words, result.stderr)
        assert "Traceback" not in result.stdout + result.stderr
        if result.exit_code == 2 and words[0] != "check":  # which lists faults and refuses nothing
            refusal = result.stderr.splitlines()[-1]
            assert refusal.startswith("bandcheck: ")
            assert refusal.isprintable()
            assert len(refusal) < TOLD_LONGEST, refusal

    asked()
