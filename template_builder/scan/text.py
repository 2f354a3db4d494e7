"""A scanning list saved as text, whatever its encoding, its separator and its stray quotation marks."""

import csv
import io
import re
from pathlib import Path

from template_builder.scan.cells import text_of
from template_builder.scan.pages import Line, Page, ScanListError, as_cell, quoted_line

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes", " ": "blanks"}
LINES_TRIED = 50  # lines looked at to tell the separator

_WEB_PAGE = re.compile(r"\s*<(!doctype|html|table|\?xml)", re.IGNORECASE)
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f]")
_SEPARATOR_LINE = re.compile(r"sep=([,;|\t])\s*", re.IGNORECASE)
_RULED = re.compile(r"[\s|:+=-]*-[\s|:+=-]*")  # a line drawn under the headings
_GAP = 2  # blanks that stand between columns set out by spaces
_TEXT_FORMULA = re.compile(r'="([^"]*)"')  # ="0412", written by programs to keep the zero


def text_page(path: Path, data: bytes) -> Page:
    """Read text with commas, semicolons or tabs between cells; ScanListError when it is not text."""
    text, notes = _decoded(path, data)
    raw = io.StringIO(text, newline="").readlines()
    named = _SEPARATOR_LINE.fullmatch(raw[0]) if raw else None
    separator = named[1] if named else _separator(raw)
    skipped = 1 if named else 0
    if separator is None:
        return Page(None, tuple(_set_out(raw)), (*notes, "the columns are set out by spaces"))
    if separator != ",":
        notes.append(f"cells are separated by {SEPARATORS[separator]}")
    lines = []
    for start, end, cells in _split(raw, separator, skipped, notes):
        if separator == "|":
            if _RULED.fullmatch(raw[start].strip()):
                continue
            cells = _within_strokes(raw[start])
        elif separator == " ":
            cells = raw[start].split()
        if end - start > 1:
            notes.append(
                f"lines {start + 1} to {end} were read as one row, because a cell in quotation marks runs "
                "over them; check that no ewe is lost in it"
            )
        if any(map(text_of, cells)):
            found = "".join(raw[start:end]).strip("\r\n")
            lines.append(Line(start + 1, tuple(map(_without_wrapping, cells)), quoted_line(found)))
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
    return as_cell(wrapped[1] if wrapped else cell)


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


def _separator(raw: list[str]) -> str | None:
    """The separator is the one found on most lines, then the one found most often; None where spaces set columns out."""
    tried = [line for line in raw if line.strip()][:LINES_TRIED]

    def found(mark: str) -> tuple[int, int]:
        return sum(mark in line for line in tried), sum(line.count(mark) for line in tried)

    mark = max(SEPARATORS.keys() - {" "}, key=lambda each: (*found(each), each == ","))
    if 2 * found(mark)[0] >= len(tried):
        return mark
    if _starts(tried):
        return None
    words = {len(line.split()) for line in tried}
    return " " if len(words) == 1 and words != {1} and not found(mark)[0] else mark


def _within_strokes(line: str) -> list[str]:
    """The cells of a line ruled with upright strokes, which may stand at both its ends."""
    bare = line.strip()
    return [cell.strip() for cell in bare.removeprefix("|").removesuffix("|").split("|")]


def _set_out(raw: list[str]) -> list[Line]:
    """Lines whose columns begin at the same place, cut there; a title that runs over the columns is left whole."""
    filled = [line.rstrip("\r\n").expandtabs() for line in raw]
    starts = _starts([line for line in filled if line.strip()])
    lines = []
    for number, line in enumerate(filled, 1):
        if not line.strip() or _RULED.fullmatch(line.strip()):
            continue
        over = any(at < len(line) and line[at - 1 : at].strip() for at in starts[1:])
        cuts = [line.strip()] if over else [line[at:end].strip() for at, end in zip(starts, [*starts[1:], None], strict=True)]
        lines.append(Line(number, tuple(cuts), line))
    return lines


def _starts(lines: list[str]) -> list[int]:
    """Where columns set out by spaces begin: after gaps of two blanks and more that nearly all lines share.

    A list with one blank between its cells has as many cells in each line. No column but the first: they are not set out.
    """
    rows = [line.rstrip() for line in lines if not _RULED.fullmatch(line.strip())]
    if len(rows) < _GAP:
        return []
    tables = [row for row in rows if len(re.split(rf"\s{{{_GAP},}}", row.strip())) > 1] or rows
    if len(tables) < len(rows) / 2 or len(tables) < _GAP:
        return []
    wide = max(map(len, tables))
    blank = [all(len(row) <= at or row[at] == " " for row in tables) for at in range(wide)]
    starts = [at for at in range(wide) if not blank[at] and (at == 0 or blank[at - 1])]
    kept = [at for at in starts if at == starts[0] or all(blank[at - _GAP : at])]
    return kept if len(kept) > 1 else []
