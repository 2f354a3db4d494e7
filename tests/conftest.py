"""One flag for all golden texts: `pytest --refresh-golden` writes them anew, and a person reads the difference."""

import ast
import os
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

# A validator the tests need brings lxml along; workbooks are read here the way they are read without it.
os.environ.setdefault("OPENPYXL_LXML", "False")


TESTS = Path(__file__).parent
OFFICE = "office"  # the module of tests that starts LibreOffice, poppler and the validator
LONGEST_FIRST = ("test_damage", "test_validity", "test_live", "test_fuzz", "test_rendered", "test_marking", "test_merging",
                 "test_entry_paper", "test_summary_live", "test_marking_office", "test_nothing_lost", "test_terminal")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--refresh-golden", action="store_true", help="write golden texts anew instead of comparing them")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs an office, and put the longest files first, so that no worker is left alone with one at the end."""
    for item in items:
        if item.originalname in office_users(item.path):  # type: ignore[attr-defined]  # every item is a function
            item.add_marker("office")
    items.sort(key=lambda item: LONGEST_FIRST.index(item.path.stem) if item.path.stem in LONGEST_FIRST else len(LONGEST_FIRST))


@cache
def office_users(path: Path) -> frozenset[str]:
    """The functions of a file of tests that use an office or an outside validator, through whatever others they call."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    if path.stem == OFFICE:
        return frozenset(functions)
    wanted: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.Import):
            wanted |= {alias.name for alias in node.names if alias.name == OFFICE}
        elif isinstance(node, ast.ImportFrom) and (other := TESTS / f"{(node.module or '').replace('.', '/')}.py").exists():
            wanted |= {alias.asname or alias.name for alias in node.names} & office_users(other)
    uses = {name: {*_names(node), *(argument.arg for argument in node.args.args)} for name, node in functions.items()}
    while more := {name for name, used in uses.items() if name not in wanted and used & wanted}:
        wanted |= more
    return frozenset(wanted)


def _names(node: ast.AST) -> set[str]:
    return {inner.id for inner in ast.walk(node) if isinstance(inner, ast.Name)}


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[Path, str], None]:
    """Compare a text with the file it is kept in, or write that file under --refresh-golden."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--refresh-golden"):
            path.write_text(text, encoding="utf-8")
        kept = path.read_text(encoding="utf-8") if path.exists() else ""
        assert kept == text, f"{path.name} is out of date: run pytest --refresh-golden and read the difference"

    return compare
