"""Seasons into one: the rows of every sheet, and the cells on which the copies do not agree."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from template_builder.build import fixed_rows
from template_builder.layout.addresses import letters
from template_builder.layout.columns import NOT_KNOWN, OWN, ROW_KEY, Row, Sheet, Value
from template_builder.layout.laying import row_key
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.whole import FIRST_ROW
from template_builder.layout.words import shown
from workbook.merging.cells import Before, Claim, Recorder, Settled, mark, mark_of, settle
from workbook.merging.identity import Key, in_order, same_rows
from workbook.merging.units import with_units
from workbook.rules.answers import written_key
from workbook.rules.checks.conflicts import claims_of, open_conflicts, stands
from workbook.season.cells import Record, titled
from workbook.season.laid_ready import as_laid
from workbook.season.matching import fold
from workbook.season.row_names import row_name
from workbook.season.season import Season

_LAST = 100_000  # stands for a place right of all others: a spreadsheet has fewer columns
LEAVING = ("left_on", "left_how")
_RECORDED_BY = ("recorded_by", "given_by", "answered_by")


@dataclass(frozen=True)
class Conflict:
    """A cell on which copies do not agree. `cell` is that of the merged workbook, `stands` what it holds now, None blank."""

    sheet: Sheet
    cell: str
    row_name: str
    heading: str
    stands: Value
    claims: tuple[Claim, ...]


@dataclass(frozen=True)
class Merged:
    """The rows of every sheet by sheet id, as the build takes them, every conflict in the order of sheets and rows, and where
    each row of a copy went."""

    rows: Mapping[str, list[Row]]
    conflicts: tuple[Conflict, ...]
    places: Mapping[tuple[str, str, int], tuple[Sheet, int]] = field(default_factory=dict)  # file, tab and row -> row here


def merge(copies: Sequence[Season], base: Season | None = None) -> Merged:
    """Copies of one season made one, in whichever order they come. `base` is the workbook as it was when they were made."""
    copies, base = with_units(copies, base)
    rows: dict[str, list[Row]] = {}
    conflicts: list[Conflict] = []
    places: dict[tuple[str, str, int], tuple[Sheet, int]] = {}
    recorder = partial(_recorded_by, {season.file: _recorders(season) for season in copies})
    for sheet in SHEETS:
        rows[sheet.id], found = _merge_sheet(sheet, copies, base, recorder, places)
        conflicts += found
    rows[LEFT.id] = _left(copies)
    return Merged(rows, tuple(conflicts), places)


def _merge_sheet(
    sheet: Sheet, copies: Sequence[Season], base: Season | None, recorder: Recorder,
    places: dict[tuple[str, str, int], tuple[Sheet, int]],
) -> tuple[list[Row], list[Conflict]]:
    before_them = rows_with_answers(base, sheet) if base else ()
    *keyed, before = same_rows([*(rows_with_answers(season, sheet) for season in copies), before_them])
    alike: dict[Key, list[Record]] = {}
    for key, row in (pair for rows in keyed for pair in rows):
        alike.setdefault(key, []).append(row)
    columns = [column.id for column in sheet if not (sheet.fixed_rows and column.issued)]
    columns += _own(copies, (row for rows in alike.values() for row in rows))
    began = _Began(sheet, dict(before))
    disputes = {(found.row, found.column): conflict for season in copies for conflict, found in open_conflicts(season)}
    rows: list[Row] = []
    conflicts: list[Conflict] = []
    for key in in_order(keyed, before):
        settled = {
            column: settle(column, alike[key], partial(began.before, key, alike[key], column), recorder) for column in columns
        }
        settled |= _gone(sheet, settled) | _still_open(disputes, alike[key], settled)
        if sheet.keyed:
            settled[ROW_KEY.id] = Settled(_row_key(sheet, alike[key]))
        rows.append({column: cell.value for column, cell in settled.items() if cell.value is not None or column.startswith(OWN)})
        number = began.fixed.index(key.parts[0]) if sheet.fixed_rows else len(rows) - 1
        places |= {(row.file, row.tab, row.row): (sheet, FIRST_ROW + number) for row in alike[key]}
        conflicts += (
            Conflict(sheet, _cell(sheet, columns, column, number), _name(alike[key]), _heading(sheet, column), *cell)
            for column, cell in settled.items() if cell.claims
        )
    return rows, conflicts


def _gone(sheet: Sheet, settled: Mapping[str, Settled]) -> dict[str, Settled]:
    """How and when an animal left, where the copies differ about it: not known, for they agree that it is gone."""
    leaving = {id: settled[id] for id in LEAVING if any(column.id == id for column in sheet)}
    if not any(cell.claims for cell in leaving.values()):
        return {}
    return {id: cell._replace(value=NOT_KNOWN) for id, cell in leaving.items() if cell.value is None}


def _still_open(
    disputes: Mapping[tuple[Record, str], Record], rows: Sequence[Record], settled: Mapping[str, Settled],
) -> dict[str, Settled]:
    """Cells that an earlier merge left open in one of the copies, and that no other copy has filled in since."""
    found: dict[str, Settled] = {}
    for row in rows:
        for column, cell in settled.items():
            conflict = disputes.get((row, column))
            if conflict is not None and not cell.claims and fold(shown(cell.value)) == fold(stands(conflict)):
                found[column] = Settled(cell.value, tuple(Claim(value, (), said=source) for value, source in claims_of(conflict)))
    return found


def _row_key(sheet: Sheet, rows: Sequence[Record]) -> str | None:
    """The hidden key of a row: that of a copy in which the row is as it was laid ready, else any."""
    keys = {row.key for row in rows if row.key}
    if len(keys) > 1:
        keys = {row.key for row in rows if row.key and as_laid(sheet, row)} or keys
    return min(keys, default=None)


def rows_with_answers(season: Season, sheet: Sheet) -> tuple[Record, ...]:
    """The rows of a sheet; on Answers also what has been answered on To correct, unless it stands there already."""
    rows = season.rows(sheet.id)
    if sheet is not ANSWERS:
        return rows
    there = {written_key(row) for row in rows if row.filled("answer")}
    moved = (row for row in season.rows(TO_CORRECT.id) if row.filled("answer") and written_key(row) not in there)
    return (*rows, *(replace(row, sheet_id=ANSWERS.id) for row in moved))


def _left(copies: Sequence[Season]) -> list[Row]:
    """The ewes on Left of any copy, each once: people do not write there."""
    rows: dict[tuple[str, str | None], Record] = {}
    for row in (row for season in copies for row in season.rows(LEFT.id)):
        rows.setdefault((fold(row.words("ewe")), row.text("season")), row)
    return [{column.id: row.held(column.id) for column in LEFT.own_columns} for row in rows.values()]


class _Began:
    """What the cells of one sheet held before the copies were made, as far as that can be told."""

    def __init__(self, sheet: Sheet, base: Mapping[Key, Record]) -> None:
        self.sheet, self.base = sheet, base
        self.defaults = {str(row["row_key"]): row for row in fixed_rows(sheet, ())} if sheet.fixed_rows else {}
        self.fixed = list(self.defaults)

    def before(self, key: Key, rows: Sequence[Record], column: str) -> Before:
        """What a cell held, and what makes another the same."""
        if key in self.base:
            return Before(self.base[key].written(column), mark_of(column, self.base[key]))
        value = self._value(key, rows, column)
        return Before(value, mark(column, self.sheet.id, value))

    def _value(self, key: Key, rows: Sequence[Record], column: str) -> Value:
        """The default of a setting or rule, else the issued cell that the row key was made from."""
        if self.sheet.fixed_rows:
            return self.defaults.get(key.parts[0], {}).get(column)
        if any(issued.id == column for issued in self.sheet.issued):
            untouched = (row for row in rows if row.key and row_key(self.sheet, row.values) == row.key)
            return next((row.written(column) for row in untouched), None)
        return None


def _own(copies: Sequence[Season], rows: Iterable[Record]) -> list[str]:
    """The persons' own columns of a sheet, as they stand from left to right in the copies."""
    places: dict[str, int] = {}
    tabs: dict[str, set[str]] = {}
    for row in rows:
        tabs.setdefault(row.file, set()).add(row.tab)
        places |= dict.fromkeys((column for column in row.values if column.startswith(OWN)), _LAST)
    titles = (season.own_columns.get(tab, ()) for season in copies for tab in tabs.get(season.file, ()))
    for place, title in (pair for found in titles for pair in enumerate(found)):
        places[OWN + title] = min(place, places.get(OWN + title, place))
    return sorted(places, key=lambda column: (places[column], column))


def _cell(sheet: Sheet, columns: Sequence[str], column: str, number: int) -> str:
    """Where a cell stands in the merged workbook: the build writes own columns after those of the sheet."""
    known = [known.id for known in sheet]
    own = [name for name in columns if name.startswith(OWN)]
    return f"{letters([*known, *own].index(column) + 1)}{FIRST_ROW + number}"


def _heading(sheet: Sheet, column: str) -> str:
    return column.removeprefix(OWN) if column.startswith(OWN) else titled(sheet.column(column))


def _name(rows: Sequence[Record]) -> str:
    """What a person calls the row. Of several spellings the first, so that the order of the files makes no difference."""
    return min(row_name(row) for row in rows)


def _recorders(season: Season) -> Mapping[str, str]:
    """Who recorded each ewe's lambing, by her folded number: they recorded her lambs too."""
    rows = ((row.text("ewe"), row.text("recorded_by")) for row in season.rows("lambing"))
    return {fold(ewe): name for ewe, name in rows if ewe and name}


def _recorded_by(by_ewe: Mapping[str, Mapping[str, str]], row: Record) -> str | None:
    """Who recorded a row, as far as that is written in the copy."""
    own = next((name for column in _RECORDED_BY if row.has(column) and (name := row.text(column))), None)
    if own is None and row.sheet_id == "lambs":
        return by_ewe.get(row.file, {}).get(fold(row.words("ewe")))
    return own
