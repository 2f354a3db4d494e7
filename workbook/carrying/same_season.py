"""The same season built again, as when the scan list comes in: all that was typed stands."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from template_builder.layout.columns import ROW_KEY, Row
from template_builder.layout.laying import Order, keyed, lay_ready, numbered_by_line
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.whole import SHEET
from workbook.carrying.next_season import Carried
from workbook.merging.seasons import rows_with_answers
from workbook.season.cells import Record
from workbook.season.season import Season

_LAID = ("lambing", "lambs")


def as_it_stands(season: Season) -> Carried:
    """A season with every row as it was written, and nobody who has left taken out: she stays where her record is."""
    rows: dict[str, Sequence[Row]] = {sheet.id: [written(row) for row in rows_with_answers(season, sheet)] for sheet in SHEETS}
    rows[LEFT.id] = [dict(row.values) for row in season.rows(LEFT.id)]
    first = {ewe.record: key for key, ewe in season.flock.ewes.items() if ewe.record}
    ewes = {first[row]: written(row) for row in season.rows("ewes") if row in first}
    others = tuple(written(row) for row in season.rows("ewes") if row not in first)
    return Carried(season, season.year, ewes, {}, rows, new=others, same_year=True)


def written(row: Record) -> Row:
    """A row as it stands, own columns and its key among it."""
    return {column: row.written(column) for column in row.values}


def laid_again(season: Season, ewes: Iterable[Row], order: Order, *, each_lamb: bool) -> Mapping[str, list[Row]]:
    """Ewes, Lambing and Lambs laid ready for what is known now. Rows somebody has written in keep all that stands there.

    A day book keeps its lines: only Ewes is laid anew.
    """
    listed = list(ewes)
    if any(numbered_by_line([row.values]) for sheet in _LAID for row in season.rows(sheet)):
        return {"ewes": [keyed(SHEET["ewes"], _plain(row)) for row in listed],
                **{sheet: [written(row) for row in season.rows(sheet)] for sheet in _LAID}}
    laid = lay_ready((_plain(row) for row in listed), order, each_lamb=each_lamb)
    return {"ewes": laid["ewes"], **{sheet: list(_kept(season, sheet, laid[sheet])) for sheet in _LAID}}


def _plain(row: Row) -> Row:
    return {column: value for column, value in row.items() if column != ROW_KEY.id}


def _kept(season: Season, sheet: str, laid: Sequence[Row]) -> Iterator[Row]:
    """Rows laid ready, those written in at their places, and after them those that no row laid ready is for."""
    touched: dict[tuple[object, ...], Record] = {}
    for record in season.rows(sheet):
        if record.touched:
            touched.setdefault(_about(season, sheet, written(record)), record)
    used = set()
    for row in laid:
        found = touched.get(_about(season, sheet, row))
        if found is None:
            yield row
        else:
            used.add(found)
            yield keyed(SHEET[sheet], {**_plain(row), **_plain(written(found))})
    yield from (written(record) for record in season.rows(sheet) if record.touched and record not in used)


def _about(season: Season, sheet: str, row: Row) -> tuple[object, ...]:
    """The ewe of a row, and on Lambs which of hers."""
    key = season.flock.names.match(str(row["ewe"])).key if "ewe" in row else None
    return (key, row.get("lamb_no")) if sheet == "lambs" else (key,)


