"""Slips that reach many cells at once: all dates years out, or one issued column sorted without the others."""

from collections.abc import Iterator, Mapping

from template_builder.layout.columns import Row, Sheet, Value
from template_builder.layout.laying import row_key
from template_builder.layout.sheets import SHEETS
from template_builder.layout.words import shown
from workbook.results.statistics.proportions import PER_CENT
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.cells import Record, titled
from workbook.season.date_system import LEAST_DATES, LEAST_SHARE, SYSTEMS_APART, dates
from workbook.season.laid_ready import LEAST_CHANGED, as_laid, issued_cells, too_many
from workbook.season.laid_ready import LEAST_SHARE as LEAST_CHANGED_SHARE
from workbook.season.row_names import row_name
from workbook.season.season import Season


@declare("C143", "dates-years-out", title="All dates of the workbook are four years out", severity=Severity.ERROR,
         why="Spreadsheets count days from 1900 or from 1904; this file was switched after it was filled in. Nothing else is "
             "said of dates, since every one would be queried.",
         source="the two starts lie 1,462 days apart in the file format, ISO/IEC 29500",
         fix="Switch the 1904 date system back in the options of the spreadsheet program, and save.",
         limits=(
             Limit("Days between the two starts", SYSTEMS_APART, "days", "1 January 1900 to 2 January 1904.", "ISO/IEC 29500"),
             Limit("Least dates", LEAST_DATES, "dates", "Fewer may be slips of their own.", "house rule"),
             Limit("Share that must be out", LEAST_SHARE * PER_CENT, "%", "Some may have been typed since.", "house rule"),
         ))
def dates_years_out(season: Season) -> Iterator[Found]:
    if season.days_out:
        (row, column, day), *others = [one for one in dates(season.records) if one[2] not in season.days]
        word = "late" if season.days_out > 0 else "early"
        text = (f"{len(others) + 1} dates lie outside the season, nearly all {SYSTEMS_APART:,} days {word}, first {shown(day)}; "
                "the date system of the file was switched")
        yield Found(row.at(column), text, shown(day), tuple(other.at(name) for other, name, _ in others), row_name(row))



CHANGED_ROWS = Limit("Least rows that changed", LEAST_CHANGED, "rows", "One or two are corrections of the scan.", "house rule")
CHANGED_SHARE = Limit("Share of issued rows that changed", LEAST_CHANGED_SHARE * PER_CENT, "%",
                      "Fewer are corrections of the scan.", "house rule")
TRIED_ROWS = Limit("Rows in which the old value is sought", 10, "rows", "Enough to see which column moved.", "house rule")
SORTED_ALONE = "C144"


@declare(SORTED_ALONE, "issued-column-sorted", title="A column was sorted without the others", severity=Severity.ERROR,
         why="Ewes stand beside the records of other ewes, and nothing else shows it. Each row laid ready carries a mark of the "
             "ewe, scan and due date it was made for.",
         source="house rule", uses=("lambing.row_key", "lambs.row_key", "ewes.row_key"),
         fix="Undo the sorting, or copy the column from an earlier copy of the workbook; sort all columns together.",
         limits=(CHANGED_ROWS, CHANGED_SHARE, TRIED_ROWS))
def issued_column_sorted(season: Season) -> Iterator[Found]:
    for sheet in SHEETS:
        if found := sorted_alone(season, sheet):
            words, (first, *others), keyed = found
            column = sheet.issued[0].id
            text = f"{words} sorted without the rest: {len(others) + 1} of {keyed} rows no longer fit their mark"
            yield Found(first.at(column), text, str(len(others) + 1), tuple(row.at(column) for row in others),
                        row_name(first))


def sorted_alone(season: Season, sheet: Sheet) -> tuple[str, list[Record], int] | None:
    """Which column was sorted, the rows that changed, and how many rows are marked; None where none was."""
    if sheet.fixed_rows or not sheet.issued:
        return None
    keyed = [row for row in season.rows(sheet.id) if row.key]
    changed = [row for row in keyed if not as_laid(sheet, row)]
    if not too_many(len(changed), len(keyed)):
        return None
    words = _moved(sheet, changed)
    return (words, changed, len(keyed)) if words else None


def _moved(sheet: Sheet, changed: list[Record]) -> str:
    """The column whose other values bring most rows back to their marks; empty where none does, as after corrections."""
    tried = changed[: int(TRIED_ROWS.value)]
    back: dict[str, int] = {}
    for column in sheet.issued:
        values = {row.held(column.id) for row in changed}
        back[f"{titled(column)} was"] = sum(_comes_back(sheet, row, column.id, values) for row in tried)
    best = max(back, key=lambda words: back[words])
    return best if 2 * back[best] > len(tried) else ""


def _comes_back(sheet: Sheet, row: Record, column: str, values: set[Value]) -> bool:
    written: Mapping[str, Value] = issued_cells(sheet, row)
    rows: Iterator[Row] = ({**written, column: value} for value in values)
    return any(row_key(sheet, other) == row.key for other in rows)
