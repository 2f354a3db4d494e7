"""An invented hill flock for the demo, recorded by count: one season from a fixed seed, the same rows each run."""

from demo_workbooks.simulation.hill.lists import scan_list_csv, tally_csv
from demo_workbooks.simulation.hill.scenario import TITLE, clean_season, ewes, groups, settings
from demo_workbooks.simulation.hill.slips import messy_season

__all__ = ["TITLE", "clean_season", "ewes", "groups", "messy_season", "scan_list_csv", "settings", "tally_csv"]
