"""A season started from a scan list: its workbook, with title, where it came from and the rows laid ready, and its paper."""

from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.files.progress import Tell, silent
from template_builder.files.writer import Book
from template_builder.layout.choices import Kept, WeightUnit
from template_builder.layout.columns import Start
from template_builder.layout.laying import Order
from template_builder.layout.words import shown, so_many
from template_builder.live_values import with_values
from template_builder.paper import anything_to_print, write_paper
from template_builder.paper.animals import PaperFlock
from template_builder.scan.by_ewe import ScanList
from template_builder.scan.season_rows import Mating, lambing_year, newest_date, season_rows
from template_builder.scan.tally import TallyList
from template_builder.scan.tally_rows import newest_scan, tally_season_rows, tally_year
from workbook.season.believable import this_minute


def start_season(
    scan: ScanList | TallyList, target: Path, mating: Mating, order: Order, start: Start | None, as_of: date | None, *,
    paper: Path, weights_in: WeightUnit = WeightUnit.KG, force: bool = False, tell: Tell = silent,
) -> list[Path]:
    """Write the season workbook for a scan list, and what is printed of it; gives what was written. A tally has no ewes to
    list, so `order` is nothing to it.

    `start` None stands for indoors, for a tally outdoors. `as_of` None stands for the newest day of the list. WriteError
    where the file cannot be put there.
    """
    if isinstance(scan, TallyList):
        moment, year = as_of or newest_scan(scan.rows), tally_year(scan.rows, mating)
        kept = Kept.INDOORS if start is Start.INDOORS else Kept.OUTDOORS
        rows, shows = tally_season_rows(scan.rows, mating, kept), Start.OUTDOORS  # its columns are those of a flock by count
    else:
        moment, year = as_of or newest_date(scan.rows), lambing_year(scan.rows, mating)
        shows = start or Start.INDOORS
        rows = season_rows(scan.rows, mating, order, shows)
    if weights_in is not WeightUnit.KG:
        rows["season"] = [*rows["season"], {"row_key": "weights_in", "value": weights_in}]
    title = f"Lambing season {year}" if year else "Lambing season"
    built = f"Built from {scan.path.name}{f', as of {shown(moment)}' if moment else ''}: {in_all(scan)}."
    return write_started(target, paper, Plan(title, rows, shows, built), moment, force, tell)


def write_started(
    target: Path, paper: Path, plan: Plan, moment: date | None, force: bool, tell: Tell,
    more: Callable[[Book], None] | None = None,
) -> list[Path]:
    """Write a season workbook that begins, and what there is to print of it; gives what was written."""
    now = datetime.combine(moment, time()) if moment else this_minute()
    tell("Working out the formulas")
    build(target, with_values(plan, now), force=force, more=more, tell=tell)
    flock = PaperFlock.of(plan.rows)
    if not anything_to_print(flock, plan.start):
        return [target]
    write_paper(paper, flock, plan.title, plan.start, moment, force=force, tell=tell)
    return [target, paper]


def in_all(scan: ScanList | TallyList) -> str:
    """What a list holds, in words."""
    if not isinstance(scan, TallyList):
        return so_many(len(scan.rows), "ewe")
    return f"a tally of {so_many(len(scan.rows), 'group')}, {so_many(sum(row.ewes or 0 for row in scan.rows), 'ewe')} scanned"
