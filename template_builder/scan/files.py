"""A scanning list as a file, opened by what it holds: text with separators, or a workbook."""

from pathlib import Path

from template_builder.scan.pages import Page, ScanListError
from template_builder.scan.text import text_page
from template_builder.scan.workbooks import WORKBOOK_NAMES, workbook_pages

MEGABYTE = 1_000_000
MOST_FILE = 50 * MEGABYTE

_ZIP, _OLE = b"PK", b"\xd0\xcf\x11\xe0"
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")


def read_pages(path: Path) -> tuple[Page, ...]:
    """Open a list by what it holds, not by its name. ScanListError when it is no list, damaged or too large."""
    data = _bytes_of(path)
    if data.startswith(_OLE):
        raise ScanListError(path, _ole_sentence(data))
    if data.startswith(_ZIP):
        return workbook_pages(path, data)
    if path.suffix.lower() in WORKBOOK_NAMES:
        raise ScanListError(
            path,
            f"this is not a workbook although its name ends in {path.suffix}; save it again as .xlsx in your "
            "spreadsheet program, or, if it is text with commas, rename it to end in .csv",
        )
    return (text_page(path, data),)


def _bytes_of(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_FILE:
            raise ScanListError(
                path,
                f"the file is larger than {MOST_FILE // MEGABYTE} MB, which no scanning list "
                "is; copy the list by itself into a new file",
            )
        data = path.read_bytes()
    except OSError as error:
        raise ScanListError(
            path,
            f"the file cannot be opened ({error.strerror}); check its name and folder, and close it in other programs",
        ) from None
    except ValueError:
        raise ScanListError(path, "this cannot be the name of a file; check it") from None
    if not data:
        raise ScanListError(path, "the file is empty; export the list again, or ask for it to be sent again")
    return data


def _ole_sentence(data: bytes) -> str:
    if _ENCRYPTED in data:
        return "the workbook has a password; open it, save a copy without a password and use the copy"
    return "this is an old .xls workbook; open it in your spreadsheet program and save it as .xlsx"
