"""The files of the demo: an invented flock's scan list, its season empty, filled in clean and messy, and the summary."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.columns import Row, Start
from template_builder.from_scan import Mating, season_rows
from template_builder.scan_list import read_scan_list
from template_builder.writing import WriteError, writing
from workbook import demo
from workbook.demo import hill
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
HILL_SCAN, HILL_TALLY, HILL_CLEAN, HILL_MESSY, HILL_SUMMARY = (
    "hill-scan-list.csv", "hill-scan-tally.csv", "hill-season.xlsx", "hill-season-messy.xlsx", "hill-season-summary.xlsx",
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


def write_hill(folder: Path, *, force: bool = False) -> list[tuple[Path, str]]:
    """Write the files of the hill flock recorded by count; gives each path with what it is. WriteError as above."""
    for name, text in ((HILL_SCAN, hill.scan_list_csv()), (HILL_TALLY, hill.tally_csv())):
        with writing(folder / name, force=force) as temporary:
            temporary.write_text(text, encoding="utf-8")
    for name, rows in ((HILL_CLEAN, hill.clean_season()), (HILL_MESSY, hill.messy_season())):
        build(folder / name, with_values(Plan(hill.TITLE, rows, Start.OUTDOORS, BUILT), SCANNED), force=force)
    write_summary(analyse(read(folder / HILL_CLEAN)), folder / HILL_SUMMARY, force=force)
    return [
        (folder / HILL_SCAN, "a hill flock's scan list, by ewe"),
        (folder / HILL_TALLY, "the tally of its heft without ewe numbers"),
        (folder / HILL_CLEAN, "its season, recorded by ewe and by count"),
        (folder / HILL_MESSY, "the same with slips"),
        (folder / HILL_SUMMARY, "what analyse makes of the clean one"),
    ]


def _season(path: Path, rows: Mapping[str, Sequence[Row]], force: bool) -> None:
    build(path, with_values(Plan(demo.TITLE, rows, built=BUILT), SCANNED), force=force)
