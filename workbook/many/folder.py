"""A folder of files to an index of it: what has not changed since the last index is not read again."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from template_builder.files.progress import Tell, silent
from template_builder.files.refusals import OPEN_ELSEWHERE
from template_builder.files.targets import check_targets, same_file
from template_builder.files.told import Told
from workbook.many.cores import in_parallel
from workbook.many.index import write_index
from workbook.many.kept import Entry, fingerprint, is_index_of, kept_in, line_of
from workbook.many.line import Kind, Line
from workbook.many.looking import MARKED_ENDING, Job, look_at
from workbook.many.written import Wanted
from workbook.reading.filled import held

SPREADSHEETS = (".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".numbers", ".csv", ".tsv")
LOCK = ("~$", ".")  # how files begin that a program keeps beside an open one, and those out of sight
_DIGITS = re.compile(r"([0-9]+)")
LOST = Line(Kind.UNREADABLE, "took more memory than there is, and reading it was stopped: read it by itself")


@dataclass(frozen=True)
class Asked:
    """What is asked of a folder: the moment, where marked copies go, whether summaries are written, what may be replaced."""

    as_of: datetime | None = None
    marked: Path | None = None
    summaries: bool = False
    force: bool = False
    wanted: Wanted | None = None


@dataclass(frozen=True)
class Done:
    """The index as written: the line of each file in the order of names, and how many were read for it."""

    index: Path
    entries: tuple[Entry, ...]
    read: int


def default_index(folder: Path) -> Path:
    """In the folder, under its name: NAME-index.xlsx."""
    return folder / f"{folder.resolve().name or 'folder'}-index.xlsx"


def index_folder(folder: Path, index: Path, asked: Asked, tell: Tell = silent, cores: int | None = None) -> Done:
    """Read a folder and write its index. Raises Told where there is nothing to read, or the index may not be written."""
    paths = spreadsheets(folder, index)
    if not paths:
        raise Told(f"{folder} holds no spreadsheet: give the folder in which the workbooks stand. Folders in it are not read.")
    anew = is_index_of(index, folder)
    check_targets([index], paths, force=asked.force, anew=[index] if anew else (), held=held)
    if asked.marked and not asked.marked.is_dir():
        raise Told(f"{asked.marked} is no folder. Make it first: the marked copies of a folder go into one of their own.")
    earlier = kept_in(index)
    prints = {path: _print(path, asked.as_of) for path in paths}
    jobs = _jobs(paths, asked)
    lines = {path: line for path in paths if (line := _unchanged(earlier.get(prints[path], ()), jobs[path]))}
    to_read = [jobs[path] for path in paths if path not in lines]
    for number, (job, line) in enumerate(in_parallel(look_at, to_read, LOST, cores), start=1):
        tell(f"Read {number} of {len(to_read)}: {job.path.name}")
        lines[job.path] = line
    entries = tuple(Entry(path.name, prints[path], lines[path]) for path in paths if lines[path].kind is not Kind.INDEX)
    write_index(index, folder, entries, force=asked.force, anew=anew, tell=tell)
    read = sum(lines[job.path].kind is not Kind.INDEX for job in to_read)
    return Done(index, entries, read)


def spreadsheets(folder: Path, *outputs: Path) -> list[Path]:
    """The spreadsheets of a folder by name, without lock files and outputs. Raises Told for a folder that is closed."""
    try:
        found = [path for path in folder.iterdir() if path.suffix.casefold() in SPREADSHEETS and path.is_file()]
    except OSError as error:
        raise Told(f"{folder} could not be read ({error.strerror}): ask its owner for access.") from error
    return sorted((path for path in found if not path.name.startswith(LOCK) and not any(same_file(path, one) for one in outputs)),
                  key=lambda path: (_as_read(path.name), path.name))


def _as_read(name: str) -> list[str | int]:
    """A name as people put them in order: Farm 2 before Farm 10."""
    return [int(part) if part.isdecimal() else part for part in _DIGITS.split(name.casefold())]


def _print(path: Path, as_of: datetime | None) -> str:
    """The fingerprint of what is in a file, and of the moment asked for; "" for one that cannot be read."""
    try:
        found = fingerprint(path)
    except OSError:
        return ""
    return f"{found} {as_of.isoformat()}" if as_of else found


def _jobs(paths: Sequence[Path], asked: Asked) -> Mapping[Path, Job]:
    """What to do with each file; of two that would have one name for their copies the second keeps its ending in it."""
    taken: set[str] = set()
    jobs = {}
    for path in paths:
        stem = path.name if path.stem.casefold() in taken else path.stem
        taken.add(stem.casefold())
        jobs[path] = Job(
            path, asked.as_of,
            asked.marked / f"{stem}{MARKED_ENDING}{path.suffix}" if asked.marked else None,
            path.with_name(f"{stem}-summary.xlsx") if asked.summaries else None, asked.force, asked.wanted)
    return jobs


def _unchanged(entries: tuple[Entry, ...], job: Job) -> Line | None:
    """What an earlier index knows of a file, where all that is asked for was done then and still stands there."""
    line = line_of(entries, job.path.name)
    if line is None or line.kind is Kind.UNREADABLE or line.not_written or OPEN_ELSEWHERE in line.words:
        return None
    if line.is_season and job.wanted:
        return None
    folder = job.path.parent
    line = replace(line, marked=_there(folder, line.marked), summary=_there(folder, line.summary))
    wanted = ((job.marked, line.marked), (job.summary, line.summary))
    missing = line.is_season and any(target and job.seen(target) != written for target, written in wanted)
    return None if missing else line


def _there(folder: Path, copy: str) -> str:
    return copy if copy and (folder / copy).is_file() else ""


def words(done: Done, *, strict: bool) -> Iterator[str]:
    """What was found, in a line for each file that needs a person, and how many of each kind there are."""
    for entry in done.entries:
        if entry.line.needs_a_person(strict=strict):
            yield f"{entry.name}: {_why(entry.line)}"
    kinds = [entry.line.kind for entry in done.entries]
    counted = ", ".join(f"{kind.value} {kinds.count(kind)}" for kind in Kind if kind in kinds)
    yield f"files {len(done.entries)}: {counted}; {done.read} read, {len(done.entries) - done.read} as they were"


def _why(line: Line) -> str:
    slips = (("errors", line.errors), ("warnings", line.warnings))
    parts = [f"{what} {sum(found.values())}" for what, found in slips if found]
    return "; ".join(filter(None, (*parts, line.words if line.kind is Kind.UNREADABLE else "", line.not_written)))
