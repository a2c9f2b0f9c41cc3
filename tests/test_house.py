"""What DEVELOPERS.md asks of every file and ruff, mypy and import-linter do not check."""

import ast
import re

import pytest
from house_files import HOME, functions, imported, modules, short, text_files, tree

PACKAGE = modules("bandcheck", "dashboard")
TESTS = modules("tests")

LONGEST_MODULE = 299
LONGEST_BODY = 39
LONGEST_TEST_FILE = 249
BARE = ("allclose", "isclose")

ROOMS_OF_PLAIN_NUMBERS = {"hazards", "imaging", "levels", "light", "timing", "vision"}

ONLY_IN = {
    "click": r"bandcheck/(cli/\w+|__main__)\.py",
    "dash": r"bandcheck/cli/dashboard\.py|dashboard/.+",
    "dashboard": r"bandcheck/cli/dashboard\.py|dashboard/.+",
    "pandas": r"bandcheck/(verdict/sweep|report/tables)\.py|dashboard/.+",
    "plotly": r"dashboard/.+",
    "pydantic": r"bandcheck/shoot/profile\w*\.py",
}

NOT_IN_ANY_FILE = {
    "a path of one machine": r"(?<![\w.~>])/(?:home|root|tmp|work|Users|mnt|srv)/\w|\b[A-Z]:\\\w",
    "a package registry": r"\b(?:pypi|pythonhosted|npmjs|anaconda|jsdelivr|unpkg)\.\w|index[-_]url",
    "a note about how it came about": r"(?i)\bissue\s+#?\d|\b(?:this|last|next) session\b",
    "an errand left undone": r"\b(?:TO[D]O|FIX[M]E|XX[X])\b",
}


def lines_of(path):
    return len(path.read_text(encoding="utf-8").splitlines())


def body_lines(function):
    """Lines of a function's body, its docstring apart."""
    described = ast.get_docstring(function) is not None and len(function.body) > 1
    return function.end_lineno - function.body[described].lineno + 1


def public_functions(path):
    """Functions and methods at the top of a module whose names anyone may use."""
    module = tree(path)
    classes = [node for node in module.body if isinstance(node, ast.ClassDef)]
    for holder in (module, *(each for each in classes if not each.name.startswith("_"))):
        for node in holder.body:
            if not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
                continue
            if "overload" not in map(ast.unparse, node.decorator_list):
                yield node


def arguments(function):
    given = function.args
    every = (*given.posonlyargs, *given.args, *given.kwonlyargs, given.vararg, given.kwarg)
    return [each.arg for each in every if each and each.arg not in ("self", "cls")]


def test_there_is_a_house_to_keep():
    assert len(PACKAGE) > 20
    assert len(TESTS) > 10
    assert {"README.md", "pyproject.toml", ".ci/run"} <= {short(each) for each in text_files()}


def test_modules_are_short():
    assert [short(each) for each in PACKAGE if lines_of(each) > LONGEST_MODULE] == []


def test_test_files_are_short():
    assert [short(each) for each in TESTS if lines_of(each) > LONGEST_TEST_FILE] == []


def test_function_bodies_are_short():
    long = [
        f"{short(path)}: {each.name}, {body_lines(each)} lines"
        for path in PACKAGE for each in functions(path) if body_lines(each) > LONGEST_BODY
    ]
    assert long == []


def test_public_functions_have_a_docstring():
    silent = [
        f"{short(path)}: {each.name}"
        for path in PACKAGE for each in public_functions(path) if not ast.get_docstring(each)
    ]
    assert silent == []


def test_functions_of_plain_numbers_describe_each_or_name_the_neighbour_that_does():
    silent = [
        f"{short(path)}: {each.name}"
        for path in PACKAGE if path.parent.name in ROOMS_OF_PLAIN_NUMBERS
        for each in public_functions(path)
        if len(arguments(each)) > 2
        and not re.search(r"Parameters\n-{10}|`\w+`", ast.get_docstring(each) or "")
    ]
    assert silent == []


@pytest.mark.parametrize("package", sorted(ONLY_IN))
def test_slow_and_foreign_packages_stay_where_they_belong(package):
    strays = [
        short(path) for path in PACKAGE
        if package in imported(path) and not re.fullmatch(ONLY_IN[package], short(path))
    ]
    assert strays == []


@pytest.mark.parametrize("what", sorted(NOT_IN_ANY_FILE))
def test_no_file_holds(what):
    pattern = re.compile(NOT_IN_ANY_FILE[what])
    held = [
        f"{short(path)}:{number}: {line.strip()[:80]}"
        for path in text_files()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]
    assert held == []


@pytest.mark.parametrize(("what", "line"), [
    ("a path of one machine", "open('" + "/home" + "/someone/walls')"),
    ("a path of one machine", "C:" + "\\Users"),
    ("a package registry", "https://" + "pypi" + ".org/simple"),
    ("a note about how it came about", "see " + "issue " + "12"),
    ("an errand left undone", "# " + "TO" + "DO later"),
])
def test_the_patterns_find_what_they_are_for(what, line):
    assert re.search(NOT_IN_ANY_FILE[what], line)


def test_no_test_compares_floats_without_saying_what_differed():
    bare = [
        f"{short(path)}:{node.lineno}"
        for path in TESTS for node in ast.walk(tree(path))
        if (isinstance(node, ast.Attribute) and node.attr in BARE)
        or (isinstance(node, ast.Name) and node.id in BARE)
    ]
    assert bare == []


def test_the_readme_begins_with_the_job():
    text = (HOME / "README.md").read_text(encoding="utf-8")
    paragraphs = [each for each in re.split(r"\n\s*\n", text) if not each.startswith("#")]
    first = " ".join(paragraphs[0].split()).lower()
    for word in ("camera", "led wall", "band", "tear", "flicker", "safe"):
        assert word in first, word
