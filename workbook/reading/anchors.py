"""Find each sheet and column, however the workbook was moved about.

A column is anchored three ways: a defined name on its heading cell, a hidden key, and the heading itself. Two that agree
settle it, one alone is accepted where the others are gone, and a disagreement is reported, never guessed.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from itertools import chain, count

from template_builder.files.opening import Cell, Cells, Line
from template_builder.layout.addresses import letters
from template_builder.layout.columns import ROW_KEY, Column, Sheet
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_VERSION, HEADING_ROW, LAYOUT_VERSION, PROGRAM_TABS, heading_name
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef
from workbook.season.matching import fold

TOP_LINES = 30  # headings stand within the first lines, however many rows were put above them
LONGEST_OWN = 240  # characters of an own heading; a table takes a few more
LEAST_ANCHORS = 2  # a tab with fewer anchors of a sheet is not that sheet
LEAST_OF_A_RECORD = 3  # a row above the headings with fewer cells is a word somebody wrote there


@dataclass
class Anchored:
    """A sheet as found in a file: its tab, the row of its headings and the column number of each column id."""

    sheet: Sheet
    tab: str
    heading_row: int
    places: dict[str, int]
    own: dict[int, str]
    missing: tuple[str, ...] = ()

    def is_head(self, number: int, row: Sequence[Cell]) -> bool:
        """Whether a row of the tab is no record: headings, keys or title, wherever they were sorted to, or a word on top."""
        if number == self.heading_row:
            return True
        words = self._head_words
        ours = [cell for cell in row if cell.column in words and cell.value is not None]
        written = sum(cell.value not in words[cell.column] for cell in ours)
        if number < self.heading_row:
            return written < LEAST_OF_A_RECORD
        return not written and len(ours) >= LEAST_ANCHORS

    @cached_property
    def _head_words(self) -> Mapping[int, frozenset[object]]:
        """All that the build writes above the records, by the number of its column."""
        sheet = self.sheet
        return {number: frozenset((sheet.title, sheet.purpose, sheet.address(column), *column.headings))
                for id, number in self.places.items() if (column := sheet.column(id))}


@dataclass
class _Marks:
    """All anchors of one sheet on one tab: column id -> column number."""

    names: dict[str, int] = field(default_factory=dict)
    keys: dict[str, int] = field(default_factory=dict)
    headings: dict[str, int] = field(default_factory=dict)
    heading_row: int = 0
    twice: dict[str, set[int]] = field(default_factory=dict)  # columns whose key or heading stands in several places
    headless: bool = False  # the row of headings is gone; the keys remain

    @property
    def weight(self) -> int:
        return len(self.names) + len(self.keys) + len(self.headings)


def anchor(cells: Cells, version: int | None = LAYOUT_VERSION) -> tuple[dict[str, Anchored], list[Problem]]:
    """Every sheet of the layout that the workbook holds, by sheet id, and what is wrong with sheets and headings.

    What is younger than `version`, the layout the workbook was built with, cannot be missing from it; where that is not
    known (None), nothing younger than the first is missed.
    """
    oldest = FIRST_VERSION if version is None else version
    found: dict[str, Anchored] = {}
    every: dict[str, Mapping[str, _Marks]] = {}
    problems: list[Problem] = []
    keys = {tab: _keys(lines) for tab, lines in cells.tabs.items()}
    tops = {tab: _texts(lines[:TOP_LINES]) for tab, lines in cells.tabs.items() if tab not in PROGRAM_TABS}
    taken: set[str] = set()
    for sheet in SHEETS:
        open_tabs = [tab for tab in cells.tabs if tab not in taken and tab not in PROGRAM_TABS]
        marks = {tab: _marks(sheet, tab, cells, keys[tab], tops[tab]) for tab in open_tabs}
        tab = _best(sheet, marks)
        if tab is None:
            problems += [] if sheet.since > oldest else [_missing(cells, sheet)]
            continue
        taken.add(tab)
        every[sheet.id] = marks
        anchored, faults = _columns(cells, sheet, tab, marks[tab], version)
        found[sheet.id] = anchored
        problems += faults
    for id, anchored in found.items():
        others = {tab: mark for tab, mark in every[id].items() if tab not in taken and not _is_another(anchored.sheet, tab)}
        problems += _copies(cells, anchored.sheet, anchored.tab, others)
    return found, problems


def _missing(cells: Cells, sheet: Sheet) -> Problem:
    lost = "there is no sheet" if sheet.title not in cells.tabs else "no headings were found on the sheet"
    place = CellRef(cells.file, sheet.title, 0, 0)
    return reading_problem("sheet-missing", place, f"{lost} {sheet.title}; nothing from it is in the figures")


def _is_another(sheet: Sheet, tab: str) -> bool:
    """Whether a tab bears the title of another sheet: headings alone, which sheets share, do not make it this one."""
    return any(other is not sheet and fold(other.title) == fold(tab) for other in SHEETS)


_Twice = dict[str, set[int]]
_Texts = Sequence[tuple[int, Sequence[tuple[str, int]]]]  # lines of a tab: row number, then text and column of each cell


def _once(found: Iterable[tuple[str, int]]) -> tuple[dict[str, int], _Twice]:
    """What stands in one place, with its column number; and what stands in several, which is no anchor."""
    columns: _Twice = {}
    for id, column in found:
        columns.setdefault(id, set()).add(column)
    single = {id: min(places) for id, places in columns.items() if len(places) == 1}
    return single, {id: places for id, places in columns.items() if len(places) > 1}


@dataclass(frozen=True)
class _Keys:
    """The hidden key row of a tab: full column id -> column number; those that stand there twice; and its row."""

    places: dict[str, int] = field(default_factory=dict)
    twice: _Twice = field(default_factory=dict)
    row: int = 0


def _keys(lines: Sequence[Line]) -> _Keys:
    known = {sheet.address(column) for sheet in SHEETS for column in sheet}
    best = _Keys()
    for number, row in lines[:TOP_LINES]:
        places, twice = _once((cell.value, cell.column) for cell in row if isinstance(cell.value, str) and cell.value in known)
        if len(places) > len(best.places):
            best = _Keys(places, twice, number)
    return best


@cache
def _heading_texts(column: Column) -> frozenset[str]:
    return frozenset(_heading(text) for text in column.headings)


@cache
def _by_heading(sheet: Sheet) -> Mapping[str, str]:
    """Each heading of the sheet, as matched, with the id of its column."""
    return {text: column.id for column in sheet for text in _heading_texts(column)}


@cache
def _titles(sheet: Sheet) -> frozenset[str]:
    return frozenset(_heading(column.title) for column in sheet)


def _heading(text: str) -> str:
    """A heading for matching: letters and digits alone."""
    return "".join(character for character in fold(text) if character.isalnum())


def _texts(lines: Sequence[Line]) -> _Texts:
    """What may be headings among lines: the texts of each, as matched."""
    return [(number, [(_heading(cell.value), cell.column) for cell in row if isinstance(cell.value, str)])
            for number, row in lines]


def _headings(sheet: Sheet, top: _Texts) -> tuple[int, dict[str, int], _Twice]:
    """The row of a tab that holds most headings of the sheet. A heading that stands there twice is no anchor.

    Another word for a heading counts only where the heading itself is not in the row: beside it, it is a person's own.
    """
    by_heading, titles = _by_heading(sheet), _titles(sheet)
    best_row, best, best_twice = 0, dict[str, int](), _Twice()
    for number, texts in top:
        titled = {by_heading[text] for text, _ in texts if text in titles}
        here, twice = _once((id, column) for text, column in texts
                            if (id := by_heading.get(text)) and (text in titles or id not in titled))
        if len(here) > len(best):
            best_row, best, best_twice = number, here, twice
    return best_row, best, best_twice


def _marks(sheet: Sheet, tab: str, cells: Cells, keys: _Keys, top: _Texts) -> _Marks:
    by_id = {column.id: heading_name(sheet, column) for column in sheet}
    named = {id: cells.names[name] for id, name in by_id.items() if name in cells.names}
    names = {id: column for id, (named_tab, column, _) in named.items() if named_tab == tab}
    rows = Counter(row for named_tab, _, row in named.values() if named_tab == tab)
    own_keys = {column.id: keys.places[sheet.address(column)] for column in sheet if sheet.address(column) in keys.places}
    heading_row, headings, twice = _headings(sheet, top)
    if (own_keys or names) and len(headings) < LEAST_ANCHORS:  # sorted away with the rows, maybe
        heading_row, headings, twice = _headings(sheet, _texts(cells.tabs[tab]))
    twice |= {column.id: keys.twice[sheet.address(column)] for column in sheet if sheet.address(column) in keys.twice}
    if rows and len(headings) < LEAST_ANCHORS:
        heading_row = rows.most_common(1)[0][0]
    elif own_keys and len(headings) < LEAST_ANCHORS:  # a word of the records that reads like a heading, or none at all
        return _Marks(names, own_keys, {}, _last_of_head(sheet, cells.tabs[tab], keys.row), twice, headless=True)
    if keys.places and not own_keys and not names:
        return _Marks()  # its hidden keys say that it is another sheet, whatever the headings share
    return _Marks(names, own_keys, headings, heading_row, twice)


def _last_of_head(sheet: Sheet, lines: Iterable[Line], key_row: int) -> int:
    """The last row above the records where there are no headings: the title, known by its words, or else the keys."""
    below = next(((number, row) for number, row in lines if number > key_row), None)
    words = [cell.value for cell in below[1] if isinstance(cell.value, str)] if below else []
    return below[0] if below and any(word == sheet.purpose or word.startswith(sheet.title) for word in words) else key_row


def _best(sheet: Sheet, marks: Mapping[str, _Marks]) -> str | None:
    """The tab that is this sheet: most anchors, names and keys before headings, its own title to break a tie."""
    ranked = sorted(
        marks, reverse=True,
        key=lambda tab: (len(marks[tab].names), len(marks[tab].keys), fold(tab) == fold(sheet.title), len(marks[tab].headings)),
    )
    for tab in ranked:
        strong = len(marks[tab].names) + len(marks[tab].keys) >= LEAST_ANCHORS
        by_title = fold(tab) == fold(sheet.title) and len(marks[tab].headings) >= LEAST_ANCHORS
        by_headings = len(marks[tab].headings) > len(sheet.own_columns) / 2 and not _is_another(sheet, tab)
        if strong or by_title or by_headings:
            return tab
    return None


def _copies(cells: Cells, sheet: Sheet, tab: str, marks: Mapping[str, _Marks]) -> list[Problem]:
    """Tabs read as no sheet, with this one's hidden keys or most of its headings: copies, which are not read."""
    return [
        reading_problem("sheet-twice", CellRef(cells.file, other, 0, 0),
                        f"the sheet {other} looks like a copy of {tab} and was not read", other)
        for other, mark in marks.items()
        if len(mark.keys) >= LEAST_ANCHORS or len(mark.headings) > len(sheet.own_columns) / 2
    ]


def _columns(cells: Cells, sheet: Sheet, tab: str, marks: _Marks, version: int | None) -> tuple[Anchored, list[Problem]]:
    heading_row = marks.heading_row or HEADING_ROW
    oldest = FIRST_VERSION if version is None else version
    texts = {cell.column: str(cell.value) for number, row in cells.tabs[tab] if number == heading_row for cell in row}
    places: dict[str, int] = {}
    problems: list[Problem] = []
    missing: list[str] = []
    if marks.headless:
        texts = {}
        problems.append(reading_problem("heading-changed", CellRef(cells.file, tab, 0, 0),
                                        "the row of headings is not there; read all the same by the hidden keys"))
    for column in sheet:
        # In a workbook older than the column its heading alone is the person's own.
        older = version is not None and column.since > version
        kinds = (marks.names, marks.keys) if older else (marks.names, marks.keys, marks.headings)
        votes = [mark[column.id] for mark in kinds if column.id in mark]
        best, agreeing = Counter(votes).most_common(1)[0] if votes else (0, 0)
        at = CellRef(cells.file, tab, heading_row, best)
        if not votes and column.id in marks.twice and not older:
            missing.append(sheet.address(column))
            text = f"{column.title} stands in columns {_letters(marks.twice[column.id])}; none was read"
            problems.append(reading_problem("columns-disagree", CellRef(cells.file, tab, heading_row, 0), text))
        elif not votes and column.since > oldest:
            missing.append(sheet.address(column))
        elif not votes and column is ROW_KEY:
            problems.append(reading_problem("row-keys-missing", CellRef(cells.file, tab, 0, 0),
                                            "the hidden column of row keys is not there; all the rest was read"))
        elif not votes:
            missing.append(sheet.address(column))
            problems.append(reading_problem("column-missing", CellRef(cells.file, tab, 0, 0),
                                            f"the column {column.title} is not there; it may have been deleted"))
        elif (agreeing == 1 and len(votes) > 1) or best in places.values():
            missing.append(sheet.address(column))
            text = f"{column.title} is claimed by columns {_letters(votes)}; it was not read"
            problems.append(reading_problem("columns-disagree", at, text))
        else:
            places[column.id] = best
            for copy in sorted(marks.twice.get(column.id, set()) - {best}):
                told = f"{column.title} stands in columns {_letters((best, copy))}; column {letters(best)} was read"
                at_copy = CellRef(cells.file, tab, heading_row, copy)
                problems.append(reading_problem("column-twice", at_copy, told, texts.get(copy, "")))
            text = texts.get(best, "")
            if not marks.headless and _heading(text) not in _heading_texts(column):
                found = f"reads “{text}”" if text else "is blank"
                told = f"the heading {column.title} {found}; read all the same"
                problems.append(reading_problem("heading-changed", at, told, text))
    own = _own_headings(sheet, {number: text for number, text in texts.items() if number not in places.values()})
    return Anchored(sheet, tab, heading_row, places, own, tuple(missing)), problems


def _own_headings(sheet: Sheet, texts: Mapping[int, str]) -> dict[int, str]:
    """The person's own headings by column number, each told apart from all others: a second "Notes" is "Notes (2)"."""
    taken = {fold(column.title) for column in sheet}
    found: dict[int, str] = {}
    for number, text in sorted(texts.items()):
        heading = " ".join(text.split())[:LONGEST_OWN] or f"column {letters(number)}"
        name = next(name for name in chain([heading], (f"{heading} ({n})" for n in count(2))) if fold(name) not in taken)
        taken.add(fold(name))
        found[number] = name
    return found


def _letters(columns: Iterable[int]) -> str:
    """Columns by their letters: "C and F"."""
    return " and ".join(letters(column) for column in sorted(set(columns)))
