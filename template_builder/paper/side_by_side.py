"""Lists set side by side on a page, each page read down its columns."""

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from template_builder.files.look import MIST, PRINT_ROW_HEIGHT, RULED, Style
from template_builder.paper.pages import NAME, PAGE_PIXELS, Paper, PaperColumn, filled

Item = TypeVar("Item")
MOST = 3  # lists beside one another
LISTED = NAME.with_(fill=MIST)  # the first column of each, so that the eye finds where a list begins


def set_out(one: Sequence[PaperColumn], least: int) -> tuple[tuple[PaperColumn, ...], int]:
    """The columns of a page and how many lists it holds: as many as leave so many pixels to the columns of no width."""
    own = sum(column.pixels for column in one)
    lists = next((number for number in range(MOST, 1, -1) if PAGE_PIXELS // number >= own + least), 1)
    edges = [PAGE_PIXELS * number // lists for number in range(lists + 1)]
    widths = (right - left for left, right in zip(edges, edges[1:], strict=False))
    return tuple(column for pixels in widths for column in filled(one, pixels)), lists


def shaded(columns: Sequence[PaperColumn], lists: int) -> list[Style]:
    """How the cells of each column of a page look."""
    one = len(columns) // lists
    return [LISTED if number % one == 0 else RULED for number in range(len(columns))]


class Lists(Generic[Item]):
    """Writes items down the lists of each page. `write` gets the row, the columns before the list, and the item."""

    def __init__(
        self, paper: Paper, lists: int, write: Callable[[int, int, Item], None], height: Callable[[Item], float],
    ) -> None:
        self.paper, self.lists, self.write, self.height = paper, lists, write, height
        self.columns = len(paper.widths) // lists

    def add(self, items: Sequence[Item]) -> None:
        """Write all of them, page by page."""
        left = list(items)
        while left:
            rows = self._rows(left)
            page, left = left[:rows * self.lists], left[rows * self.lists:]
            for place in range(rows):
                beside = page[place::rows]
                row = self.paper.line(max(map(self.height, beside)))
                for number, item in enumerate(beside):
                    self.write(row, number * self.columns, item)
            if left:
                self.paper.new_page()

    def _rows(self, left: Sequence[Item]) -> int:
        """How many rows the next page takes: as many as fit, and no more than the last items need."""
        room = self.paper.room
        rows = min(int(room // PRINT_ROW_HEIGHT), -(-len(left) // self.lists))
        while rows > 1 and sum(max(map(self.height, left[place:rows * self.lists:rows])) for place in range(rows)) > room:
            rows -= 1
        return rows
