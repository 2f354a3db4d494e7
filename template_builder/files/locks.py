"""The files that spreadsheet programs keep beside a workbook while it is open."""

from pathlib import Path

LOCKS = ("~${}", ".~lock.{}#")  # a name stands in the braces


def lock_beside(path: Path) -> Path | None:
    """The file that says `path` is open in a spreadsheet program; None where there is none, or no such name can be."""
    for lock in LOCKS:
        beside = path.with_name(lock.format(path.name))
        try:
            if beside.exists():
                return beside
        except OSError:
            pass
    return None
