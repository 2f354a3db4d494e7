"""The rows of one sheet: every cell becomes a value, and what comes in hundreds is told once a column."""

import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time
from math import isfinite

from template_builder.files.opening import Cell, Line
from template_builder.layout.addresses import letters
from template_builder.layout.columns import LINE, NOT_KNOWN, OWN, Kind, Value
from template_builder.layout.policy import RETIRED, RULES, WEIGHTS
from template_builder.layout.settings import SETTING, SETTINGS
from template_builder.layout.weights import KG
from template_builder.layout.words import EARLIEST_YEAR
from workbook.reading.anchors import Anchored
from workbook.reading.date_columns import Dates
from workbook.reading.parsed import Fault, Parsed, Reader, in_words
from workbook.reading.parsing import parse, parse_setting
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef, Record, titled
from workbook.season.matching import fold

_TOTALS = frozenset({"total", "totals", "sum", "average", "mean", "grand total"})
_SUMS = re.compile(r"=\s*(SUM|SUBTOTAL|AGGREGATE|AVERAGE|COUNT|COUNTA|MIN|MAX|MEDIAN)\(", re.IGNORECASE)
# Remarks of which a sheet may hold hundreds: told once a column, with their number.
_TOLD_ONCE = frozenset({
    "formula-in-cell", "number-as-text", "date-as-text", "date-order-not-said", "dates-both-ways", "date-as-number",
    "time-beside-day",
})

_TITLES: Mapping[str, Mapping[str, str]] = {
    "season": {fold(title): setting.id for setting in SETTINGS for title in (setting.title, setting.once) if title},
    "policy": {fold(title): rule.id for rule in RULES for title in (rule.title, rule.once) if title} | {
        fold(title): weight.id for weight in WEIGHTS for title in (weight.title, weight.once) if title
    },
}
_RETIRED: Mapping[str, frozenset[str]] = {"policy": frozenset(fold(name) for row in RETIRED for name in (row.id, row.title))}


class Rows:
    """Reads the lines of one sheet, collecting problems; remarks that come in hundreds are told once a column."""

    def __init__(self, file: str, found: Anchored, dates: Dates) -> None:
        self.file, self.found, self.dates = file, found, dates
        self.readers = {number: dates.read_by(found.sheet.id, number) for number in found.places.values()}
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
        if fixed is None and self._retired(row):
            return
        values: dict[str, Value] = {}
        raw: dict[str, Value] = {}
        clocks: list[tuple[Cell, datetime]] = []
        for cell in row:
            column = self.columns.get(cell.column)
            if column is None:
                if cell.value is not None:
                    heading = self.found.own.get(cell.column) or f"column {letters(cell.column)}"
                    values[f"{OWN}{heading}"] = as_written(cell.value)
                continue
            parsed = self._parse(number, cell, fixed)
            if parsed.value is None:
                continue
            values[column.id] = parsed.value
            if self._carried(cell, fixed, parsed):
                raw[column.id] = as_written(cell.value)
            if column.clock_to and parsed.clock and isinstance(parsed.value, date):
                clocks.append((cell, datetime.combine(parsed.value, parsed.clock)))
        for cell, moment in clocks:
            self._beside(number, cell, moment, values)
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

    def _carried(self, cell: Cell, fixed: str | None, parsed: Parsed) -> bool:
        """Whether what stands in a cell is kept beside its value, to be carried as written."""
        unreadable = parsed.value is NOT_KNOWN and not _question_mark(cell)
        return unreadable or self._mixed(cell) or self._weighed(cell, fixed, parsed)

    def _mixed(self, cell: Cell) -> bool:
        """Whether a date as text stands in a column written both ways: it is carried as written, so that the question stays."""
        return isinstance(cell.value, str) and self.readers[cell.column].order is None

    def _weighed(self, cell: Cell, fixed: str | None, parsed: Parsed) -> bool:
        """Whether a weight stands there otherwise than in kg: it is carried as written, and counted with in kg."""
        column = self.columns[cell.column]
        unit = SETTING[fixed].unit if fixed in SETTING else column.unit
        return unit == KG and isinstance(parsed.value, float) and parsed.value != cell.value

    def _beside(self, number: int, cell: Cell, moment: datetime, values: dict[str, Value]) -> None:
        """A time written beside a day in one cell goes where the sheet keeps it, unless a time stands there already."""
        column = self.columns[cell.column]
        other = self.found.sheet.column(column.clock_to)
        what = f"{column.title} says “{in_words(cell.value)}”, a day and a time; "
        if other.id in values:
            what += f"the time was left out, since {other.title} is filled"
        else:
            values[other.id] = moment
            what += f"the time was taken as {other.title}"
        self._remark("time-beside-day", number, cell.column, what, in_words(cell.value))

    def _parse(self, number: int, cell: Cell, fixed: str | None) -> Parsed:
        column = self.columns[cell.column]
        if cell.formula and cell.value is None:
            text = f"{column.title} holds the formula {cell.formula}, but no value was saved with it"
            self._add("error-value", number, cell.column, text, cell.formula)
            return Parsed(NOT_KNOWN)
        if cell.formula and not cell.error:
            self._remark("formula-in-cell", number, cell.column, f"{column.title} holds a formula; its last value was taken",
                         cell.formula)
        if cell.error:
            self._add("error-value", number, cell.column, f"{column.title} holds {cell.value}", str(cell.value))
            return Parsed(NOT_KNOWN)
        reader = self.readers[cell.column]
        if column.kind is Kind.SETTING:
            if column.id != "value" or fixed not in SETTING:
                return Parsed(None)
            parsed = parse_setting(fixed, cell.value, reader)
        elif column.kind in (Kind.IDENTIFIER, Kind.TEXT):
            parsed = parse(column, cell.value, reader)
        else:
            parsed = self._parsed_before(cell, reader)
        self._fault(parsed, number, cell)
        return parsed

    def _parsed_before(self, cell: Cell, reader: Reader) -> Parsed:
        """A number, date or list value: the same few come again and again, so each is taken apart once a column."""
        key = (cell.column, type(cell.value), cell.value)
        found = self.parsed.get(key)
        if found is None:
            found = self.parsed[key] = parse(self.columns[cell.column], cell.value, reader)
        return found

    def _fault(self, parsed: Parsed, number: int, cell: Cell) -> None:
        if parsed.fault is None:
            return
        if parsed.fault.slug in _TOLD_ONCE:
            self._remark(parsed.fault.slug, number, cell.column, self._in_column(parsed.fault, cell), in_words(cell.value))
        else:
            self._add(parsed.fault.slug, number, cell.column, parsed.fault.text, in_words(cell.value))

    def _in_column(self, fault: Fault, cell: Cell) -> str:
        """A fault in words, with what the other cells of its column say where that is what is asked."""
        column = self.dates.column(self.found.sheet.id, cell.column)
        if fault.slug != "dates-both-ways" or column is None or not column.mixed:
            return fault.text
        return f"{fault.text}: some dates of this column can be {column.sides()}"

    def _fixed_id(self, row: tuple[Cell, ...]) -> str | None:
        """Which setting or rule a row is for: by its hidden key, else by its words."""
        titles = _TITLES[self.found.sheet.id]
        by_column = {cell.column: cell.value for cell in row}
        key = by_column.get(self.found.places.get("row_key", 0))
        if isinstance(key, str) and key in titles.values():
            return key
        words = by_column.get(self.found.places.get(self.found.sheet.columns[0].id, 0))
        return titles.get(fold(words)) if isinstance(words, str) else None

    def _retired(self, row: tuple[Cell, ...]) -> bool:
        """Whether it is a row that older layouts had, by its hidden key or its words."""
        gone = _RETIRED.get(self.found.sheet.id, frozenset())
        places = (self.found.places.get("row_key"), self.first)
        return any(isinstance(cell.value, str) and fold(cell.value) in gone for cell in row if cell.column in places)

    def _totals(self, row: tuple[Cell, ...]) -> str:
        """What makes a row one of totals: the word in its first column or, with that blank, in another or sums alone."""
        ours = [cell for cell in row if cell.column in self.columns]
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
            others = len(places) - 1
            more = f" (and {others} more cell{'s' if others > 1 else ''} of this column)" if others else ""
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
