"""The index workbook: a line for each farm, its figures, its problems by kind, and what else lies in the folder."""

import os
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path

from template_builder.files.look import STRONG, TAB_GROUND, TAB_READ, WHOLE, WRAPPED
from template_builder.files.progress import Tell
from template_builder.files.tab import Cell, FileLink, Head, Shown, Tab
from template_builder.files.writer import Book, new_book
from workbook.many.kept import Entry
from workbook.many.line import KEPT_SINCE, Counted, Kind, Line
from workbook.many.season_line import HEADLINES
from workbook.many.tabs import FARMS, FIGURES, KEPT, KINDS, OTHER_FILES, index_title
from workbook.output.summary.figure_cells import NOT_DEFINED, OTHER_UNIT, PER_CENT, WORDS
from workbook.output.summary.phrases import FEW_WORD, SHARE_UNIT
from workbook.rules.rule import REGISTRY, Severity

SMALL = WRAPPED.with_(size=9)
NAME = STRONG.with_(wrap=True, size=10)
COUNTED = SMALL.with_(align="right")
SHARE, NUMBER, NO_FIGURE = (style.with_(size=9, indent=0) for style in (PER_CENT, OTHER_UNIT, WORDS))
COPIES = {"marked": "marked copy", "summary": "summary"}  # of a line, in the words of their links
MOST_KINDS = 6  # named in the line of a farm; all stand on Problems by kind
_FARM = (
    (Head("Flock", SMALL), 15.0), (Head("Year", WHOLE), 6.0), (Head("Stage", SMALL), 10.0), (Head("Newest record", SMALL), 11.0),
    (Head("As of", SMALL), 11.0), (Head("Ewes", WHOLE), 6.5), (Head("Errors", WHOLE), 7.0), (Head("Warnings", WHOLE), 10.0),
    (Head("Errors by kind", SMALL), 14.0), (Head("What stops a decision", SMALL), 46.0),
)
_COPIES = ((Head("Marked copy", SMALL), 11.0), (Head("Summary", SMALL), 10.0))
LONGEST_NAMES = (18.0, 34.0)  # widths of the column of names: what is longer is cut where the next cell begins
_KIND = ((Head("File", NAME), 24.0), (Head("Flock", SMALL), 18.0), (Head("Rule"), 8.0), (Head("Kind"), 10.0),
         (Head("Times", WHOLE), 8.0), (Head("What is wrong", SMALL), 50.0))
_OTHER = ((Head("File", NAME), 34.0), (Head("What it is"), 20.0), (Head("What to know", SMALL), 64.0))
_TO_SAY = {
    Kind.SUMMARY: "what analyse wrote for the meeting", Kind.PAPER: "what is printed to be written on",
    Kind.KEY: "what the names in shared copies stand for: it stays on the farm",
    Kind.COMPARISON: "farms side by side, as compare wrote it", Kind.SCAN_LIST: "build makes a season workbook of it",
    Kind.MARKED: "a copy with marks, as check wrote it",
}


def write_index(index: Path, folder: Path, entries: Sequence[Entry], *, force: bool, anew: bool, tell: Tell) -> None:
    """Write the index of a folder, all or nothing. It opens on Farms. Raises WriteError."""
    title = index_title(folder)
    with new_book(index, title=title, force=force, anew=anew, tell=tell) as book:
        write = _Writer(book, entries, os.path.relpath(folder, index.parent), title)
        write.farms()
        write.figures()
        write.kinds()
        write.other_files()
        write.kept()
        for page in book.pages:
            page.shown_at(colour=TAB_READ if page.title in (FARMS, FIGURES) else TAB_GROUND)


class _Writer:
    """Writes the tabs; `way` leads from the index to the folder."""

    def __init__(self, book: Book, entries: Sequence[Entry], way: str, footer: str) -> None:
        self.book, self.entries, self.way, self.footer = book, entries, Path(way), footer
        self.seasons = [entry for entry in entries if entry.line.is_season]

    def farms(self) -> None:
        """A line for each season workbook."""
        columns = (self._names(), *_FARM) + tuple(
            column for column, has in zip(_COPIES, map(self._any, COPIES), strict=True) if has)
        note = ("Each name leads to its file. Errors by kind are rules of check, each with how often: Problems by kind says what "
                "they are. A line stands as its file was read; one that has not changed since is not read again.")
        self._tab(FARMS, f"{self.footer}: {len(self.seasons)} season workbooks of {len(self.entries)} files", note, columns,
                  [self._farm(entry) + self._copies(entry.line) for entry in self.seasons], "farms",
                  "There is no season workbook among the files.")

    def _any(self, copy: str) -> bool:
        return any(getattr(entry.line, copy) for entry in self.seasons)

    def _farm(self, entry: Entry) -> list[Shown]:
        line = entry.line
        twin = next((other.name for other in self.seasons if other.print == entry.print and other is not entry), "")
        said = (line.not_written, *line.stops, f"the same file as {twin}" if twin else "", line.words)
        return [
            self._link(entry.name), line.flock or "not named", line.year, line.stage, _day(line.newest), _moment(line.as_of),
            line.ewes,
            sum((line.errors or {}).values()), sum((line.warnings or {}).values()),
            _kinds(line.errors or {}), "; ".join(filter(None, said)) or "nothing",
        ]

    def _copies(self, line: Line) -> list[Shown]:
        return [self._link(getattr(line, copy), words) for copy, words in COPIES.items() if self._any(copy)]

    def _link(self, name: str, words: str = "") -> Cell:
        return Cell((words or name) if name else None, link=FileLink((self.way / name).as_posix()) if name else None)

    def _names(self) -> tuple[Head, float]:
        """The column of names, as wide as the longest needs."""
        least, most = LONGEST_NAMES
        return Head("File", NAME), min(most, max(least, 1.3 * max((len(one.name) for one in self.seasons), default=0)))

    def figures(self) -> None:
        """The headline figures of each, beside one another."""
        columns = [(Head("File", NAME.with_(size=9)), 23.0), (Head("Flock", SMALL), 17.0)]
        for title in HEADLINES.values():
            columns += [(Head(title), 11.0), (Head(f"{title}: counted", COUNTED), 11.5)]
        note = ("Counted is what the figure rests on: how many, of how many. With under ten animals there is no figure. Flocks "
                "differ in what they record and when: ask before you compare.")
        rows = [[self._link(entry.name), entry.line.flock, *_figures(entry.line)] for entry in self.seasons]
        self._tab(FIGURES, FIGURES, note, columns, rows, "figures_by_farm", "No figures.")

    def kinds(self) -> None:
        """Every rule that found something, by file."""
        rows: list[list[Shown]] = [
            [self._link(entry.name), entry.line.flock, id, severity.value, times, REGISTRY[id].title if id in REGISTRY else ""]
            for entry in self.seasons
            for severity, slips in ((Severity.ERROR, entry.line.errors), (Severity.WARNING, entry.line.warnings))
            for id, times in (slips or {}).items()
        ]
        note = ("Error: a figure resting on it is not to be trusted. Warning: likely a slip, still counted. check FILE lists the "
                "cells.")
        self._tab(KINDS, KINDS, note, _KIND, rows, "problems_by_kind", "No problems found.")

    def other_files(self) -> None:
        """What is no season workbook, with what it is."""
        rows: list[list[Shown]] = [
            [self._link(entry.name), entry.line.kind.value, entry.line.words or _TO_SAY.get(entry.line.kind, "")]
            for entry in self.entries if not entry.line.is_season
        ]
        self._tab(OTHER_FILES, OTHER_FILES, "What is no season workbook, and what it is.", _OTHER, rows, "other_files",
                  "All files are season workbooks.")

    def kept(self) -> None:
        """What the next index takes over, out of sight."""
        page = self.book.page(KEPT)
        for row, entry in enumerate((entry for entry in self.entries if entry.print), start=1):
            for column, text in enumerate((KEPT_SINCE, entry.name, entry.print, entry.line.as_text()), start=1):
                page.text(row, column, text)
        page.raw.hide()

    def _tab(
        self, tab: str, title: str, note: str, columns: Sequence[tuple[Head, float]], rows: Sequence[Sequence[Shown]], name: str,
        empty: str,
    ) -> None:
        made = Tab(self.book, tab, [width for _, width in columns], self.footer, read=True)
        made.title(title, note)
        made.heads_stay(made.table([head for head, _ in columns], rows, name=name, empty=empty))


def _kinds(slips: Mapping[str, int]) -> str:
    """The rules that found most, each with how often, and how many more there are."""
    more = len(slips) - MOST_KINDS
    listed = ", ".join(f"{id} x {times}" for id, times in list(slips.items())[:MOST_KINDS])
    return f"{listed} and {more} more kinds" if more > 0 else listed


def _day(text: str) -> date | str:
    return date.fromisoformat(text) if text else "none"


def _moment(text: str) -> date | None:
    return datetime.fromisoformat(text).date() if text else None


def _figures(line: Line) -> Iterator[Shown]:
    known = {figure.id: figure for figure in line.figures}
    for id in HEADLINES:
        figure = known.get(id)
        yield _value(figure) if figure else None
        yield _counted(figure) if figure else None


def _value(figure: Counted) -> Cell:
    if figure.value is None:
        return Cell(FEW_WORD if figure.few else NOT_DEFINED, NO_FIGURE)
    return Cell(figure.value, SHARE if figure.unit == SHARE_UNIT else NUMBER)


def _counted(figure: Counted) -> str:
    parts = ["?" if number is None else f"{number:,.10g}" for number in (figure.numerator, figure.denominator)]
    return f"{parts[0]} of {parts[1]}{', so far' if figure.so_far else ''}"
