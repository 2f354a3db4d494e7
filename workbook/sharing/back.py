"""What comes back from the adviser, with the farm's own names: a shared season, or a summary made from one."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from template_builder.files.opening import Cells
from template_builder.layout.columns import ROW_KEY, Row, Value
from template_builder.layout.sheets.conflicts import CONFLICTS
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.whole import SHEET
from template_builder.layout.words import shown
from workbook.merging.cells import mark
from workbook.merging.identity import same_rows
from workbook.season.cells import Record
from workbook.season.decided import row_mark
from workbook.season.season import Season
from workbook.sharing.answered import ANSWERED
from workbook.sharing.identities import Keep, without_identities
from workbook.sharing.key import Key

_AS_TEXT = (ANSWERS.id, TO_CORRECT.id, CONFLICTS.id, LEFT.id)


def with_identities(copy: Season, original: Season, key: Key) -> Season:
    """The season of a shared copy as the farm would have written it.

    A cell that is as it was sent is the original's, with its spelling, unreadable words and all that was left out; one that was
    written in since has its aliases as the names they stand for, and so has every row that is new.
    """
    sent = without_identities(original, [Keep(one) for one in key.stays], key)
    records = {
        id: tuple(_as_text(row, key) for row in rows if not _is_ours(row)) if id in _AS_TEXT else
        tuple(_sheet(rows, original.rows(id), sent.rows.get(id, ()), key))
        for id, rows in copy.records.items()
    }
    return replace(copy, records=records, called=original.called)


def summary_with_identities(cells: Cells, key: Key) -> Cells:
    """The cells of a summary made from a shared copy, with the farm's own names and the hidden marks of its rows."""
    marks = {row_mark(one.alias): row_mark(one.original) for one in key.names}
    return with_names(cells, key, cells.tabs, marks)


def with_names(cells: Cells, key: Key, tabs: Collection[str], marks: Mapping[str, str] | None = None) -> Cells:
    """The cells of a workbook, those of these tabs with every alias as the name it stands for."""
    known = marks or {}

    def named(value: object) -> object:
        return known.get(value) or key.back(value) if isinstance(value, str) else value

    found = {tab: tuple((number, tuple(cell._replace(value=named(cell.value)) for cell in line)) for number, line in lines)
             if tab in tabs else lines for tab, lines in cells.tabs.items()}
    return replace(cells, tabs=found)


def _is_ours(row: Record) -> bool:
    """Whether an answer is one that the copy was sent with."""
    return row.sheet_id == ANSWERS.id and row.text("answer") == ANSWERED


def _sheet(rows: Sequence[Record], originals: Sequence[Record], sent: Sequence[Row], key: Key) -> list[Record]:
    """The records of one sheet, each beside the one it was sent as, where it is one of those."""
    fixed = {values[ROW_KEY.id]: values for values in sent} if rows and SHEET[rows[0].sheet_id].fixed_rows else {}
    mine = [row for row in originals if row.key in fixed] if fixed else originals
    as_sent = {replace(row, values=values, raw={}): row for row, values in zip(mine, sent, strict=True)}
    before, now = same_rows([list(as_sent), rows])
    there = dict(before)
    return [_named(row, there[found], as_sent[there[found]], key) if found in there else _new(row, key) for found, row in now]


def _new(row: Record, key: Key) -> Record:
    """A row that was not sent; a hidden mark in it belongs to no row of the original."""
    found = _as_text(row, key)
    return replace(found, values={column: value for column, value in found.values.items() if column != ROW_KEY.id})


def _named(row: Record, sent: Record, mine: Record, key: Key) -> Record:
    """A row that was sent: what was written in since, and all else as the original has it."""
    said = _as_text(row, key)
    sheet = SHEET[row.sheet_id]
    never_sent = {ROW_KEY.id, *(column.id for column in sheet.issued if sheet.fixed_rows)}  # the program's own words
    same = {column for column in (*row.values, *mine.values)
            if column in never_sent or _mark(column, row) == _mark(column, sent)}

    def joined(ours: Mapping[str, Value], theirs: Mapping[str, Value]) -> dict[str, Value]:
        kept = {column: ours[column] for column in same if column in ours}
        return {**kept, **{column: value for column, value in theirs.items() if column not in same}}

    values = joined(mine.values, said.values)
    for column in said.values.keys() - same - sent.values.keys() & mine.values.keys():
        values[column] = f"{shown(mine.written(column))}; {shown(said.written(column))}"  # written where a text was left out
    return replace(row, values=values, raw=joined(mine.raw, said.raw))


def _mark(column: str, row: Record) -> object:
    return mark(column, row.sheet_id, row.written(column))


def _as_text(row: Record, key: Key) -> Record:
    """A row with every alias in its texts as the name it stands for."""
    return replace(row, values=_texts(row.values, key), raw=_texts(row.raw, key))


def _texts(values: Mapping[str, Value], key: Key) -> dict[str, Value]:
    return {column: key.back(value) if isinstance(value, str) and column != ROW_KEY.id else value
            for column, value in values.items()}
