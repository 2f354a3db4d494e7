"""Look at one file of a folder and say in a line what it is and what it holds. Whatever is wrong with it, a line comes back."""

import os
import re
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cells, open_cells
from template_builder.files.targets import check_targets
from template_builder.files.told import Told
from template_builder.files.writing import ANOTHER_NAME
from template_builder.files.written import as_written, title_in
from template_builder.layout.group_tabs import is_comparison
from template_builder.layout.key_tab import is_key_of_names
from template_builder.layout.paper_tabs import is_paper
from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import META_TAB, UNREAD_TABS
from template_builder.scan.pages import ScanListError
from template_builder.scan.reading import read_list
from workbook.many.line import Kind, Line
from workbook.many.season_line import season_line
from workbook.many.tabs import is_index
from workbook.many.written import Wanted, write_text
from workbook.output.marking.copy import write_marked
from workbook.output.summary.book import title_of, write_summary
from workbook.reading.filled import held
from workbook.reading.season_file import Reading, read_cells
from workbook.results.pipeline import Checked, Result, analyse

TEXTS = (".csv", ".tsv")
MARKED_ENDING = "-marked"
_MARKED = re.compile(rf".*{MARKED_ENDING}(?: \d+)?(?: \(before [^()]*\))?")  # numbered, or kept beside the next one
IN_A_FOLDER = "Give it another name or move it, and a new one is written the next time."
_OTHER = "neither a season workbook nor a scan list"


@dataclass(frozen=True)
class Job:
    """One file to look at, the moment the figures are for, and where copies of it go: None where none is asked for."""

    path: Path
    as_of: datetime | None = None
    marked: Path | None = None
    summary: Path | None = None
    force: bool = False
    wanted: Wanted | None = None

    def seen(self, copy: Path) -> str:
        """A copy as seen from the folder of the file."""
        return Path(os.path.relpath(copy, self.path.parent)).as_posix()


def look_at(job: Job) -> Line:
    """The line of one file; no fault of it, nor of this program in reading it, keeps the others from being read."""
    try:
        found = what_it_is(job.path, job.as_of)
        if isinstance(found, Line):
            return found
        result = analyse(found)
        if job.wanted:
            write_text(result, job.path, job.wanted)
        return _with_copies(result, job)
    except Told as error:
        return Line(Kind.UNREADABLE, _without_name(error, job.path))
    except Exception as error:  # noqa: BLE001 - one bad file never stops the rest
        said = " ".join(f"{type(error).__name__}: {error}".split())
        return Line(Kind.UNREADABLE, f"could not be read for a fault of this program, not of the records ({said})")


def _without_name(error: Told, path: Path) -> str:
    return str(error).removeprefix(path.name).lstrip(": ")


def what_it_is(path: Path, as_of: datetime | None = None) -> Reading | Line:
    """The season in a file, or the line of one that holds none. Raises Told for a file that cannot be read."""
    other = Line(Kind.OTHER, _OTHER)
    if path.suffix.casefold() in TEXTS:
        return _list_or(other, path)
    cells = open_cells(path, UNREAD_TABS)
    kinds = ((Kind.INDEX, is_index), (Kind.COMPARISON, is_comparison), (Kind.SUMMARY, is_summary), (Kind.PAPER, is_paper),
             (Kind.KEY, is_key_of_names))
    for kind, is_one in kinds:
        if is_one(cells.tabs):
            return Line(kind)
    if _MARKED.fullmatch(path.stem) and META_TAB in cells.tabs and as_written(path):
        return Line(Kind.MARKED)
    return _season(cells, as_of) or _list_or(other, path)


def _season(cells: Cells, as_of: datetime | None) -> Reading | None:
    """The season in these cells; None for a workbook that never was one. Raises Unreadable for one of a newer version."""
    try:
        return read_cells(cells, as_of)
    except Unreadable:
        if META_TAB in cells.tabs:
            raise
        return None


def _list_or(other: Line, path: Path) -> Line:
    try:
        found = read_list(path)
    except ScanListError:
        return other
    return Line(Kind.SCAN_LIST) if found.rows else other


def _with_copies(result: Result, job: Job) -> Line:
    """The line of a season with the copies asked for written; why one was not stands in the line."""
    line, refused = season_line(result), list[str]()
    checked = Checked(result.season, result.problems, result.skipped)
    if job.marked:
        try:
            how = _how(job, job.marked, title_in(job.path))
            write_marked(checked, job.path, job.marked, force=how.force, anew=how.anew)
            line = replace(line, marked=job.seen(job.marked))
        except Told as error:
            refused.append(_of_a_folder(error, job.marked))
    if job.summary:
        try:
            how = _how(job, job.summary, title_of(result.season))
            write_summary(result, job.summary, force=how.force, anew=how.anew)
            line = replace(line, summary=job.seen(job.summary))
        except Told as error:
            refused.append(_of_a_folder(error, job.summary))
    return replace(line, not_written=" ".join(refused))


class _How(NamedTuple):
    """How a copy may be written: `force` keeps one that is there beside it, `anew` puts the new one in its place."""

    force: bool
    anew: bool


def _how(job: Job, copy: Path, title: str) -> _How:
    """A copy as this program wrote it is brought up to date, and kept where it is of another flock or year, or force is asked.

    Raises Told where it is there and somebody has saved it.
    """
    ours = copy.is_file() and as_written(copy)
    how = _How(job.force or ours, ours and not job.force and title_in(copy) == title)
    check_targets([copy], [job.path], force=how.force, anew=[copy] if how.anew else (), held=held)
    return how


def _of_a_folder(error: Told, target: Path) -> str:
    """What is wrong with a target, without the folders of this computer: an index is sent on."""
    return str(error).replace(str(target), target.name).replace(ANOTHER_NAME, IN_A_FOLDER)
