"""Drop-downs that are gone: cells pasted over others take their lists away, from some rows or from a whole column."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate

from template_builder.files.opening import Cells
from workbook.reading.anchors import Anchored
from workbook.reading.out_of_sight import area
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef, Record


def wiped(cells: Cells, found: Anchored, records: Sequence[Record]) -> list[Problem]:
    """One note for a sheet on which columns have lost their drop-downs, or records stand where these do not reach.

    Quiet where nobody can tell: the lists of the sheet are not known, or its names are gone, as in a copy by another program.
    """
    written = cells.lists.get(found.tab)
    named = any(tab == found.tab for tab, _, _ in cells.names.values())
    if written is None or not named or not records:
        return []
    areas = [place for one in written if (place := area(one))]
    listed = {number: column.title for column in found.sheet if column.choices and (number := found.places.get(column.id))}
    without: dict[tuple[int, ...], list[int]] = {}  # rows -> the columns without a drop-down in them; no rows: in none at all
    for number in sorted(listed):
        spans = sorted((top, bottom) for left, top, right, bottom in areas if left <= number <= right)
        missed = tuple(_missed(spans, records)) if spans else ()
        if missed or not spans:
            without.setdefault(missed, []).append(number)
    if not without:
        return []
    said = [_words(rows, [listed[number] for number in numbers], len(numbers) == len(listed))
            for rows, numbers in sorted(without.items())]
    at = CellRef(cells.file, found.tab, found.heading_row, min(min(numbers) for numbers in without.values()))
    return [reading_problem("drop-downs-missing", at, "; ".join(said))]


def _words(rows: Sequence[int], titles: Sequence[str], in_all: bool) -> str:
    """Rows and the columns that have no drop-down in them: "row 9 is without drop-downs in Sex"."""
    columns = "" if in_all else f" in {', '.join(titles)}"
    if not rows:
        return f"the drop-downs are gone{columns}"
    if len(rows) == 1:
        return f"row {rows[0]} is without drop-downs{columns}"
    return f"{len(rows)} filled rows, the first in row {rows[0]}, are without drop-downs{columns}"


def _missed(spans: Sequence[tuple[int, int]], records: Sequence[Record]) -> list[int]:
    """The rows of records that lie in none of the spans of rows, which are sorted by their first."""
    tops = [top for top, _ in spans]
    reached = list(accumulate((bottom for _, bottom in spans), max))  # by this span or one before it
    before = ((record.row, bisect_right(tops, record.row)) for record in records)
    return [row for row, count in before if not count or reached[count - 1] < row]
