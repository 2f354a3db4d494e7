"""Like with like: which farms may stand side by side in a figure, and in words what they have in common."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from template_builder.layout.words import so_many
from workbook.comparing.farm import Farm, Number, Recorded, Where
from workbook.comparing.measures import MEASURES, Measure, Since

LEAST_FARMS = 5
"""Fewer farms than this have no quartiles, no limits and no place: each could be told from the others (house rule)."""

ALL_FARMS = "all farms"


class Entry(NamedTuple):
    """A farm in a figure: its number, and what it has in common with those it may stand beside."""

    measure: Measure
    farm: Farm
    number: Number
    like: str


def entries(farms: Sequence[Farm], *, together: bool = False) -> Iterator[Entry]:
    """Every farm in every figure. `together` puts farms that lamb indoors and outdoors side by side."""
    for measure in MEASURES:
        asked = measure.since is not Since.SCANNED and not together
        for farm in farms:
            number = farm.numbers[measure.id]
            if asked and farm.where is Where.NOT_WRITTEN and not number.why:
                number = replace(number, why="Groups does not say whether ewes lamb indoors or outdoors")
            yield Entry(measure, farm, number, like(measure, number.recorded, farm.where, together=together))


def like(measure: Measure, recorded: Recorded, where: Where, *, together: bool = False) -> str:
    """What farms have in common that may stand side by side in a figure."""
    if measure.since is Since.SCANNED:
        return ALL_FARMS
    by_row = measure.since is Since.BORN and recorded is not Recorded.COUNT
    known = "by lamb or ewe" if by_row else recorded.value
    return known if together else f"{known}, {where.value}"


def comparable(found: Iterable[Entry]) -> Iterator[Entry]:
    """Those with a number that may be compared."""
    return (entry for entry in found if not entry.number.why)


def too_few(like: str, farms: int) -> str:
    """Why a figure has no quartiles."""
    whom = "" if like == ALL_FARMS else f" {like}"
    return f"only {so_many(farms, 'farm')}{whom}: quartiles from {LEAST_FARMS} on"
