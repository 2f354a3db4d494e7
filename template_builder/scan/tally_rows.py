"""A tally by group as the first rows of a season: Groups with its tallies, known by counts only, and the lambing year."""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Row
from template_builder.scan.season_rows import Mating, due_date, filled
from template_builder.scan.tally import TallyRow

TALLIES = ("tally_0", "tally_1", "tally_2", "tally_3", "tally_4")


def newest_scan(rows: Iterable[TallyRow]) -> date | None:
    """The newest scanning date of the tally: the moment it speaks of."""
    return max((row.scanned_on for row in rows if row.scanned_on), default=None)


def tally_year(rows: Iterable[TallyRow], mating: Mating) -> int | None:
    """The year most groups lamb in: as given, from the day the ram went in, else the year of scanning."""
    listed = list(rows)
    if mating.year:
        return mating.year
    dues = Counter(due_date(day).year for row in listed if (day := row.ram_in or mating.ram_in))
    scanned = Counter(row.scanned_on.year for row in listed if row.scanned_on)
    years = dues or scanned
    return years.most_common(1)[0][0] if years else None


def tally_season_rows(rows: Iterable[TallyRow], mating: Mating, kept: Kept = Kept.OUTDOORS) -> dict[str, list[Row]]:
    """Rows by sheet id for a new season of groups without ewe numbers: Season and Groups."""
    listed = list(rows)
    year = tally_year(listed, mating)
    settings: list[Row] = [{"row_key": "year", "value": year}] if year else []
    return {"season": settings, "groups": [_group(row, mating, kept) for row in listed]}


def _group(row: TallyRow, mating: Mating, kept: Kept) -> Row:
    return filled({
        "group": row.group, "ewes_to_ram": row.ewes_to_ram, "ram_in": row.ram_in or mating.ram_in,
        "ram_out": row.ram_out or mating.ram_out, "ram_breed": row.ram_breed, "kept": kept,
        "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": row.ewes, **dict(zip(TALLIES, row.classes, strict=True)),
        "notes": row.notes,
    })
