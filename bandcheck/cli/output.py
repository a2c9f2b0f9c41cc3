"""Files that a command writes: refused early, written whole or not at all.

A command that writes a file::

    @output_option(".csv", ".json")
    def command(output: Output | None, ...):
        ...                                  # long work; all refusals are behind us
        if output is not None:
            output.write(table_bytes)        # or: with output.opened() as file: ...

`output.ending` says which form was asked for.
"""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, TypeVar

import click

__all__ = ["Output", "output_option"]

_FORCE = "bandcheck.force"
"""Where a command line's `--force` waits until its file names are read."""

_Function = TypeVar("_Function", bound=Callable[..., Any])


@dataclass(frozen=True, kw_only=True, slots=True)
class Output:
    """A file that may be written.

    Attributes
    ----------
    path
        Where; symbolic links are followed.
    given
        The name as it was typed, for messages.
    option
        The option that named it.
    force
        Whether a file that is already there is replaced.
    """

    path: Path
    given: str
    option: str
    force: bool

    @property
    def ending(self) -> str:
        """Ending of the name in small letters, with its dot."""
        return Path(self.given).suffix.lower()

    def write(self, content: bytes) -> None:
        """Write the whole file.

        Raises
        ------
        click.UsageError
            The file cannot be written, or was made meanwhile and is not to be replaced.
        """
        with self.opened() as file:
            file.write(content)

    @contextmanager
    def opened(self) -> Iterator[BinaryIO]:
        """File to write to, which takes its place and name only when the block ends well.

        Until then it stands beside its place under a name of its own: an interrupted export
        leaves what was there before, and of two at once each stays whole. (A power cut or a
        kill that cannot be caught leaves that file, never a half one under the name asked for.)

        Yields
        ------
        file
            Binary file.

        Raises
        ------
        click.UsageError
            As for `write`.
        """
        part = self._beside()
        try:
            with part.open("xb") as file:
                self._keep_mode(part)
                yield file
                file.flush()
                os.fsync(file.fileno())
            self._take_place(part)
        except OSError as error:
            raise self._refusal(f"cannot be written ({error.strerror or error})") from error
        finally:
            part.unlink(missing_ok=True)
        _settle(self.path.parent)

    def _beside(self) -> Path:
        import secrets  # slow, and most commands write no file

        return self.path.with_name(f".{self.path.name[:60]}.{secrets.token_hex(8)}.part")

    def _keep_mode(self, part: Path) -> None:
        with suppress(FileNotFoundError):
            part.chmod(self.path.stat().st_mode & 0o777)

    def _take_place(self, part: Path) -> None:
        if self.force:
            part.replace(self.path)
            return
        try:
            self.path.hardlink_to(part)  # unlike a rename, fails where a file is there already
        except FileExistsError:
            raise self._refusal("exists already; add --force to replace it") from None
        except OSError:  # a file system without hard links
            self.refuse()
            part.replace(self.path)

    def refuse(self) -> None:
        """Refuse what can be seen to fail before any work is done.

        Raises
        ------
        click.UsageError
            No such folder, a folder that cannot be written, not a plain file, or a file that
            is there already and not to be replaced.
        """
        folder = self.path.parent
        try:
            if not folder.is_dir():
                raise self._refusal(f"cannot be written; there is no folder '{folder}'")
            if self.path.exists():
                self._refuse_existing()
            probe = self._beside()
            try:
                probe.touch(exist_ok=False)
            finally:
                probe.unlink(missing_ok=True)
        except OSError as error:  # a name too long for the file system, for instance
            raise self._refusal(f"cannot be written ({error.strerror})") from error

    def _refuse_existing(self) -> None:
        if not self.path.is_file():
            raise self._refusal("is not a plain file; give the name of a file")
        if not self.force:
            raise self._refusal("exists already; add --force to replace it")
        if not os.access(self.path, os.W_OK):
            raise self._refusal("cannot be written; the file there is closed to writing")

    def _refusal(self, what: str) -> click.UsageError:
        return click.UsageError(f"{self.option}: '{self.given}' {what}")


def _keep_force(ctx: click.Context, _option: click.Parameter, force: bool) -> None:
    ctx.meta[_FORCE] = force


def output_option(
    *endings: str, option: str = "--output", what: str = "File to write"
) -> Callable[[_Function], _Function]:
    """Give a command `--output FILE` and `--force`.

    Parameters
    ----------
    *endings
        Accepted endings, each with its dot, in small letters.
    option
        Name of the option; a command with several files takes this decorator several times.
    what
        Beginning of the option's help.

    Returns
    -------
    decorator
        The command receives an `Output` or None under the option's name. All refusals are made
        while the command line is read.
    """
    ended = f"{', '.join(endings[:-1])} or {endings[-1]}" if len(endings) > 1 else endings[0]

    def output(
        ctx: click.Context, _option: click.Parameter, given: str | None
    ) -> Output | None:
        if given is None or ctx.resilient_parsing:
            return None
        if Path(given).suffix.lower() not in endings or "\0" in given:
            raise click.UsageError(f"{option}: '{given}' is not accepted; a name ending in {ended}")
        path = Path(os.path.realpath(given))
        planned = Output(path=path, given=given, option=option, force=ctx.meta.get(_FORCE, False))
        planned.refuse()
        return planned

    def decorated(function: _Function) -> _Function:
        known = {each.name for each in getattr(function, "__click_params__", ())}
        if "force" not in known:
            function = click.option(
                "--force", is_flag=True, is_eager=True, expose_value=False, callback=_keep_force,
                help="Replace a file that is there already.",
            )(function)
        return click.option(
            option, metavar="FILE", callback=output, help=f"{what}, ending in {ended}."
        )(function)

    return decorated


def _settle(folder: Path) -> None:
    """Have the folder's new entry survive a power cut, where the system can be asked to."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
