"""`bandcheck profiles`: list, show, check and start wall, camera and lamp profiles."""

import click

from bandcheck.cli.commands import PlainGroup
from bandcheck.cli.failures import BAD_INPUT, one_line
from bandcheck.cli.output import Output, output_option
from bandcheck.cli.screen import json_option, note, say, say_json
from bandcheck.cli.values import FILE, PROFILE
from bandcheck.report.budget_text import budget_text, budget_values
from bandcheck.report.profile_sheet import (
    figures_not_stated,
    kind_of,
    profile_figures,
    profile_sheet,
)
from bandcheck.shoot.profile_text import blank_profile
from bandcheck.shoot.profiles import (
    KINDS,
    KindName,
    file_faults,
    load_profile,
    shipped_folder,
    shipped_names,
)
from bandcheck.shoot.wall import Wall
from bandcheck.verdict.wall_budget import wall_budget

__all__ = ["command"]

_FOLDERS: dict[str, KindName] = {f"{kind}s": kind for kind in KINDS}


@click.group("profiles", cls=PlainGroup)
def command() -> None:
    """List, show, check and start wall, camera and lamp profiles."""


@command.command("list", example="bandcheck profiles list cameras")
@click.argument("kind", required=False, type=click.Choice(list(_FOLDERS)))
@json_option
def list_(kind: str | None, as_json: bool) -> None:
    """List the shipped profiles."""
    wanted = {folder: _FOLDERS[folder] for folder in _FOLDERS if kind in (None, folder)}
    shipped = {
        folder: [
            {"name": name, "title": load_profile(shipped_folder() / folder / f"{name}.toml").name}
            for name in shipped_names(each)
        ]
        for folder, each in wanted.items()
    }
    if as_json:
        say_json({"schema": "bandcheck.profiles/1", **shipped})
        return
    longest = max((len(row["name"]) for rows in shipped.values() for row in rows), default=0)
    for folder, rows in shipped.items():
        say(folder.capitalize())
        for row in rows:
            say(f"  {row['name']:<{longest}}  {row['title']}")
        if not rows:
            say("  none")


@command.command(example="bandcheck profiles show stage.toml")
@click.argument("profile", type=PROFILE, metavar=PROFILE.name)
@json_option
def show(profile: str, as_json: bool) -> None:
    """Show each figure of a profile with unit and source, and what a wall's clock is spent on."""
    loaded = load_profile(profile)
    budget = wall_budget(loaded) if isinstance(loaded, Wall) else None
    if not as_json:
        say(profile_sheet(loaded))
        if budget is not None:
            say(f"\n{budget_text(budget)}")
        return
    say_json({
        "schema": "bandcheck.profile/1",
        "kind": kind_of(loaded),
        "name": loaded.name,
        "figures": [
            {"key": each.key, "value": each.value, "unit": each.unit or None, "source": each.source}
            for each in profile_figures(loaded)
        ],
        "not_stated": figures_not_stated(loaded),
        "budget": None if budget is None else budget_values(budget),
    })


@command.command(example="bandcheck profiles check stage.toml camera.toml")
@click.argument("files", nargs=-1, required=True, type=FILE, metavar="FILE...")
@json_option
@click.pass_context
def check(ctx: click.Context, files: tuple[str, ...], as_json: bool) -> None:
    """Name every fault of profile files, all in one go."""
    faults = {file: file_faults(file) for file in dict.fromkeys(files)}
    if as_json:
        rows = [{"file": file, "faults": lines} for file, lines in faults.items()]
        say_json({"schema": "bandcheck.profiles_check/1", "files": rows})
    for file, lines in () if as_json else faults.items():
        for line in lines:
            note(one_line(f"{file}: {line}"))
        if not lines:
            say(one_line(f"{file}: no fault found"))
    if any(faults.values()):
        ctx.exit(BAD_INPUT)


@command.command(example="bandcheck profiles new wall --output stage.toml")
@click.argument("kind", type=click.Choice(list(KINDS)))
@output_option(".toml", what="Profile to start")
def new(kind: KindName, output: Output | None) -> None:
    """Start a profile with every key explained."""
    text = blank_profile(kind)
    if output is None:
        say(text.rstrip("\n"))
        return
    output.write(text.encode())
    note(f"{output.given}: fill in what you know, then: bandcheck profiles check {output.given}")
