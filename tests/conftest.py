"""What all tests share: the markers worked out, the fast subset kept fast, and one flag for all golden texts."""

import ast
import os
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from template_builder.layout.whole import SHEET

# A validator the tests need brings lxml along; workbooks are read here the way they are read without it.
os.environ.setdefault("OPENPYXL_LXML", "False")


TESTS = Path(__file__).parent
OFFICE = "office"  # the module of tests that starts LibreOffice, poppler and the validator
OUTSIDE = {OFFICE, "openxml_audit"}  # whatever uses these judges by programs that are not ours
FAST = "fast"  # what is left without these:
NOT_FAST = ("slow", "office", "long")
EACH_TIME = "not slow and not long"  # what is run where nobody says otherwise
# Files of tests that build, write and open workbooks by the dozen: not fast either.
WHOLE_WORKBOOKS = frozenset({
    "test_accessible", "test_alike", "test_build_previous", "test_cli", "test_comparing", "test_day_book", "test_demos",
    "test_folder", "test_half_way", "test_hill_demo", "test_hints", "test_json", "test_layouts", "test_left_tab",
    "test_marking", "test_meeting", "test_merging", "test_mothering_ranks", "test_one_file", "test_printouts",
    "test_public_face", "test_readme", "test_running", "test_season_dates", "test_shared_back", "test_sharing",
    "test_starts", "test_summary", "test_summary_file", "test_summary_live", "test_summary_losses", "test_summary_pages",
    "test_tabs", "test_targets", "test_terminal", "test_three_seasons", "test_validity", "test_weights",
    "test_worth_keeping",
})
USUAL, USUAL_EXAMPLES = "usual", 60  # of the 100 that hypothesis tries by itself, and before a release
FAST_EXAMPLES = 20
FAST_SEEDS = 5  # of the numbers of random seasons a test is tried with, one in so many
LONGEST = 8  # seconds of processor time for a test of the fast subset; half of it on a machine with nothing else to do
FEW_SPARE_ROWS = {"ewe_check": 20, "treatments": 10}  # instead of hundreds, each with formulas in hidden blocks
LONGEST_FIRST = ("test_validity", "test_merging", "test_live", "test_live_agreement", "test_damage", "test_weights",
                 "test_printouts", "test_build_previous", "test_marking", "test_cli", "test_rendered", "test_summary_file",
                 "test_marking_office", "test_targets", "test_forecast", "test_live_decisions", "test_summary_pages",
                 "test_folder", "test_terminal")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--refresh-golden", action="store_true", help="write golden texts anew instead of comparing them")


def pytest_configure(config: pytest.Config) -> None:
    """Fewer random cases each time than before a release, and fewer still in the fast subset: each test its share."""
    settings.register_profile(FAST, max_examples=FAST_EXAMPLES)
    settings.register_profile(USUAL, max_examples=USUAL_EXAMPLES)
    if _is_fast(config):
        settings.load_profile(FAST)
    elif config.option.markexpr == EACH_TIME and not config.getoption("--hypothesis-profile"):
        settings.load_profile(USUAL)


def _is_fast(config: pytest.Config) -> bool:
    return config.option.markexpr == FAST


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs an office and what is fast; the longest files first, so that no worker ends alone with one."""
    for item in items:
        if item.originalname in office_users(item.path):  # type: ignore[attr-defined]  # every item is a function
            item.add_marker("office")
        left_out = item.path.stem in WHOLE_WORKBOOKS or any(item.get_closest_marker(name) for name in NOT_FAST)
        if not left_out and _seed(item) % FAST_SEEDS == 0:
            item.add_marker(FAST)
    items.sort(key=lambda item: LONGEST_FIRST.index(item.path.stem) if item.path.stem in LONGEST_FIRST else len(LONGEST_FIRST))


def _seed(item: pytest.Item) -> int:
    """The number of the random season a test is tried with; 0 where it has none."""
    tried = getattr(item, "callspec", None)
    return int(tried.params.get("seed", 0)) if tried else 0


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """A test of the fast subset that takes long fails, so that the subset stays fast."""
    began = processor_seconds()
    yield
    if _is_fast(item.config) and (taken := processor_seconds() - began) > LONGEST:
        pytest.fail(f"took {taken:.1f} seconds of processor time, over {LONGEST}: make it smaller, or mark it `long`")


def processor_seconds() -> float:
    """What this process and those it started have used, whatever else the machine does."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


@cache
def office_users(path: Path) -> frozenset[str]:
    """The functions of a file of tests that use an office or an outside validator, through whatever others they call."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    if path.stem == OFFICE:
        return frozenset(functions)
    wanted: set[str] = set(OUTSIDE)
    for node in tree.body:
        if isinstance(node, ast.ImportFrom) and (other := TESTS / f"{(node.module or '').replace('.', '/')}.py").exists():
            wanted |= {alias.asname or alias.name for alias in node.names} & office_users(other)
    uses = {name: {*_names(node), *(argument.arg for argument in node.args.args)} for name, node in functions.items()}
    while more := {name for name, used in uses.items() if name not in wanted and used & wanted}:
        wanted |= more
    return frozenset(wanted)


def _names(node: ast.AST) -> set[str]:
    """The names a function uses, and the modules it imports from when it is called."""
    inside = list(ast.walk(node))
    modules = {inner.module for inner in inside if isinstance(inner, ast.ImportFrom) and inner.module}
    return modules | {inner.id for inner in inside if isinstance(inner, ast.Name)}


@pytest.fixture(scope="module")
def few_spare_rows() -> Iterator[None]:
    """Workbooks built by these tests have few rows to write in on the longest lists: half the time to build and to open them."""
    with pytest.MonkeyPatch.context() as patch:
        for id, rows in FEW_SPARE_ROWS.items():
            patch.setitem(vars(SHEET[id]), "spare_rows", rows)
        yield


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[Path, str], None]:
    """Compare a text with the file it is kept in, or write that file under --refresh-golden."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--refresh-golden"):
            path.write_text(text, encoding="utf-8")
        kept = path.read_text(encoding="utf-8") if path.exists() else ""
        assert kept == text, f"{path.name} is out of date: run pytest --refresh-golden and read the difference"

    return compare
