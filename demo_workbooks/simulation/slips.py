"""Makes the slips of the messy season, each with a ewe of its own, so that no slip hides another."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from demo_workbooks.simulation.book import Book
from demo_workbooks.simulation.farm import chance
from demo_workbooks.simulation.slip_list import SLIPS, Slip
from template_builder.layout.columns import Row

Sheets = Mapping[str, Sequence[Row]]


@dataclass(frozen=True)
class Made:
    """A slip as made. `row` counts the rows of its sheet from 0; `written` is what was put in, None where cleared."""

    slip: Slip
    row: int
    written: Row


def with_slips(clean: Sheets) -> dict[str, list[Row]]:
    """The season with every slip made; the rows given are not changed."""
    sheets = {sheet: list(rows) for sheet, rows in clean.items()}
    for made in slips_made(clean):
        rows = sheets[made.slip.sheet]
        if made.row == len(rows):
            rows.append({})
        merged = {**rows[made.row], **made.written}
        rows[made.row] = {column: value for column, value in merged.items() if value is not None}
    return sheets


def slips_made(clean: Sheets) -> tuple[Made, ...]:
    """Where each slip goes and what it writes, in the order of the list. Rows added below come last on their sheet."""
    length = {sheet: len(rows) for sheet, rows in clean.items()}
    book, suited = Book.of(clean), _suited(clean)
    made: list[Made] = []
    for slip in SLIPS:
        at = suited[slip]
        written = slip.writes(clean[slip.added or slip.sheet][at], book)
        if slip.added:
            at, length[slip.sheet] = length[slip.sheet], length[slip.sheet] + 1
        made.append(Made(slip, at, written))
    return tuple(made)


def _suited(clean: Sheets) -> dict[Slip, int]:
    """The row that each slip goes by. Slips that suit few rows choose first, and no ewe gets two."""
    book = Book.of(clean)
    fitting = {
        slip: [at for at, row in enumerate(clean[slip.added or slip.sheet]) if slip.suits(row, book)] for slip in SLIPS
    }
    touched: set[str] = set()
    chosen: dict[Slip, int] = {}
    for slip in sorted(SLIPS, key=lambda slip: len(fitting[slip])):
        rows = clean[slip.added or slip.sheet]
        free = [at for at in fitting[slip] if book.ewe_of(rows[at]) not in touched]
        if not free:
            raise LookupError(f"no row is left for the slip: {slip.what}")
        chosen[slip] = chance("slip", slip.sheet, slip.what).choice(free)
        touched |= {book.ewe_of(rows[chosen[slip]])} - {""}
    return chosen
