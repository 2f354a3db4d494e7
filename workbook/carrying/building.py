"""The workbook of a season that follows another, and its paper."""

from datetime import date
from pathlib import Path

from template_builder.build import Plan
from template_builder.files.progress import Tell, silent
from template_builder.files.writer import Book
from template_builder.layout.words import shown
from template_builder.scan.by_ewe import ScanList
from template_builder.scan.season_rows import newest_date
from template_builder.scan.tally import TallyList
from template_builder.scan.tally_rows import newest_scan
from workbook.carrying.files import Begun
from workbook.merging.own_sheets import write_own_sheet
from workbook.starting import in_all, write_started


def follow_season(
    begun: Begun, previous: Path, scan: ScanList | TallyList | None, target: Path, as_of: date | None, *,
    paper: Path, force: bool = False, tell: Tell = silent,
) -> list[Path]:
    """Write the season workbook that follows another, and its paper; gives what was written. WriteError where a file cannot be
    put there."""
    newest = None if scan is None else newest_scan(scan.rows) if isinstance(scan, TallyList) else newest_date(scan.rows)
    moment = as_of or newest
    listed = f" and {scan.path.name} ({in_all(scan)})" if scan else ""
    built = f"Built from {previous.name}{listed}{f', as of {shown(moment)}' if moment else ''}."

    def more(book: Book) -> None:
        for sheet in begun.own_sheets:
            write_own_sheet(book, sheet)

    plan = Plan(f"Lambing season {begun.year}", begun.rows, begun.start, built)
    return write_started(target, paper, plan, moment, force, tell, more)
