"""Change one sign, bound or number of the physics at a time, and see whether a test fails.

    python3 tests/benchmarks/mutate.py                        90 changes over three rooms
    python3 tests/benchmarks/mutate.py --only hazards/tearing --count 20
    python3 tests/benchmarks/mutate.py --seed 2               other changes

About a quarter of an hour for 90 on one core. It needs nothing but the tests' packages and is no
part of the tests. All is done in a copy in a temporary folder; the working tree is only read.
A change counts as found where a test fails, or where the tests take over a minute (a loop that
no longer ends). It goes before the tests named after its module, then those named after the
modules that import it, then those that name it, then a few quick ones of whole verdicts. Tests
that nobody changed must pass first. What survives is listed; each is either a change that
changes nothing or a test that is missing. The exit status is 1 if anything survived.
"""

import argparse
import ast
import collections
import copy
import itertools
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

HOME = Path(__file__).resolve().parents[2]
ROOMS = ("light", "timing", "hazards")
QUICK_VERDICTS = ("assess", "banding_report", "light_cases", "practitioner")
LONGEST_S = 60
FOUND, SURVIVED, SLOW = "found", "SURVIVED", "found (time)"

OTHER_BOUND = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
OTHER_SIGN = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
              ast.FloorDiv: ast.Mult}
OTHER_WORD = {ast.And: ast.Or, ast.Or: ast.And}


class Change(NamedTuple):
    """One change of one module."""

    module: str
    line: int
    before: str
    after: str
    source: str


def places(node: ast.AST) -> Iterator[tuple[ast.AST, str, int | None]]:
    """Every node that computes, with the field and index that hold it, as (parent, field, index).

    Annotations, decorators and imports are passed over: they compute nothing.
    """
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        listed = isinstance(value, list)
        for index, child in enumerate(value if listed else [value]):
            if isinstance(child, ast.AST) and not isinstance(child, ast.Import | ast.ImportFrom):
                yield node, field, index if listed else None
                yield from places(child)


def other(node: ast.AST) -> ast.AST | None:
    """The node with one thing changed, or None where there is nothing to change."""
    new = copy.copy(node)
    match node:
        case ast.Compare(ops=[op, *rest]) if type(op) in OTHER_BOUND:
            new.ops = [OTHER_BOUND[type(op)](), *rest]
        case ast.BinOp(op=op) if type(op) in OTHER_SIGN:
            new.op = OTHER_SIGN[type(op)]()
        case ast.AugAssign(op=op) if type(op) in OTHER_SIGN:
            new.op = OTHER_SIGN[type(op)]()
        case ast.BoolOp(op=op):
            new.op = OTHER_WORD[type(op)]()
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            return operand
        case ast.Constant(value=bool()):
            return None
        case ast.Constant(value=int() | float() as number):
            new.value = number + 1
        case _:
            return None
    return new


def shown(node: ast.AST) -> str:
    """A piece of code on one line."""
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 160 else f"{text[:157]}..."


def put(parent: ast.AST, field: str, index: int | None, node: ast.AST) -> None:
    """Hang a node where another was."""
    if index is None:
        setattr(parent, field, node)
    else:
        getattr(parent, field)[index] = node


def changes(module: str) -> list[Change]:
    """Every change of a module that could be tried."""
    tree = ast.parse((HOME / "bandcheck" / f"{module}.py").read_text(encoding="utf-8"))
    made = []
    for parent, field, index in places(tree):
        old = getattr(parent, field) if index is None else getattr(parent, field)[index]
        new = other(old)
        if new is None:
            continue
        whole = isinstance(parent, ast.expr | ast.keyword)
        before = shown(parent if whole else old)
        put(parent, field, index, new)
        after = shown(parent if whole else new)
        made.append(Change(module, old.lineno, before, after, ast.unparse(tree)))
        put(parent, field, index, old)
    return made


def drawn(modules: Sequence[str], *, count: int, seed: int) -> list[Change]:
    """Changes drawn at random, one from each module in turn."""
    piles = []
    for module in modules:
        pile = changes(module)
        random.Random(f"{seed} {module}").shuffle(pile)
        piles.append(pile)
    turns = itertools.chain.from_iterable(itertools.zip_longest(*piles))
    return list(itertools.islice((each for each in turns if each is not None), count))


def names(path: Path, module: str) -> bool:
    """Whether a file imports from a module."""
    room, name = module.split("/")
    text = path.read_text(encoding="utf-8")
    return f"bandcheck.{room}.{name} " in text or f"from bandcheck.{room} import {name}" in text


def tests_of(module: str) -> list[str]:
    """Test files that a change of a module goes before, nearest first."""
    rooms = HOME / "tests" / "bandcheck"
    room, name = module.split("/")
    files = sorted((rooms / room).glob(f"test_{name}*.py"))
    for user in sorted((HOME / "bandcheck").glob("*/*.py")):
        if user.parent.name in ROOMS and names(user, module):
            files += sorted((rooms / user.parent.name).glob(f"test_{user.stem}*.py"))
    files += [each for each in sorted(rooms.glob("*/test_*.py")) if names(each, module)]
    files += [rooms / "verdict" / f"test_{each}.py" for each in QUICK_VERDICTS]
    return [str(each.relative_to(HOME)) for each in dict.fromkeys(files)]


def outcome(copied: Path, tests: Sequence[str], *, longest_s: float | None = LONGEST_S) -> str:
    """What the tests say of the copy as it stands."""
    try:
        ended = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests],
            cwd=copied, env=surroundings(copied), timeout=longest_s, check=False,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
    except subprocess.TimeoutExpired:
        return SLOW
    return FOUND if ended.returncode else SURVIVED


def surroundings(copied: Path) -> dict[str, str]:
    """Environment in which the copy is imported, and no compiled file outlives a change."""
    return {**os.environ, "PYTHONPATH": str(copied), "PYTHONDONTWRITEBYTECODE": "1"}


def copied_to(folder: str) -> Path:
    """Copy of what the tests need, checked to be what is imported."""
    copied = Path(folder).resolve() / "copy"
    passed_over = shutil.ignore_patterns("__pycache__", ".*", "browser", "node_modules")
    shutil.copytree(HOME, copied, ignore=passed_over)
    found = subprocess.run(
        [sys.executable, "-c", "import bandcheck; print(bandcheck.__file__)"],
        cwd=copied, env=surroundings(copied), capture_output=True, text=True, check=True,
    ).stdout.strip()
    if not Path(found).resolve().is_relative_to(copied):
        raise SystemExit(f"mutate.py: {found} is imported and not the copy in {copied}")
    return copied


def ready(copied: Path, modules: Sequence[str]) -> None:
    """Stop unless the tests pass while nothing is changed."""
    files = sorted({file for module in modules for file in tests_of(module)})
    start = time.perf_counter()
    if outcome(copied, files, longest_s=None) != SURVIVED:
        raise SystemExit("mutate.py: tests fail with nothing changed")
    print(f"{len(files)} test files pass in {time.perf_counter() - start:.0f} s", flush=True)


def tried(copied: Path, change: Change) -> str:
    """Outcome of one change; the copy is put back afterwards."""
    file = copied / "bandcheck" / f"{change.module}.py"
    kept = file.read_text(encoding="utf-8")
    file.write_text(change.source, encoding="utf-8")
    try:
        return outcome(copied, tests_of(change.module))
    finally:
        file.write_text(kept, encoding="utf-8")


def report(outcomes: Sequence[tuple[Change, str]]) -> None:
    """Print the score of each module and room, then what survived."""
    score = collections.defaultdict(list)
    for change, said in outcomes:
        for name in (change.module, f"{change.module.split('/')[0]}/", "all"):
            score[name].append(said != SURVIVED)
    for name in sorted(score, key=lambda each: (each == "all", each)):
        print(f"{name:24} {sum(score[name]):3} of {len(score[name]):3} found")
    for change, said in outcomes:
        if said == SURVIVED:
            print(f"survived: bandcheck/{change.module}.py:{change.line}\n"
                  f"    {change.before}\n    {change.after}")


def main() -> int:
    """Try the changes that were asked for."""
    modules = [
        f"{room}/{path.stem}" for room in ROOMS
        for path in sorted((HOME / "bandcheck" / room).glob("[a-z]*.py"))
    ]
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=90, help="how many changes")
    parser.add_argument("--seed", type=int, default=1, help="which changes")
    parser.add_argument("--only", action="append", choices=[*ROOMS, *modules], metavar="MODULE",
                        help="a room or a module, as in hazards/tearing; may be repeated")
    asked = parser.parse_args()
    if asked.only:
        modules = [each for each in modules if {each, each.split("/")[0]} & set(asked.only)]
    outcomes = []
    with tempfile.TemporaryDirectory() as folder:
        copied = copied_to(folder)
        ready(copied, modules)
        for change in drawn(modules, count=asked.count, seed=asked.seed):
            said = tried(copied, change)
            outcomes.append((change, said))
            print(f"{said:12} {change.module}:{change.line}  {change.before}  ->  {change.after}")
    report(outcomes)
    return 1 if any(said == SURVIVED for _, said in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())
