"""Read a season workbook: every cell becomes a value that knows its place, or a problem in words. Nothing is dropped."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time
from math import isfinite
from pathlib import Path

from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cell, Cells, Line, open_cells
from template_builder.files.progress import Tell, silent
from template_builder.layout.addresses import letters
from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import LINE, NOT_KNOWN, OWN, Kind, Value
from template_builder.layout.policy import RULES, WEIGHTS
from template_builder.layout.settings import SETTING, SETTINGS
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.conflicts import CONFLICTS
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import LAYOUT_VERSION, META_TAB, PROGRAM_TABS, UNREAD_TABS
from template_builder.layout.words import EARLIEST_YEAR
from workbook.reading.anchors import Anchored, anchor
from workbook.reading.corrections import corrections, is_program_tab
from workbook.reading.drop_downs import wiped
from workbook.reading.long_texts import long_headings, long_texts
from workbook.reading.older_layouts import older
from workbook.reading.out_of_sight import hidden, merged
from workbook.reading.parsed import Parsed, Reader, in_words
from workbook.reading.parsing import parse, parse_setting
from workbook.reading.problems import reading_problem
from workbook.reading.row_keys import beside_their_rows
from workbook.rules.rule import BLANK, Problem
from workbook.season.cells import CellRef, Record, titled
from workbook.season.matching import fold
from workbook.season.row_names import row_name
from workbook.season.season import Season

_TOTALS = frozenset({"total", "totals", "sum", "average", "mean", "grand total"})
_SUMS = re.compile(r"=\s*(SUM|SUBTOTAL|AGGREGATE|AVERAGE|COUNT|COUNTA|MIN|MAX|MEDIAN)\(", re.IGNORECASE)
# Remarks of which a sheet may hold hundreds: told once a column, with their number.
_TOLD_ONCE = frozenset({"formula-in-cell", "number-as-text"})

_BARE_DAYS = "dates stand as bare numbers, since the program that saved it dropped how cells look; they were read as dates"

_TITLES: Mapping[str, Mapping[str, str]] = {
    "season": {fold(setting.title): setting.id for setting in SETTINGS},
    "policy": {fold(rule.title): rule.id for rule in RULES} | {fold(weight.title): weight.id for weight in WEIGHTS},
}


@dataclass(frozen=True)
class Reading:
    """A season as read, with every problem of reading it."""

    season: Season
    problems: tuple[Problem, ...]


def read(path: Path, as_of: datetime | None = None, tell: Tell = silent) -> Reading:
    """Read the season workbook at `path`. `as_of` sets the moment, else Season's, else now. Raises Unreadable."""
    return read_cells(open_cells(path, UNREAD_TABS, tell), as_of)


def read_cells(cells: Cells, as_of: datetime | None = None) -> Reading:
    """Read a season from the cells of a workbook, wherever they came from. Raises Unreadable for a foreign workbook."""
    if is_summary(cells.tabs):
        raise Unreadable(f"{cells.file} is a summary that analyse wrote: give the season workbook it was made from.")
    version = _layout_version(cells)
    anchored, problems = anchor(cells, version)
    if not anchored:
        raise Unreadable(
            f"{cells.file} is not a season workbook: none of its sheets is known here. "
            "Give a workbook made with the build command."
        )
    version = LAYOUT_VERSION if version is None else version
    problems += older(cells, version)
    records: dict[str, tuple[Record, ...]] = {}
    reader = Reader(bare_days=cells.bare_days)
    for id, found in anchored.items():  # Season comes first: how dates are written is needed for the other sheets
        sheet_records, faults = _records(cells, found, reader)
        records[id] = sheet_records
        problems += merged(cells, found) + hidden(cells, found) + long_headings(cells, found) + faults
        if version == LAYOUT_VERSION:  # another layout may have its lists elsewhere
            problems += wiped(cells, found, sheet_records)
        if id == "season":
            reader = _reader(Season(cells.file, records, datetime.min), cells.bare_days)
    answers = corrections(cells)
    records |= answers
    theirs = {sheet.title for sheet in (TO_CORRECT, CONFLICTS) if not is_program_tab(cells, sheet)}
    read_tabs = {*PROGRAM_TABS, *(found.tab for found in anchored.values())} - theirs
    problems += long_texts(cells)
    missing = {address for found in anchored.values() for address in found.missing}
    season = Season(
        cells.file, records, datetime.min, frozenset(missing | _absent(anchored)),
        {found.tab: tuple(found.own.values()) for found in anchored.values() if found.own},
        tuple(tab for tab in cells.tabs if tab not in read_tabs),
        version, tuple(cells.tabs), (*cells.notes, *([_BARE_DAYS] if cells.bare_days else [])),
    )
    moment = as_of or season.settings.moment("as_of") or datetime.now().replace(second=0, microsecond=0)
    return Reading(replace(season, as_of=moment), tuple(_named(problems, records)))


def _named(problems: Iterable[Problem], records: Mapping[str, tuple[Record, ...]]) -> Iterator[Problem]:
    """The problems, each with a name of its row and a value, so that a query can be answered."""
    rows = {(row.tab, row.row): row for sheet in records.values() for row in sheet}
    for problem in problems:
        found, row = problem.found, rows.get((problem.place.sheet, problem.place.row))
        name = found.row_name or (row_name(row) if row else f"row {found.place.row}" if found.place.row else found.place.sheet)
        yield replace(problem, found=replace(found, row_name=name, value=found.value or BLANK))


def _layout_version(cells: Cells) -> int | None:
    """The layout the workbook was built with, None where that is not written. Raises Unreadable for a newer one."""
    for _, row in cells.tabs.get(META_TAB, ()):
        if len(row) > 1 and row[0].value == "layout" and isinstance(row[1].value, int | float):
            version = int(row[1].value)
            if version > LAYOUT_VERSION:
                raise Unreadable(
                    f"{cells.file} was built by a newer version of this program (layout {version}, here {LAYOUT_VERSION}). "
                    "Update the program and run this again."
                )
            return version
    return None


def _reader(season: Season, bare_days: datetime | None) -> Reader:
    year = season.settings.maybe("year")
    return Reader(int(year) if year else None, season.settings.choice("date_order", DateOrder), bare_days)


def _absent(anchored: Mapping[str, Anchored]) -> set[str]:
    return {sheet.address(column) for sheet in SHEETS if sheet.id not in anchored for column in sheet}


def _records(cells: Cells, found: Anchored, reader: Reader) -> tuple[tuple[Record, ...], list[Problem]]:
    """The records below the headings of one sheet. A row with nothing but its hidden key is no record."""
    rows = _Rows(cells.file, found, reader)
    lines = (line for line in cells.tabs[found.tab] if not found.is_head(*line))
    records = tuple(record for line in lines for record in rows.read(line))
    problems = [*_above(cells, found, records), *rows.all_problems()]
    if rows.keyed:
        records, behind = beside_their_rows(found.sheet, records)
        problems += behind
    return records, problems


def _above(cells: Cells, found: Anchored, records: Sequence[Record]) -> list[Problem]:
    """A problem where records stand above the headings, as when the whole sheet was sorted."""
    above = [record.row for record in records if record.row < found.heading_row]
    if not above:
        return []
    rows = "1 row stands" if len(above) == 1 else f"{len(above)} rows stand"
    text = f"{rows} above the headings, which are in row {found.heading_row}; read all the same"
    return [reading_problem("rows-above-headings", CellRef(cells.file, found.tab, above[0], 0), text, str(len(above)))]


class _Rows:
    """Reads the lines of one sheet, collecting problems; remarks that come in hundreds are told once a column."""

    def __init__(self, file: str, found: Anchored, reader: Reader) -> None:
        self.file, self.found, self.reader = file, found, reader
        self.columns = {number: found.sheet.column(id) for id, number in found.places.items()}
        self.issued = tuple(
            frozenset(column.id for column in found.sheet.issued_in(row)) for row in (frozenset[str](), frozenset((LINE.id,))))
        self.keyed = "row_key" in found.places
        self.first = found.places.get(found.sheet.columns[0].id)
        self.parsed: dict[tuple[int, type, object], Parsed] = {}
        self.problems: list[Problem] = []
        self.once: dict[tuple[str, int], list[CellRef]] = {}
        self.once_text: dict[tuple[str, int], str] = {}
        self.once_value: dict[tuple[str, int], str] = {}

    def read(self, line: Line) -> Iterator[Record]:
        number, row = line
        if words := self._totals(row):
            self._add("totals-row", number, 0, f"“{words}” reads as a totals row and was left out", words)
            return
        fixed = self._fixed_id(row) if self.found.sheet.fixed_rows else None
        values: dict[str, Value] = {}
        raw: dict[str, Value] = {}
        for cell in row:
            column = self.columns.get(cell.column)
            if column is None:
                if cell.value is not None:
                    heading = self.found.own.get(cell.column) or f"column {letters(cell.column)}"
                    values[f"{OWN}{heading}"] = as_written(cell.value)
                continue
            parsed = self._parse(number, cell, fixed)
            if parsed is not None:
                values[column.id] = parsed
                if parsed is NOT_KNOWN and not _question_mark(cell):
                    raw[column.id] = as_written(cell.value)
        if fixed:
            values["row_key"] = fixed
        if not values.keys() - {"row_key"}:
            return
        if self.found.sheet.fixed_rows and fixed is None:
            self._add("unknown-setting", number, 0, "this row is no setting or rule that the program knows")
            return
        record = Record(
            self.found.sheet.id, self.file, self.found.tab, number, values, self.found.places, self._issued(values), raw=raw)
        self._required(record)
        yield record

    def _issued(self, values: Mapping[str, Value]) -> frozenset[str]:
        """The cells of a row that the build filled in: none on a row added by hand."""
        if self.keyed and "row_key" not in values:
            return frozenset()
        return self.issued[LINE.id in values]

    def _parse(self, number: int, cell: Cell, fixed: str | None) -> Value:
        column = self.columns[cell.column]
        if cell.formula and cell.value is None:
            text = f"{column.title} holds the formula {cell.formula}, but no value was saved with it"
            self._add("error-value", number, cell.column, text, cell.formula)
            return NOT_KNOWN
        if cell.formula and not cell.error:
            self._remark("formula-in-cell", number, cell.column, f"{column.title} holds a formula; its last value was taken",
                         cell.formula)
        if cell.error:
            self._add("error-value", number, cell.column, f"{column.title} holds {cell.value}", str(cell.value))
            return NOT_KNOWN
        if column.kind is Kind.SETTING:
            if column.id != "value" or fixed not in SETTING:
                return None
            parsed = parse_setting(fixed, cell.value, self.reader)
        elif column.kind in (Kind.IDENTIFIER, Kind.TEXT):
            parsed = parse(column, cell.value, self.reader)
        else:
            parsed = self._parsed_before(cell)
        self._fault(parsed, number, cell)
        return parsed.value

    def _parsed_before(self, cell: Cell) -> Parsed:
        """A number, date or list value: the same few come again and again, so each is taken apart once a column."""
        key = (cell.column, type(cell.value), cell.value)
        found = self.parsed.get(key)
        if found is None:
            found = self.parsed[key] = parse(self.columns[cell.column], cell.value, self.reader)
        return found

    def _fault(self, parsed: Parsed, number: int, cell: Cell) -> None:
        if parsed.fault is None:
            return
        if parsed.fault.slug in _TOLD_ONCE:
            self._remark(parsed.fault.slug, number, cell.column, parsed.fault.text, in_words(cell.value))
        else:
            self._add(parsed.fault.slug, number, cell.column, parsed.fault.text, in_words(cell.value))

    def _fixed_id(self, row: tuple[Cell, ...]) -> str | None:
        """Which setting or rule a row is for: by its hidden key, else by its words."""
        titles = _TITLES[self.found.sheet.id]
        by_column = {cell.column: cell.value for cell in row}
        key = by_column.get(self.found.places.get("row_key", 0))
        if isinstance(key, str) and key in titles.values():
            return key
        words = by_column.get(self.found.places.get(self.found.sheet.columns[0].id, 0))
        return titles.get(fold(words)) if isinstance(words, str) else None

    def _totals(self, row: tuple[Cell, ...]) -> str:
        """What makes a row one of totals: the word in its first column or, with that blank, in another or sums alone."""
        ours = [cell for cell in row if cell.column in self.columns and (cell.value is not None or cell.formula)]
        first = next((cell for cell in ours if cell.column == self.first), None)
        if first is not None:
            return _total_word(first)
        if words := next(filter(None, map(_total_word, ours)), ""):
            return words
        return ours[0].formula if ours and all(_SUMS.match(cell.formula) for cell in ours) else ""

    def _required(self, record: Record) -> None:
        if not record.touched:
            return
        for column in self.found.sheet.own_columns:
            if column.required and column.id in self.found.places and not record.filled(column.id):
                at = record.at(column.id)
                self._add("required-blank", at.row, at.column, f"{column.title} is blank, but the row is filled in")

    def _add(self, slug: str, row: int, column: int, text: str, value: str = "") -> None:
        self.problems.append(reading_problem(slug, CellRef(self.file, self.found.tab, row, column), text, value))

    def _remark(self, slug: str, row: int, column: int, text: str, value: str) -> None:
        self.once.setdefault((slug, column), []).append(CellRef(self.file, self.found.tab, row, column))
        self.once_text.setdefault((slug, column), text)
        self.once_value.setdefault((slug, column), value)

    def all_problems(self) -> list[Problem]:
        """Every problem, with the remarks of each column as one."""
        told = []
        for (slug, column), places in self.once.items():
            more = f" (and {len(places) - 1} more cells of this column)" if len(places) > 1 else ""
            value = self.once_value[slug, column] if not more else f"{len(places)} cells"
            told.append(reading_problem(slug, places[0], self.once_text[slug, column] + more, value, tuple(places[1:]),
                                        titled(self.columns[column]) if more else ""))
        return self.problems + told


def _question_mark(cell: Cell) -> bool:
    return isinstance(cell.value, str) and cell.value.strip() == NOT_KNOWN.value


def _total_word(cell: Cell) -> str:
    """The word of a totals row, as written; "" for any other cell."""
    words = cell.value
    return words if isinstance(words, str) and words[:1].isalpha() and fold(words).rstrip(":") in _TOTALS else ""


def as_written(value: object) -> Value:
    """What stands in a cell whose meaning is not asked for, so that it can be written again."""
    endless = isinstance(value, float) and not isfinite(value)
    too_early = isinstance(value, datetime) and value.year < EARLIEST_YEAR
    if isinstance(value, bool) or endless or too_early:
        return in_words(value)
    return value if isinstance(value, str | int | float | datetime | time) else str(value)
