"""A workbook of any earlier layout reads as it did, and what has come since is told in one note."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from layouts.records import records

from template_builder.build import Plan, build
from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.layout.choices import CameFrom, Choice, Since
from template_builder.layout.columns import Column, Kind
from template_builder.layout.policy import RULES
from template_builder.layout.settings import SETTING, SETTINGS
from template_builder.layout.whole import FIRST_VERSION, LAYOUT_VERSION, META_TAB, PRINTED_TABS, SHEET
from workbook.merging.files import merge_files
from workbook.output.marking.copy import write_marked
from workbook.reading import anchors
from workbook.reading import older_layouts as older
from workbook.reading.season_file import Reading, read, read_cells
from workbook.results.pipeline import check

pytestmark = pytest.mark.usefixtures("few_spare_rows")

FOLDER = Path(__file__).parent / "layouts"
KEPT = sorted(FOLDER.glob("v*.xlsx"))
FIRST = FOLDER / "v1.xlsx"


def versions(folder: Path) -> set[int]:
    """The layout versions of which a folder keeps a filled workbook and its records."""
    return {int(path.stem[1:]) for path in folder.glob("v*.xlsx") if path.with_suffix(".txt").exists()}


def missing_versions(folder: Path, version: int = LAYOUT_VERSION) -> set[int]:
    """The layout versions before this one of which no workbook is kept."""
    return set(range(1, version)) - versions(folder)


def said(reading: Reading) -> list[str]:
    return [f"{problem.rule.id} {problem.place} {problem.found.text}" for problem in reading.problems]


def test_a_workbook_of_every_earlier_layout_is_kept() -> None:
    assert set() == missing_versions(FOLDER)


def test_a_version_raised_without_a_workbook_of_the_one_before_is_seen(tmp_path: Path) -> None:
    for path in FOLDER.glob("v1.*"):
        shutil.copy(path, tmp_path)
    assert ({1}, set()) == (versions(tmp_path), missing_versions(tmp_path, 2))
    assert {LAYOUT_VERSION} == missing_versions(FOLDER, LAYOUT_VERSION + 1)
    (tmp_path / "v1.txt").unlink()
    assert {1} == missing_versions(tmp_path, 2)


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_it_reads_to_the_same_records(path: Path) -> None:
    reading = read(path)
    assert path.with_suffix(".txt").read_text(encoding="utf-8") == records(reading.season)
    assert int(path.stem[1:]) == reading.season.layout
    assert ["R127"] == [problem.rule.id for problem in reading.problems]


def test_sheets_to_print_of_before_are_the_programs_own(tmp_path: Path) -> None:
    """A workbook built before paper was a file of its own has them as its last tabs; they are nobody's own."""
    assert set(PRINTED_TABS) <= set(read(FIRST).season.tabs)
    assert () == read(FIRST).season.own_sheets
    marked = tmp_path / "marked.xlsx"
    write_marked(check(read(FIRST)), FIRST, marked)
    again = read(marked).season
    assert (set(PRINTED_TABS), ()) == (set(PRINTED_TABS) & set(again.tabs), again.own_sheets)


def test_without_its_hidden_key_a_rule_is_known_by_what_it_was_called() -> None:
    cells = open_cells(FIRST)
    key = 1 + [column.id for column in SHEET["policy"].columns if column.since == 1].index("row_key")
    lines = tuple((row, tuple(cell for cell in line if cell.column != key)) for row, line in cells.tabs["Policy"])
    reading = read_cells(replace(cells, tabs={**cells.tabs, "Policy": lines}))
    kept = {row.key for row in read(FIRST).season.rows("policy")}
    assert kept == {row.key for row in reading.season.rows("policy")}


def test_merged_it_is_of_the_newest_layout(tmp_path: Path) -> None:
    copy, merged = tmp_path / "copy.xlsx", tmp_path / "merged.xlsx"
    shutil.copy(FIRST, copy)
    done = merge_files([FIRST, copy], merged)
    reading = read(merged)
    assert ((), set()) == (done.own_sheets, set(PRINTED_TABS) & set(reading.season.tabs))
    assert (LAYOUT_VERSION, []) == (reading.season.layout, said(reading))
    lists = {str(cell.value) for _, row in open_cells(merged).tabs["_lists"] for cell in row}
    assert CameFrom.WITH_HER.label in lists
    values = [[dict(row.values) for row in read(path).season.rows("lambs")] for path in (FIRST, merged)]
    assert values[0] == values[1]


@pytest.fixture
def cells(tmp_path: Path) -> Cells:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Small", {"lambs": [{"ewe": "0412", "lamb_no": 1, "tag": "7001"}]}))
    return open_cells(path)


def built_with(cells: Cells, version: int | None) -> Cells:
    """The workbook as if built with that layout; None where it does not say."""
    lines = () if version is None else ((1, (Cell(1, "layout"), Cell(2, version))),)
    return replace(cells, tabs={**cells.tabs, META_TAB: lines})


def without(cells: Cells, tab: str, column: int) -> Cells:
    lines = tuple((row, tuple(cell for cell in line if cell.column != column)) for row, line in cells.tabs[tab])
    names = {name: place for name, place in cells.names.items() if place[:2] != (tab, column)}
    return replace(cells, tabs={**cells.tabs, tab: lines}, names=names)


@pytest.fixture
def younger(monkeypatch: pytest.MonkeyPatch) -> None:
    """The layout as if its column of tags, gestation and the gummer rule had come with this version."""
    lambs = SHEET["lambs"]
    columns = tuple(replace(column, since=LAYOUT_VERSION) if column.id == "tag" else column for column in lambs.own_columns)
    sheets = tuple(replace(sheet, own_columns=columns) if sheet is lambs else sheet for sheet in SHEET.values())
    monkeypatch.setattr(anchors, "SHEETS", sheets)
    monkeypatch.setattr(older, "SHEETS", sheets)
    for name, rows, new in (("SETTINGS", SETTINGS, "gestation"), ("RULES", RULES, "gummer")):
        monkeypatch.setattr(older, name, tuple(replace(row, since=LAYOUT_VERSION) if row.id == new else row for row in rows))


TAG = 1 + [column.id for column in SHEET["lambs"].columns].index("tag")


SEASON_KEY, SEASON_VALUE = 7, 2  # columns of the first layout


def test_a_setting_that_is_called_otherwise_now_is_known_by_its_old_words() -> None:
    def own(row: int, line: tuple[Cell, ...]) -> tuple[int, tuple[Cell, ...]]:
        return row, (*line, Cell(SEASON_VALUE, 3)) if line[0].value == SETTING["gestation_spread"].once else line

    cells = without(open_cells(FIRST), "Season", SEASON_KEY)
    found = read_cells(replace(cells, tabs={**cells.tabs, "Season": tuple(own(*line) for line in cells.tabs["Season"])}))
    assert 3 == found.season.settings.number("gestation_spread")


@pytest.mark.usefixtures("younger")
@pytest.mark.parametrize(("version", "rules"), [
    (LAYOUT_VERSION - 1, ["R127"]), (LAYOUT_VERSION, ["R114"]), (None, []),
], ids=["before", "of it", "not told"])
def test_only_a_column_as_old_as_the_workbook_is_missed(cells: Cells, version: int | None, rules: list[str]) -> None:
    reading = read_cells(built_with(without(cells, "Lambs", TAG), version))
    assert rules == [problem.rule.id for problem in reading.problems]
    assert "lambs.tag" in reading.season.missing


@pytest.mark.usefixtures("younger")
def test_what_is_new_is_told_in_one_note(cells: Cells) -> None:
    (note,) = said(read_cells(built_with(without(cells, "Lambs", TAG), FIRST_VERSION)))
    told, gone = note.split(". No longer used: ")
    begins = f"R127 Tonight this workbook has layout {FIRST_VERSION}, the newest is {LAYOUT_VERSION}. New since: "
    assert told.startswith(f"{begins}on Season ")
    new = dict(part.split(" ", 2)[1:] for part in told.removeprefix(begins).split("; "))
    assert {"the column Lamb tag", "“ewe left” under Why moved", "“with her” under Came from"} <= set(new["Lambs"].split(", "))
    assert "the row Gummer" in new["Policy"].split(", ")
    assert "on Policy the row Mothering score: good from" == gone


POLICY_KEY, POLICY_LIMIT = 11, 5  # columns of the first layout


@pytest.mark.parametrize("known", [lambda cells: cells, lambda cells: without(cells, "Policy", POLICY_KEY)], ids=["key", "words"])
def test_a_row_that_nothing_rests_on_any_more_is_read_over_and_one_renamed_counts(known: Callable[[Cells], Cells]) -> None:
    def own(row: int, line: tuple[Cell, ...]) -> tuple[int, tuple[Cell, ...]]:
        ours = {"Mothering score: fair from": 40, "Mothering score: good from": 90}.get(str(line[0].value))
        return row, tuple(cell._replace(value=ours) if ours and cell.column == POLICY_LIMIT else cell for cell in line)

    cells = open_cells(FIRST)
    changed = replace(cells, tabs={**cells.tabs, "Policy": tuple(own(*line) for line in cells.tabs["Policy"])})
    reading = read_cells(known(changed))
    rows = {row for row, line in changed.tabs["Policy"] if str(line[0].value).startswith("Mothering")}
    assert not rows & {problem.place.row for problem in reading.problems if problem.place.sheet == "Policy"}
    assert 40 == reading.season.policy.weights["score-fair"]
    assert "score-good" not in {row.key for row in reading.season.rows("policy")}


@pytest.mark.usefixtures("younger")
def test_a_heading_like_a_younger_column_is_the_persons_own_in_an_older_workbook(cells: Cells) -> None:
    unmarked = without(cells, "Lambs", TAG)
    added = {3: [Cell(40, "Lamb tag")], 4: [Cell(40, "blue")]}
    lines = tuple((row, (*line, *added.get(row, ()))) for row, line in unmarked.tabs["Lambs"])
    own = replace(unmarked, tabs={**unmarked.tabs, "Lambs": lines})
    (before,) = read_cells(built_with(own, LAYOUT_VERSION - 1)).season.rows("lambs")
    (after,) = read_cells(built_with(own, LAYOUT_VERSION)).season.rows("lambs")
    assert (None, "blue") == (before["tag"], before["+Lamb tag (2)"])
    assert "blue" == after["tag"]


def test_a_newer_workbook_is_refused_in_a_sentence(cells: Cells) -> None:
    with pytest.raises(Unreadable, match=rf"built by a newer version .* \(layout {LAYOUT_VERSION + 1}, here {LAYOUT_VERSION}\)"):
        read_cells(built_with(cells, LAYOUT_VERSION + 1))


def test_a_list_value_says_since_when_it_is_there() -> None:
    assert (2, ("at foot", "with ewe", "with the ewe")) == (CameFrom.WITH_HER.since, CameFrom.WITH_HER.spellings)
    assert all(1 <= value.since <= LAYOUT_VERSION for value in values())
    assert Column("x", "X", Kind.TEXT, "").since == Since(1)


def values() -> list[Choice]:
    """Every value of every list that a column offers."""
    return [value for sheet in SHEET.values() for column in sheet for value in column.choices or ()]
