"""An invented hill flock for the demo, recorded by count: one season from a fixed seed, the same rows each run."""

from workbook.demo.hill.lists import scan_list_csv, tally_csv
from workbook.demo.hill.scenario import TITLE, clean_season, ewes, groups, settings
from workbook.demo.hill.slips import messy_season

__all__ = ["TITLE", "clean_season", "ewes", "groups", "messy_season", "scan_list_csv", "settings", "tally_csv"]
