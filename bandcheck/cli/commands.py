"""How commands and groups of commands look, and how a command is imported only when it runs."""

from collections.abc import Mapping
from importlib import import_module
from typing import Any, NamedTuple

import click

from bandcheck.cli.failures import with_nearest

__all__ = ["Entry", "LazyGroup", "PlainCommand", "PlainGroup"]


class Entry(NamedTuple):
    """Where a command lives and its one line of help, readable without importing it.

    The module holds the command under the name `command`.
    """

    module: str
    help: str


class PlainCommand(click.Command):
    """A command whose help ends with an example and lists options under their headings.

    Parameters
    ----------
    example
        One command line or several, each on a line of its own.
    """

    def __init__(self, *args: Any, example: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.example = example

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the command line; an error says which command it belongs to."""
        try:
            return super().parse_args(ctx, args)
        except click.UsageError as error:
            error.ctx = error.ctx or ctx
            raise

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options: those without a heading (`section`) first."""
        sections: dict[str, list[tuple[str, str]]] = {"Options": []}
        for parameter in self.get_params(ctx):
            record = parameter.get_help_record(ctx)
            if record is not None and isinstance(parameter, click.Option):
                sections.setdefault(getattr(parameter, "section", "Options"), []).append(record)
        for heading, records in sections.items():
            with formatter.section(heading):
                formatter.write_dl(records)

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the example as it is typed."""
        with formatter.section("Example"):
            for line in self.example.strip().splitlines():
                formatter.write(f"{'':>{formatter.current_indent}}{line}\n")
        super().format_epilog(ctx, formatter)


class PlainGroup(click.Group):
    """A group that shows its help when called alone and refuses unknown commands in a line."""

    command_class = PlainCommand

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the command line; an empty one asks for help."""
        return super().parse_args(ctx, args or ["--help"])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Refuse an unknown command by name, with the nearest known one."""
        known = self.list_commands(ctx)
        if args[0] not in known and not args[0].startswith("-"):
            message = f"'{args[0]}': no such command of {ctx.command_path}"
            raise click.UsageError(with_nearest(message, args[0], known), ctx)
        return super().resolve_command(ctx, args)


class LazyGroup(PlainGroup):
    """A group of commands whose modules are imported when a command is wanted, not before."""

    def __init__(self, *args: Any, entries: Mapping[str, Entry], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.entries = entries

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the table."""
        return list(self.entries)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Command of that name, imported now."""
        entry = self.entries.get(cmd_name)
        if entry is None:
            return None
        command: click.Command = import_module(entry.module).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table alone."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in self.entries.items()])
