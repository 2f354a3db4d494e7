"""Read a season workbook: every cell becomes a value that knows its place, or a problem in words. Nothing is dropped."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cells, open_cells
from template_builder.files.progress import Tell, silent
from template_builder.layout.choices import DateOrder, WeightUnit
from template_builder.layout.columns import Start
from template_builder.layout.paper_tabs import is_paper
from template_builder.layout.sheets import SHEETS
from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import LAYOUT_VERSION, META_TAB, PROGRAM_TABS, UNREAD_TABS
from template_builder.layout.words import so_many_are
from workbook.reading.anchors import Anchored, anchor
from workbook.reading.corrections import PROGRAM_LISTS, corrections, is_program_tab
from workbook.reading.date_columns import Dates, judge
from workbook.reading.drop_downs import wiped
from workbook.reading.long_texts import long_headings, long_texts
from workbook.reading.older_layouts import older
from workbook.reading.out_of_sight import hidden, merged
from workbook.reading.parsed import Reader
from workbook.reading.problems import reading_problem
from workbook.reading.row_keys import beside_their_rows
from workbook.reading.rows import Rows
from workbook.reading.weight_headings import other_units
from workbook.rules.rule import BLANK, Problem
from workbook.season.believable import this_minute
from workbook.season.cells import CellRef, Record
from workbook.season.row_names import row_name
from workbook.season.season import Season

_BARE_DAYS = "dates stand as bare numbers, since the program that saved it dropped how cells look; they were read as dates"

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
    if is_paper(cells.tabs):
        raise Unreadable(f"{cells.file} is what was printed to be written on: give the season workbook it belongs to.")
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
    dates = _dates(cells, anchored)
    for id, found in anchored.items():
        sheet_records, faults = _records(cells, found, dates)
        records[id] = sheet_records
        problems += merged(cells, found) + hidden(cells, found) + long_headings(cells, found) + faults
        if version == LAYOUT_VERSION:  # another layout may have its lists elsewhere
            problems += wiped(cells, found, sheet_records)
    answers = corrections(cells)
    records |= answers
    theirs = {sheet.title for sheet in PROGRAM_LISTS if not is_program_tab(cells, sheet)}
    read_tabs = {*PROGRAM_TABS, *(found.tab for found in anchored.values())} - theirs
    problems += long_texts(cells)
    missing = {address for found in anchored.values() for address in found.missing}
    season = Season(
        cells.file, records, datetime.min, frozenset(missing | _absent(anchored)),
        {found.tab: tuple(found.own.values()) for found in anchored.values() if found.own},
        tuple(tab for tab in cells.tabs if tab not in read_tabs),
        version, tuple(cells.tabs), (*cells.notes, *([_BARE_DAYS] if cells.bare_days else [])), *_as_built(cells),
    )
    moment = as_of or season.settings.moment("as_of") or this_minute()
    return Reading(replace(season, as_of=moment), tuple(_named(problems, records)))


def _named(problems: Iterable[Problem], records: Mapping[str, tuple[Record, ...]]) -> Iterator[Problem]:
    """The problems, each with a name of its row and a value, so that a problem can be answered."""
    rows = {(row.tab, row.row): row for sheet in records.values() for row in sheet}
    for problem in problems:
        found, row = problem.found, rows.get((problem.place.sheet, problem.place.row))
        name = found.row_name or (row_name(row) if row else f"row {found.place.row}" if found.place.row else found.place.sheet)
        yield replace(problem, found=replace(found, row_name=name, value=found.value or BLANK))


def _layout_version(cells: Cells) -> int | None:
    """The layout the workbook was built with, None where that is not written. Raises Unreadable for a newer one."""
    version = _of_itself(cells).get("layout")
    if not isinstance(version, int | float):
        return None
    if version > LAYOUT_VERSION:
        raise Unreadable(
            f"{cells.file} was built by a newer version of this program (layout {version:g}, here {LAYOUT_VERSION}). "
            "Update the program and run this again."
        )
    return int(version)


def _as_built(cells: Cells) -> tuple[Start, str]:
    """Which start the workbook was built for, and what it is called."""
    said = _of_itself(cells)
    start = next((start for start in Start if start.value == said.get("start")), Start.INDOORS)
    return start, str(said.get("title") or "Lambing season")


def _of_itself(cells: Cells) -> Mapping[object, object]:
    """What the build wrote of the workbook itself, on a hidden tab."""
    return {row[0].value: row[1].value for _, row in cells.tabs.get(META_TAB, ()) if len(row) > 1}


def _dates(cells: Cells, anchored: Mapping[str, Anchored]) -> Dates:
    """How each date column is read: for that the lambing year and what Season says of written dates are read first."""
    reader = Reader(bare_days=cells.bare_days)
    if "season" not in anchored:
        return judge(cells, anchored, reader, None)
    found = anchored["season"]
    rows, _ = _records(cells, found, Dates({}, reader, None, cells.epoch))
    settings = Season(cells.file, {"season": rows}, datetime.min).settings
    year = settings.maybe("year")
    said = settings.choice("date_order", DateOrder) if settings.own("date_order") else None
    reader = replace(reader, year=int(year) if year else None, weights_in=settings.choice("weights_in", WeightUnit))
    return judge(cells, anchored, reader, said)


def _absent(anchored: Mapping[str, Anchored]) -> set[str]:
    return {sheet.address(column) for sheet in SHEETS if sheet.id not in anchored for column in sheet}


def _records(cells: Cells, found: Anchored, dates: Dates) -> tuple[tuple[Record, ...], list[Problem]]:
    """The records below the headings of one sheet. A row with nothing but its hidden key is no record."""
    rows = Rows(cells.file, found, dates)
    lines = (line for line in cells.tabs[found.tab] if not found.is_head(*line))
    records = tuple(record for line in lines for record in rows.read(line))
    unit = dates.reader.weights_in
    problems = [*_above(cells, found, records), *other_units(cells, found, records, unit), *rows.all_problems()]
    if rows.keyed:
        records, behind = beside_their_rows(found.sheet, records)
        problems += behind
    return records, problems


def _above(cells: Cells, found: Anchored, records: Sequence[Record]) -> list[Problem]:
    """A problem where records stand above the headings, as when the whole sheet was sorted."""
    above = [record.row for record in records if record.row < found.heading_row]
    if not above:
        return []
    rows = so_many_are(len(above), "row", "stands", "stand")
    text = f"{rows} above the headings, which are in row {found.heading_row}; read all the same"
    return [reading_problem("rows-above-headings", CellRef(cells.file, found.tab, above[0], 0), text, str(len(above)))]
