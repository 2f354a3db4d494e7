"""The value of every live cell, from its formula: what a workbook shows before any spreadsheet has worked it out."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from functools import cache, cached_property

from template_builder.build import Plan, all_lists, fixed_rows, last_row
from template_builder.layout.addresses import letters
from template_builder.layout.alerts import ALERTS
from template_builder.layout.choices import Choice
from template_builder.layout.columns import NOT_KNOWN, Column, Row, Sheet, Value
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW
from template_builder.layout.words import fitting, shown
from template_builder.live.below import ALL, LAST_AND_BELOW, LOOKED_AT
from template_builder.live.blocks import BLOCKS, HIDDEN, SINGLE_CELLS, alert_words, range_name, rows_in
from template_builder.live.columns import CELLS, LIVE, ROW, K, LiveSheet, LiveValue, LiveValues
from template_builder.live.evaluator.compiling import BLANK, TEXT, WHOLE, Place
from template_builder.live.evaluator.meaning import CellValue, Fault
from template_builder.live.evaluator.ranges import Area, Cells, Range, faultless
from template_builder.live.evaluator.reckoning import Formula, Language, Reckoning
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.ewe_block import EWES
from template_builder.live.laid import laid_ready
from template_builder.live.look_up import ASKED

DAY_SECONDS = 86_400
_DAY_0 = date(1899, 12, 30).toordinal()
_DAY_60 = 60  # a 29 February 1900 that never was: days before it are counted one less


def with_values(plan: Plan, moment: datetime) -> Plan:
    """The plan with the values its formulas have at this moment, or at "as of" where Season has it."""
    return replace(plan, live=live_values(plan.rows, moment))


def live_values(rows: Mapping[str, Sequence[Row]], moment: datetime, asked: str | int | None = None) -> LiveValues:
    """Values by block and column, for the rows of every entry sheet as they stand in the cells; cells alone under `CELLS`.

    `asked` is the number of the ewe looked up on Tonight.
    """
    laid = laid_out(rows)
    reckoning = reckoned(laid, moment, asked)
    blocks = {
        block.sheet.id: {column.id: _values(reckoning.column(block.sheet.name(column.id)).cells)
                         for column in block.sheet.columns if column.formula}
        for block in BLOCKS
    }
    for id, columns in laid_ready(laid).items():
        blocks[id] |= columns
    return {**blocks, CELLS: {cell.id: _values([reckoning.cell(cell.name)]) for cell in SINGLE_CELLS}}


def _values(cells: Cells) -> Sequence[LiveValue]:
    """The cells of a column as they are written; an error by its name."""
    return [cell.code if isinstance(cell, Fault) else cell for cell in cells]  # type: ignore[misc]  # never a blank


def laid_out(rows: Mapping[str, Sequence[Row]]) -> dict[str, list[Row]]:
    """The rows of every entry sheet as the build lays them out, the spare ones too."""
    found: dict[str, list[Row]] = {}
    for sheet in SHEETS:
        own = rows.get(sheet.id, ())
        laid = [*(fixed_rows(sheet, own) if sheet.fixed_rows else own)]
        found[sheet.id] = laid + [{}] * (last_row(sheet, len(laid)) - FIRST_ROW + 1 - len(laid))
    return found


def reckoned(rows: Mapping[str, Sequence[Row]], moment: datetime, asked: str | int | None = None) -> Reckoning:
    """The formulas over these rows, every row of each entry sheet given, at this moment."""
    last_rows = {id: len(own) + FIRST_ROW - 1 for id, own in rows.items()}
    sizes: dict[str, int] = {}
    for block in BLOCKS:
        sizes |= dict.fromkeys(map(block.sheet.name, block.sheet.places), rows_in(block, last_rows))
    numbers = {block.sheet.name(K): Range(range(1, rows_in(block, last_rows) + 1)) for block in BLOCKS}
    laid = {f"{LIVE}{id}_{column}": Range(cells)
            for id, columns in laid_ready(rows).items() for column, cells in columns.items()}
    return Reckoning(language(), {**_fixed(), **numbers, **laid}, _Entry(rows).cells, sizes, serial(moment), {ASKED: asked})


class _Entry:
    """The columns that people fill in and the whole sheets, by the names formulas use; each made when it is asked for."""

    def __init__(self, rows: Mapping[str, Sequence[Row]]) -> None:
        self.rows = rows

    def cells(self, name: str) -> Range | Area:
        """The cells of a name of `_entry_names`."""
        sheet, part = _entry_names()[name]
        if part == ALL:
            return _Whole(self, sheet)
        if part == LAST_AND_BELOW:
            return Area([self._last_and_below(sheet, column) for column in sheet], FIRST_ROW + len(self.rows[sheet.id]) - 1)
        return self.column(sheet, part)

    def column(self, sheet: Sheet, id: str) -> Range:
        written = [row.get(id) for row in self.rows[sheet.id]]
        return faultless([None if value is None else as_written(value) for value in written])

    def _last_and_below(self, sheet: Sheet, column: Column) -> Range:
        last = self.rows[sheet.id][-1].get(column.id)
        return faultless([as_written(last), *[None] * LOOKED_AT])


class _Whole(Area):
    """All columns of an entry sheet."""

    def __init__(self, entry: _Entry, sheet: Sheet) -> None:
        self.entry, self.sheet, self.top = entry, sheet, FIRST_ROW
        self.faulty = False

    @cached_property
    def columns(self) -> Sequence[Range]:  # type: ignore[override]  # made only where a formula looks at them
        return [self.entry.column(self.sheet, column.id) for column in self.sheet]

    @property
    def rows(self) -> int:
        return len(self.entry.rows[self.sheet.id])

    @cached_property
    def filled_in_rows(self) -> list[int]:
        ids = {column.id for column in self.sheet}
        return [sum(1 for id in ids & row.keys() if row[id] not in (None, "")) for row in self.entry.rows[self.sheet.id]]


@cache
def _entry_names() -> Mapping[str, tuple[Sheet, str]]:
    """The sheet, and the column or part of it, that a name stands for."""
    columns = {range_name(sheet, column): (sheet, column.id) for sheet in SHEETS for column in sheet}
    return columns | {f"{sheet.id}_{part}": (sheet, part) for sheet in SHEETS for part in (ALL, LAST_AND_BELOW)}


def as_written(value: Value) -> CellValue:
    """What stands in a cell for a value, as formulas see it."""
    match value:
        case None | "":
            return None
        case Choice():
            return value.label
        case str():
            return fitting(value)
        case date() | time():
            return serial(value)
        case int() | float() if not isinstance(value, bool):
            return value
    return shown(value)


def serial(value: date | datetime | time) -> int | float:
    """A date or time as the number that stands in the cell."""
    if isinstance(value, time):
        return (value.hour * 3600 + value.minute * 60 + value.second) / DAY_SECONDS
    days = value.toordinal() - _DAY_0
    days -= days <= _DAY_60
    return days + serial(value.time()) if isinstance(value, datetime) else days


@cache
def _fixed() -> Mapping[str, Range]:
    """Lists and words that are the same in every workbook."""
    lists = {name: Range([*(choice.label for choice in choices), NOT_KNOWN.value]) for name, choices in all_lists()}
    words = {name: Range([text or None for text in texts]) for name, texts in alert_words().items()}
    return {**lists, **words}


@cache
def language() -> Language:
    """Every live formula, and what each name in it stands for."""
    formulas = {cell.name: Formula(cell.formula, {}, alone=True) for cell in SINGLE_CELLS}
    others_cells = {f"_{block.sheet.id}!{cell}": name for block in HIDDEN for cell, name in _cells(block.sheet).items()}
    for block in BLOCKS:
        own = {**{cell: K if name == block.sheet.name(K) else name for cell, name in _cells(block.sheet).items()}, **others_cells}
        formulas |= {block.sheet.name(column.id): Formula(block.sheet.formula(column), own)
                     for column in block.sheet.columns if column.formula}
    others = {block.sheet.name(K): Place("column", WHOLE) for block in BLOCKS}
    others |= {block.sheet.name(column.id): Place("column", WHOLE)
               for block in BLOCKS for column in block.sheet.columns if not column.formula}
    others |= {name: Place("area" if part in (ALL, LAST_AND_BELOW) else "column") for name, (_, part) in _entry_names().items()}
    others[ASKED] = Place("cell")
    others |= dict.fromkeys(alert_words(), Place("column", TEXT | BLANK))
    others |= {name: Place("column", TEXT) for name, _ in all_lists()}
    return Language(formulas, others, {EWES.name("alerts"): [EWES.name(raised_id(alert)) for alert in ALERTS]})


def _cells(sheet: LiveSheet) -> dict[str, str]:
    """How the formulas of a block write the cells of their row, and the name of each column."""
    return {f"${letters(number)}{{{ROW}}}": sheet.name(id) for id, number in sheet.places.items()}
