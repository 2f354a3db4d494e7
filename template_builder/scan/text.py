"""A scanning list saved as text, whatever its encoding, its separator and its stray quotation marks."""

import csv
import io
import re
from pathlib import Path

from template_builder.scan.cells import text_of
from template_builder.scan.pages import Line, Page, ScanListError

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
LINES_TRIED = 50  # lines looked at to tell the separator

_WEB_PAGE = re.compile(r"\s*<(!doctype|html|table|\?xml)", re.IGNORECASE)
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f]")
_SEPARATOR_LINE = re.compile(r"sep=([,;\t])\s*", re.IGNORECASE)
_TEXT_FORMULA = re.compile(r'="([^"]*)"')  # ="0412", written by programs to keep the zero


def text_page(path: Path, data: bytes) -> Page:
    """Read text with commas, semicolons or tabs between cells; ScanListError when it is not text."""
    text, notes = _decoded(path, data)
    raw = io.StringIO(text, newline="").readlines()
    named = _SEPARATOR_LINE.fullmatch(raw[0]) if raw else None
    separator = named[1] if named else _separator(raw)
    if separator != ",":
        notes.append(f"cells are separated by {SEPARATORS[separator]}")
    skipped = 1 if named else 0
    lines = []
    for start, end, cells in _split(raw, separator, skipped, notes):
        if end - start > 1:
            notes.append(
                f"lines {start + 1} to {end} were read as one row, because a cell in quotation marks runs "
                "over them; check that no ewe is lost in it"
            )
        if any(map(text_of, cells)):
            found = "".join(raw[start:end]).strip("\r\n")
            lines.append(Line(start + 1, tuple(map(_without_wrapping, cells)), found))
    return Page(None, tuple(lines), tuple(notes))


def _split(raw: list[str], separator: str, skipped: int, notes: list[str]) -> list[tuple[int, int, list[str]]]:
    """Cut text into rows: (first line, line after the last, cells); a stray quotation mark spoils only its own line."""
    reader = csv.reader(raw[skipped:], delimiter=separator, strict=True)
    found, start = [], skipped
    try:
        for cells in reader:
            end = skipped + reader.line_num
            found.append((start, end, cells))
            start = end
    except csv.Error:
        notes.append(f"the quotation marks near line {start + 1} are not in pairs, so each line was read by itself")
        rest = enumerate(raw[skipped:], skipped)
        return [(at, at + 1, _one_line(line, separator)) for at, line in rest]
    return found


def _one_line(line: str, separator: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=separator, strict=True), [])
    except csv.Error:
        return line.split(separator)


def _without_wrapping(cell: str) -> str:
    wrapped = _TEXT_FORMULA.fullmatch(cell.strip())
    return wrapped[1] if wrapped else cell


def _decoded(path: Path, data: bytes) -> tuple[str, list[str]]:
    wide = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            text = data.decode(encoding).rstrip("\x1a")
        except UnicodeDecodeError:
            continue
        if _WEB_PAGE.match(text):
            raise ScanListError(
                path,
                "this is a web page, not a list; open it in your spreadsheet program and save it as .xlsx or as CSV",
            )
        if _CONTROL.search(text):
            break
        said = {
            "cp1252": "read as Windows text (cp1252); check letters with accents",
            "utf-16": "read as UTF-16 text",
        }
        return text, [said[encoding]] if encoding in said else []
    raise ScanListError(
        path,
        "this is not a text file; open the list in your spreadsheet program and save it as .xlsx or as CSV (UTF-8)",
    )


def _separator(raw: list[str]) -> str:
    """The separator is the one found on most lines, then the one found most often."""
    tried = [line for line in raw if line.strip()][:LINES_TRIED]

    def found(mark: str) -> tuple[int, int]:
        return sum(mark in line for line in tried), sum(line.count(mark) for line in tried)

    return max(SEPARATORS, key=found)
