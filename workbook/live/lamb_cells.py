"""What stands in a row of Lambs, as formulas read it."""

from template_builder.choices import Belly, Born, CameFrom, Choice, LambLeft, RearedBy, Sucked, Taken
from template_builder.live.columns import LiveValue
from template_builder.live.formulas import UNREADABLE
from workbook.cells import Record
from workbook.live.rows import bad, code, number

NUMBERS = {"kg": "birth_weight", "moved_on": "moved_on", "left_on": "left_on"}
LISTS: dict[str, type[Choice]] = {
    "born": Born, "sucked": Sucked, "taken": Taken, "belly": Belly, "reared_by": RearedBy, "came_from": CameFrom,
    "left_how": LambLeft,
}


def lamb_cells(record: Record | None) -> dict[str, LiveValue]:
    """Numbers and list values of a row; those of a blank row for None."""
    return {id: number(record, column) for id, column in NUMBERS.items()} | {
        id: code(record, id, choices) for id, choices in LISTS.items()
    }


def bad_lamb(record: Record) -> bool:
    """Whether something in the row cannot be read."""
    cells = lamb_cells(record)
    return bad(*(cells[id] for id in NUMBERS)) or UNREADABLE in [cells[id] for id in LISTS]
