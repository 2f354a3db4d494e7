"""Lambing season workbooks from Python: read, check, analyse, build, merge, compare, share, and everything as pandas frames.

    import lambing_workbook as lw

    result = lw.analyse("season-clean.xlsx")
    print(result.stage, len(result.decisions))
    lw.frames(result)["ewes"].groupby("decision").size()

This module is the public face: what stands here keeps its name and meaning. The packages behind it do not. Paths are str or
Path. Whatever cannot be done with a file is a `Refused`, whose text is a sentence for a person: which file, what is wrong,
what to do. Weights are kilograms, days are `datetime.date`, moments `datetime.datetime` without a zone.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, datetime
from enum import Enum
from importlib.metadata import PackageNotFoundError
from importlib.metadata import version as _version
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from template_builder.files.names import beside, paper_of
from template_builder.files.told import Told as Refused
from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import Start
from template_builder.layout.laying import Order
from template_builder.scan.season_rows import Mating
from workbook.merging.files import Done as Merged
from workbook.reading.season_file import Reading
from workbook.results.pipeline import Checked, Result
from workbook.sharing.identities import Keep, Shared

if TYPE_CHECKING:
    import pandas as pd

    from workbook.comparing.group import Compared

try:
    __version__ = _version("lambing-workbook")
except PackageNotFoundError:  # run from a folder, not installed
    __version__ = "0"

__all__ = ["Checked", "Keep", "Merged", "Reading", "Refused", "Result", "Shared", "analyse", "build", "check", "compare",
           "frames", "merge", "read", "share", "summary"]

PathLike = str | Path
Word = TypeVar("Word", bound=Enum)


def read(season: PathLike, *, as_of: datetime | None = None) -> Reading:
    """A season workbook as typed records: `reading.season.rows("lambs")` are the rows of a sheet, each knowing its cells.

    `as_of` is the moment figures are for; without one that on Season counts, else now. Raises Refused where the file is no
    season workbook, is encrypted, cut short or newer than this program.
    """
    from workbook.reading.season_file import read

    return read(Path(season), as_of)


def check(season: PathLike | Reading, *, as_of: datetime | None = None) -> Checked:
    """Every problem of a season in the order of its tabs and rows: rule, severity, cell, what is wrong, what to do.

    Raises Refused as `read` does.
    """
    from workbook.results.pipeline import check

    return check(_reading(season, as_of))


def analyse(season: PathLike | Reading, *, as_of: datetime | None = None) -> Result:
    """Everything known of a season at one moment: figures, litter account, losses, problem ewes, scores, a decision for each ewe.

    Raises Refused as `read` does.
    """
    from workbook.results.pipeline import analyse

    return analyse(_reading(season, as_of))


def summary(result: Result, output: PathLike, *, force: bool = False) -> Path:
    """Write the summary workbook of a result, and return where it is.

    Raises Refused where `output` was saved by somebody or is no workbook of this program, or is there and `force` is not given;
    what `force` replaces is kept beside it.
    """
    from workbook.output.summary.book import write_summary

    target = _free(output, [], force)
    write_summary(result, target, force=force)
    return target


def build(
    scan_list: PathLike | None, output: PathLike, *, previous: PathLike | None = None, decisions: PathLike | None = None,
    key: PathLike | None = None, year: int | None = None, ram_in: date | None = None, ram_out: date | None = None,
    columns: Mapping[str, str] | None = None, dates: str | None = None, order: str = "due", start: str | None = None,
    weights: str | None = None, as_of: date | None = None, paper: PathLike | None = None, force: bool = False,
) -> tuple[Path, Path]:
    """Write a season workbook from a scan list, from the season before, or both, and what is printed of it; returns both paths.

    `previous` is the season workbook of the year before, `decisions` its summary as the meeting filled it in; where that was made
    from a shared copy, `key` is the key of the copy, and its ewes get their own numbers again. `columns` are their headings by
    ours, {"Their heading": "ewe"}; `dates` is "dmy", "mdy" or "ymd", else as each column shows; `order` is "due", "ewe" or
    "daybook", `start` "indoors", "outdoors" or "simple", `weights` "kg" or "lb". `paper` is by default NAME-paper.xlsx beside the
    season; it is not written where there is nothing to print yet. Raises Refused for a file that cannot be read or may not be
    written, or a key of another copy; ValueError for a word that is none of these, or where what is given is not enough.
    """
    from template_builder.scan.reading import read_list
    from workbook.carrying.building import follow_season
    from workbook.carrying.files import Asked, begin
    from workbook.starting import start_season

    if scan_list is None and previous is None:
        raise ValueError("Give a scan list, or the season before as previous, or both.")
    if (decisions and previous is None) or (key and decisions is None):
        raise ValueError("key is for decisions in a summary, and decisions are about the season before: give that as previous.")
    mating, unit = Mating(ram_in, ram_out, year), _one_of(WeightUnit, weights) if weights else None
    starts, runs = _one_of(Start, start) if start else None, _one_of(Order, order)
    given = [Path(path) for path in (scan_list, previous, decisions, key) if path is not None]
    target = _free(output, given, force)
    printed = _free(paper or paper_of(target), given, force)
    scan = read_list(Path(scan_list), columns=dict(columns or {}), dates=dates, year=year) if scan_list is not None else None
    if previous is not None:
        asked = Asked(mating, runs, starts, unit, Path(key) if key else None)
        begun = begin(Path(previous), Path(decisions) if decisions else None, scan, asked)
        follow_season(begun, Path(previous), scan, target, as_of, paper=printed, force=force)
    elif scan is not None:
        start_season(scan, target, mating, runs, starts, as_of, paper=printed, weights_in=unit or WeightUnit.KG, force=force)
    return target, printed


def merge(
    copies: Sequence[PathLike], output: PathLike, *, base: PathLike | None = None, key: PathLike | None = None,
    force: bool = False,
) -> Merged:
    """Write one season workbook from the copies several people filled in; `conflicts` are the cells where they differ.

    `base` is the workbook as it was when the copies were made. With `key`, the key of a shared copy that came back, the farm's
    own workbook and that copy are merged, and what is in the copy goes to the animals it is about. Raises Refused for copies of
    different flocks, a copy sorted by one column alone, a shared copy without its key or with another, fewer than two copies, or
    an output that may not be written.
    """
    from workbook.merging.files import merge_files
    from workbook.sharing.naming import naming

    if len(copies) < 2:
        raise Refused("Give two copies or more.")
    given, sent, names = [Path(copy) for copy in copies], Path(base) if base else None, Path(key) if key else None
    target = _free(output, [*given, *filter(None, (sent, names))], force)
    return merge_files(given, target, sent, named=naming(names), force=force)


def compare(
    seasons: PathLike | Sequence[PathLike], output: PathLike | None = None, *, key: PathLike | None = None, names: bool = False,
    farm_pages: PathLike | None = None, together: bool = False, as_of: datetime | None = None, force: bool = False,
) -> "Compared":
    """Farms side by side, each under a letter; with `output` also written as a group workbook, its key beside it.

    `seasons` are season workbooks, and folders of them. The answer has two pandas frames. `figures` has a row for each figure and
    farm: `figure` (its id), `title`, `like` (what farms beside one another have in common), `farm` (its letter), `value` in
    `unit`, `numerator`, `denominator`, `farms` alike, `place` from the lowest, `quarter`, `lower_quartile`, `median`,
    `upper_quartile`, `target`, `last_season`, and `why` it is compared with nobody, "" where it is. `group` has a row for each
    figure and five farms or more that are alike. `funnels` are losses between their limits, shares from 0 to 1, `farms` say who
    is which letter, `left` which files are left out and why. `key` is where letters are kept from one group to the next,
    by default NAME-key.xlsx beside `output`; `names` puts it into the group workbook too; `farm_pages` is a folder for a workbook
    for each farm. `together` puts farms that lamb indoors and outdoors side by side. A file that cannot be read never stops the
    others. Raises Refused where there is no season workbook at all, or where something may not be written.
    """
    from workbook.comparing.files import Asked, compare_files, compared_only, key_beside

    given = [Path(seasons)] if isinstance(seasons, str | Path) else [Path(one) for one in seasons]
    if output is None:
        return compared_only(given, Path(key) if key else None, as_of, together=together)
    target, pages = Path(output), Path(farm_pages) if farm_pages else None
    asked = Asked(Path(key) if key else key_beside(target), names, pages, as_of, together, force)
    return compare_files(given, target, asked).compared


def share(
    season: PathLike, output: PathLike, *, key: PathLike | None = None, keep: Collection[Keep | str] = (),
    email: PathLike | None = None, force: bool = False,
) -> Shared:
    """Write a copy of a season without identities: ewes, groups, rams, people and tags get other names, notes are emptied.

    The copy is built anew, with the same dates, counts, weights and figures. `key` is the workbook that says which name is which,
    by default NAME-key.xlsx beside the season: one that is there keeps its names, and it must not be sent. `keep` leaves kinds of
    names as written, each a `Keep` or its word: "ewe-numbers", "flock-name" and so on. `email` is a message draft to write as
    well, with a name that ends in .eml, the copy attached and its figures as text. Of the answer, `rows` are the copy's rows by
    sheet, `key.names` a line (what, alias, original) for each name, `emptied` counts cells by heading, `left_out` says what else
    is not in the copy. Raises Refused for a file that is no season workbook, the key of another flock, or where something may not
    be written: then nothing is. ValueError for a word that is no `Keep`.
    """
    from workbook.sharing.files import share_file

    kept = [_one_of(Keep, what) if isinstance(what, str) else what for what in keep]
    names = Path(key) if key else beside(Path(season), "key")
    return share_file(Path(season), Path(output), names, kept, email=Path(email) if email else None, force=force)


def frames(found: Result | Checked) -> "dict[str, pd.DataFrame]":
    """Ewes, lambs, weights, problems and figures as pandas frames; of a check ewes, lambs, weights and problems.

    One row for an animal, a weighing, a problem or a figure. `_sheet` and `_row` say where it stands in the season workbook;
    a problem's `_row` is that of its cell, a figure has none. Choices are their words, days are datetime64, what is not
    written is NA, kg are floats. Shapes: `ewes` one row for each ewe, with her `decision` and `mothering` where there are any;
    `lambs` one for each lamb, also those known by a count of their ewe; `weights` one for each weighing.
    """
    from lambing_workbook._frames import all_frames

    return all_frames(found)


def _reading(season: PathLike | Reading, as_of: datetime | None) -> Reading:
    return season if isinstance(season, Reading) else read(season, as_of=as_of)


def _one_of(kind: type[Word], word: str) -> Word:
    """The value of a list by its word. ValueError names all of them."""
    words = {one.value if isinstance(one.value, str) else str(one): one for one in kind}
    if word not in words:
        raise ValueError(f"\u201c{word}\u201d is none of {', '.join(words)}.")
    return words[word]


def _free(output: PathLike, inputs: Sequence[Path], force: bool) -> Path:
    """The path of an output that may be written; Refused else."""
    from template_builder.files.targets import check_targets
    from workbook.reading.filled import held

    target = Path(output)
    check_targets([target], inputs, force=force, held=held)
    return target
