"""Illnesses told as often as they happened: what is written down again within some days is one and the same."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from template_builder.layout.choices import Reason, Trouble, WhyMoved
from workbook.results.clinical import hers
from workbook.season.cells import Record
from workbook.season.families import Ewe

Told = tuple[Record, str, date | None]  # a record, the column that says so, and the day

# A mastitis seen, treated and told by a moved lamb within so many days is one: house rule.
ONE_MASTITIS = timedelta(days=14)

# A treatment given again within so many days is one course: house rule.
ONE_COURSE = timedelta(days=3)


def episodes(told: Iterable[Told], apart: timedelta) -> tuple[tuple[Told, ...], ...]:
    """The same things in order of day, together where no more than `apart` lies between one and the next.

    What has no day belongs to the last of those that have one.
    """
    found: list[list[Told]] = []
    for one in sorted(told, key=lambda one: one[2] or date.max):
        last = found[-1][-1][2] if found else None
        if found and (one[2] is None or last is None or one[2] - last <= apart):
            found[-1].append(one)
        else:
            found.append([one])
    return tuple(map(tuple, found))


def mastitis(ewe: Ewe) -> tuple[tuple[Told, ...], ...]:
    """Each mastitis of hers this season: seen at a look, treated, or told by a lamb that had to be moved."""
    told: list[Told] = [(row, "trouble", row.day("date")) for row in ewe.checks if row["trouble"] is Trouble.MASTITIS]
    told += [(row, "reason", row.day("date")) for row in ewe.treatments if row["reason"] is Reason.MASTITIS]
    moved = (lamb for lamb in ewe.lambs if hers.why_moved(lamb) is WhyMoved.MASTITIS)
    told += [(lamb.record, "why_moved", lamb.moved_on) for lamb in moved]
    return episodes(told, ONE_MASTITIS)


def lameness_treatments(ewe: Ewe) -> tuple[tuple[Told, ...], ...]:
    """Each course of treatment for lameness she was given."""
    told: Sequence[Told] = [(row, "reason", row.day("date")) for row in ewe.treatments if row["reason"] is Reason.LAMENESS]
    return episodes(told, ONE_COURSE)
