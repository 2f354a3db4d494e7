"""How the scan turned out: lambs scanned against lambs there at lambing, for ewes that lambed or were kept and stayed empty.

A mummified or aborted lamb that was scanned was there to be seen: the scan found it. One beyond her scan is none of its
misses, as it may have been too far gone to see.
"""

from collections import Counter
from collections.abc import Mapping
from datetime import date

from workbook.results.litters.movements import LastDays, scan_of
from workbook.results.statistics.agreement import Agreement, Screening, agreement, two_by_two
from workbook.season.families import Ewe
from workbook.season.groups import Groups
from workbook.season.season import Season


def scan_table(season: Season) -> dict[tuple[int, int], int]:
    """Ewes by (lambs scanned, lambs there at lambing), in order of both.

    Left out are ewes that aborted, as it is seldom known with how many, ewes that lambed without their lambs being written
    down, and ewes gone or still to lamb.
    """
    table: Counter[tuple[int, int]] = Counter()
    for ewe in season.flock.ewes.values():
        scan = scan_of(ewe)
        if scan is not None and not ewe.aborted and (ewe.born or scan and ewe.lambs):
            table[scan, found_at_lambing(ewe, scan)] += 1
    for ewe in kept_empty(season):
        table[scan_of(ewe) or 0, 0] += 1
    return dict(sorted(table.items()))


def found_at_lambing(ewe: Ewe, scan: int) -> int:
    """Lambs born, and those mummified or aborted that fill a place she was scanned with."""
    return max(len(ewe.born), min(scan, len(ewe.lambs)))


def aborted_as_scanned(season: Season) -> tuple[int, int]:
    """Ewes that aborted after they were scanned in lamb, and after they were scanned empty: all were in lamb."""
    groups = Groups.of(season)
    scans = [scan for ewe in season.flock.ewes.values()
             if ewe.aborted and not groups.counted_with_group(ewe) and (scan := scan_of(ewe)) is not None]
    return sum(scan > 0 for scan in scans), scans.count(0)


def kept_empty(season: Season) -> tuple[Ewe, ...]:
    """Ewes scanned, kept, and past their last day without a lamb.

    A ewe without any date is held against the last day of the whole flock.
    """
    groups = Groups.of(season)
    ewes = [ewe for ewe in season.flock.ewes.values() if not groups.counted_with_group(ewe)]
    days, today = LastDays(season), season.as_of.date()
    lasts = {
        ewe: days.day(ewe) for ewe in ewes
        if scan_of(ewe) is not None and not (ewe.delivered or ewe.gone)
    }
    if None not in lasts.values():
        return tuple(ewe for ewe, last in lasts.items() if last is not None and today > last)
    last_of_flock = max((day for ewe in ewes if (day := days.day(ewe))), default=date.max)
    return tuple(ewe for ewe, last in lasts.items() if today > (last or last_of_flock))


def scan_agreement(season: Season) -> Agreement | None:
    """Agreement of lambs scanned with lambs born; None where there is no ewe to compare."""
    table = scan_table(season)
    return agreement(table) if table else None


def screening(table: Mapping[tuple[int, int], int], aborted: tuple[int, int] = (0, 0)) -> Screening:
    """The scan as a test for "in lamb", from ewes by (lambs scanned, lambs there) and ewes aborted (in lamb, empty by scan)."""
    cells = Counter[tuple[bool, bool]]()
    for (scanned, born), ewes in table.items():
        cells[scanned > 0, born > 0] += ewes
    found, missed = aborted
    return two_by_two(tp=cells[True, True] + found, fn=cells[False, True] + missed, fp=cells[True, False], tn=cells[False, False])
