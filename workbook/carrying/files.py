"""From files to the rows of the next season: the workbook of the season before, what the meeting decided, and a scan list."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from template_builder.files.opening import Cells, open_cells
from template_builder.files.progress import Tell, silent
from template_builder.files.told import Told
from template_builder.layout.choices import HowRecorded, Kept, WeightUnit
from template_builder.layout.columns import Row, Start
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.summary_tabs import RECORD_TABS
from template_builder.layout.whole import UNREAD_TABS
from template_builder.layout.words import shown, so_many
from template_builder.scan.by_ewe import ScanList
from template_builder.scan.season_rows import KEPT, RECORDED, Mating, filled, lambing_year
from template_builder.scan.tally import TallyList
from template_builder.scan.tally_rows import tally_season_rows, tally_year
from workbook.carrying.next_season import Carried, next_season, policy_rows
from workbook.carrying.said import Said
from workbook.carrying.same_season import as_it_stands, laid_again
from workbook.carrying.scanned import with_scan, without_scan
from workbook.merging.own_marks import has_own_looks
from workbook.merging.own_sheets import OwnSheet, own_sheets
from workbook.reading.season_file import Reading, read_cells
from workbook.reading.summary_file import decisions_in
from workbook.results.pipeline import analyse, check
from workbook.rules.rule import Problem, Severity
from workbook.season.cells import Record
from workbook.season.decided import Decided
from workbook.season.matching import fold
from workbook.season.season import Season
from workbook.sharing.back import summary_with_identities
from workbook.sharing.key import must_fit, read_key

OLDER = "older-layout"


class OtherYear(Told):
    """The workbook given as the one before is not of an earlier season."""


@dataclass(frozen=True)
class Asked:
    """What was asked of a build beside the files."""

    mating: Mating = Mating()
    order: Order = Order.DUE
    start: Start | None = None
    weights_in: WeightUnit | None = None
    key: Path | None = None


@dataclass(frozen=True)
class Begun:
    """A season ready to be built: its rows by sheet id, what is shown, a person's own sheets, and all that has to be told."""

    year: int
    rows: Mapping[str, Sequence[Row]]
    start: Start
    said: tuple[Said, ...]
    own_sheets: tuple[OwnSheet, ...] = ()
    same_year: bool = False


def begin(previous: Path, decisions: Path | None, scan: ScanList | TallyList | None, asked: Asked, tell: Tell = silent) -> Begun:
    """The season that follows the one of the workbook at `previous`, or that one again where the list is of its own year.

    Raises Unreadable for a file that is none of ours, and OtherYear where the list is older than the workbook.
    """
    cells = open_cells(previous, UNREAD_TABS, tell)
    reading = read_cells(cells)
    year = _year(reading.season, scan, asked.mating)
    start = asked.start or reading.season.start
    if year == reading.season.year:
        checked = check(reading, tell)
        carried, own = as_it_stands(reading.season), own_sheets([(cells, reading.season)])
        said = [*_problems(reading.season, checked.problems), *_told_again(previous, decisions)]
    else:
        decided = decisions_in(_summary(decisions, asked.key), reading.season) if decisions else None
        result = analyse(_over(_judged_by(reading, decided)), tell)
        carried, own = next_season(result, year, decided), ()
        said = [*_problems(reading.season, result.problems), *_between(reading.season, year), *carried.said]
    rows, more = _rows(carried, scan, asked, start)
    return Begun(year, rows, start, (*said, *more), own, carried.same_year)


def _summary(path: Path, key: Path | None) -> Cells:
    """The cells of a summary; of one made from a shared copy with the farm's own names."""
    names, cells = read_key(key) if key else None, open_cells(path, RECORD_TABS)
    must_fit(names, cells, key.name if key else "")
    return summary_with_identities(cells, names) if names else cells


def _year(season: Season, scan: ScanList | TallyList | None, mating: Mating) -> int:
    """The year to build for: as given, that of the list, else the next; the same while nothing of the season was scanned."""
    said = mating.year or (None if scan is None else tally_year(scan.rows, mating) if isinstance(scan, TallyList)
                           else lambing_year(scan.rows, mating))
    if said is None:
        said = season.year if scan is not None and not _begun(season) else season.year + 1
    if said < season.year:
        raise OtherYear(f"{season.file} is of {season.year}, but this season is to be {said}: give the season workbook of the "
                        "year before, or the year with --year.")
    return said


def _begun(season: Season) -> bool:
    """Whether anything of a season was scanned or lambed: else it is the workbook from mating on."""
    return any(row.touched for sheet in ("lambing", "lambs") for row in season.rows(sheet)) or any(
        row.filled("scanned") for row in season.rows("ewes"))


def _over(reading: Reading) -> Reading:
    """The season as it stands when the next begins: at its end, whenever that is built, unless Season sets another moment."""
    season = reading.season
    moment = season.settings.moment("as_of") or datetime(season.year, 12, 31)
    return replace(reading, season=replace(season, as_of=moment))


def _judged_by(reading: Reading, decided: Decided | None) -> Reading:
    """The season under the rules as the meeting set them."""
    if decided is None:
        return reading
    season = reading.season
    rows = tuple(Record("policy", season.file, "Policy", 0, row, {}) for row in policy_rows(decided.policy))
    return replace(reading, season=replace(season, records={**season.records, "policy": rows}))


def _problems(season: Season, problems: Sequence[Problem]) -> Iterator[Said]:
    """Problems of the workbook before: what rests on wrong records is wrong too."""
    file = season.file
    yield from (Said(f"{file}: {one.found.text}") for one in problems if one.rule.slug == OLDER)
    errors = sum(one.rule.severity is Severity.ERROR for one in problems)
    if errors:
        yield Said(f"{so_many(errors, 'error')} in the records of {file}, on which the histories rest: "
                   f"correct what lambing-workbook check {file} lists, and build again", asks=True)


def _told_again(previous: Path, decisions: Path | None) -> Iterator[Said]:
    if decisions:
        yield Said(f"{decisions.name} was not read: {previous.name} is of the same season and is carried as it stands", asks=True)
    if has_own_looks(previous):
        yield Said(f"your own colours and cell notes stay in {previous.name}; all values were carried")


def _between(season: Season, year: int) -> Iterator[Said]:
    if year > season.year + 1:
        yield Said(f"{season.file} is of {season.year}: what happened between it and {year} is in no history", asks=True)


def _rows(
    carried: Carried, scan: ScanList | TallyList | None, asked: Asked, start: Start,
) -> tuple[dict[str, Sequence[Row]], list[Said]]:
    days = _setting(carried, "gestation")
    each_lamb = RECORDED[start] is HowRecorded.EACH_LAMB
    if isinstance(scan, ScanList):
        ewes, said, returned = with_scan(carried, scan, asked.mating, days)
    else:
        ewes, said, returned = without_scan(carried, asked.mating, days), [], frozenset()
    laid = (laid_again(carried.season, ewes, asked.order, each_lamb=each_lamb) if carried.same_year
            else lay_ready(ewes, asked.order, each_lamb=each_lamb))
    groups = _groups(carried, ewes, scan, asked.mating, start)
    rows: dict[str, Sequence[Row]] = {**carried.rows, **laid, "groups": groups}
    rows[LEFT.id] = [row for row in rows[LEFT.id]
                     if (row.get("season"), row.get("ewe")) not in {(str(carried.season.year), name) for name in returned}]
    if asked.weights_in is not None and not carried.same_year:
        others = [row for row in rows["season"] if row.get("row_key") != "weights_in"]
        rows["season"] = [*others, {"row_key": "weights_in", "value": asked.weights_in}]
    return rows, said


def _setting(carried: Carried, id: str) -> float:
    return carried.season.settings.number(id)


def _groups(
    carried: Carried, ewes: Sequence[Row], scan: ScanList | TallyList | None, mating: Mating, start: Start,
) -> list[Row]:
    """The groups there were, what a tally says of them, and those that only ewes or the tally name."""
    rows = {fold(shown(row.get("group"))): dict(row) for row in carried.rows.get("groups", ())}
    given = {"ram_in": mating.ram_in, "ram_out": mating.ram_out}
    if isinstance(scan, TallyList):
        kept = Kept.INDOORS if start is Start.INDOORS else Kept.OUTDOORS
        for tally in tally_season_rows(scan.rows, mating, kept)["groups"]:
            key = fold(shown(tally.get("group")))
            rows[key] = {**tally, **rows.get(key, {})}
    for row in ewes:
        if name := shown(row.get("group")):
            rows.setdefault(fold(name), {"group": name, "kept": KEPT[start], "how_recorded": RECORDED[start]})
    return [filled({**given, **row}) for row in rows.values()]


