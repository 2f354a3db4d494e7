"""From files and folders to a group workbook: what is read, what is left out and why, and where everything goes."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from template_builder.files.names import beside
from template_builder.files.progress import Tell, silent
from template_builder.files.targets import check_targets, same_file
from template_builder.files.told import Told
from workbook.comparing.book import write_group
from workbook.comparing.farm import Farm
from workbook.comparing.farm_page import write_farm_page
from workbook.comparing.group import Compared, compared
from workbook.comparing.letters import Named, key_of, read_key, write_key
from workbook.comparing.like import LEAST_FARMS
from workbook.comparing.looking import Job, Left, look_at, lost
from workbook.many.cores import in_parallel
from workbook.many.folder import spreadsheets
from workbook.reading.filled import held
from workbook.results.statistics.funnel import FAR
from workbook.season.matching import fold


@dataclass(frozen=True)
class Asked:
    """What is asked of a group: where its key and the farms' pages go, whether names stand in it, the moment."""

    key: Path
    names: bool = False
    pages: Path | None = None
    as_of: datetime | None = None
    together: bool = False
    force: bool = False


@dataclass(frozen=True)
class Done:
    """The group as written, with the files that were."""

    compared: Compared
    written: tuple[Path, ...]


def default_group(given: Sequence[Path]) -> Path:
    """In the folder given first, under its name: NAME-group.xlsx; of files, group.xlsx beside the first."""
    first = given[0]
    return first / f"{first.resolve().name or 'folder'}-group.xlsx" if first.is_dir() else first.with_name("group.xlsx")


def key_beside(group: Path) -> Path:
    """Where the key of the letters stands: NAME-key.xlsx beside the group workbook."""
    return beside(group, "key")


def compare_files(given: Sequence[Path], group: Path, asked: Asked, tell: Tell = silent, cores: int | None = None) -> Done:
    """Read farms, write the group workbook, the key of its letters and, if asked, a page for each farm.

    Raises Told where there is nothing to compare, or where something may not be written: then nothing is.
    """
    paths = files_of(given, group, asked.key)
    check_targets([group], [*paths, asked.key], force=asked.force, held=held)
    if asked.pages and not asked.pages.is_dir():
        raise Told(f"{asked.pages} is no folder. Make it first: the pages of the farms go into one of their own.")
    before = read_key(asked.key)
    farms, left = read_farms(paths, {path.name for path in given if path.is_file()}, asked.as_of, tell, cores)
    found = compared(_some(farms, left), left, before, together=asked.together)
    key, pages = key_of(found.farms, before), _pages(found, asked.pages)
    targets = [*([asked.key] if key != before else []), *pages]
    check_targets(targets, [*paths, group], force=asked.force, held=held)
    of_page = dict(zip(pages, found.farms, strict=False))
    return Done(found, tuple(_written(found, group, key, key != before, of_page, asked, tell)))


def compared_only(given: Sequence[Path], key: Path | None, as_of: datetime | None, *, together: bool = False) -> Compared:
    """Farms compared and nothing written. Raises Told where there is no season workbook."""
    paths = files_of(given, *([key] if key else []))
    farms, left = read_farms(paths, {path.name for path in given if path.is_file()}, as_of)
    return compared(_some(farms, left), left, read_key(key) if key else (), together=together)


def _some(farms: list[Farm], left: Sequence[Left]) -> list[Farm]:
    if not farms:
        raise Told("\n".join([*map(told, left), "There is no season workbook to compare."]))
    return farms


def _written(
    found: Compared, group: Path, key: Sequence[Named], new_key: bool, pages: dict[Path, Farm], asked: Asked, tell: Tell,
) -> Iterator[Path]:
    write_group(group, found, key if asked.names else (), force=asked.force, tell=tell)
    yield group
    if new_key:
        write_key(asked.key, key, force=asked.force, tell=tell)
        yield asked.key
    for page, farm in pages.items():
        tell(f"Writing {page.name}")
        write_farm_page(page, found, farm, force=asked.force)
        yield page


def files_of(given: Iterable[Path], *outputs: Path) -> list[Path]:
    """Every file given, and the spreadsheets of every folder given, each once. Raises Told where there is none."""
    found: list[Path] = []
    for path in given:
        found += spreadsheets(path, *outputs) if path.is_dir() else [path]
    once = list(dict.fromkeys(path for path in found if not any(same_file(path, output) for output in outputs)))
    if not once:
        raise Told(f"{', '.join(map(str, given))} holds no spreadsheet: give season workbooks, or the folder they stand in.")
    return once


def read_farms(
    paths: Sequence[Path], named: Iterable[str] = (), as_of: datetime | None = None, tell: Tell = silent,
    cores: int | None = None,
) -> tuple[list[Farm], list[Left]]:
    """The farms in these files and the files left out, on all cores, in the order of the files.

    A file `named` by itself that holds no season is a question to whoever named it; one that lies in a folder is not.
    """
    answers: dict[Path, Farm | Left] = {}
    jobs = [Job(path, as_of) for path in paths]
    for number, (job, answer) in enumerate(in_parallel(look_at, jobs, lost(), cores), start=1):
        tell(f"Read {number} of {len(paths)}: {job.path.name}")
        answers[job.path] = replace(answer, name=job.path.name) if isinstance(answer, Left) else answer
    asking = set(named)
    farms, left = list[Farm](), list[Left]()
    for found in (answers[path] for path in paths):
        if isinstance(found, Left):
            left.append(replace(found, asks=found.asks or found.name in asking))
        else:
            farms.append(found)
    kept, twice = once_each(farms)
    return kept, [*left, *twice]


def once_each(farms: Sequence[Farm]) -> tuple[list[Farm], list[Left]]:
    """Each flock once, with its latest season and the newest records of it; the others are left out and named."""
    kept: list[Farm] = []
    left: list[Left] = []
    for farm in sorted(farms, key=lambda farm: (-(farm.year or 0), _newest_first(farm.newest), farm.file)):
        twin = next((other for other in kept if _is_same(farm, other)), None)
        if twin is None:
            kept.append(farm)
        else:
            left.append(Left(farm.file, _why_twice(farm, twin)))
    return [farm for farm in farms if farm in kept], left


def _newest_first(day: str) -> tuple[int, ...]:
    return tuple(-int(part) for part in day.split("-")) if day else (0,)


def _is_same(farm: Farm, other: Farm) -> bool:
    named = fold(farm.flock)
    return bool(farm.print) and farm.print == other.print or bool(named) and named == fold(other.flock)


def _why_twice(farm: Farm, other: Farm) -> str:
    if farm.print == other.print and farm.print:
        return f"the same file as {other.file}: it stands in the group once"
    if farm.year != other.year:
        return (f"season {farm.year} of the flock whose season {other.year} is {other.file}: a flock stands in the group once, "
                "with its latest season")
    return (f"says the same flock and year as {other.file}, which has newer records: merge copies of one season, or give two "
            "flocks two names on Season")


def told(left: Left) -> str:
    return f"{left.name}: {left.why}"


def said(found: Compared) -> Iterator[str]:
    """What the terminal tells: files left out and why, the farms by what they have in common, and who stands apart."""
    yield from map(told, found.left)
    ways = Counter(farm.kind for farm in found.farms)
    yield (f"Farms {len(found.farms)}, {found.farms[0].letter} to {found.farms[-1].letter}: "
           + "; ".join(f"{number} {way}" for way, number in ways.most_common()))
    if not found.funnels:
        yield f"No limits: no loss is known of {LEAST_FARMS} farms that are alike. All figures stand side by side."
    for funnel in found.funnels:
        if apart := [farm.letter for farm in funnel.outside if farm.where in FAR]:
            yield f"Outside the 99.8 % limits, {funnel.title}: {', '.join(apart)}"


def _pages(found: Compared, folder: Path | None) -> list[Path]:
    """Where each farm's page goes: by the name of its file, which is its own."""
    if folder is None:
        return []
    names: list[str] = []
    for farm in found.farms:
        stem = Path(farm.file).stem.removesuffix("-season")
        names.append(stem if stem.casefold() not in map(str.casefold, names) else f"{stem}-{farm.letter}")
    return [folder / f"{name}-compared.xlsx" for name in names]
