"""An invented flock's files, shipped with the program: `lambing-workbook demo` copies them. No real farm, ewe or person."""

from pathlib import Path

FOLDER = Path(__file__).parent
SHIPPED = FOLDER.is_dir()  # the program as one file has no demo

SCAN_LIST, EMPTY, PAPER, CLEAN, MESSY, SUMMARY = (
    "scan-list.csv", "season-empty.xlsx", "season-paper.xlsx", "season-clean.xlsx", "season-messy.xlsx",
    "season-clean-summary.xlsx",
)
HILL_SCAN, HILL_TALLY, HILL_CLEAN, HILL_MESSY, HILL_SUMMARY = (
    "hill-scan-list.csv", "hill-scan-tally.csv", "hill-season.xlsx", "hill-season-messy.xlsx", "hill-season-summary.xlsx",
)

# What `demo` copies, and what each file is; the hill flock's stand in the folder for who looks.
DEMO = {
    SCAN_LIST: "what came from scanning",
    EMPTY: "the season workbook as built from it",
    PAPER: "what is printed to be written on in the shed",
    CLEAN: "the same, filled in",
    MESSY: "the same with slips, to try the check on",
    SUMMARY: "what analyse makes of the clean one",
}
HILL = {
    HILL_SCAN: "a hill flock's scan list, by ewe",
    HILL_TALLY: "the tally of its heft without ewe numbers",
    HILL_CLEAN: "its season, recorded by ewe and by count",
    HILL_MESSY: "the same with slips",
    HILL_SUMMARY: "what analyse makes of the clean one",
}
