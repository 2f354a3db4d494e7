"""Files dropped on the program, or a double click: what is done with them, without writing over anything."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from template_builder.files.names import beside, paper_of
from workbook.doors.asking import FOLDER, Asked, kind_of
from workbook.many.line import Kind

_SEASONS = (Kind.SEASON.value, Kind.MARKED.value)
_MOST_NAMES = 1_000


class Dropped(NamedTuple):
    """A file or folder, and what it is."""

    path: Path
    kind: str


def commands(dropped: Sequence[Dropped], free: Callable[[Path], Path]) -> list[list[str]]:
    """The command lines for what was dropped; `free` gives a name nearest to one wanted that nothing has yet.

    A scan list is built, a season checked with a marked copy and analysed, several seasons are copies to be merged, a folder
    gets an index.
    """
    seasons = [one.path for one in dropped if one.kind in _SEASONS]
    lines: list[list[str]] = []
    for path, kind in dropped:
        if kind == Kind.SCAN_LIST.value:
            lines.append(["build", str(path), "-o", str(free(beside(path, "season")))])
        elif kind == FOLDER:
            lines.append(["check", str(path)])
    if len(seasons) > 1:
        lines.append(["merge", *map(str, seasons), "-o", str(free(beside(seasons[0], "merged")))])
    for path in seasons if len(seasons) == 1 else ():
        lines.append(["check", str(path), "--marked", str(free(beside(path, "marked")))])
        lines.append(["analyse", str(path), "-o", str(free(beside(path, "summary")))])
    return lines


def free_name(path: Path) -> Path:
    """The path itself where nothing stands there, nor where its paper would go; else with a number: flock-summary 2.xlsx."""
    names = (path if number == 1 else path.with_name(f"{path.stem} {number}{path.suffix}") for number in range(1, _MOST_NAMES))
    return next(name for name in names if not name.exists() and not paper_of(name).exists())


def recognised(words: Sequence[str]) -> tuple[list[Dropped], list[str]]:
    """What each of these is, and a sentence for each with which nothing can be done."""
    found, refused = list[Dropped](), list[str]()
    for word in words:
        try:
            found.append(Dropped(Path(word), kind_of(Path(word))))
        except Asked as error:
            refused.append(str(error))
    return found, refused
