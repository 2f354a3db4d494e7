"""Sheets and columns are found wherever they were moved; what cannot be told for certain is said, not guessed."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from template_builder.build import Plan, build
from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cell, Cells, Line, open_cells
from template_builder.layout.choices import Born
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import HEADING_ROW, KEY_ROW, SHEET, TITLE_ROW
from workbook.reading.anchors import LONGEST_OWN
from workbook.reading.anchors import _own_headings as own_headings
from workbook.reading.season_file import Reading, read_cells

EWES: list[Row] = [{"ewe": "0412", "scanned": 2}, {"ewe": "0415", "scanned": 1}]
BORN, TAG = 4, 5  # columns of Lambs as built
HALF = len(SHEET["lambs"].own_columns) // 2


@pytest.fixture(scope="module")
def cells(tmp_path_factory: pytest.TempPathFactory) -> Cells:
    path = tmp_path_factory.mktemp("anchors") / "season.xlsx"
    rows = lay_ready(EWES)
    rows["lambs"] = [{**row, "born": Born.ALIVE, "tag": f"70{n:02d}"} for n, row in enumerate(rows["lambs"])]
    build(path, Plan("Anchors", rows))
    return open_cells(path)


def _lambs(reading: Reading) -> list[dict[str, object]]:
    return [dict(record.values) for record in reading.season.rows("lambs")]


def _on(cells: Cells, tab: str, change: Callable[[int, Cell], Cell | None]) -> Cells:
    """The workbook with each cell of one tab changed, or dropped for None."""
    lines: list[Line] = []
    for number, row in cells.tabs[tab]:
        kept = tuple(changed for cell in row if (changed := change(number, cell)))
        lines.append((number, kept))
    return replace(cells, tabs={**cells.tabs, tab: tuple(lines)})


def _shifted(cells: Cells, tab: str, by: int) -> Cells:
    """Columns inserted at the left of one tab: cells and names move, as spreadsheets do it; its lists are left out."""
    moved = _on(cells, tab, lambda _, cell: cell._replace(column=cell.column + by))
    return replace(moved, names={
        name: (where, column + by, row) if where == tab else (where, column, row)
        for name, (where, column, row) in cells.names.items()
    }, lists={})


def _renamed(cells: Cells, old: str, new: str) -> Cells:
    names = {name: (new if tab == old else tab, column, row) for name, (tab, column, row) in cells.names.items()}
    return replace(cells, tabs={new if tab == old else tab: lines for tab, lines in cells.tabs.items()}, names=names)


def _without_keys(cells: Cells) -> Cells:
    return _on(cells, "Lambs", lambda number, cell: None if number == KEY_ROW else cell)


def _heading(cells: Cells, column: int, text: str | None) -> Cells:
    def change(number: int, cell: Cell) -> Cell | None:
        if (number, cell.column) != (HEADING_ROW, column):
            return cell
        return cell._replace(value=text) if text else None

    return _on(cells, "Lambs", change)


def _no_names(cells: Cells) -> Cells:
    return replace(cells, names={})


def _moved_down(cells: Cells) -> Cells:
    lines = tuple((number + 2, row) for number, row in cells.tabs["Lambs"])
    names = {
        name: (tab, column, row + 2) if tab == "Lambs" else (tab, column, row) for name, (tab, column, row) in cells.names.items()
    }
    return replace(cells, tabs={**cells.tabs, "Lambs": lines}, names=names)


def _sorted_backwards(cells: Cells) -> Cells:
    head = [line for line in cells.tabs["Lambs"] if line[0] <= HEADING_ROW]
    body = [line for line in cells.tabs["Lambs"] if line[0] > HEADING_ROW]
    numbers = [number for number, _ in body]
    turned = [(number, row) for number, (_, row) in zip(numbers, reversed(body), strict=True)]
    return replace(cells, tabs={**cells.tabs, "Lambs": tuple(head + turned)})


@pytest.mark.parametrize("change", [
    lambda cells: _shifted(cells, "Lambs", 3),
    lambda cells: _renamed(cells, "Lambs", "Lambs 2026"),
    _moved_down,
    _sorted_backwards,
    _without_keys,
    _no_names,
    lambda cells: _no_names(_without_keys(cells)),
    lambda cells: _shifted(_no_names(cells), "Lambs", 3),
    lambda cells: _renamed(_no_names(cells), "Lambs", "Our lambs"),
], ids=["columns inserted", "sheet renamed", "rows on top", "sorted", "no keys", "no names", "headings alone",
        "inserted, no names", "renamed, no names"])
def test_moved_about_it_reads_the_same(cells: Cells, change: Callable[[Cells], Cells]) -> None:
    reading = read_cells(change(cells))
    assert sorted(map(str, _lambs(read_cells(cells)))) == sorted(map(str, _lambs(reading)))
    assert () == reading.problems


def test_a_heading_written_anew_is_read_and_mentioned(cells: Cells) -> None:
    reading = read_cells(_heading(cells, TAG, "Ear number"))
    assert _lambs(read_cells(cells)) == _lambs(reading)
    assert ["R116 Lambs!E3 the heading Lamb tag reads “Ear number”; read all the same"] == [
        f"{p.rule.id} {p.place} {p.found.text}" for p in reading.problems
    ]


@pytest.mark.parametrize("heading", ["Tag", "EAR TAG", "ear-tag"])
def test_another_word_of_the_trade_for_a_heading_is_read_without_a_remark(cells: Cells, heading: str) -> None:
    reading = read_cells(_heading(_no_names(_without_keys(cells)), TAG, heading))
    assert _lambs(read_cells(_no_names(_without_keys(cells)))) == _lambs(reading)
    assert [] == [problem.found.text for problem in reading.problems if "tag" in problem.found.text.casefold()]


def test_another_word_beside_the_heading_itself_is_a_persons_own(cells: Cells) -> None:
    lines = [(number, (*row, Cell(40, "Ear tag" if number == HEADING_ROW else "blue")))
             for number, row in cells.tabs["Lambs"] if number >= HEADING_ROW]
    above = [(number, row) for number, row in cells.tabs["Lambs"] if number < HEADING_ROW]
    reading = read_cells(replace(cells, tabs={**cells.tabs, "Lambs": (*above, *lines)}))
    assert () == reading.problems
    assert [("7000", "blue"), ("7001", "blue"), ("7002", "blue")] == [(row["tag"], row["+Ear tag"]) for row in _lambs(reading)]


def test_two_anchors_that_disagree_are_not_guessed(cells: Cells) -> None:
    swapped = _heading(_heading(_no_names(cells), TAG, "Born"), BORN, "Lamb tag")
    reading = read_cells(swapped)
    assert {"R115"} == {problem.rule.id for problem in reading.problems}
    assert {"lambs.tag", "lambs.born"} <= reading.season.missing


def test_a_deleted_column_is_said_to_be_missing(cells: Cells) -> None:
    gone = _on(cells, "Lambs", lambda _, cell: None if cell.column == TAG else cell)
    gone = replace(gone, names={name: cell for name, cell in gone.names.items() if name != "head_lambs_tag"})
    reading = read_cells(gone)
    assert ["R114 Lambs the column Lamb tag is not there; it may have been deleted"] == [
        f"{p.rule.id} {p.place} {p.found.text}" for p in reading.problems
    ]


def test_a_heading_that_stands_twice_with_nothing_else_to_tell_by_is_no_anchor(cells: Cells) -> None:
    bare = _no_names(_without_keys(cells))
    lines = [(number, (*row, Cell(40, "Lamb tag")) if number == HEADING_ROW else row) for number, row in bare.tabs["Lambs"]]
    reading = read_cells(replace(bare, tabs={**bare.tabs, "Lambs": tuple(lines)}))
    assert ["R115 Lambs!3:3 Lamb tag stands in columns E and AN; none was read"] == [
        f"{p.rule.id} {p.place} {p.found.text}" for p in reading.problems
    ]
    assert "lambs.tag" in reading.season.missing


@pytest.mark.parametrize(("words", "records"), [(1, 0), (2, 0), (3, 1)])
def test_up_to_two_words_above_the_headings_are_no_record(cells: Cells, words: int, records: int) -> None:
    moved = _moved_down(cells)
    written = tuple(Cell(column, f"vet {column}") for column in range(1, words + 1))
    reading = read_cells(replace(moved, tabs={**moved.tabs, "Lambs": ((1, written), *moved.tabs["Lambs"])}))
    assert records == len(_lambs(reading)) - len(_lambs(read_cells(cells)))
    assert ["Lambs!1:1"] * records == [str(problem.place) for problem in reading.problems if problem.rule.id == "R125"]


@pytest.mark.parametrize("title", [None, "Lambs", "Lambs 2026", "ours"])
def test_below_the_hidden_keys_stands_the_title_or_the_first_record(cells: Cells, title: str | None) -> None:
    """The row of headings is gone, and the title with it or written anew: no lamb is taken for it, nor it for a lamb."""
    def changed(number: int, cell: Cell) -> Cell | None:
        if number == TITLE_ROW and title and cell.column == 1:
            return cell._replace(value=title)
        return cell if number == TITLE_ROW and title or number not in (TITLE_ROW, HEADING_ROW) else None

    bare = _no_names(_on(cells, "Lambs", changed))
    lines = tuple(line for line in bare.tabs["Lambs"] if line[1])
    assert _lambs(read_cells(cells)) == _lambs(read_cells(replace(bare, tabs={**bare.tabs, "Lambs": lines})))


def _with_headings(cells: Cells, kept: int) -> Cells:
    """Lambs with so many of its headings, the others written anew."""
    def change(number: int, cell: Cell) -> Cell:
        return cell._replace(value=f"ours {cell.column}") if number == HEADING_ROW and cell.column > kept else cell

    return _on(cells, "Lambs", change)


@pytest.mark.parametrize(("change", "found"), [
    (lambda cells: _renamed(_with_headings(cells, 1), "Lambs", "Ours"), True),
    (lambda cells: _renamed(_with_headings(_without_keys(cells), 1), "Lambs", "Ours"), True),
    (lambda cells: _renamed(_with_headings(_no_names(cells), 1), "Lambs", "Ours"), True),
    (lambda cells: _with_headings(_no_names(_without_keys(cells)), 2), True),
    (lambda cells: _with_headings(_no_names(_without_keys(cells)), 1), False),
    (lambda cells: _renamed(_with_headings(_no_names(_without_keys(cells)), 2), "Lambs", "Ours"), False),
    (lambda cells: _renamed(_with_headings(_no_names(_without_keys(cells)), HALF), "Lambs", "Ours"), False),
    (lambda cells: _renamed(_with_headings(_no_names(_without_keys(cells)), HALF + 1), "Lambs", "Ours"), True),
], ids=["names and keys", "names", "keys", "title and two headings", "title and one heading", "two headings",
        "half of the headings", "more than half"])
def test_what_makes_a_tab_the_sheet(cells: Cells, change: Callable[[Cells], Cells], found: bool) -> None:
    missed = [problem.place.sheet for problem in read_cells(change(cells)).problems if problem.rule.id == "R113"]
    assert ([] if found else ["Lambs"]) == missed


def test_a_copy_of_a_sheet_is_not_added_up(cells: Cells) -> None:
    copied = replace(cells, tabs={**cells.tabs, "Lambs (2)": cells.tabs["Lambs"]})
    reading = read_cells(copied)
    assert _lambs(read_cells(cells)) == _lambs(reading)
    assert ["R117 Lambs (2)"] == [f"{p.rule.id} {p.place}" for p in reading.problems]


def test_a_copy_that_took_the_title_of_its_sheet_is_not_added_up_either(cells: Cells) -> None:
    renamed = _renamed(cells, "Lambs", "Our lambs")
    reading = read_cells(replace(renamed, tabs={**renamed.tabs, "Lambs": _without_keys(cells).tabs["Lambs"]}))
    assert ["R117 Lambs"] == [f"{p.rule.id} {p.place}" for p in reading.problems]
    assert {"Our lambs"} == {row.tab for row in reading.season.rows("lambs")}


@pytest.mark.parametrize(("keys", "headings", "copied"), [
    (False, HALF, False), (False, HALF + 1, True), (True, HALF, True), (True, 0, True),
])
def test_a_tab_with_the_hidden_keys_or_most_of_the_headings_is_a_copy(
    cells: Cells, keys: bool, headings: int, copied: bool,
) -> None:
    tab = _with_headings(cells if keys else _without_keys(cells), headings).tabs["Lambs"]
    reading = read_cells(replace(cells, tabs={**cells.tabs, "Ours": tab}))
    assert ["Ours"] * copied == [problem.place.sheet for problem in reading.problems if problem.rule.id == "R117"]


@pytest.mark.parametrize(("above", "found"), [(27, True), (28, True), (29, False)])
def test_headings_alone_are_looked_for_in_the_first_thirty_lines(cells: Cells, above: int, found: bool) -> None:
    bare = _no_names(_without_keys(cells))
    tabs = {**bare.tabs, "Lambs": (*((n, (Cell(1, "ours"),)) for n in range(1, above + 1)),
                                   *((number + above, row) for number, row in bare.tabs["Lambs"] if row))}
    lambs = _lambs(read_cells(replace(bare, tabs=tabs)))
    assert (_lambs(read_cells(cells)) if found else []) == lambs


def test_a_missing_sheet_is_said_to_be_missing(cells: Cells) -> None:
    reading = read_cells(replace(
        cells, tabs={tab: lines for tab, lines in cells.tabs.items() if tab != "Lambs"},
        names={name: cell for name, cell in cells.names.items() if cell[0] != "Lambs"},
    ))
    assert ["R113 Lambs there is no sheet Lambs; nothing from it is in the figures"] == [
        f"{p.rule.id} {p.place} {p.found.text}" for p in reading.problems
    ]
    assert [] == _lambs(reading)


def test_a_foreign_workbook_is_refused_in_words() -> None:
    with pytest.raises(Unreadable, match="is not a season workbook"):
        read_cells(Cells("accounts.xlsx", {"Sheet1": ((1, (Cell(1, "Income"), Cell(2, "Costs"))),)}))


def test_a_newer_layout_is_refused_in_words(cells: Cells) -> None:
    meta = ((1, (Cell(1, "layout"), Cell(2, 999))),)
    with pytest.raises(Unreadable, match="newer version"):
        read_cells(replace(cells, tabs={**cells.tabs, "_meta": meta}))


def test_own_columns_and_sheets_are_kept_and_listed(cells: Cells) -> None:
    wide = _on(cells, "Lambs", lambda _, cell: cell)
    number, row = wide.tabs["Lambs"][3]
    lines = list(wide.tabs["Lambs"])
    lines[2] = (lines[2][0], (*lines[2][1], Cell(40, "Paddock")))
    lines[3] = (number, (*row, Cell(40, "Long field"), Cell(41, "beside")))
    reading = read_cells(replace(wide, tabs={**wide.tabs, "Lambs": tuple(lines), "My sums": ((1, (Cell(1, 5),)),)}))
    first = _lambs(reading)[0]
    assert ("Long field", "beside") == (first["+Paddock"], first["+column AO"])
    assert ("Paddock",) == reading.season.own_columns["Lambs"]
    assert ("My sums",) == reading.season.own_sheets


def test_a_totals_row_is_no_record(cells: Cells) -> None:
    lines = (*cells.tabs["Lambs"], (99, (Cell(1, "Total"), Cell(6, 12.5))))
    reading = read_cells(replace(cells, tabs={**cells.tabs, "Lambs": lines}))
    assert _lambs(read_cells(cells)) == _lambs(reading)
    assert ["R119 Lambs!99:99"] == [f"{p.rule.id} {p.place}" for p in reading.problems]


def _bare(cells: Cells) -> Cells:
    """The workbook as pasted by hand: no hidden first row, no names, no hidden column of row keys, nothing of its making."""
    tabs = {}
    for tab, lines in cells.tabs.items():
        keys = {cell.column for _, row in lines for cell in row if cell.value == "Row key"}
        tabs[tab] = tuple((number - 1, tuple(cell for cell in row if cell.column not in keys))
                          for number, row in lines if number != KEY_ROW)
    return replace(cells, tabs={tab: lines for tab, lines in tabs.items() if not tab.startswith("_")}, names={}, lists={})


def test_pasted_by_hand_no_sheet_is_a_copy_of_another_and_row_keys_are_not_asked_for(cells: Cells) -> None:
    reading = read_cells(_bare(cells))
    keyed = ["Season", "Ewes", "Lambing", "Lambs", "Policy"]
    assert [("R126", tab) for tab in keyed] == [(problem.rule.id, problem.place.sheet) for problem in reading.problems]
    lost = [{id: value for id, value in row.items() if id != "row_key"} for row in _lambs(read_cells(cells))]
    assert lost == _lambs(reading)


def test_a_sheet_read_by_its_headings_under_a_title_of_its_own_is_no_copy(cells: Cells) -> None:
    reading = read_cells(_renamed(_bare(cells), "Policy", "Selection"))
    assert "R117" not in [problem.rule.id for problem in reading.problems]
    assert {"Selection"} == {row.tab for row in reading.season.rows("policy")}


@pytest.mark.parametrize(("gone", "like_it"), [("Weights", "Ewe check"), ("Season", "Policy")])
def test_a_sheet_that_is_gone_is_not_read_from_another_that_shares_headings(cells: Cells, gone: str, like_it: str) -> None:
    bare = _bare(cells)
    reading = read_cells(replace(bare, tabs={tab: lines for tab, lines in bare.tabs.items() if tab != gone}))
    assert [gone] == [problem.place.sheet for problem in reading.problems if problem.rule.id in ("R113", "R117")]
    assert like_it not in reading.season.own_sheets


def test_headings_of_ones_own_are_told_apart_from_all_others_and_a_blank_one_is_called_by_its_column() -> None:
    written = {40: "  ", 41: "Our  mark", 42: "our mark", 43: "Ewe", 44: "x" * (LONGEST_OWN + 1)}
    assert {40: "column AN", 41: "Our mark", 42: "our mark (2)", 43: "Ewe (2)", 44: "x" * LONGEST_OWN} == (
        own_headings(SHEET["ewes"], written))
