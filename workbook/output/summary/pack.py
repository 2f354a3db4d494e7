"""A section of the pack that Meeting prints: its sentences and one table over the columns of the page."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.files.look import PRINT_CHARACTERS, PROSE, WRAPPED
from template_builder.files.room import FREE_ROW
from template_builder.files.tab import Cell, Head, Link, Shown, Tab
from workbook.output.summary.flags import Flags
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.places import Places
from workbook.results.pipeline import Result

MOVED = PROSE.with_(bold=True)
COLUMNS = 12
WIDTHS = (PRINT_CHARACTERS / COLUMNS,) * COLUMNS
FIRST_ROWS = 4  # of a long table that stand with its heading
Span = tuple[int, int]


class Around(NamedTuple):
    """What a section may look at."""

    result: Result
    places: Places
    flags: Flags
    live: LiveDecisions | None = None


@dataclass(frozen=True)
class Part:
    """What a section says: sentences above its table, headings with the columns each takes, rows, and sentences below.

    A `long` table may go on over pages, with its headings again on each; any other stays on one page. Rows are as high as their
    text needs, or all of one `height`. `moved` is a sentence
    under the first ones that follows what is decided in the workbook, with its formula. `title` stands instead of that of its
    section where a flock needs another.
    """

    note: str = ""
    heads: tuple[Head, ...] = ()
    spans: tuple[Span, ...] = ()
    rows: Sequence[Sequence[Shown]] = ()
    below: Sequence[str | tuple[str, Link]] = ()
    long: bool = False
    height: float = 0.0
    moved: tuple[str, str] = ("", "")
    title: str = ""


class Section(NamedTuple):
    """A section by its id and its title, with what gives its rows; None where there is nothing to say."""

    id: str
    title: str
    part: Callable[[Around], Part | None]


class Area(NamedTuple):
    """Where the table of a section stands: the number of each row below the headings, and the columns of each cell."""

    rows: tuple[int, ...]
    spans: tuple[Span, ...]


def write_sections(tab: Tab, sections: Sequence[Section], around: Around) -> Mapping[str, Area]:
    """Write each section that has something to say; gives by its id where its table stands."""
    found: dict[str, Area] = {}
    for section in sections:
        part = section.part(around)
        if part is None:
            continue
        found[section.id] = write_part(tab, part.title or section.title, part)
    return found


def write_part(tab: Tab, title: str, part: Part) -> Area:
    """Write one section; gives where its table stands."""
    together = FIRST_ROWS if part.long else len(part.rows)
    with tab.kept_together():
        tab.section(title, part.note)
        if part.moved[1]:
            tab.prose(part.moved[0], MOVED, formula=part.moved[1])
        _headings(tab, part)
        rows = [_row(tab, part, row, goes_on=False) for row in part.rows[:together]]
        if not part.rows[together:]:
            _below(tab, part)
    if part.rows[together:]:
        rows += [_row(tab, part, row, goes_on=True) for row in part.rows[together:]]
        _below(tab, part)
    return Area(tuple(rows), part.spans)


def _row(tab: Tab, part: Part, row: Sequence[Shown], *, goes_on: bool) -> int:
    """Write a row and give its number; a table that `goes_on` does so under its headings on a new page where this one is full."""
    cells = [_worn(cell, head) for cell, head in zip(row, part.heads, strict=True)]
    if goes_on and not tab.fits(part.height or tab.spread_height(cells, part.spans, WRAPPED)):
        tab.new_page()
        _headings(tab, part)
    tab.spread(cells, part.spans, WRAPPED, height=part.height)
    return tab.row - 1


def _below(tab: Tab, part: Part) -> None:
    if part.rows and part.below:
        tab.free(FREE_ROW / 2)
    for said in part.below:
        words, link = (said, None) if isinstance(said, str) else said
        tab.prose(words, PROSE, link)


def _headings(tab: Tab, part: Part) -> None:
    if part.rows and any(head.title for head in part.heads):
        tab.spread([head.title for head in part.heads], part.spans, None)


def _worn(cell: Shown, head: Head) -> Cell:
    """The cell in the look of its column, unless it has one of its own."""
    if isinstance(cell, Cell):
        return cell if cell.style else Cell(cell.value, head.style, cell.link, cell.formula)
    return Cell(cell, head.style)
