"""Scan lists as farms really write them: one Markdown file for each way, with the ewes, counts and words it must give.

    # electronic number and visual tag

    ```
    Tag,Visual,Lambs
    826012345600001,101,2
    ```

    given: --year 2026
    ewe: 101 2 tag 826012345600001
    noted: the number is from “Visual”
    asked: (a part of what a person is asked)

A list that begins with a line "[Name]" is a workbook with a sheet for each such line; whole numbers are numbers in it, and
"fill:FF0000 101" is a cell filled in red. "ewe" lines are all the ewes there are, "-" for no count; "asked" lines are all there
is asked, in order; "refused" is part of the one sentence given instead. Of what is noted only the lines named are looked for.
"""

import re
import shlex
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import PatternFill

from template_builder.scan.by_ewe import ScanList, ScanListError, ScanRow
from template_builder.scan.reading import parse_columns, read_list

FOLDER = Path(__file__).parent / "scan_lists"
_SHEET = re.compile(r"\[(.+)\]")
_FILL = re.compile(r"fill:([0-9A-F]{6}) ?(.*)")
_SHOWN = {"mated": "mated_on", "scanned_on": "scanned_on", "due": "due", "tag": "official_tag"}


@dataclass(frozen=True)
class ScanCase:
    """One list, what was given with it, and what it must give."""

    slug: str
    title: str
    lines: tuple[str, ...]
    given: str
    expected: dict[str, list[str]]

    @property
    def in_workbook(self) -> bool:
        """Whether the list is a workbook, not text."""
        return bool(_SHEET.fullmatch(self.lines[0]))


def cases() -> list[ScanCase]:
    """Every case there is."""
    return [_case(path) for path in sorted(FOLDER.glob("*.md"))]


def _case(path: Path) -> ScanCase:
    head, body, tail = path.read_text(encoding="utf-8").split("```")
    expected: dict[str, list[str]] = {"given": [], "ewe": [], "noted": [], "asked": [], "refused": []}
    for line in filter(None, tail.splitlines()):
        kind, _, words = line.partition(": ")
        expected[kind].append(words)
    given = " ".join(expected.pop("given"))
    return ScanCase(path.stem, head.strip().removeprefix("# "), tuple(body.strip("\n").split("\n")), given, expected)


def read_case(case: ScanCase, folder: Path) -> ScanList | str:
    """Write the list to a file and read it: as understood, or the sentence it is refused with."""
    path = folder / f"list.{'xlsx' if case.in_workbook else 'csv'}"
    if case.in_workbook:
        _write_workbook(case.lines, path)
    else:
        path.write_text("\n".join(case.lines) + "\n", encoding="utf-8")
    words = shlex.split(case.given)
    options = dict(zip(words[::2], words[1::2], strict=True))
    columns = parse_columns(options["--columns"]) if "--columns" in options else {}
    try:
        scan = read_list(path, columns=columns, dates=options.get("--dates"), year=int(options.get("--year", 0)) or None)
    except ScanListError as refused:
        return str(refused)
    assert isinstance(scan, ScanList)
    return scan


def _write_workbook(lines: tuple[str, ...], path: Path) -> None:
    book = Workbook()
    book.remove(book.worksheets[0])
    for line in lines:
        if named := _SHEET.fullmatch(line):
            sheet, row = book.create_sheet(named[1]), 0
            continue
        row += 1
        for column, text in enumerate(line.split(","), 1):
            filled = _FILL.fullmatch(text)
            value = filled[2] if filled else text
            cell = sheet.cell(row, column, int(value) if value.isdecimal() and not value.startswith("0") else value or None)
            if filled:
                cell.fill = PatternFill("solid", fgColor=filled[1])
    book.save(path)


def ewe_words(row: ScanRow) -> str:
    """A ewe as a case writes her: number, count, and the dates and electronic number she has."""
    words = [row.ewe, "-" if row.scanned is None else str(row.scanned)]
    for name, field in _SHOWN.items():
        value = getattr(row, field)
        if value is not None:
            words += [name, value.isoformat() if isinstance(value, date) else "same" if value == row.ewe else value]
    return " ".join(words)
