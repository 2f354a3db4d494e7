"""Earlier seasons of a ewe, as her row on Ewes tells of them."""

from collections.abc import Iterator, Sequence

from template_builder.layout.sheets.ewes import FAULTS
from workbook.season.families import Ewe

# A rule of two in three looks at this lambing and so many before it.
EARLIER_LAMBINGS = 2
_COUNTED = ("past_faults", "past_refused", "past_lost")


def earlier_faults(ewe: Ewe) -> int:
    """In how many of her last two earlier lambings there was a fault of hers; one at her first lambing does not count.

    Each lambing counts once, however many faults it had. Where it is written in how many, not in which, a fault is put on her
    first lambing only if no other of those lambings is left to hold it.
    """
    if ewe.record is None:
        return 0
    if any(ewe.record.whole(column) is not None for column in FAULTS):
        return written_of(ewe, FAULTS)
    counted = [number for column in _COUNTED if (number := ewe.record.whole(column)) is not None]
    faults, before = min(max(counted, default=0), EARLIER_LAMBINGS), ewe.record.whole("lambings_before")
    return max(faults if before is None else min(faults, before - 1), 0)


def written_of(ewe: Ewe, columns: Sequence[str]) -> int:
    """In how many of her last two earlier lambings a 1 is written; her first lambing of all is left out."""
    return sum(written == 1 for _, written in counting(ewe, columns, this_one=True))


def counting(ewe: Ewe, columns: Sequence[str], *, this_one: bool) -> Iterator[tuple[str, int | None]]:
    """Those of her last three lambings that count, the latest first: the column of each, and what is written there.

    `this_one` where this season's lambing is one of the three. Her first lambing of all does not count.
    """
    if ewe.record is None:
        return
    before = ewe.record.whole("lambings_before")
    for back, column in enumerate(columns[:EARLIER_LAMBINGS] if this_one else columns, start=1):
        if before is None or back < before:
            yield column, ewe.record.whole(column)
