"""Merge files: read the copies, put them together, write one workbook. The copies are never changed."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.files.opening import Cells, open_cells
from template_builder.files.progress import Tell, silent
from template_builder.files.targets import check_targets
from template_builder.files.writer import Book
from template_builder.files.writing import WriteError
from template_builder.layout.whole import UNREAD_TABS
from template_builder.live_values import with_values
from workbook.merging.conflicts_page import write_conflicts
from workbook.merging.flocks import not_copies
from workbook.merging.own_marks import OwnMark, own_marks, write_own_marks
from workbook.merging.own_sheets import OwnSheet, own_sheets, write_own_sheet
from workbook.merging.seasons import Conflict, Merged, merge
from workbook.reading.season_file import Reading, read_cells
from workbook.rules.checks.layout_slips import SORTED_ALONE, issued_column_sorted
from workbook.rules.rule import REGISTRY, Problem
from workbook.season.believable import this_minute
from workbook.season.season import Season

# What these find has no place in a merged workbook: sums the program makes itself, rows on Season and Policy not its own,
# and what is longer than a cell.
_LEFT_OUT = frozenset({"totals-row", "unknown-setting", "text-too-long"})


class NotMerged(WriteError):
    """No merged workbook was made; the sentence says why and what to do."""


@dataclass(frozen=True)
class Done:
    """What a merge did: the copies by name, cells in conflict, what was kept of the person's own, what was left out, notes.

    `marks_left_out` are colours and notes on cells that the merged workbook does not have.
    """

    files: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    own_columns: Mapping[str, tuple[str, ...]]
    own_sheets: tuple[OwnSheet, ...]
    left_out: tuple[Problem, ...]
    notes: tuple[str, ...] = ()
    own_marks: tuple[OwnMark, ...] = ()
    marks_left_out: tuple[OwnMark, ...] = ()


@dataclass(frozen=True)
class Given:
    """The workbooks to merge, the base last if there is one: their cells, what was read, and what to make of a person's mark."""

    cells: Sequence[Cells]
    readings: Sequence[Reading]
    mark: Callable[[OwnMark], OwnMark] = lambda mark: mark


Naming = Callable[[Given], Given]


def as_they_are(given: Given) -> Given:
    """Nothing to name: every copy has the farm's own names."""
    return given


def merge_files(
    paths: Sequence[Path], target: Path, base: Path | None = None, *, named: Naming = as_they_are, force: bool = False,
    tell: Tell = silent,
) -> Done:
    """Write one season workbook to `target` from copies at `paths`. Raises NotMerged, Unreadable, WriteError.

    `named` gives copies that went out without names the farm's own again.
    """
    given = [*paths, base] if base else list(paths)
    check_targets([target], given, force=force)
    names = _names(given)
    cells = [replace(open_cells(path, UNREAD_TABS, tell), file=name) for path, name in zip(given, names, strict=True)]
    found = named(Given(cells, [read_cells(one) for one in cells]))
    readings = found.readings
    seasons = [reading.season for reading in readings]
    if differ := not_copies(seasons):
        raise NotMerged(differ)
    if mixed := _mixed_up(seasons):
        raise NotMerged(mixed)
    copies, before = seasons[:len(paths)], seasons[len(paths):]
    tell("Comparing the copies")
    merged = merge(copies, *before)
    own = own_sheets(list(zip(found.cells, copies, strict=False)))
    marks = tuple(map(found.mark, own_marks(paths, cells[:len(paths)], merged, own)))
    left = _write(target, _plan(seasons[0], names[:len(paths)], merged), merged.conflicts, own, marks, force, tell)
    return Done(tuple(names[:len(paths)]), merged.conflicts, _own_columns(readings[:len(paths)]), own,
                tuple(problem for reading in readings[:len(paths)] for problem in reading.problems
                      if problem.rule.slug in _LEFT_OUT),
                (*(f"{season.file} {note}" for season in copies for note in season.left_alone), *_alike(cells[:len(paths)])),
                tuple(mark for mark in marks if mark not in left), left)


def _alike(copies: Sequence[Cells]) -> Iterator[str]:
    """A line for each two copies that hold the same: merging a file with itself does nothing."""
    for one, other in combinations(copies, 2):
        if one.tabs == other.tabs:
            yield f"{one.file} and {other.file} hold the same, cell by cell: is one of them the wrong file?"


def _mixed_up(seasons: Sequence[Season]) -> str:
    """A sentence where a copy has ewes beside the records of others: merged, they would go to the wrong animals for good."""
    found = next(((season, problem) for season in seasons for problem in issued_column_sorted(season)), None)
    if found is None:
        return ""
    season, problem = found
    return f"{season.file} {problem.place}: {problem.text}. {REGISTRY[SORTED_ALONE].fix} Then merge again."


def _names(paths: Sequence[Path]) -> list[str]:
    """The files by name, with so much of their folders as tells them apart."""
    resolved = [path.resolve() for path in paths]
    for parts in range(1, max(len(path.parts) for path in resolved) + 1):
        names = ["/".join(path.parts[-parts:]) for path in resolved]
        if len(set(names)) == len(set(resolved)):
            break
    return names


def _plan(first: Season, names: Sequence[str], merged: Merged) -> Plan:
    """Title and start are those of the first file."""
    return Plan(first.called, merged.rows, first.start, f"Merged from {', '.join(names)}.")


def _own_columns(readings: Sequence[Reading]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, dict[str, None]] = {}
    for reading in readings:
        for tab, titles in reading.season.own_columns.items():
            found.setdefault(tab, {}).update(dict.fromkeys(titles))
    return {tab: tuple(titles) for tab, titles in found.items()}


def _write(
    target: Path, plan: Plan, conflicts: Sequence[Conflict], own: Sequence[OwnSheet], marks: Sequence[OwnMark], force: bool,
    tell: Tell,
) -> tuple[OwnMark, ...]:
    """Write the merged workbook; gives the marks that have no cell in it."""
    left: list[OwnMark] = []

    def more(book: Book) -> None:
        if conflicts:
            write_conflicts(book, conflicts, plan.title)
        for sheet in own:
            write_own_sheet(book, sheet)
        left.extend(write_own_marks(book, marks))

    now = this_minute()
    tell("Working out the formulas")
    build(target, with_values(plan, now), force=force, more=more, tell=tell)
    return tuple(left)
