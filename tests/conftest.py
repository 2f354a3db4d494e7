"""One flag for all golden texts: `pytest --refresh-golden` writes them anew, and a person reads the difference."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

# A validator the tests need brings lxml along; workbooks are read here the way they are read without it.
os.environ.setdefault("OPENPYXL_LXML", "False")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--refresh-golden", action="store_true", help="write golden texts anew instead of comparing them")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest tests, a minute each, come first, so that no worker is left alone with them at the end."""
    items.sort(key=lambda item: "test_the_sdk_" not in item.name)


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[Path, str], None]:
    """Compare a text with the file it is kept in, or write that file under --refresh-golden."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--refresh-golden"):
            path.write_text(text, encoding="utf-8")
        kept = path.read_text(encoding="utf-8") if path.exists() else ""
        assert kept == text, f"{path.name} is out of date: run pytest --refresh-golden and read the difference"

    return compare
