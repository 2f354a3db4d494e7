"""Figures or problems of every file of a folder as one text: each is written where it was read, and joined one by one."""

import json
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from typing import NamedTuple

from workbook.many.kept import Entry
from workbook.output.data.problems import VERSION
from workbook.output.problem_text import EVERYTHING, Asked
from workbook.output.report import as_csv, as_json, csv_headings, result_json
from workbook.results.pipeline import Checked, Result


class Form(Enum):
    """What is written of each season workbook."""

    PROBLEMS_AS_JSON = "check"
    PROBLEMS_AS_CSV = "csv"
    FIGURES_AS_JSON = "analyse"


class Wanted(NamedTuple):
    """What is asked for: the form, which problems, and the folder where each text waits until it is joined."""

    form: Form
    folder: Path
    problems: Asked = EVERYTHING


def write_text(result: Result, path: Path, wanted: Wanted) -> None:
    """Put the text of one season where it waits; the season may be forgotten then."""
    checked = Checked(result.season, result.problems, result.skipped)
    if wanted.form is Form.FIGURES_AS_JSON:
        words = result_json(result)
    elif wanted.form is Form.PROBLEMS_AS_JSON:
        words = as_json(checked, wanted.problems)
    else:
        words = as_csv(checked, wanted.problems, path=path.as_posix(), headings=False)
    (wanted.folder / path.name).write_text(words, encoding="utf-8", newline="")


def joined(folder: Path, entries: tuple[Entry, ...], wanted: Wanted) -> Iterator[str]:
    """The text of all files in pieces, so that no more than one of them is held at a time."""
    if wanted.form is Form.PROBLEMS_AS_CSV:
        yield csv_headings()
        yield from filter(None, (_waiting(entry, wanted) for entry in entries))
        return
    yield f'{{"version": {VERSION}, "files": ['
    for number, entry in enumerate(entries):
        told = {"path": (folder / entry.name).as_posix(), "kind": entry.line.kind.value, "words": entry.line.words}
        said = ", ".join(f"{json.dumps(name)}: {json.dumps(value, ensure_ascii=False)}" for name, value in told.items())
        parts = {form.value: "null" for form in (Form.PROBLEMS_AS_JSON, Form.FIGURES_AS_JSON)}
        parts[wanted.form.value] = _waiting(entry, wanted) or "null"
        yield f'{"," if number else ""}\n{{{said}, "check": {parts["check"]}, "analyse": {parts["analyse"]}}}'
    yield "\n]}"


def _waiting(entry: Entry, wanted: Wanted) -> str:
    path = wanted.folder / entry.name
    return path.read_text(encoding="utf-8") if path.is_file() else ""
