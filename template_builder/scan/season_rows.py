"""A scanning list as the first rows of a season: ewes with their due dates, groups, the lambing year."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Row, Start
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.settings import SETTING
from template_builder.scan.by_ewe import ScanRow

WHOLE_FLOCK = "All"

# What a start says of its groups until a person says otherwise: where they lamb and how they are recorded.
KEPT = {Start.INDOORS: Kept.INDOORS, Start.OUTDOORS: Kept.OUTDOORS, Start.SIMPLE: None}
RECORDED = {
    Start.INDOORS: HowRecorded.EACH_LAMB, Start.OUTDOORS: HowRecorded.EACH_EWE, Start.SIMPLE: HowRecorded.EACH_EWE,
}


@dataclass(frozen=True)
class Mating:
    """When the rams were with the ewes, where it is known for all of them, and the lambing year if given."""

    ram_in: date | None = None
    ram_out: date | None = None
    year: int | None = None

    def __post_init__(self) -> None:
        if self.ram_in and self.ram_out and self.ram_out < self.ram_in:
            raise ValueError(f"the rams came out on {self.ram_out} before they went in on {self.ram_in}: check the two dates")


def gestation() -> float:
    """Days from mating to lambing, the mating day itself not counted, where nobody set them otherwise."""
    days = SETTING["gestation"].default
    assert isinstance(days, int | float)
    return days


def due_date(mated_on: date, days: float | None = None) -> date:
    """The day a ewe mated on this day should lamb: mating date + `days` of gestation, calendar days (147 unless given)."""
    return mated_on + timedelta(days=gestation() if days is None else days)


def newest_date(rows: Iterable[ScanRow]) -> date | None:
    """The newest scanning or mating date of the list: the moment the list speaks of."""
    return max((day for row in rows for day in (row.scanned_on, row.mated_on) if day), default=None)


def lambing_year(rows: Iterable[ScanRow], mating: Mating) -> int | None:
    """The year most of the ewes are due in; the year given where one was."""
    if mating.year:
        return mating.year
    dues = Counter(due.year for row in rows if (due := _due(row, mating)))
    scanned = Counter(row.scanned_on.year for row in rows if row.scanned_on)
    years = dues or scanned
    return years.most_common(1)[0][0] if years else None


def season_rows(
    rows: Iterable[ScanRow], mating: Mating, order: Order = Order.DUE, start: Start = Start.INDOORS,
) -> dict[str, list[Row]]:
    """Rows by sheet id for a new season: Season, Groups, and Ewes, Lambing and Lambs laid ready.

    Outdoors and in the simple start each ewe is recorded, so that no rows are laid ready on Lambs.
    """
    listed = list(rows)
    laid = lay_ready((ewe_row(row, mating) for row in listed), order, each_lamb=RECORDED[start] is HowRecorded.EACH_LAMB)
    names = dict.fromkeys(row.group or WHOLE_FLOCK for row in listed)
    groups: list[Row] = [
        filled({"group": name, "ram_in": mating.ram_in, "ram_out": mating.ram_out, "kept": KEPT[start],
                "how_recorded": RECORDED[start]}) for name in names
    ]
    year = lambing_year(listed, mating)
    settings: list[Row] = [{"row_key": "year", "value": year}] if year else []
    return {"season": settings, "groups": groups, **laid}


def _due(row: ScanRow, mating: Mating) -> date | None:
    if row.due:
        return row.due
    mated = row.mated_on or mating.ram_in
    return due_date(mated) if mated else None


def ewe_row(row: ScanRow, mating: Mating) -> Row:
    """The row on Ewes of a ewe of the list; in no group, she is of the whole flock."""
    due = _due(row, mating) if row.scanned != 0 else None
    return filled({
        "ewe": row.ewe, "scanned": row.scanned, "due": due, "group": row.group or WHOLE_FLOCK, "mark": row.mark,
        "breed": row.breed, "born_year": row.born_year, "lambings_before": row.lambings_before, "ram": row.ram,
        "mated_on": row.mated_on, "scanned_on": row.scanned_on, "condition": row.condition,
        "official_tag": row.official_tag, "notes": row.notes, **dict(row.history or ()),
    })


def filled(row: Row) -> Row:
    """The row without its blank cells."""
    return {name: value for name, value in row.items() if value is not None}
