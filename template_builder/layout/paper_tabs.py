"""The tabs of the file to print and write on, in their order, and how such a file is told from a season or a scan list."""

from collections.abc import Iterable

FEEDING = "Feeding groups"
WEEKS = "Week by week"
TONIGHT = "Tonight's list"
SHED = "Shed sheets"
RUNNING = "Running sheet"
LOOK_UP = "Look-up list"
PEN_CARDS = "Pen cards"
HANDLING = "Handling sheets"
COUNTING = "Count sheet"
WEIGHING = "Weighing sheet"

# None has the title of a sheet of the season workbook: what is printed is never taken for what was typed.
PAPER_TABS = (FEEDING, WEEKS, TONIGHT, SHED, RUNNING, LOOK_UP, PEN_CARDS, HANDLING, COUNTING, WEIGHING)


def is_paper(tabs: Iterable[str]) -> bool:
    """Whether a workbook with these tabs is a file to print, which says nothing of what happened."""
    found = set(tabs)
    return bool(found) and found <= set(PAPER_TABS)
