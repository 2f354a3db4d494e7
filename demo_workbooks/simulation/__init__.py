"""An invented farm for the demo: one season simulated from a fixed seed, the same rows each run. No real farm or person."""

from demo_workbooks.simulation.scenario import SEED, TITLE, clean_season, ewes, groups, messy_season, scan_list_csv, settings

__all__ = ["SEED", "TITLE", "clean_season", "ewes", "groups", "messy_season", "scan_list_csv", "settings"]
