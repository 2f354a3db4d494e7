"""Two lambings as they look when written: a normal one and a bad one. The guide shows them, and a test reads them."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import (
    Belly,
    Born,
    Choice,
    Colostrum,
    Help,
    NextDay,
    Presentation,
    RearedBy,
    Sex,
    Sucked,
    Taken,
    Vigour,
    WhyHelped,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import Column, Row, Sheet, Value
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.words import shown

_DAY, _NEXT = date(2026, 3, 15), date(2026, 3, 16)


class Example(NamedTuple):
    """A lambing of a ewe scanned with two: her row on Lambing and those of her lambs, by column id."""

    title: str
    says: str
    ewe: str
    lambing: Row
    lambs: tuple[Row, ...]


EXAMPLES = (
    Example(
        "A normal twin lambing, as written", "Six cells; all else stays blank.", "1042",
        {"lambed_on": _DAY, "all_well": YesNo.YES},
        ({"sex": Sex.EWE, "born": Born.ALIVE}, {"sex": Sex.RAM, "born": Born.ALIVE}),
    ),
    Example(
        "A bad twin lambing, as written",
        "Hard help, one lamb dead, a side dry, the other lamb put on the bottle. All well stays blank.", "1057",
        {"lambed_on": _DAY, "born_alive": 1, "born_dead": 1, "help": Help.HARD, "why_helped": WhyHelped.LAY_WRONG,
         "colostrum": Colostrum.LITTLE, "sides_in_milk": 1, "next_day": NextDay.ONE_HOLLOW,
         "notes": "vet rang, left side hard"},
        ({"sex": Sex.RAM, "born": Born.ALIVE, "sucked": Sucked.TUBED, "taken": Taken.YES, "belly": Belly.HOLLOW,
          "helped": YesNo.YES, "presentation": Presentation.HIND_LEGS, "vigour": Vigour.WEAK, "reared_by": RearedBy.PET,
          "moved_on": _NEXT, "why_moved": WhyMoved.NO_MILK},
         {"sex": Sex.EWE, "born": Born.DEAD_FRESH}),
    ),
)


def lines(example: Example) -> Iterator[tuple[str, str, str]]:
    """What is typed, cell by cell in the order of the columns: where, what, and what it says."""
    yield from _cells(LAMBING, f"{LAMBING.title}, row of {example.ewe}", example.lambing)
    for number, lamb in enumerate(example.lambs, start=1):
        yield from _cells(LAMBS, f"{LAMBS.title}, row of {example.ewe}-{number}", lamb)


def _cells(sheet: Sheet, where: str, row: Row) -> Iterator[tuple[str, str, str]]:
    unknown = row.keys() - {column.id for column in sheet.own_columns}
    if unknown:
        raise KeyError(f"{sheet.id}: {sorted(unknown)}")
    for column in sheet.own_columns:
        if column.id in row:
            yield f"{where}: {column.title}", shown(row[column.id]), _meaning(column, row[column.id])


def _meaning(column: Column, value: Value) -> str:
    return value.meaning if isinstance(value, Choice) else column.help
