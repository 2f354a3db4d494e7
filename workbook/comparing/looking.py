"""Look at one file: a farm's season as numbers, or why it cannot stand in the group. An answer always comes."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from template_builder.files.told import Told
from workbook.comparing.farm import Farm, numbers_of, recorded_of, targets_of, where_of
from workbook.many.kept import fingerprint
from workbook.many.line import Kind, Line
from workbook.many.looking import what_it_is
from workbook.many.season_line import season_line
from workbook.results.pipeline import Result, analyse


@dataclass(frozen=True)
class Job:
    """One file to look at, and the moment its figures are for."""

    path: Path
    as_of: datetime | None = None


@dataclass(frozen=True)
class Left:
    """A file that does not stand in the group, and why. `asks` says that a person should look."""

    name: str
    why: str
    asks: bool = True


_WHY = {
    Kind.SUMMARY: "a summary: give the season workbook it was made from", Kind.PAPER: "paper to print, no season workbook",
    Kind.SCAN_LIST: "a scan list: build makes a season workbook of it", Kind.INDEX: "an index of a folder",
    Kind.MARKED: "a marked copy: give the season workbook itself", Kind.COMPARISON: "a comparison, as compare wrote it",
    Kind.KEY: "a key of names, as share wrote it", Kind.OTHER: "neither a season workbook nor a scan list",
}


def lost() -> Farm | Left:
    """What is said of a file whose reading broke down altogether."""
    return Left("", "took more memory than there is, and reading it was stopped: read it by itself")


def look_at(job: Job) -> Farm | Left:
    """The farm in a file, or why there is none; no fault of it, nor of this program in reading it, stops the others."""
    name = job.path.name
    try:
        found = what_it_is(job.path, job.as_of)
        if isinstance(found, Line):
            return Left(name, _WHY[found.kind], asks=False)
        return farm_of(analyse(found), name, fingerprint(job.path))
    except Told as error:
        return Left(name, " ".join(str(error).removeprefix(name).lstrip(": ").split()))
    except OSError as error:
        return Left(name, f"could not be read ({error.strerror})")
    except Exception as error:  # noqa: BLE001 - one bad file never stops the rest
        said = " ".join(f"{type(error).__name__}: {error}".split())
        return Left(name, f"could not be read for a fault of this program, not of the records ({said})")


def farm_of(result: Result, file: str, print: str = "") -> Farm:
    """A season's result as numbers."""
    line, season = season_line(result), result.season
    targets, last = targets_of(season)
    return Farm(
        file, line.flock.strip(), line.year, line.stage, line.newest, line.ewes, recorded_of(season)[0], where_of(season),
        numbers_of(result), targets, last, sum((line.errors or {}).values()), print=print)
