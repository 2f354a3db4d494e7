"""Sheets of a person's own, carried into the merged workbook as values."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, count

from template_builder.files.look import PLAIN
from template_builder.files.opening import Cells, Line
from template_builder.files.tab import write
from template_builder.files.writer import RESERVED_TITLE, Book
from template_builder.layout.columns import Value
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import CONFLICTS_TAB, PROGRAM_TABS
from workbook.reading.rows import as_written
from workbook.season.season import Season

LONGEST_TITLE = 31  # characters of a sheet's title
EARLIER_CONFLICTS = "Earlier conflicts"
_NOT_IN_A_TITLE = re.compile(r"[\[\]:*?/\\]")

Place = tuple[int, int]


@dataclass(frozen=True)
class OwnSheet:
    """A sheet to carry over: the title it gets, its values by row and column number, and the copies it stands in.

    `tabs` names each of these by its file and by its own title there.
    """

    title: str
    values: Mapping[Place, Value]
    tabs: tuple[tuple[str, str], ...]

    @property
    def files(self) -> tuple[str, ...]:
        return tuple(sorted({file for file, _ in self.tabs}))


def own_sheets(copies: Sequence[tuple[Cells, Season]]) -> tuple[OwnSheet, ...]:
    """Every sheet of a person's own. The same in several copies is one; different ones of one title are all kept.

    The conflicts of an earlier merge are kept like a sheet of a person's own.
    """
    found: dict[str, list[tuple[str, str, dict[Place, Value]]]] = {}
    for cells, season in copies:
        for tab in _tabs(season):
            title = EARLIER_CONFLICTS if tab == CONFLICTS_TAB and tab not in season.own_sheets else tab
            found.setdefault(_allowed(title), []).append((cells.file, tab, dict(_values(cells.tabs[tab]))))
    taken = {tab.casefold() for tab in (*PROGRAM_TABS, *(sheet.title for sheet in SHEETS))}
    return tuple(
        OwnSheet(_free(title, taken), values, tabs) for title, sheets in sorted(found.items()) for values, tabs in _once(sheets)
    )


def _tabs(season: Season) -> Iterator[str]:
    yield from season.own_sheets
    if CONFLICTS_TAB in season.tabs and CONFLICTS_TAB not in season.own_sheets:
        yield CONFLICTS_TAB


def _values(lines: Iterable[Line]) -> Iterator[tuple[Place, Value]]:
    """The values of a sheet; a formula nobody has computed is kept as its text."""
    for row, line in lines:
        for cell in line:
            if cell.value not in (None, "") or cell.formula:
                yield (row, cell.column), as_written(cell.formula if cell.value is None else cell.value)


def _once(
    sheets: Iterable[tuple[str, str, Mapping[Place, Value]]],
) -> list[tuple[Mapping[Place, Value], tuple[tuple[str, str], ...]]]:
    """Each different content once, with the tabs it stands in, whatever the order of the files."""
    by_content: dict[str, tuple[Mapping[Place, Value], list[tuple[str, str]]]] = {}
    for file, tab, values in sheets:
        by_content.setdefault(repr(sorted(values.items())), (values, []))[1].append((file, tab))
    return [(values, tuple(tabs)) for _, (values, tabs) in sorted(by_content.items())]


def _allowed(title: str) -> str:
    """A title that a spreadsheet program takes."""
    tidy = _NOT_IN_A_TITLE.sub(" ", title).strip().strip("'")[:LONGEST_TITLE].strip()
    return f"{tidy} sheet".strip().capitalize() if tidy.casefold() in ("", RESERVED_TITLE) else tidy


def _free(title: str, taken: set[str]) -> str:
    """The title, with a number where another sheet has it already."""
    numbered = (f"{title[:LONGEST_TITLE - len(end)]}{end}" for end in (f" ({number})" for number in count(2)))
    found = next(name for name in chain([title], numbered) if name.casefold() not in taken)
    taken.add(found.casefold())
    return found


def write_own_sheet(book: Book, sheet: OwnSheet) -> None:
    """Write the values where they stood."""
    page = book.page(sheet.title)
    for (row, column), value in sorted(sheet.values.items()):
        write(page, row, column, value, PLAIN)
