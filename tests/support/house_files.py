"""The project's own files, as the tests that keep the house read them."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

HOME = Path(__file__).parents[2]
_KEPT = (
    ".ci", ".gitignore", "DEVELOPERS.md", "README.md", "bandcheck", "dashboard", "data",
    "pyproject.toml", "tests",
)
_MADE = {"__pycache__", ".hypothesis", "_shipped"}


def kept_files() -> list[Path]:
    """Every file of the project, without what tools leave behind."""
    found = []
    for name in _KEPT:
        top = HOME / name
        found += [top] if top.is_file() else sorted(top.rglob("*"))
    return [
        each for each in found
        if each.is_file() and not _MADE & set(each.relative_to(HOME).parts)
    ]


def text_files() -> list[Path]:
    """Those that hold text: no zero byte in the first kilobytes."""
    return [each for each in kept_files() if b"\0" not in each.read_bytes()[:8192]]


def modules(*folders: str) -> list[Path]:
    """Python files in some folders at the top."""
    return [
        each for each in kept_files()
        if each.suffix == ".py" and each.relative_to(HOME).parts[0] in folders
    ]


def short(path: Path) -> str:
    """Path as the project's own documents write it."""
    return path.relative_to(HOME).as_posix()


@cache
def tree(path: Path) -> ast.Module:
    """Syntax tree of a module."""
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a module, methods and inner ones among them."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def imported(path: Path) -> set[str]:
    """Packages from which a module imports anywhere, by their first name."""
    names = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module.partition(".")[0])
    return names
