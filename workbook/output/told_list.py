"""What a scanning list was understood to say, in words: before anything is built, and after."""

from collections.abc import Iterable

from template_builder.scan.by_ewe import ScanList, Unplaced
from template_builder.scan.season_rows import Mating
from template_builder.scan.tally import TallyList
from workbook.starting import in_all

LINES_NAMED = 5  # lines with the same trouble are named once, so many of them

NOT_WRITTEN = "Nothing was written: build again without --preview."
_HOW_TO_PLACE = (
    "add them by hand, or correct the list and build again: with --force while nobody has saved the workbook since, and with "
    "another name (-o) after that, as one that was filled in is never replaced."
)


def told(scan: ScanList | TallyList, mating: Mating, *, alone: bool = True) -> str:
    """The list as understood: each heading, what was taken for granted, and everything that needs a person.

    Not `alone`, there is a season before that may know when ewes are due.
    """
    lines = [f"{scan.path.name}: {in_all(scan)}"]
    lines += [f"  {use.heading!r} -> {f'{use.column} ({use.how})' if use.column else use.how}" for use in scan.headings]
    lines += [f"  note: {note}" for note in (*scan.notes, *(_no_forecast(scan, mating) if alone else ()))]
    lines += _left(scan.unplaced)
    if scan.unplaced:
        lines.append(f"{len(scan.unplaced)} not placed: {_HOW_TO_PLACE}")
    return "\n".join(lines)


def asked(scan: ScanList | TallyList) -> str:
    """What would be built, as one question."""
    parts = [in_all(scan), *(scan.understood if isinstance(scan, ScanList) else ())]
    shape = " in ".join(parts[:2]) if len(parts) > 1 and "block" in parts[1] else "; ".join(parts[:2])
    return f"{'; '.join([shape, *parts[2:]])}; is that right? {NOT_WRITTEN}"


def _no_forecast(scan: ScanList | TallyList, mating: Mating) -> list[str]:
    """Say that lambings cannot be forecast where nothing tells when ewes are due."""
    if mating.ram_in or isinstance(scan, TallyList):
        return []
    in_lamb = [row for row in scan.rows if row.scanned != 0]
    none = [row for row in in_lamb if not (row.due or row.mated_on)]
    if not none:
        return []
    which = ("no due dates, no forecast" if len(none) == len(in_lamb) else
             f"no due date for {len(none)} of {len(in_lamb)} ewes in lamb or not scanned")
    return [f"{which}: give --ram-in, the first day the rams were with the ewes, or a column of mating dates"]


def _left(unplaced: Iterable[Unplaced]) -> list[str]:
    """What could not be placed; lines with the same trouble together."""
    alike: dict[str, list[Unplaced]] = {}
    for left in unplaced:
        alike.setdefault(left.reason, []).append(left)
    words = []
    for reason, lines in alike.items():
        for left in lines[:LINES_NAMED]:
            sheet = f"sheet {left.sheet}, " if left.sheet else ""
            words.append(f"  {sheet}line {left.line}" + (f": {left.text}" if left.text else ""))
        if len(lines) > LINES_NAMED:
            rest = ", ".join(str(left.line) for left in lines[LINES_NAMED:])
            words.append(f"  and {len(lines) - LINES_NAMED} more, lines {rest}")
        words.append(f"    {reason}")
    return words
