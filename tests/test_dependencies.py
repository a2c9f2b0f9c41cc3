"""What the project depends on: bounded on both sides, imported, and nothing beside it."""

import re
import sys
import tomllib
from importlib.metadata import requires

import pytest
from house_files import HOME, imported, modules
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

PROJECT = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))
OWN = {"bandcheck", "dashboard"}

IMPORT_NAMES = {"colour-science": "colour", "pillow": "PIL"}
"""Packages whose import name is not their own with underscores."""

PARTS = {"flask": "dash", "packaging": "pytest", "playwright": "pytest-playwright",
         "pydantic-core": "pydantic", "werkzeug": "dash"}
"""Imported packages that are a part of a listed one, whose range holds theirs."""

FIXED_HOLES = {"dash": "4.4.1"}
"""First version without a hole that was published."""

NEEDED_BY_HAND = {"atheris"}
"""Asked for by a benchmark that says so and ends plainly without it."""

RUN_NOT_IMPORTED = {
    "axe-playwright-python", "gunicorn", "import-linter", "mypy", "pandas-stubs",
    "pytest-playwright", "ruff",
}
"""Extras that are commands, plug-ins or stubs."""


def requirements(group=None):
    listed = PROJECT["project"]
    lines = listed["optional-dependencies"][group] if group else listed["dependencies"]
    return [Requirement(line) for line in lines]


EXTRAS = [
    each for group in PROJECT["project"]["optional-dependencies"] for each in requirements(group)
]
TO_BUILD = list(map(Requirement, PROJECT["build-system"]["requires"]))
EVERY = [*requirements(), *EXTRAS, *TO_BUILD]


def import_name(requirement):
    name = canonicalize_name(requirement.name)
    return IMPORT_NAMES.get(name, name.replace("-", "_"))


def foreign(*folders):
    """Packages from outside that modules of some folders import, tests' own helpers apart."""
    helpers = {path.stem for path in modules("tests")}
    names = set().union(*(imported(path) for path in modules(*folders)))
    return names - OWN - helpers - set(sys.stdlib_module_names)


@pytest.mark.parametrize("requirement", EVERY, ids=str)
def test_every_range_has_two_ends(requirement):
    kinds = {each.operator for each in requirement.specifier}
    if requirement in TO_BUILD:
        assert ">=" in kinds
    else:
        assert kinds == {">=", "<"}
    assert requirement.url is None


@pytest.mark.parametrize(("name", "first"), FIXED_HOLES.items())
def test_no_version_with_a_known_hole_is_let_in(name, first):
    (requirement,) = (each for each in requirements() if each.name == name)
    lowest = {Version(each.version) for each in requirement.specifier if each.operator == ">="}
    assert lowest == {max(*lowest, Version(first))}


def test_what_is_imported_is_listed_and_what_is_listed_is_imported():
    parts = {each.replace("-", "_"): whole for each, whole in PARTS.items()}
    found = {parts.get(each, each) for each in foreign("bandcheck", "dashboard")}
    assert found == set(map(import_name, requirements()))


@pytest.mark.parametrize(("part", "whole"), PARTS.items())
def test_a_part_does_come_with_what_is_listed(part, whole):
    assert whole in {each.name for each in EVERY}
    assert part in {canonicalize_name(Requirement(each).name) for each in requires(whole) or ()}


def test_tests_import_nothing_that_is_not_listed():
    listed = {*map(import_name, EVERY), *(each.replace("-", "_") for each in PARTS)}
    assert foreign("tests") - listed == NEEDED_BY_HAND


def test_every_package_of_the_tests_is_used_somewhere():
    used = foreign("tests")
    idle = {
        each.name for each in EXTRAS
        if import_name(each) not in used and each.name not in RUN_NOT_IMPORTED
    }
    assert idle == set()


def test_names_are_those_of_packages():
    for each in EVERY:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", each.name)
