"""What a season holds that the next one does not begin with, and why: nothing is left behind in silence."""

from collections.abc import Iterator

from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import SHEET
from template_builder.layout.words import so_many
from workbook.carrying.history import not_known_in_which
from workbook.carrying.said import Said, named
from workbook.results.advice.decisions import WEANED
from workbook.results.pipeline import Result
from workbook.season.cells import Record, titled
from workbook.season.matching import How
from workbook.season.season import Season

# Columns that go into the next season: as they are, or into history or Left.
STAY = ("ewe", "group", "breed", "born_year", "official_tag", "also_known_as", "notes")
GROUP_STAYS = ("group", "kept", "how_recorded", "notes")
_TAKEN_IN = {
    "ewes": {*STAY, "lambings_before", "left_on", "left_how", "left_why",
             *(column.id for column in SHEET["ewes"] if column.of_past)},
    "groups": {*GROUP_STAYS},
}
_CARRIED_SHEETS = ("ewes", "groups", "season", "policy")


def not_carried(result: Result) -> Iterator[Said]:
    """Everything that stays behind in the file of the season past, with why."""
    season = result.season
    yield from _stage(result)
    for sheet in ("ewes", "groups"):
        yield from _columns(season, sheet)
    yield from _rows(season)
    yield from _own(season)
    yield from _of_ewes(season)


def _stage(result: Result) -> Iterator[Said]:
    if result.stage != WEANED and any(ewe.delivered for ewe in result.season.flock.ewes.values()):
        yield Said(f"{result.season.file} has no records of weaning yet: lambs count as reared in the histories while nothing "
                   "else is written of them", asks=True)


def _columns(season: Season, sheet: str) -> Iterator[Said]:
    filled = {column for row in season.rows(sheet) for column in row.values}
    left = [titled(column) for column in SHEET[sheet].own_columns if column.id in filled - _TAKEN_IN[sheet]]
    if left:
        yield Said(f"not carried from {SHEET[sheet].title}, as of the season past: {', '.join(left)}")


def _rows(season: Season) -> Iterator[Said]:
    """The sheets of what happened: what they say of a ewe is in her history."""
    counts = [(sheet.title, sum(row.touched for row in season.rows(sheet.id))) for sheet in SHEETS
              if sheet.id not in _CARRIED_SHEETS]
    told = [f"{title} ({so_many(number, 'row')})" for title, number in counts if number]
    if told:
        yield Said(f"not carried, as of the season past: {', '.join(told)}; what they say of each ewe is in her history")


def _own(season: Season) -> Iterator[Said]:
    """A person's own columns and sheets, but for those columns on Ewes and Groups that go with their rows."""
    carried = {row.tab for sheet in ("ewes", "groups") for row in season.rows(sheet)}
    for tab, titles in season.own_columns.items():
        if tab not in carried:
            yield Said(f"not carried: your own columns of {tab}, {', '.join(titles)}, which belong to its rows")
    if season.own_sheets:
        yield Said(f"not carried: your own sheets {', '.join(season.own_sheets)}; copy them over where you want them")
    yield from (Said(f"not carried: {words}") for words in season.left_alone)


def _of_ewes(season: Season) -> Iterator[Said]:
    """Rows that belong to no ewe, to two, or to one twice: each with its cell."""
    for row in season.rows("ewes"):
        if row.touched and row.text("ewe") is None:
            yield Said(f"{_at(row)} has no number in it and was not carried: write whose row it is, or clear it", asks=True)
    for ewe in season.flock.ewes.values():
        if ewe.record and ewe.doubles:
            cells = ", ".join(str(row.at("ewe")) for row in ewe.doubles)
            yield Said(f"{_at(ewe.record)}: ewe {ewe.name} stands again in {cells}; the first row was carried: correct the "
                       "number of the others, or clear them", asks=True)
    for record, column, written in _numbers(season):
        if season.flock.names.match(written).how is How.TWO_FIT:
            yield Said(f"{record.file}:{record.at(column)}: {two_fit(season, written)}; nothing of that row is in a history: "
                       "write the number in full", asks=True)
    unknown = [ewe.name for ewe in season.flock.ewes.values() if not_known_in_which(ewe) and not ewe.gone]
    yield from named(unknown, "a fault in one of the last two lambings, of which it is not written in which: left blank")


def _numbers(season: Season) -> Iterator[tuple[Record, str, str]]:
    """Every cell that names a ewe on the sheets of what happened, and those that fit nobody."""
    for sheet in SHEETS:
        for column in sheet.own_columns:
            if column.links_to == "ewes.ewe":
                yield from ((row, column.id, written) for row in season.rows(sheet.id)
                            if row.touched and (written := row.text(column.id)))
    yield from season.flock.unmatched


def two_fit(season: Season, written: str) -> str:
    """That a number fits two ewes, with where they stand."""
    places = [f"{ewe.name} ({ewe.record.at('ewe')})" for key in season.flock.names.fitting(written)
              if (ewe := season.flock.ewes.get(key)) and ewe.record]
    return f"{written} fits two ewes, {' and '.join(places)}"


def _at(row: Record) -> str:
    return f"{row.file}:{row.at('ewe')}"


