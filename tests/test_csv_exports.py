"""No table that any command writes starts a formula in a spreadsheet, whatever things are called.

Which characters start one: OWASP, CSV Injection (=, +, -, @, tab, carriage return); the wide forms
of the first four are taken for them by some spreadsheets (memory).
"""

import csv
import io
from importlib import import_module

import pytest
from cli_run import run
from plan_cases import HEAD
from shot_command import profile_files

from bandcheck.cli.main import COMMANDS

STARTS = tuple("=+-@\t\r＝＋－＠")
HOSTILE = ("=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "\\t=1+1", " =1+1", "＝1+1",
           '\\",=1+1')
SHOT = ("--wall", "wall.toml", "--camera", "camera.toml", "--lamp", "lamp.toml", "--fps", "24",
        "--angle", "172.8", "--levels", "100")
LENS = ("--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6", "--focus-m", "4")
WRITERS = {
    "card": [("card", *SHOT), ("card", "--plan", "plan.toml")],
    "frame": [("frame", *SHOT)],
    "moire": [("moire", *SHOT, *LENS, "--map", "focus"), ("moire", *SHOT, *LENS, "--map", "focal")],
    "plan": [("plan", "plan.toml")],
    "sweep": [("sweep", *SHOT, "--angles", "90,180")],
}
TELL_NAMES = ("card", "plan")
"""Those whose tables hold texts; the others hold figures alone."""


def writes_csv(name):
    """Whether a command or one below it takes the name of a file that ends in .csv."""
    command = import_module(COMMANDS[name].module).command
    several = (command, *getattr(command, "commands", {}).values())
    helps = [getattr(each, "help", "") or "" for one in several for each in one.params]
    return any("ending in" in each and ".csv" in each for each in helps)


def named(folder, name):
    """Profiles and a plan in which everything that can be called bears one name."""
    profile_files(folder, optics=True)
    for kind in ("wall", "camera", "lamp"):
        file = folder / f"{kind}.toml"
        file.write_text(file.read_text().replace(f'"Test {kind}"', f'"{name}"'), encoding="utf-8")
    text = HEAD.replace('"side-2.8"', '"wall.toml"').replace('"cine-a-wide"', '"camera.toml"')
    text += f'[[setup]]\nname = "{name}"\ncamera = "A"\nsurfaces = ["main"]\n'
    for old in ("test shoot", "main", "A", "desk"):
        text = text.replace(f'"{old}"', f'"{name}"')
    (folder / "plan.toml").write_text(text, encoding="utf-8")


def number(cell):
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_every_command_that_writes_csv_is_tried():
    assert set(WRITERS) == set(filter(writes_csv, COMMANDS))


@pytest.mark.parametrize(("command", "name"), [
    (command, name) for command in WRITERS
    for name in (HOSTILE if command in TELL_NAMES else HOSTILE[:1])
])
def test_no_cell_starts_a_formula(tmp_path, monkeypatch, command, name):
    monkeypatch.chdir(tmp_path)
    named(tmp_path, name)
    for place, arguments in enumerate(WRITERS[command]):
        file = tmp_path / f"{place}.csv"
        result = run(*arguments, "--output", file)
        if result.exit_code == 2:  # a name may be refused, by what holds it
            assert ".toml: " in result.stderr
            continue
        assert result.exit_code == 0, result.stderr
        rows = list(csv.reader(io.StringIO(file.read_text(encoding="utf-8-sig"), newline="")))
        assert len(rows) > 1
        bad = [cell for row in rows for cell in row if cell.startswith(STARTS) and not number(cell)]
        assert bad == []


def test_what_a_user_types_on_a_card_starts_no_formula_either(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    named(tmp_path, "plain")
    result = run("card", *SHOT, "--card-version", "=1+1", "--output", "card.csv")
    assert result.exit_code == 0, result.stderr
    cells = (tmp_path / "card.csv").read_text(encoding="utf-8-sig").replace('"', "").split(",")
    assert "'=1+1" in cells
    assert "=1+1" not in cells
