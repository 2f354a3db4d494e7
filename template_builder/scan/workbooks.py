"""A scanning list saved as a workbook: guarded, then read by values, with the formulas that hold none."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from datetime import date, time
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import META_TAB
from template_builder.scan.cells import Cell, Uncomputed, text_of
from template_builder.scan.pages import Line, Page, ScanListError

WORKBOOK_NAMES = (".xlsx", ".xlsm")
MOST_UNPACKED, MOST_PART = 300_000_000, 150_000_000  # bytes; ten thousand ewes take some twenty million
MOST_PARTS = 5_000
PROLOG_CHUNK = 8_192  # bytes read at a time while looking for the first element of a part

_COPY_IT = "copy the list by itself into a new workbook"
_ZEROS = re.compile("00+")
MOST_ROWS = 200_000  # of one sheet; formatted blank rows count, and a list has a line for each ewe
_FORMULA = re.compile(rb"<(\w+:)?f[ />]")
_ROW = re.compile(rb"<(?:\w+:)?row[ />]")
_CELL = rb"<(?:\w+:)?c (?>[^<>]*?\br=[\"']([A-Z]+)\d)"  # as far as its column
_FAR_CELL = re.compile(_CELL.replace(b"[A-Z]+", b"[A-Z]{3,}"))  # beyond column ZZ, the 702nd
_FILLED = re.compile(_CELL + rb"[^<>]*+(?<!/)>\s*<(?:\w+:)?(?:v>[^<]|is[ >]|f[ />])")


def workbook_pages(path: Path, data: bytes) -> tuple[Page, ...]:
    """Read every sheet of a workbook; ScanListError when it is damaged, foreign or would swell."""
    from openpyxl import load_workbook  # slow to import, and most lists are text
    from openpyxl.utils import column_index_from_string

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            _guard(path, package)
            formulas, last = _look_over(path, package)
        last_column = column_index_from_string(last) if last else None
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl warns of features it passes over; none holds data
            values = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
            _refuse_own(path, values.sheetnames)
            twins = load_workbook(io.BytesIO(data), read_only=True, keep_links=False) if formulas else values
            pairs = zip(values.worksheets, twins.worksheets, strict=True)
            pages = tuple(Page(sheet.title, tuple(_sheet_lines(sheet, twin, last_column))) for sheet, twin in pairs)
    except ScanListError:
        raise
    except Exception:  # a damaged workbook makes the parsers raise any of twenty kinds, and all mean the same here
        raise ScanListError(
            path,
            "the workbook is damaged or cut short; ask for it to be sent again, or open it in "
            "your spreadsheet program and save it as .xlsx",
        ) from None
    if not pages:
        raise ScanListError(
            path,
            "no sheet of this workbook can be read; open it in your spreadsheet program and save it as an ordinary .xlsx",
        )
    if path.suffix.lower() in WORKBOOK_NAMES:
        return pages
    note = f"read as a workbook although its name ends in “{path.suffix}”"
    return tuple(Page(page.name, page.lines, (note,)) for page in pages)


def _refuse_own(path: Path, titles: Sequence[str]) -> None:
    """Refuse what this program wrote itself, before its rows are read."""
    if META_TAB in titles or is_summary(titles):
        what = "a season workbook already" if META_TAB in titles else "a summary that analyse wrote"
        raise ScanListError(path, f"this is {what}; give the list as it came from scanning")


def _guard(path: Path, package: zipfile.ZipFile) -> None:
    """Refuse what is not an ordinary workbook, or would swell, before any parser sees it."""
    parts = package.infolist()
    sizes = [part.file_size for part in parts]
    if len(parts) > MOST_PARTS or sum(sizes) > MOST_UNPACKED or max(sizes, default=0) > MOST_PART:
        raise ScanListError(
            path,
            f"the workbook unpacks to more than a scanning list can hold; {_COPY_IT}",
        )
    names = package.namelist()
    if "mimetype" in names:
        raise ScanListError(path, "this is an OpenDocument file; open it in your spreadsheet program and save it as .xlsx")
    if "xl/workbook.xml" not in names:
        raise ScanListError(
            path,
            "this is a zip file, not a workbook; unpack it and use the list inside, or save the list as .xlsx",
        )
    for part in parts:
        if part.filename.endswith((".xml", ".rels")):
            with package.open(part) as content:
                _refuse_doctype(path, content)


def _refuse_doctype(path: Path, content: IO[bytes]) -> None:
    """Refuse a part with a document type: no spreadsheet program writes one, and it can swell without end."""
    parser, started = expat.ParserCreate(), []

    def doctype(*_: object) -> None:
        raise ScanListError(
            path,
            "the workbook holds a part that no spreadsheet program writes; open it in yours and "
            "save a copy as .xlsx, or ask the sender for another",
        )

    parser.StartDoctypeDeclHandler = doctype
    parser.StartElementHandler = lambda *_: started.append(True)
    while not started and (chunk := content.read(PROLOG_CHUNK)):
        parser.Parse(chunk)


def _look_over(path: Path, package: zipfile.ZipFile) -> tuple[bool, str]:
    """Whether any sheet holds formulas; and the last column with anything in it, where formatted cells go on far beyond.

    A sheet far longer or wider than a list is refused, as it takes minutes to read.
    """
    formulas, far, last = False, False, b"A"
    for name in package.namelist():
        if name.startswith("xl/worksheets/"):
            data = package.read(name)
            if sum(1 for _ in _ROW.finditer(data)) > MOST_ROWS:
                raise ScanListError(path, f"a sheet has more than {MOST_ROWS:,} rows, blank ones included; {_COPY_IT}")
            far = far or bool(_FAR_CELL.search(data))
            last = max({last, *_FILLED.findall(data)}, key=lambda letters: (len(letters), letters))
            if len(last) > len("ZZ"):
                raise ScanListError(path, f"a sheet has cells far to the right, beyond column ZZ; {_COPY_IT}")
            formulas = formulas or bool(_FORMULA.search(data))
    return formulas, last.decode() if far else ""


def _sheet_lines(sheet: Any, twin: Any, last_column: int | None) -> Iterator[Line]:
    """Give the filled rows of a sheet; `twin` is the same sheet read for its formulas, or itself if it has none."""
    sheet.reset_dimensions()  # a wrong stated size would hide rows
    twin.reset_dimensions()
    rows: Iterator[tuple[Any, Any]] = ((row, row) for row in sheet.iter_rows(max_col=last_column))
    if twin is not sheet:
        rows = zip(sheet.iter_rows(max_col=last_column), twin.iter_rows(max_col=last_column), strict=True)
    for number, (row, formulas) in enumerate(rows, start=1):
        cells = tuple(map(_cell_value, row, formulas))
        if any(map(text_of, cells)):
            yield Line(number, cells, ", ".join(map(text_of, cells)).rstrip(", "))


def _cell_value(cell: Any, formula: Any) -> Cell:
    value = cell.value
    if value is None:
        return Uncomputed(formula.value) if formula.data_type == "f" and formula.value is not None else None
    if isinstance(value, int) and not isinstance(value, bool) and _ZEROS.fullmatch(str(cell.number_format)):
        return str(value).zfill(len(cell.number_format))  # the format shows 412 as 0412, and so was it meant
    return value if isinstance(value, (str, int, float, date, time)) else str(value)
