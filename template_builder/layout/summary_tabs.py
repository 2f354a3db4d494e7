"""The tabs of the summary workbook, in their order, and how such a workbook is told from a season or a scan list."""

from collections.abc import Iterable

from template_builder.layout.whole import META_TAB, TO_CORRECT_TAB

MEETING = "Meeting"
EWE_DECISIONS = "Ewe decisions"
MARKS = "Marks"
FLOCK_PLAN = "Flock plan"
REPLACEMENTS = "Replacements"
LAMBS = "Lambs"
LOSSES = "Losses"
LITTER_ACCOUNT = "Litter account"
SCANNING = "Scanning"
MOTHERING = "Mothering"
PROBLEM_EWES = "Problem ewes"
POLICY = "Policy"
TO_CORRECT = TO_CORRECT_TAB
RECORDS_EWES = "Records ewes"
RECORDS_LAMBING = "Records lambing"
RECORDS_LAMBS = "Records lambs"
RECORDS_OTHER = "Records other"
METHOD = "Method"
HIDDEN_LIVE = "_live"
RECORD_TABS = (RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER)

_TOLD_BY = {MEETING, LITTER_ACCOUNT, METHOD}


def is_summary(tabs: Iterable[str]) -> bool:
    """Whether a workbook with these tabs is a summary that analyse wrote: its records look like those of a season."""
    found = set(tabs)
    return found >= _TOLD_BY and META_TAB not in found
