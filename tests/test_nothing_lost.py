"""Whatever is built, typed, checked, merged and analysed in whatever order, over whatever file: no typed cell is ever lost."""

import re
import zipfile
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import openpyxl
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.summary_tabs import EWE_DECISIONS
from template_builder.layout.whole import HEADING_ROW
from workbook.cli import main

SCAN, SEASON, JSON = "scan.csv", "scan-season.xlsx", "figures.json"
BOOKS = (SEASON, "day.xlsx", "other.xlsx")
COMMANDS = ("build", "check", "merge", "analyse")
TYPED = re.compile(r"typed\d+x")
ANSWERED = len(TO_CORRECT.own_columns)
OWN_COLUMN = 60  # beyond every column of the program's


class Step(NamedTuple):
    """One thing done: a command with its files, or typing into one of them, by the word "type"."""

    what: str
    source: str
    second: str
    target: str
    where: str
    force: bool


START = (
    Step("build", "", "", SEASON, "", False), Step("build", "", "", "day.xlsx", "", False),
    Step("type", "day.xlsx", "", "", "notes", False), Step("type", SEASON, "", "", "notes", False),
)
steps = st.builds(
    Step, st.sampled_from(("type", *COMMANDS)), st.sampled_from(BOOKS), st.sampled_from(BOOKS),
    st.sampled_from((*BOOKS, SCAN, JSON)), st.sampled_from(("notes", "own column", "own sheet", "answer")),
    st.sampled_from((True, True, True, False)),
)


def words(step: Step) -> list[str]:
    """The command of a step."""
    force = ["--force"] if step.force else []
    match step.what:
        case "build":
            return ["build", SCAN, "-o", step.target, *force]
        case "check":
            return ["check", step.source, "--marked", step.target, *force]
        case "merge":
            return ["merge", step.source, step.second, "-o", step.target, *force]
    return ["analyse", step.source, "-o", step.second, "--json", step.target, *force]


def type_into(path: Path, where: str, number: int) -> str | None:
    """A person types a word found nowhere else into a cell of its own and saves; None where the file is not there."""
    if not path.exists():
        return None
    word, row = f"typed{number}x", HEADING_ROW + number
    book = openpyxl.load_workbook(path)
    sheet = next((book[tab] for tab in ("Lambs", EWE_DECISIONS) if tab in book.sheetnames), None)
    assert sheet is not None
    column = next((cell.column for cell in sheet[HEADING_ROW] if cell.value == "Notes"), OWN_COLUMN)
    if where == "own sheet":
        sheet = book["Hay"] if "Hay" in book.sheetnames else book.create_sheet("Hay")
    elif where == "answer" and TO_CORRECT.title in book.sheetnames:
        sheet, column = book[TO_CORRECT.title], ANSWERED
    elif where == "own column":
        column = OWN_COLUMN
    sheet.cell(row, column).value = word
    book.save(path)
    return word


class Folder:
    """A folder somebody works in, and every word typed there so far; a file is looked into once."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.typed: set[str] = set()
        self.seen: dict[tuple[str, int, int], frozenset[str]] = {}
        (path / SCAN).write_text("Tag,Scan\n0412,2\n0415,1\n", encoding="utf-8")

    def take(self, step: Step) -> None:
        if step.what == "type":
            if word := type_into(self.path / step.source, step.where, len(self.typed) + 1):
                self.typed.add(word)
            return
        full = [str(self.path / word) if "." in word else word for word in words(step)]
        done = CliRunner().invoke(main, full)
        assert done.exception is None or isinstance(done.exception, SystemExit), (step, done.exception)

    def lost(self) -> set[str]:
        return self.typed - {word for path in self.path.glob("*.xlsx") for word in self._found(path)}

    def _found(self, path: Path) -> Iterable[str]:
        status = path.stat()
        key = (path.name, status.st_mtime_ns, status.st_size)
        if key not in self.seen:
            with zipfile.ZipFile(path) as archive:
                parts = [name for name in archive.namelist() if "sharedStrings" in name or "worksheets/sheet" in name]
                self.seen[key] = frozenset(word for name in parts for word in TYPED.findall(archive.read(name).decode("utf-8")))
        return self.seen[key]


def hold(taken: list[Step]) -> None:
    """After each step every word typed so far stands in some file, and the list from scanning is as it was."""
    with TemporaryDirectory() as name:
        folder = Folder(Path(name))
        for step in (*START, *taken):
            folder.take(step)
            assert set() == folder.lost(), step
            assert (folder.path / SCAN).read_text(encoding="utf-8").startswith("Tag,Scan")


def step(what: str, source: str, second: str, target: str, where: str = "notes") -> Step:
    return Step(what, source, second, target, where, True)


@pytest.mark.long
def test_a_season_carried_on_in_its_marked_and_merged_copies() -> None:
    hold([
        step("type", SEASON, "", ""), step("build", "", "", SEASON), step("check", SEASON, "", "day.xlsx"),
        step("check", SEASON, "", "day.xlsx"), step("type", "day.xlsx", "", "", "answer"), step("check", SEASON, "", "day.xlsx"),
        step("merge", SEASON, "day.xlsx", "other.xlsx"), step("type", "other.xlsx", "", "", "own sheet"),
        step("merge", SEASON, "day.xlsx", "other.xlsx"), step("analyse", "other.xlsx", "summary.xlsx", JSON),
        step("type", "summary.xlsx", "", ""), step("analyse", "other.xlsx", "summary.xlsx", JSON),
        step("build", "", "", "other.xlsx"), step("analyse", "other.xlsx", SEASON, "day.xlsx"),
    ])


@pytest.mark.long
@settings(
    max_examples=4, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow], phases=(Phase.generate,),
)
@given(st.lists(steps, min_size=5, max_size=8))
def test_no_typed_cell_is_lost(taken: list[Step]) -> None:
    hold(taken)


@pytest.mark.slow
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(steps, min_size=6, max_size=25))
def test_no_typed_cell_is_lost_however_long_it_goes_on(taken: list[Step]) -> None:
    hold(taken)
