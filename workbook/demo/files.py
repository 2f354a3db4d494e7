"""The files of the demo: an invented flock's scan list, its season empty, filled in clean and messy, and the summary."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.columns import Row
from template_builder.excel import WriteError, writing
from template_builder.from_scan import Mating, season_rows
from template_builder.scan_list import read_scan_list
from workbook import demo
from workbook.demo.farm import SCANNED_ON
from workbook.live.values import with_values
from workbook.pipeline import analyse
from workbook.reading import read
from workbook.summary.book import write_summary

SCANNED = datetime.combine(SCANNED_ON, time())  # the moment of the empty workbook; the others carry their own
BUILT = "An invented flock: no real farm, ewe or person."

SCAN_LIST, EMPTY, CLEAN, MESSY, SUMMARY = (
    "scan-list.csv", "season-empty.xlsx", "season-clean.xlsx", "season-messy.xlsx", "season-clean-summary.xlsx",
)


def write_demo(folder: Path, *, force: bool = False) -> list[tuple[Path, str]]:
    """Write the five files; gives each path with what it is. WriteError where one is there already without `force`."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(f"{folder} could not be made ({error.strerror}). Choose another folder.") from error
    with writing(folder / SCAN_LIST, force=force) as temporary:
        temporary.write_text(demo.scan_list_csv(), encoding="utf-8")
    scan = read_scan_list(folder / SCAN_LIST)
    _season(folder / EMPTY, season_rows(scan.rows, Mating()), force)
    _season(folder / CLEAN, demo.clean_season(), force)
    _season(folder / MESSY, demo.messy_season(), force)
    write_summary(analyse(read(folder / CLEAN)), folder / SUMMARY, force=force)
    return [
        (folder / SCAN_LIST, "what came from scanning"),
        (folder / EMPTY, "the season workbook as built from it"),
        (folder / CLEAN, "the same, filled in"),
        (folder / MESSY, "the same with slips, to try the check on"),
        (folder / SUMMARY, "what analyse makes of the clean one"),
    ]


def _season(path: Path, rows: Mapping[str, Sequence[Row]], force: bool) -> None:
    build(path, with_values(Plan(demo.TITLE, rows, built=BUILT), SCANNED), force=force)
