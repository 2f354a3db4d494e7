"""Rows as they stand in the cells, and the season the formulas see in them: matched as trimmed text, nothing parsed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from template_builder.build import fixed_rows, last_row
from template_builder.choices import Choice, TreatedFor
from template_builder.columns import NOT_KNOWN, Column, Kind, Row, Sheet, Value
from template_builder.layout import FIRST_ROW
from template_builder.live.columns import LiveValue
from template_builder.live.formulas import DAY, EWE, MINUTES, NO_DAY, NO_MINUTE, NOT_MATCHED, UNREADABLE, unknown
from template_builder.sheets import SHEETS
from workbook.cells import Record
from workbook.links import fold
from workbook.season import Season

_EPOCH = datetime(1899, 12, 30)  # day 0 of spreadsheets
_DAY_SECONDS = 86_400
_NUMBERS = (Kind.WHOLE, Kind.NUMBER, Kind.DATE, Kind.MOMENT)
_LINKS = (("lambing", "ewe"), ("lambs", "ewe"), ("lambs", "foster_ewe"), ("ewe_check", "ewe"), ("treatments", "animal"))
_OTHER_NAMES = ("official_tag", "also_known_as")


@dataclass(frozen=True)
class Rows:
    """`typed` are the rows as written and the spare ones, by sheet id; `season` is what the formulas take them for.

    `ewes` and `groups` give the row number (from 1) of each name; the first row of a name counts.
    """

    typed: Mapping[str, tuple[Record, ...]]
    season: Season
    when: datetime
    ewes: Mapping[str, int]
    groups: Mapping[str, int]

    def ewe(self, written: LiveValue) -> int:
        """The row of a ewe: 0 for a blank, -1 where Ewes does not have her as written."""
        return _row(self.ewes, written)

    @property
    def now(self) -> float:
        """The moment as a spreadsheet counts it."""
        return serial(self.when)

    def group(self, written: LiveValue) -> int:
        return _row(self.groups, written)


def _row(rows: Mapping[str, int], written: LiveValue) -> int:
    return 0 if written in ("", NOT_KNOWN.value) else rows.get(fold(str(written)), NOT_MATCHED)


def rows_as_written(rows: Mapping[str, Sequence[Row]], moment: datetime) -> Rows:
    """The rows of a plan, and the season the formulas see. "As of" on Season goes before `moment`."""
    typed = {sheet.id: _records(sheet, rows.get(sheet.id, ())) for sheet in SHEETS}
    ewes, groups = _places(typed["ewes"], "ewe"), _places(typed["groups"], "group")
    seen = {sheet.id: tuple(_seen(sheet, record) for record in typed[sheet.id]) for sheet in SHEETS if sheet.id != "weights"}
    for id, column in _LINKS:
        seen[id] = tuple(_set_apart(record, column, ewes) for record in seen[id])
    seen["ewes"] = tuple(_without(record, _OTHER_NAMES) for record in seen["ewes"])
    season = Season("", seen, moment)
    laid = {sheet.id: (*typed[sheet.id], *_spare(sheet, len(typed[sheet.id]))) for sheet in SHEETS}
    return Rows(laid, season, season.settings.moment("as_of") or moment, ewes, groups)


def _records(sheet: Sheet, own: Sequence[Row]) -> tuple[Record, ...]:
    rows = fixed_rows(sheet, own) if sheet.fixed_rows else own
    return tuple(
        Record(sheet.id, "", sheet.title, number, {id: value for id, value in row.items() if value is not None}, {},
               _issued(sheet, row))
        for number, row in enumerate(rows, start=FIRST_ROW)
    )


def _issued(sheet: Sheet, row: Row) -> frozenset[str]:
    added = sheet.keyed and "row_key" not in row
    return frozenset() if added else frozenset(column.id for column in sheet.issued_in(row))


def _spare(sheet: Sheet, rows: int) -> Iterator[Record]:
    """The blank rows laid ready below."""
    for number in range(FIRST_ROW + rows, last_row(sheet, rows) + 1):
        yield Record(sheet.id, "", sheet.title, number, {}, {})


def _places(records: Sequence[Record], column: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for number, record in enumerate(records, start=1):
        if name := text(record, column):
            found.setdefault(fold(name), number)
    return found


def _seen(sheet: Sheet, record: Record) -> Record:
    """A word that is not in the list, or words where a number belongs, count as not known."""
    columns = {column.id: column for column in sheet}
    values = {id: _understood(columns[id], value) if id in columns else value for id, value in record.values.items()}
    return Record(sheet.id, "", record.tab, record.row, values, {}, record.issued)


def _understood(column: Column, value: Value) -> Value:
    if not isinstance(value, str):
        return value
    if column.choices:
        return _listed(column.choices, value) or NOT_KNOWN
    return NOT_KNOWN if column.kind in _NUMBERS else value


def _listed(choices: type[Choice], written: str) -> Choice | None:
    return next((choice for choice in choices if choice.label.casefold() == fold(written)), None)


def _set_apart(record: Record, column: str, ewes: Mapping[str, int]) -> Record:
    """A number that Ewes does not have as written is no ewe to the formulas, whatever else it might stand for."""
    written = record.text(column)
    if written is None or fold(written) in ewes or record.values.get("given_to", TreatedFor.EWE) is not TreatedFor.EWE:
        return record
    values = {**record.values, column: f"{written} (not on Ewes)"}
    return Record(record.sheet_id, "", record.tab, record.row, values, {}, record.issued)


def _without(record: Record, columns: Sequence[str]) -> Record:
    values = {id: value for id, value in record.values.items() if id not in columns}
    return Record(record.sheet_id, "", record.tab, record.row, values, {}, record.issued)


def serial(value: date | datetime | time) -> float:
    """A date or time as the number that stands in the cell."""
    if isinstance(value, time):
        return (value.hour * 3600 + value.minute * 60 + value.second) / _DAY_SECONDS
    moment = value if isinstance(value, datetime) else datetime.combine(value, time.min)
    return (moment - _EPOCH).total_seconds() / _DAY_SECONDS


def minute(value: datetime | date | None) -> int:
    """A moment in minutes; where there is none, later than all others."""
    return NO_MINUTE if value is None else round(serial(value) * MINUTES)


def text(record: Record | None, column: str) -> str:
    """What is written, without spaces at its ends and with single ones between."""
    value = record.values.get(column) if record else None
    return "" if value is None else " ".join(_shown(value).split())


def _shown(value: Value) -> str:
    return value.label if isinstance(value, Choice) else NOT_KNOWN.value if value is NOT_KNOWN else str(value)


def number(record: Record | None, column: str) -> LiveValue:
    """The number or date written, "" for a blank, else the words that stand there."""
    value = record.values.get(column) if record else None
    if isinstance(value, date | datetime | time):
        return serial(value)
    return value if isinstance(value, int | float) else text(record, column)


def code(record: Record | None, column: str, choices: type[Choice]) -> int:
    """The place of a value in its list, 0 for a blank, one more than the list is long for "?", -1 for another word."""
    value = record.values.get(column) if record else None
    if value is None:
        return 0
    if value is NOT_KNOWN:
        return unknown(choices)
    listed = value if isinstance(value, choices) else _listed(choices, _shown(value))
    return list(choices).index(listed) + 1 if listed else UNREADABLE


def bad(*values: LiveValue) -> bool:
    """Whether words other than "?" stand where numbers belong."""
    return any(isinstance(value, str) and value not in ("", NOT_KNOWN.value) for value in values)


def key(row: int, ewe: int, day: LiveValue) -> int:
    """The key of a row of a ewe by date, as formulas reckon it."""
    return ewe * EWE + (int(day) if isinstance(day, int | float) else NO_DAY) * DAY + row
