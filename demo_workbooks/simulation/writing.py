"""Writes the demo's files anew from the simulation: scan lists, seasons empty, clean and messy, and the summaries."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time
from pathlib import Path

from demo_workbooks import (
    CLEAN,
    EMPTY,
    HILL_CLEAN,
    HILL_MESSY,
    HILL_SCAN,
    HILL_SUMMARY,
    HILL_TALLY,
    MESSY,
    PAPER,
    SCAN_LIST,
    SUMMARY,
    simulation,
)
from demo_workbooks.simulation import hill
from demo_workbooks.simulation.farm import SCANNED_ON
from template_builder.build import Plan, build
from template_builder.layout.columns import Row, Start
from template_builder.live_values import with_values
from template_builder.paper import write_paper
from template_builder.paper.animals import PaperFlock
from template_builder.scan.by_ewe import read_scan_list
from template_builder.scan.season_rows import Mating, season_rows
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import read
from workbook.results.pipeline import analyse

SCANNED = datetime.combine(SCANNED_ON, time())  # the moment of the empty workbook; the others carry their own
BUILT = "An invented flock: no real farm, ewe or person."


def write_demo(folder: Path) -> None:
    """Write the files of the flock recorded lamb by lamb into a folder, in place of those that are there."""
    (folder / SCAN_LIST).write_text(simulation.scan_list_csv(), encoding="utf-8")
    scan = read_scan_list(folder / SCAN_LIST)
    empty = season_rows(scan.rows, Mating())
    _season(folder / EMPTY, simulation.TITLE, empty)
    (folder / PAPER).unlink(missing_ok=True)
    write_paper(folder / PAPER, PaperFlock.of(empty), simulation.TITLE, Start.INDOORS, SCANNED_ON)
    _season(folder / CLEAN, simulation.TITLE, simulation.clean_season())
    _season(folder / MESSY, simulation.TITLE, simulation.messy_season())
    _summary(folder / CLEAN, folder / SUMMARY)


def write_hill(folder: Path) -> None:
    """Write the files of the hill flock recorded by count into a folder, in place of those that are there."""
    (folder / HILL_SCAN).write_text(hill.scan_list_csv(), encoding="utf-8")
    (folder / HILL_TALLY).write_text(hill.tally_csv(), encoding="utf-8")
    _season(folder / HILL_CLEAN, hill.TITLE, hill.clean_season(), Start.OUTDOORS)
    _season(folder / HILL_MESSY, hill.TITLE, hill.messy_season(), Start.OUTDOORS)
    _summary(folder / HILL_CLEAN, folder / HILL_SUMMARY)


def _season(path: Path, title: str, rows: Mapping[str, Sequence[Row]], start: Start = Start.INDOORS) -> None:
    path.unlink(missing_ok=True)
    build(path, with_values(Plan(title, rows, start, BUILT), SCANNED))


def _summary(season: Path, path: Path) -> None:
    path.unlink(missing_ok=True)
    write_summary(analyse(read(season)), path)
